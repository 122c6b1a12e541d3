package browser

import (
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// exact serves the files of a folder under exactly their keys, below a path: no index file, no redirect.
type exact struct {
	dir, below  string
	mu          sync.Mutex
	gave, lacks []string
}

func (e *exact) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	key, ok := strings.CutPrefix(r.URL.Path, e.below)
	data, err := os.ReadFile(filepath.Join(e.dir, filepath.FromSlash(key)))
	e.mu.Lock()
	defer e.mu.Unlock()
	if !ok || err != nil {
		if !strings.HasSuffix(key, "favicon.ico") {
			e.lacks = append(e.lacks, r.URL.Path)
		}
		http.NotFound(w, r)
		return
	}
	e.gave = append(e.gave, key)
	kind := "text/html; charset=utf-8"
	for ending, other := range map[string]string{".css": "text/css", ".js": "text/javascript", ".json": "application/json", ".ttf": "font/ttf", ".woff2": "font/woff2"} {
		if strings.HasSuffix(key, ending) {
			kind = other
		}
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Security-Policy", "default-src 'self'")
	w.Header().Set("X-Content-Type-Options", "nosniff")
	w.Write(data)
}

// In a store that serves exact keys alone, a scanned link leads to its page with style and day; the search, the
// camera and the lists lead to pages of labels as they do with index files.
func TestBare(t *testing.T) {
	need(t, "pdftoppm", "zbarimg")
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	tmp := t.TempDir()
	p.call(t, "publish", filepath.Join(tmp, "public"))
	store := &exact{dir: filepath.Join(tmp, "store"), below: "/plants/7/"}
	run(t, "go", "-C", filepath.Join("..", ".."), "run", "./label/basis/publish/bare/testdata/lay", filepath.Join(tmp, "public"), store.dir)
	server := httptest.NewServer(store)
	defer server.Close()
	url := server.URL + store.below
	scanned := p.scan(t, 3)
	path, ok := strings.CutPrefix(scanned, link+"/")
	if !ok {
		t.Fatalf("the QR code says %q", scanned)
	}
	w := open(t, camera(film(t, p, 3))...)
	at := func(want string) {
		t.Helper()
		var at string
		if w.do(chromedp.WaitVisible(".verdict", chromedp.ByQuery), chromedp.Location(&at)); at != url+want {
			t.Errorf("%s is shown, not %s", at, want)
		}
	}
	w.show(url + path)
	at(path)
	if got := w.text(".verdict h1"); !strings.HasPrefix(got, "HOLDS until 2031-") {
		t.Errorf("the verdict is %q", got)
	}
	w.do(chromedp.Poll(`document.querySelector(".stale").dataset.checked === "`+today+`"`, nil)) // the framed page told its day
	var day, face string
	w.eval(`document.querySelector("iframe.day").contentDocument.body.textContent`, &day)
	w.eval(`document.fonts.ready.then(() => Array.from(document.fonts).filter(f => f.status === "loaded").map(f => f.family).join() + getComputedStyle(document.querySelector(".verdict")).display)`, &face)
	if !strings.Contains(day, today) || !strings.Contains(face, "Roboto Condensed") || !strings.HasSuffix(face, "flex") && !strings.HasSuffix(face, "grid") {
		t.Errorf("the page has the day %q and the style %q", day, face)
	}
	w.look("bare-label-390")
	var code string
	w.eval(`fetch(document.querySelector('a[href$=".json"]').href).then(a => a.json()).then(j => j.code)`, &code)
	if code == "" || !strings.Contains(path, code) {
		t.Errorf("the data of the page are those of %q", code)
	}

	w.show(url + "index.html?q=sepmc2")
	w.do(chromedp.WaitVisible(".place", chromedp.ByQuery))
	if got := w.text(".place"); got != "SEP-MC2" {
		t.Errorf("the search leads to %q", got)
	}
	w.show(url + "index.html")
	w.do(chromedp.SendKeys("#q", "churn hall", chromedp.ByQuery), chromedp.WaitVisible("#found", chromedp.ByQuery))
	w.look("bare-search-390")
	w.press("#found-rows a")
	w.show(url + "index.html")
	w.fill(map[string]string{"q": strings.Replace(scanned, "CAL", "0CAL", 1)})
	w.eval(`document.querySelector("form.find").requestSubmit(), 0`, nil)
	w.do(chromedp.WaitVisible("#differs", chromedp.ByQuery))
	w.press("#differs .must a")
	at(path)
	w.press(`nav a[href*="plant/"]`)
	w.fill(map[string]string{"at": "sepmc2"})
	w.eval(`document.querySelector("form.jump").requestSubmit(), 0`, nil)
	w.do(chromedp.Poll(`location.hash === "#at-SEP-MC2"`, nil))
	w.press("#at-SEP-MC2 a")

	w.show(url + "index.html")
	w.press(".camera")
	at(path)
	w.clean(url)
	store.mu.Lock()
	defer store.mu.Unlock()
	if gave := strings.Join(store.gave, " "); !strings.Contains(gave, "scan/decode.") || !strings.Contains(gave, "scan/jsqr.") {
		t.Errorf("the camera loads no reader: %s", gave)
	}
	if len(store.lacks) > 0 {
		t.Errorf("these are not there: %v", store.lacks)
	}
}
