package browser

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
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
