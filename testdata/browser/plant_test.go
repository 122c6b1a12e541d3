package browser

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// The tree of the plant: an id leads to its row, in files by the script and on a server by
// its address, also without scripts; the row is seen although its branch was closed.
func TestTree(t *testing.T) {
	p := newPlant(t, "mill")
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	url := p.serve(t)
	const id = "GATE-L4"
	seen := func(w *window, how string) {
		t.Helper()
		var top float64
		w.do(chromedp.Poll(`location.hash === "#at-`+id+`"`, nil))
		w.eval(`document.getElementById("at-`+id+`").getBoundingClientRect().top`, &top)
		if text := w.text("#at-" + id); !strings.Contains(text, id) || top < 0 || top > 844 {
			t.Errorf("%s: the row is at %v: %q", how, top, text)
		}
	}
	w := open(t)
	w.show("file://" + public + "/plant/index.html")
	w.eval(`document.querySelector("button[value='']").click(), 0`, nil)
	var open int
	w.eval(`document.querySelectorAll(".tree details[open]").length`, &open)
	if open != 0 {
		t.Errorf("%d branches are still open", open)
	}
	w.fill(map[string]string{"at": "gatel4"})
	w.do(chromedp.Click(".jump button", chromedp.ByQuery))
	seen(w, "by the script")
	w.fill(map[string]string{"at": "GATE"})
	w.do(chromedp.Click(".jump button", chromedp.ByQuery))
	if got := w.text(".jump .refusal"); !strings.Contains(got, "No location has this id") {
		t.Errorf("part of an id: %q", got)
	}
	w.clean("file://")
	for _, scripts := range []bool{true, false} {
		w.do(emulation.SetScriptExecutionDisabled(!scripts))
		w.show(url + "/list/1.html") // an anchor alone would not load the page again
		w.show(url + "/plant/?at=gatel4")
		seen(w, fmt.Sprintf("served, scripts %v", scripts))
		w.show(url + "/list/1.html")
		w.show("file://" + public + "/plant/trouble/index.html#at-" + id)
		seen(w, fmt.Sprintf("an anchor, scripts %v", scripts))
	}
}

// The basis of a label prints on at most three sheets. Each has the site, the location, the
// code and its number; the first has the verdict and what decides.
func TestPrintedBasis(t *testing.T) {
	need(t, "pdftotext")
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	labels, err := filepath.Glob(filepath.Join(public, "V", "*", "*", "index.html"))
	if err != nil || len(labels) < 10 {
		t.Fatal(err, labels)
	}
	w := open(t)
	for _, file := range labels {
		w.show("file://" + file)
		var pdf []byte
		w.do(chromedp.ActionFunc(func(ctx context.Context) (err error) {
			pdf, _, err = page.PrintToPDF().WithPreferCSSPageSize(true).Do(ctx)
			return err
		}))
		out := filepath.Join(t.TempDir(), "basis.pdf")
		if err := os.WriteFile(out, pdf, 0o644); err != nil {
			t.Fatal(err)
		}
		rel, _ := filepath.Rel(public, file)
		code := strings.Split(rel, string(filepath.Separator))[1]
		sheets := strings.Split(strings.TrimSuffix(run(t, "pdftotext", "-layout", out, "-"), "\f"), "\f")
		if len(sheets) > 3 {
			t.Errorf("%s: %d sheets", rel, len(sheets))
		}
		for i, text := range sheets {
			for _, want := range []string{"Brackwater Creamery (invented) · ", " · " + code, fmt.Sprintf("page %d of %d", i+1, len(sheets))} {
				if !strings.Contains(text, want) {
					t.Errorf("%s: sheet %d lacks %q", rel, i+1, want)
				}
			}
		}
		for _, want := range []string{"HOLDS until", "PPE", "Where each number comes from"} {
			if !strings.Contains(sheets[0], want) && !strings.Contains(sheets[0], "DANGER") {
				t.Errorf("%s: the first sheet lacks %q", rel, want)
			}
		}
	}
}
