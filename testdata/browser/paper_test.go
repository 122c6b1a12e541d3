package browser

import (
	"context"
	"encoding/csv"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// paper prints the page that is shown, and gives the text of each sheet.
func (w *window) paper() []string {
	w.t.Helper()
	var pdf []byte
	w.do(chromedp.ActionFunc(func(ctx context.Context) (err error) {
		pdf, _, err = page.PrintToPDF().WithPreferCSSPageSize(true).Do(ctx)
		return err
	}))
	file := filepath.Join(w.t.TempDir(), "basis.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		w.t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(run(w.t, "pdftotext", file, "-"), "\f"), "\f")
}

// tight is a text without what a line break changes.
func tight(text string) string {
	return strings.NewReplacer("\u00ad", "", "-", "", "‐", "").Replace(strings.Join(strings.Fields(text), ""))
}

// published gives the pages of the labels of a site.
func (p *plant) published(t *testing.T) (public string, labels []string) {
	t.Helper()
	public = filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	labels, err := filepath.Glob(filepath.Join(public, "V", "*", "*", "index.html"))
	if err != nil || len(labels) == 0 {
		t.Fatal(err, labels)
	}
	return public, labels
}

// basisOnPaper prints the page of a label, which must be at most so many sheets. Each has the site, the code and
// its number; on one of them is something of each fold; the first has what decides, and what is given.
func (w *window) basisOnPaper(file, site string, most int, first ...string) {
	w.t.Helper()
	w.show("file://" + file)
	var folds []struct{ Name, Text string }
	w.eval(`[...document.querySelectorAll("section.fold:not(.aside)")].map(f => ({Name: f.querySelector("h2").textContent,
		Text: [...f.querySelectorAll("dt, li, td, p, th, text")].map(e => e.childNodes[0] ? e.childNodes[0].textContent.trim() : "").find(s => s.length > 3) || ""}))`, &folds)
	if len(folds) < 4 {
		w.t.Errorf("%s: only the folds %v", file, folds)
	}
	code := strings.Split(filepath.ToSlash(file), "/V/")[1]
	at := code
	code, _, _ = strings.Cut(code, "/")
	sheets := w.paper()
	if len(sheets) > most {
		w.t.Errorf("%s: %d sheets", at, len(sheets))
	}
	for i, text := range sheets {
		for _, want := range []string{site + " · ", " · " + code, fmt.Sprintf("page %d of %d", i+1, len(sheets))} {
			if !strings.Contains(tight(text), tight(want)) {
				w.t.Errorf("%s: sheet %d lacks %q", at, i+1, want)
			}
		}
	}
	whole := tight(strings.Join(sheets, ""))
	for _, fold := range folds {
		begins := []rune(tight(fold.Text))
		if begins = begins[:min(len(begins), 16)]; fold.Text == "" || !strings.Contains(whole, tight(fold.Name)) || !strings.Contains(whole, string(begins)) {
			w.t.Errorf("%s: on paper %q lacks %q", at, fold.Name, fold.Text)
		}
	}
	for _, want := range first {
		if !strings.Contains(tight(sheets[0]), tight(want)) {
			w.t.Errorf("%s: the first sheet lacks %q", at, want)
		}
	}
}

// The basis of a label prints on at most three sheets, whatever the label: one that holds, DANGER, of a site in
// two languages and of any standing, of a location with many cases.
func TestPrintedBasis(t *testing.T) {
	need(t, "pdftotext")
	p := newPlant(t, "creamery")
	cases := p.cased(t, "SEP-PP2", 9)
	p.call(t, "print", "--out", p.pdf)
	_, labels := p.published(t)
	w := open(t)
	danger, many, plain := 0, 0, 0
	for _, file := range labels {
		const site = "Brackwater Creamery (invented)"
		switch facts := filepath.Base(filepath.Dir(file)); {
		case strings.Contains(facts, "DANGER") || strings.Contains(readFile(t, file), ">DANGER<"):
			danger++
			w.basisOnPaper(file, site, 3, "HOLDS until", "DANGER", "NO ENERGIZED WORK", "above this site’s limit of 40", "lock out ALL sources", "Where each number comes from")
		case strings.HasPrefix(facts, "SEP-PP2-"):
			many++
			w.basisOnPaper(file, site, 3, "HOLDS until", "PPE", cases[0], "Where each number comes from")
		case plain < 3:
			plain++
			first := []string{"HOLDS until", "REVIEW BY", "Where each number comes from"}
			if !strings.HasSuffix(facts, "-NOKIT") {
				first = append(first, "PPE")
			}
			w.basisOnPaper(file, site, 3, first...)
		}
	}
	if danger < 1 || many != 1 || plain < 3 {
		t.Errorf("%d labels with DANGER, %d with many cases, %d others", danger, many, plain)
	}

	w.do(emulation.SetScriptExecutionDisabled(true)) // which would show one language
	mill := newPlant(t, "mill")
	_, labels = mill.published(t)
	seen := map[string]bool{}
	for _, file := range labels {
		_, rest, _ := strings.Cut(readFile(t, file), `class="verdict `)
		sign, _, _ := strings.Cut(rest, `"`)
		if seen[sign] {
			continue
		}
		seen[sign] = true
		word := strings.ToUpper(strings.ReplaceAll(sign, "-", " "))
		if sign == "cover" {
			word = "COVER"
		}
		w.basisOnPaper(file, "Quillon Paper Mill (invented)", 3, word, "ARC FLASH AND SHOCK HAZARD", "RIESGO DE ARCO ELÉCTRICO", spanish(t, file))
	}
	if len(seen) < 5 {
		t.Errorf("only labels that are %v", seen)
	}
}

// spanish is the first text in Spanish above the label on a page: where the equipment is.
func spanish(t *testing.T, file string) string {
	t.Helper()
	_, text, ok := strings.Cut(readFile(t, file), `<p class="where said" lang="es">`)
	if text, _, _ = strings.Cut(text, "</p>"); !ok {
		t.Fatal(file, "has no Spanish")
	}
	return html.UnescapeString(strings.ReplaceAll(text, "<br>", " "))
}

// cased gives a location several operating conditions, and their names.
func (p *plant) cased(t *testing.T, location string, n int) (names []string) {
	t.Helper()
	file := filepath.Join(p.dir, "locations.csv")
	rows, err := csv.NewReader(strings.NewReader(readFile(t, file))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	id, name := slices.Index(rows[0], "id"), slices.Index(rows[0], "case")
	at := slices.IndexFunc(rows, func(r []string) bool { return r[id] == location })
	for i := range n {
		row := slices.Clone(rows[at])
		row[name] = fmt.Sprintf("Condition %d", i+1)
		names, rows = append(names, row[name]), append(rows, row)
	}
	var b strings.Builder
	if err := csv.NewWriter(&b).WriteAll(slices.Delete(rows, at, at+1)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return names
}

func readFile(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
