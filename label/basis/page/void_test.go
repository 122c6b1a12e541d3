package page

import (
	"regexp"
	"strings"
	"testing"

	"vouchmark/assess/standing"
)

// The picture of a label that does not hold is overprinted, for the eye and for a
// reader that asks for its name, in each language; that of any other is not.
func TestVoid(t *testing.T) {
	b := mill(t, "2026-05-01", nil)
	b.Shelf.Site.Site.Policy.Languages = []string{"en", "es"}
	void := map[bool]int{}
	for _, id := range b.Shelf.Printed() {
		v, err := b.Shelf.View(id)
		if err != nil {
			t.Fatal(err)
		}
		html, err := b.LabelPage(v)
		if err != nil {
			t.Fatal(err)
		}
		_, rest, _ := strings.Cut(string(html), "<figure>")
		figure, _, _ := strings.Cut(rest, "<figcaption>")
		sign := v.Verdict().Sign
		bad := sign != "holds" && sign != "falls due"
		void[bad]++
		for _, text := range []string{"DO NOT RELY ON THE LABEL", "NO CONFÍE EN LA ETIQUETA"} {
			over := strings.Index(figure, text)
			title := strings.Contains(figure, "<title>DO NOT RELY ON THE LABEL. NO CONFÍE EN LA ETIQUETA. label</title>")
			if bad != (over >= 0 && over < strings.Index(figure, "<svg")) || bad != title {
				t.Errorf("%s is %s, and its picture is %q", id.Code(), sign, figure)
			}
		}
	}
	if void[true] < 4 || void[false] < 4 {
		t.Error(void)
	}
}

var loadsAge = regexp.MustCompile(`["/]age\.\w+\.js" defer`)

// A page says before its verdict that it is out of date, as its script shows it, and
// the day of the last check is in the band of the verdict, or above all else.
func TestStale(t *testing.T) {
	b := mill(t, "2026-05-01", nil)
	b.Shelf.Site.Site.Policy.StaleDays = 9
	n := 0
	for name, data := range all(t, b) {
		if !strings.HasSuffix(name, ".html") || name == "404.html" || name == "checked.html" {
			continue
		}
		_, main, _ := strings.Cut(data, `<main id="main">`)
		note, day, verdict := strings.Index(main, `data-days="9" hidden>`), strings.Index(main, `<iframe class="day`), strings.Index(main, `<div class="verdict`)
		end := strings.Index(main, "<h2")
		if note < 0 || day < note || verdict >= 0 && (verdict < note || day < verdict || day > end) {
			t.Errorf("%s: its age is at %d and %d, its verdict at %d", name, note, day, verdict)
		}
		if !strings.Contains(main[note:day], "no check in the last 9 days is known") || !loadsAge.MatchString(data) {
			t.Errorf("%s does not say that it is out of date", name)
		}
		n++
	}
	if n < 20 {
		t.Errorf("only %d pages", n)
	}
	small := all(t, b)["checked.html"]
	for _, want := range []string{`<time datetime="2026-05-01">`, "Last checked: 2026-05-01 (May 1, 2026)", "If this is long ago, do not rely on it.", `src="checked.`} {
		if !strings.Contains(small, want) {
			t.Errorf("checked.html lacks %q: %s", want, small)
		}
	}
	for name, data := range all(t, mill(t, "2026-05-01", &Live{})) {
		if strings.HasSuffix(name, ".html") && name != "404.html" && name != "checked.html" && (loadsAge.MatchString(data) || strings.Count(data, "Last checked: 2026-05-01") != 1) {
			t.Errorf("served, %s shows its day otherwise", name)
		}
	}
}

// What is printed too low comes first wherever labels are listed, and says so.
func TestCoverFirst(t *testing.T) {
	files := all(t, mill(t, "2026-05-01", nil))
	for _, name := range []string{"index.html", "due/index.html"} {
		_, body, _ := strings.Cut(files[name], "<tbody>")
		row, _, _ := strings.Cut(body, "</tr>")
		if !strings.Contains(row, ">BARK-P1<") || !strings.Contains(row, `class="state cover"`) || !strings.Contains(row, standing.Cover+", in question") {
			t.Errorf("%s begins with %s", name, row)
		}
	}
}
