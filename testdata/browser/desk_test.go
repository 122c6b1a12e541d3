package browser

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A desk scanner types the text of a code and presses Enter, whatever page is shown and with the focus
// nowhere. Nobody touches the page before, in this whole test.
func TestDeskScanner(t *testing.T) {
	need(t, "pdftoppm", "zbarimg")
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	code := p.scan(t, 3)
	_, path, _ := strings.Cut(code, "/V/")
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	other, err := filepath.Glob(filepath.Join(public, "V", "*", "STM-MC10-*", "index.html"))
	if err != nil || len(other) != 1 {
		t.Fatal(err, other)
	}
	label, _ := filepath.Rel(public, other[0])
	url := p.serve(t, "--allow-writes")
	w := open(t)
	w.size(1280, 800)
	leads := func(from, want string) {
		t.Helper()
		const patience = 30 * time.Second
		var at, place string
		for start := time.Now(); time.Since(start) < patience; time.Sleep(50 * time.Millisecond) {
			if chromedp.Run(w, chromedp.Location(&at), chromedp.Evaluate(`document.querySelector(".place")?.textContent || ""`, &place)) == nil && strings.Contains(at, "/V/"+want) && place != "" {
				return
			}
		}
		t.Errorf("what is typed on %s leads to %s", from, at)
	}
	short, _, _ := strings.Cut(path, "/") // the code alone takes a tenth of the keys
	for i, from := range []string{url + "/plant/", "file://" + other[0], url + "/", url + "/?q=chn", url + "/" + strings.TrimSuffix(label, "index.html"), url + "/change/", "file://" + public + "/index.html"} {
		w.show(from)
		if i < 2 {
			w.typed(code + kb.Enter)
		} else {
			w.typed(short + kb.Enter)
		}
		leads(from, path)
	}

	// What a page does not know stays on it, and the next scan replaces it.
	w.show("file://" + public + "/index.html")
	w.typed("0000-0000-0000-0000" + kb.Enter)
	w.do(chromedp.WaitVisible("#unknown", chromedp.ByQuery))
	w.typed(short + kb.Enter)
	leads("a page with an unknown code", path)

	stays := func(what, from string, want string) {
		t.Helper()
		var at string
		w.do(chromedp.Sleep(300*time.Millisecond), chromedp.Location(&at))
		if !strings.HasSuffix(at, want) {
			t.Errorf("%s on %s leads to %s", what, from, at)
		}
	}
	// A space scrolls, keys with Ctrl are the browser's, letters that somebody typed long ago are dropped.
	w.show(url + "/list/1.html")
	w.typed(" ")
	const patience = 10 * time.Second
	down := 0.0
	for start := time.Now(); down == 0 && time.Since(start) < patience; time.Sleep(50 * time.Millisecond) {
		w.eval("scrollY", &down)
	}
	if down == 0 {
		t.Error("a space does not scroll")
	}
	w.do(chromedp.KeyEvent("c", chromedp.KeyModifiers(2)), chromedp.KeyEvent(kb.Enter))
	stays("Ctrl with a letter", "the list", "/list/1.html")
	w.typed("chn")
	if got := w.text(".desk"); got != "Enter finds: chn" {
		t.Errorf("what was typed shows as %q", got)
	}
	w.do(chromedp.WaitNotVisible(".desk", chromedp.ByQuery), chromedp.KeyEvent(kb.Enter))
	stays("Enter after a pause", "the list", "/list/1.html")
	// Enter on a link follows it.
	w.typed("x" + kb.Tab)
	w.enter()
	stays("Enter on the first link", "the list", "/list/1.html#main")
	// What an input method composes is not typed by a scanner.
	w.show(url + "/due/")
	w.eval(`["n", "i"].forEach(k => document.body.dispatchEvent(new KeyboardEvent("keydown", {key: k, bubbles: true, cancelable: true, isComposing: true}))), 0`, nil)
	w.do(chromedp.KeyEvent(kb.Enter))
	stays("composed text", "Due", "/due/")
	// A form that somebody fills in is not left, nor is a field robbed of its keys.
	w.show(url + "/change/")
	w.tab("#at")
	w.typed("chn")
	var at string
	if w.eval(`document.getElementById("at").value`, &at); at != "chn" {
		t.Errorf("a field has %q", at)
	}
	w.eval(`document.activeElement.blur(), 0`, nil)
	w.typed(short + kb.Enter)
	stays("a scan", "a form that was started", "/change/")
	w.clean("")
}
