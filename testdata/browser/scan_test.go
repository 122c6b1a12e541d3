package browser

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// picture is a photo of a printed label.
func picture(t *testing.T, p *plant, sheet int) (file string) {
	t.Helper()
	at, n := filepath.Join(t.TempDir(), "label"), fmt.Sprint(sheet)
	run(t, "pdftoppm", "-r", "110", "-jpeg", "-f", n, "-l", n, "-singlefile", p.pdf, at)
	return at + ".jpg"
}

// film is what a camera sees that is held before it: pictures one after the other.
func film(t *testing.T, p *plant, sheet int) (file string) {
	t.Helper()
	data, err := os.ReadFile(picture(t, p, sheet))
	if err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "camera.mjpeg")
	if err := os.WriteFile(file, bytes.Repeat(data, 30), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// camera is a browser whose camera shows a film.
func camera(film string) []chromedp.ExecAllocatorOption {
	return []chromedp.ExecAllocatorOption{chromedp.Flag("use-fake-device-for-media-stream", true),
		chromedp.Flag("use-fake-ui-for-media-stream", true), chromedp.Flag("use-file-for-fake-video-capture", film)}
}

// A planner holds a printed label in front of the camera, or chooses a photo of one, and is on its
// page. The camera is a film of a rendered label.
func TestScan(t *testing.T) {
	need(t, "pdftoppm", "zbarimg")
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	tmp := t.TempDir()
	_, path, _ := strings.Cut(p.scan(t, 3), "/V/")
	url := p.serve(t)
	public := filepath.Join(tmp, "public")
	p.call(t, "publish", public)
	w := open(t, camera(film(t, p, 3))...)
	w.phone()
	wait := func(path string) {
		t.Helper()
		var at string
		if w.do(chromedp.WaitVisible(".verdict", chromedp.ByQuery), chromedp.Location(&at)); !strings.Contains(at, "/V/"+path) {
			t.Fatalf("the code of %s leads to %s", path, at)
		}
	}
	w.show(url + "/")
	w.press(".camera")
	wait(path)

	w.show(url + "/")
	nothing := filepath.Join(tmp, "nothing.png")
	run(t, "convert", "-size", "300x300", "xc:white", nothing)
	w.do(chromedp.SetUploadFiles(".scan input", []string{nothing}), chromedp.Poll(`document.querySelector(".scan [role=status]").textContent.startsWith("No QR code")`, nil))
	w.do(chromedp.SetUploadFiles(".scan input", []string{picture(t, p, 3)}))
	wait(path)

	// A file has no worker; the search of a published page needs no server.
	w.show("file://" + public + "/index.html")
	w.do(chromedp.SetUploadFiles(".scan input", []string{picture(t, p, 3)}))
	wait(path)

	// A browser may have a reader of its own: one that works, one for other codes only, one that cannot be
	// made, and one whose service is missing, as where a phone lacks part of its system. Nobody may notice.
	const own = `window.BarcodeDetector = class { static async getSupportedFormats() { return ["qr_code"]; } %s }`
	for _, one := range []struct{ name, script string }{
		{"works", fmt.Sprintf(own, `async detect() { window.name = "own"; return [{rawValue: "`+link+"/V/"+path+`"}]; }`)},
		{"reads other codes", `window.BarcodeDetector = class { static async getSupportedFormats() { return ["ean_13"]; } }`},
		{"is not made", fmt.Sprintf(own, `constructor() { throw new TypeError("not here"); }`)},
		{"rejects", fmt.Sprintf(own, `async detect() { throw new DOMException("Barcode detection service unavailable.", "NotSupportedError"); }`)},
	} {
		w.do(chromedp.ActionFunc(func(ctx context.Context) error {
			_, err := page.AddScriptToEvaluateOnNewDocument("if (!location.pathname.startsWith('/V/')) window.name = '';" + one.script).Do(ctx) // the latest one counts
			return err
		}))
		for _, how := range []string{"photo", "camera"} {
			w.show(url + "/")
			if how == "camera" {
				w.do(chromedp.Click(".camera", chromedp.ByQuery))
			} else {
				w.do(chromedp.SetUploadFiles(".scan input", []string{picture(t, p, 3)}))
			}
			if at, said := w.scanned(); !strings.Contains(at, "/V/"+path) {
				t.Errorf("a reader that %s, %s: the page is %s and says %q", one.name, how, at, said)
			}
			var used string
			if w.eval(`window.name`, &used); (used == "own") != (one.name == "works") {
				t.Errorf("a reader that %s, %s: read by %q", one.name, how, used)
			}
		}
	}
}

// scanned waits until a scan has led elsewhere, or the page says that it failed.
func (w *window) scanned() (at, said string) {
	const patience = time.Minute
	for start := time.Now(); time.Since(start) < patience; time.Sleep(50 * time.Millisecond) {
		if chromedp.Run(w, chromedp.Location(&at)) == nil && strings.Contains(at, "/V/") {
			w.do(chromedp.WaitReady(".verdict", chromedp.ByQuery))
			return at, ""
		}
		failed := `(s => /^(No QR|This photo|The camera)/.test(s.textContent) ? s.textContent : "")(document.querySelector(".scan [role=status]"))`
		if chromedp.Run(w, chromedp.Evaluate(failed, &said)) == nil && said != "" {
			return at, said
		}
	}
	return at, "nothing"
}
