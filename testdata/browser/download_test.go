package browser

import (
	"context"
	"os"
	"path/filepath"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
)

// download returns the bytes of the file that a click downloads.
func (w *window) download(dir string, click func()) []byte {
	w.t.Helper()
	done := make(chan string, 1)
	chromedp.ListenTarget(w, func(e any) {
		if p, ok := e.(*browser.EventDownloadProgress); ok && p.State == browser.DownloadProgressStateCompleted {
			select {
			case done <- p.GUID:
			default:
			}
		}
	})
	w.do(browser.SetDownloadBehavior(browser.SetDownloadBehaviorBehaviorAllowAndName).WithDownloadPath(dir).WithEventsEnabled(true))
	click()
	select {
	case name := <-done:
		data, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			w.t.Fatal(err)
		}
		return data
	case <-w.Done():
		w.t.Fatal("nothing was downloaded:", context.Cause(w))
		return nil
	}
}
