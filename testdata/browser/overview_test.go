package browser

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
)

// Many plants on one page: readable on a phone, on a desktop and in the dark; it needs no script, and
// leads to the pages and to the search of each plant.
func TestOverview(t *testing.T) {
	source := axe(t)
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	mill, creamery := newPlant(t, "mill"), newPlant(t, "creamery")
	mill.call(t, "publish", at("mill"))
	creamery.call(t, "print", "--out", at("labels.pdf"))
	run(t, creamery.program, "publish", at("creamery"), "--site", creamery.dir, "--today", today)
	stale := []string{"overview", at("mill"), at("creamery"), at("none"), "--out", at("page"), "--today", "2027-01-31"}
	if out, err := exec.Command(mill.program, stale...).CombinedOutput(); err == nil {
		t.Errorf("a plant that cannot be read goes unnoticed:\n%s", out)
	}
	page := "file://" + at("page/index.html")
	open(t).fits(source, "overview", page)
	w := open(t) // axe-core itself asks for the style sheets, which a file may not
	w.size(1440, 900)
	w.show(page)
	w.look("overview-1440")
	w.dark(true)
	w.look("overview-dark")
	w.dark(false)
	w.clean("file://" + at("page"))
	for _, want := range []string{"cannot be read", "too long", "passed", "COVER: printed too low", "Heavy suit: 60", "1 of 3 plants cannot be read"} {
		if got := w.text("main"); !strings.Contains(got, want) {
			t.Errorf("the page does not say %q: %.400s", want, got)
		}
	}
	// an id of one plant, however it is typed, leads to that plant's label; one of none is told
	w.fill(map[string]string{"q": "reel p3"})
	w.click("#all")
	w.until(`document.querySelector("#may p") !== null`)
	if got := w.text("#may"); !strings.Contains(got, "Quillon Paper Mill") || strings.Contains(got, "Brackwater") {
		t.Errorf("found in %q", got)
	}
	w.look("overview-found")
	w.fill(map[string]string{"q": "nosuch-1"})
	w.click("#all")
	if got := w.text("#may"); !strings.Contains(got, "No plant has the id or code nosuch-1.") {
		t.Errorf("found %q", got)
	}
	w.do(emulation.SetScriptExecutionDisabled(true))
	w.show(page)
	w.do(emulation.SetScriptExecutionDisabled(false))
	w.fill(map[string]string{"q": "TX-S3"})
	w.press(`button[formaction*="/mill/"]`)
	if got := w.text("header"); !strings.Contains(got, "Quillon Paper Mill") {
		t.Errorf("Search leads to %q", got)
	}
	var asked string
	w.eval(`new URLSearchParams(location.search).get("q")`, &asked)
	if asked != "TX-S3" {
		t.Errorf("the plant is asked for %q", asked)
	}
}
