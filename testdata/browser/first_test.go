package browser

import (
	"context"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Whoever scans a label for the first time, in a basement, waits for at most 120 KB. The time until the
// verdict is painted at 400 ms and 50 KB/s is only logged: it depends on the machine.
func TestFirstScan(t *testing.T) {
	p := newPlant(t, "mill")
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	labels, err := filepath.Glob(filepath.Join(public, "V", "*", "*", "index.html"))
	if err != nil || len(labels) < 10 {
		t.Fatal(err, labels)
	}
	rel, _ := filepath.Rel(public, filepath.Dir(labels[0]))
	static := httptest.NewServer(http.FileServer(http.Dir(public)))
	defer static.Close()
	for name, url := range map[string]string{"published": static.URL, "served": p.serve(t)} {
		w := open(t)
		var mu sync.Mutex
		bytes, files := 0.0, 0
		chromedp.ListenTarget(w, func(e any) {
			if done, ok := e.(*network.EventLoadingFinished); ok {
				mu.Lock()
				bytes, files = bytes+done.EncodedDataLength, files+1
				mu.Unlock()
			}
		})
		w.do(network.EmulateNetworkConditions(false, 400, 50<<10, 50<<10))
		from := time.Now()
		w.do(chromedp.ActionFunc(func(ctx context.Context) error {
			_, _, _, _, err := page.Navigate(url + "/" + filepath.ToSlash(rel) + "/").Do(ctx)
			return err
		}), chromedp.WaitVisible(".verdict h1", chromedp.ByQuery))
		known := time.Since(from)
		var seen float64 // what a person sees; the verdict is in the page before the style sheet is
		w.eval(`new Promise(done => new PerformanceObserver(list => list.getEntriesByName("first-contentful-paint").forEach(e => done(e.startTime))).observe({type: "paint", buffered: true}))`, &seen)
		if seen < 400 { // one way and back takes that long
			t.Errorf("%s: seen after %.0f ms", name, seen)
		}
		w.do(chromedp.Poll(`document.readyState === "complete" && document.fonts.status === "loaded"`, nil))
		mu.Lock()
		t.Logf("%s: the verdict is seen after %.0f ms (in the page after %v); %.0f bytes in %d files", name, seen, known, bytes, files)
		if bytes < 30e3 || bytes > 120e3 {
			t.Errorf("%s: %.0f bytes", name, bytes)
		}
		mu.Unlock()
	}
}
