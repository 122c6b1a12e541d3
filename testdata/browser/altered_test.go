package browser

import (
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// A web server of files cannot compare a label with its record: an altered label has no page there. The page shown
// instead leads to what the label must say, where the code is one of this site, and nowhere else.
func TestPublishedAltered(t *testing.T) {
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	public, labels := p.published(t)
	missing := readFile(t, filepath.Join(public, "404.html"))
	files := http.FileServer(http.Dir(public))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, err := os.Stat(filepath.Join(public, filepath.FromSlash(r.URL.Path))); err == nil {
			files.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(http.StatusNotFound)
		w.Write([]byte(missing))
	}))
	defer server.Close()
	code := filepath.Base(filepath.Dir(filepath.Dir(labels[0])))
	facts := filepath.Base(filepath.Dir(labels[0]))
	w := open(t)
	w.show(server.URL + "/V/" + code + "/" + strings.Replace(facts, "CAL", "0CAL", 1))
	w.do(chromedp.WaitVisible("main a", chromedp.ByQuery))
	if got := w.text("main"); !strings.Contains(got, "No such page") {
		t.Errorf("an altered label shows %q", got)
	}
	w.press("main a")
	if got := w.text(".place"); got != code {
		t.Errorf("it leads to %q", got)
	}
	w.press(`a[href*="` + facts[:8] + `"]`)
	if got := w.text(".verdict h1"); !strings.HasPrefix(got, "HOLDS until") {
		t.Errorf("that leads to %q", got)
	}
	w.show(server.URL + "/V/0000-0000-0000-0000/X-1.1CAL")
	w.do(chromedp.Evaluate(`fetch("/V/0000-0000-0000-0000/index.html", {method: "HEAD"}).then(() => new Promise(done => setTimeout(done, 300)))`, nil))
	var links int
	if w.eval(`document.querySelectorAll("main a").length`, &links); links != 0 {
		t.Errorf("a code of no label has %d links", links)
	}
}
