package browser

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

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
}
