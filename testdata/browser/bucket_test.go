package browser

import (
	"bufio"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// A scanned link leads to the label's page in a bucket of a real S3 server, in Chromium: with its style and the day of
// the last check. An altered label is told, a page that was altered in the bucket is right again after the next
// publishing.
func TestBucket(t *testing.T) {
	dir := t.TempDir()
	buckets := filepath.Join(dir, "buckets")
	folder := filepath.Join(buckets, "labels")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	server := filepath.Join(dir, "serve")
	run(t, "go", "build", "-C", filepath.Join("..", "store"), "-o", server, "./serve")
	s := exec.Command(server, buckets)
	out, err := s.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Process.Kill(); s.Wait() })
	endpoint := ""
	for lines := bufio.NewScanner(out); endpoint == "" && lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "http://") {
			endpoint = lines.Text()
		}
	}
	for name, value := range map[string]string{"AWS_ACCESS_KEY_ID": "tester", "AWS_SECRET_ACCESS_KEY": "secretsecret", "AWS_REGION": "us-east-1"} {
		t.Setenv(name, value)
	}
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	publish := func() string {
		return string(run(t, p.program, "publish", "s3://labels?prefix=PLANT/&use_path_style=true&endpoint="+endpoint, "--site", p.dir, "--today", today))
	}
	publish()
	// what anyone serves who serves the bucket
	pages := filepath.Join(folder, "PLANT")
	web := httptest.NewServer(http.FileServer(http.Dir(folder)))
	defer web.Close()
	labels, err := filepath.Glob(filepath.Join(pages, "V", "*", "*", "index.html"))
	if err != nil || len(labels) != 30 {
		t.Fatalf("%d labels, %v", len(labels), err)
	}
	facts := filepath.Base(filepath.Dir(labels[0]))
	code := filepath.Base(filepath.Dir(filepath.Dir(labels[0])))
	link := web.URL + "/PLANT/V/" + code + "/"
	w := open(t)
	w.phone()
	w.show(link + facts)
	holds := func() {
		t.Helper()
		if got := w.text(".verdict h1"); !strings.HasPrefix(got, "HOLDS until") {
			t.Errorf("the label's page says %q", got)
		}
	}
	holds()
	var day, ground string
	w.eval(`new Promise(done => { const of = () => { const d = document.querySelector("iframe.day"); d && d.contentDocument && d.contentDocument.querySelector("time") ? done(d.contentDocument.body.textContent) : setTimeout(of, 50); }; of(); })`, &day)
	w.eval(`getComputedStyle(document.querySelector(".verdict")).backgroundColor`, &ground)
	if !strings.Contains(day, today) || ground != "rgb(18, 64, 44)" {
		t.Errorf("the day %q, on %s", day, ground)
	}
	w.look("bucket")
	w.clean(web.URL + "/PLANT/")

	// an altered label
	w.show(link + strings.Replace(facts, "CAL", "0CAL", 1))
	if got := w.text("body"); !strings.Contains(got, "404") {
		t.Errorf("an altered label shows %q", got)
	}
	w.show(link)
	w.do(chromedp.WaitVisible(".place", chromedp.ByQuery))

	// an altered page
	text := readFile(t, labels[0])
	if err := os.Remove(labels[0]); err != nil { // with what the server keeps of it
		t.Fatal(err)
	}
	if err := os.WriteFile(labels[0], []byte(strings.ReplaceAll(text, "HOLDS until", "HOLDS for ever")), 0o644); err != nil {
		t.Fatal(err)
	}
	w.show(link + facts)
	if got := w.text(".verdict h1"); !strings.HasPrefix(got, "HOLDS for ever") {
		t.Fatalf("the page was not altered: %q", got)
	}
	if said := publish(); !strings.Contains(said, "altered") {
		t.Errorf("publishing says %q", said)
	}
	w.show(link + facts + "/?again") // this web server counts whole seconds, and may say that nothing changed
	holds()
}
