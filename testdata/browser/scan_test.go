package browser

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// A planner holds a printed label in front of the camera, or chooses a photo of one, and is on its
// page. The camera is a film of a rendered label.
func TestScan(t *testing.T) {
	need(t, "pdftoppm", "zbarimg")
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	tmp := t.TempDir()
	picture := func(sheet string) string {
		at := filepath.Join(tmp, "label"+sheet)
		run(t, "pdftoppm", "-r", "110", "-jpeg", "-f", sheet, "-l", sheet, "-singlefile", p.pdf, at)
		return at + ".jpg"
	}
	data, err := os.ReadFile(picture("3"))
	if err != nil {
		t.Fatal(err)
	}
	film := filepath.Join(tmp, "camera.mjpeg") // pictures one after the other
	if err := os.WriteFile(film, bytes.Repeat(data, 30), 0o644); err != nil {
		t.Fatal(err)
	}
	_, path, _ := strings.Cut(p.scan(t, 3), "/V/")
	url := p.serve(t)
	public := filepath.Join(tmp, "public")
	p.call(t, "publish", public)
	w := open(t, chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("use-fake-ui-for-media-stream", true),
		chromedp.Flag("use-file-for-fake-video-capture", film))
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
	w.do(chromedp.SetUploadFiles(".scan input", []string{picture("3")}))
	wait(path)

	// A file has no worker; the search of a published page needs no server.
	w.show("file://" + public + "/index.html")
	w.do(chromedp.SetUploadFiles(".scan input", []string{picture("3")}))
	wait(path)
}
