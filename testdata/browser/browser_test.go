// Package browser shows the published and the served pages in a real browser, follows
// a QR code from a rendered label to its page, and checks every kind of page with
// axe-core, an accessibility checker (WCAG 2.2, level AA). Run it by name:
//
//	cd testdata/browser && go test .
//
// It needs chromium, poppler-utils, zbar-tools and npm, or axe-core in the folder
// VOUCHMARK_AXE. Without them it skips, unless VOUCHMARK_PROGRAMS=must is set. With
// LOOK=DIR it leaves a screenshot of each page there.
package browser

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

const (
	link  = "HTTPS://LABELS.EXAMPLE.ORG"
	today = "2026-05-02"
)

// hang is the time after which the browser counts as stuck: far longer than a busy
// machine needs for everything that one window does.
const hang = 15 * time.Minute

func need(t *testing.T, programs ...string) {
	t.Helper()
	for _, p := range programs {
		if _, err := exec.LookPath(p); err != nil {
			missing(t, p+" is not installed")
		}
	}
}

func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("VOUCHMARK_PROGRAMS") == "must" {
		t.Fatal(what)
	}
	t.Skip(what)
}

func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	var stderr bytes.Buffer
	c := exec.Command(name, args...)
	c.Stderr = &stderr
	out, err := c.Output()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s%s", name, strings.Join(args, " "), err, out, &stderr)
	}
	return string(out)
}

// plant is an invented site whose labels were printed.
type plant struct{ program, dir, pdf string }

func newPlant(t *testing.T, sample string) *plant {
	t.Helper()
	tmp := t.TempDir()
	p := &plant{filepath.Join(tmp, "vouchmark"), filepath.Join(tmp, "site"), filepath.Join(tmp, "labels.pdf")}
	root := filepath.Join("..", "..")
	run(t, "go", "-C", root, "build", "-o", p.program, ".")
	run(t, "cp", "-r", filepath.Join(root, "samples", sample), p.dir)
	if sample == "creamery" { // whoever tried the sample has printed there
		run(t, "rm", "-rf", filepath.Join(p.dir, "ledger.jsonl"), filepath.Join(p.dir, "records"))
	}
	return p
}

func (p *plant) call(t *testing.T, args ...string) string {
	t.Helper()
	return run(t, p.program, append(args, "--site", p.dir, "--today", today)...)
}

// scan reads the QR code of a page of the labels, as a phone would.
func (p *plant) scan(t *testing.T, sheet int) string {
	t.Helper()
	png := filepath.Join(t.TempDir(), "label")
	n := fmt.Sprint(sheet)
	run(t, "pdftoppm", "-r", "200", "-png", "-f", n, "-l", n, "-singlefile", p.pdf, png)
	return strings.TrimSpace(run(t, "zbarimg", "-q", "--raw", png+".png"))
}

// serve runs the server until the test ends.
func (p *plant) serve(t *testing.T, args ...string) string {
	t.Helper()
	c := exec.Command(p.program, append([]string{"serve", "--site", p.dir, "--today", today, "--addr", "127.0.0.1:0"}, args...)...)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	c.Stderr = &said
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		c.Process.Signal(os.Interrupt)
		if err := c.Wait(); err != nil {
			t.Errorf("serve did not end properly: %v\n%s", err, &said)
		}
	})
	line, _ := bufio.NewReader(out).ReadString('\n')
	url, _, ok := strings.Cut(line, " shows ")
	if !ok {
		t.Fatalf("serve says %q", line)
	}
	return strings.TrimSuffix(url, "/")
}

// window is a browser window that records what went wrong in it.
type window struct {
	context.Context
	t      *testing.T
	mu     sync.Mutex
	faults []string
	asked  []string // addresses that were requested
}

func open(t *testing.T, more ...chromedp.ExecAllocatorOption) *window {
	t.Helper()
	need(t, "chromium")
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath("chromium"), chromedp.NoSandbox, chromedp.WSURLReadTimeout(hang), chromedp.Flag("headless", "new"))
	options = append(options, more...)
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, end := context.WithTimeout(ctx, hang)
	ctx, done := chromedp.NewContext(ctx, chromedp.WithErrorf(quiet))
	t.Cleanup(func() {
		chromedp.Cancel(ctx) // waits until the browser has ended
		done()
		end()
		cancel()
	})
	w := &window{Context: ctx, t: t}
	chromedp.ListenTarget(ctx, func(e any) {
		w.mu.Lock()
		defer w.mu.Unlock()
		switch e := e.(type) {
		case *log.EventEntryAdded: // what the browser itself refuses or does not find
			if e.Entry.Level == log.LevelError && !strings.HasSuffix(e.Entry.URL, "/favicon.ico") {
				w.faults = append(w.faults, e.Entry.Text+" "+e.Entry.URL)
			}
		case *runtime.EventExceptionThrown:
			w.faults = append(w.faults, e.ExceptionDetails.Error())
		case *runtime.EventConsoleAPICalled:
			w.faults = append(w.faults, fmt.Sprintf("console %s", e.Type))
		case *network.EventRequestWillBeSent:
			w.asked = append(w.asked, e.Request.URL)
		}
	})
	w.do(network.Enable(), runtime.Enable(), log.Enable())
	w.phone()
	return w
}

// quiet leaves out what the browser reports and this library does not know yet.
func quiet(text string, args ...any) {
	if said := fmt.Sprintf(text, args...); !strings.Contains(said, "unhandled node event") {
		fmt.Fprintln(os.Stderr, said)
	}
}

func (w *window) do(actions ...chromedp.Action) {
	w.t.Helper()
	if err := chromedp.Run(w, actions...); err != nil {
		w.t.Fatal(err)
	}
}

func (w *window) size(x, y int64) { w.do(chromedp.EmulateViewport(x, y)) }
func (w *window) phone()          { w.size(390, 844) }

func (w *window) show(url string) {
	w.t.Helper()
	w.do(chromedp.Navigate(url), chromedp.WaitReady("body"))
}

// fill writes into the fields of the form that is shown.
func (w *window) fill(fields map[string]string) {
	w.t.Helper()
	for name, value := range fields {
		w.eval(fmt.Sprintf("document.querySelector('[name=%s]').value = %q, 0", name, value), nil)
	}
}

// press presses a button and waits for the page that it leads to.
func (w *window) press(selector string) {
	w.t.Helper()
	if _, err := chromedp.RunResponse(w, chromedp.Click(selector, chromedp.ByQuery)); err != nil {
		w.t.Fatalf("pressing %s: %v", selector, err)
	}
	w.do(chromedp.WaitReady("main", chromedp.ByQuery))
}

func (w *window) text(selector string) (text string) {
	w.t.Helper()
	w.do(chromedp.Text(selector, &text, chromedp.ByQuery))
	return text
}

func (w *window) eval(script string, into any) {
	w.t.Helper()
	w.do(chromedp.Evaluate(script, into, func(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }))
}

// clean fails if a script failed or the page requested anything from elsewhere.
func (w *window) clean(prefix string) {
	w.t.Helper()
	w.mu.Lock()
	defer w.mu.Unlock()
	if len(w.faults) > 0 {
		w.t.Errorf("the page complains: %v", w.faults)
	}
	for _, url := range w.asked {
		if !strings.HasPrefix(url, prefix) && !strings.HasPrefix(url, "data:") && !strings.HasSuffix(url, "/favicon.ico") {
			w.t.Errorf("the page asks for %s", url)
		}
	}
	w.faults, w.asked = nil, nil
}

// look leaves a screenshot of the page for a person.
func (w *window) look(name string) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		return
	}
	var png []byte
	w.do(chromedp.FullScreenshot(&png, 100))
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644); err != nil {
		w.t.Fatal(err)
	}
}

// A person scans a label with a phone and reads the published page: from a file, without
// any network and without a script.
func TestPublished(t *testing.T) {
	need(t, "pdftoppm", "zbarimg")
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	scanned := p.scan(t, 3)
	path, ok := strings.CutPrefix(scanned, link+"/V/")
	if !ok {
		t.Fatalf("the QR code says %q", scanned)
	}
	w := open(t)
	w.show("file://" + public + "/V/" + path + "/index.html")
	if got := w.text(".verdict h1"); !strings.HasPrefix(got, "HOLDS until 2031-") {
		t.Errorf("the verdict is %q", got)
	}
	if id, _, _ := strings.Cut(path, "/"); !strings.Contains(w.text("main"), id) {
		t.Error("the page does not name the code")
	}
	w.look("published-phone")
	w.show("file://" + public + "/checked.html")
	if got := w.text("main"); !strings.Contains(got, today) {
		t.Errorf("the small file says %q", got)
	}
	w.show("file://" + public + "/index.html")
	for query, want := range map[string]string{"sep-mc2": "SEP-MC2", "churn hall": "CHN-MC3", "raw milk pump": "RAW-DS1", strings.ToLower(path[:9]): path[:9], "no such thing": "0 found"} {
		w.fill(map[string]string{"q": ""})
		w.do(chromedp.SendKeys("#q", query, chromedp.ByQuery), chromedp.WaitVisible("#found", chromedp.ByQuery))
		if got := w.text("#found"); !strings.Contains(got, want) {
			t.Errorf("a search for %q finds %q", query, got)
		}
	}
	w.clean("file://" + public)

	w.do(emulation.SetScriptExecutionDisabled(true))
	w.show("file://" + public + "/list/1.html")
	if got := w.text("main"); !strings.Contains(got, "STM-MC10") || !strings.Contains(got, "holds until") {
		t.Errorf("without a script the list says %q", got)
	}
	w.press(`a[href*="STM-MC10"]`)
	if got := w.text(".place"); got != "STM-MC10" {
		t.Errorf("the list leads to %q", got)
	}
	w.clean("file://" + public)
	var pdf []byte
	w.do(chromedp.ActionFunc(func(ctx context.Context) (err error) {
		pdf, _, err = page.PrintToPDF().Do(ctx)
		return err
	}))
	file := filepath.Join(t.TempDir(), "page.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	printed := run(t, "pdftotext", "-layout", file, "-")
	for _, want := range []string{"HOLDS until", "What the label says", "IEEE 1584-2018", "SHA-256", "For qualified persons only"} {
		if !strings.Contains(printed, want) {
			t.Errorf("on paper the page lacks %q", want)
		}
	}
}

// A planner reads the same page from the server, logs a change, and reprints a damaged
// label.
func TestServed(t *testing.T) {
	need(t, "pdftoppm", "zbarimg")
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	path := strings.TrimPrefix(p.scan(t, 3), link)
	id := regexp.MustCompile(`/([A-Z]+-[A-Z]*\d+)-2026`).FindStringSubmatch(path)[1]
	before := filepath.Join(t.TempDir(), "before")
	run(t, "cp", "-r", p.dir, before)
	url := p.serve(t, "--allow-writes")
	w := open(t)
	w.show(url + path)
	if got := w.text(".verdict h1"); !strings.HasPrefix(got, "HOLDS until") {
		t.Errorf("the verdict is %q", got)
	}
	energy := regexp.MustCompile(`-([\d.]+)CAL-`)
	w.show(url + energy.ReplaceAllString(path, "-0.1CAL-"))
	if got := w.text("main"); !strings.Contains(got, "DIFFERS from its record") || !strings.Contains(got, "Incident energy: label 0.1CAL, record") {
		t.Errorf("of an altered label the page says %.200q", got)
	}
	w.show(url + "/?q=" + id)
	if got := w.text(".place"); got != id {
		t.Errorf("the search leads to %q", got)
	}
	w.show(url + "/?q=" + id[:len(id)-1])
	if got := w.text("main"); !strings.Contains(got, "found for") || !strings.Contains(got, id) {
		t.Errorf("the search finds %.200q", got)
	}

	// Print it again: the same bytes as the command's.
	w.show(url + path)
	down := t.TempDir()
	w.press(`a[href*="reprint/"]`)
	w.look("reprint")
	w.fill(map[string]string{"by": "A. Planner", "reason": "burnt"})
	w.press("form button")
	if got := w.text("main"); !strings.Contains(got, "printed by A. Planner") || !strings.Contains(got, "Mount the label of "+id) {
		t.Errorf("after the print the page says %.300q", got)
	}
	w.look("printed")
	pdf := w.download(down, func() { w.do(chromedp.Click(`a[href$=".pdf"]`, chromedp.ByQuery)) })
	again := filepath.Join(t.TempDir(), "again.pdf")
	run(t, p.program, "reprint", id, "--site", before, "--today", today, "--out", again, "--by", "A. Planner", "--reason", "burnt")
	if want, err := os.ReadFile(again); err != nil || !bytes.Equal(pdf, want) || len(pdf) == 0 {
		t.Errorf("%v: the server's PDF has %d bytes, the command's %d, and they differ", err, len(pdf), len(want))
	}
	if ledger := read(t, p.dir, "ledger.jsonl"); ledger != read(t, before, "ledger.jsonl") {
		t.Error("the ledgers of the server and of the command differ")
	}

	// Log a change: shown before it is saved.
	logged := read(t, p.dir, "changes.toml")
	w.show(url + "/change/")
	w.fill(map[string]string{"at": id, "kind": "fuse replaced", "by": "A. Planner"})
	w.press("form button")
	if got := w.text("main"); !strings.Contains(got, id) || !strings.Contains(got, "in question") {
		t.Errorf("before it is saved the page says %.300q", got)
	}
	w.look("preview")
	if read(t, p.dir, "changes.toml") != logged {
		t.Error("the change was saved before it was confirmed")
	}
	w.press(`[name="save"]`)
	if got := read(t, p.dir, "changes.toml"); !strings.Contains(got, "fuse replaced") || !strings.Contains(got, "A. Planner") {
		t.Errorf("changes.toml holds %q", got)
	}
	w.show(url + path)
	if got := w.text(".verdict h1"); got != "IN QUESTION since "+today {
		t.Errorf("after the change the verdict is %q", got)
	}
	var offered int
	w.eval(`document.querySelectorAll('a[href*="reprint/"]').length`, &offered)
	if offered > 0 {
		t.Error("the page of a label in question offers to print it again")
	}
	w.show(url + "/reprint/?code=" + strings.Split(path, "/")[2])
	if got := w.text("main"); !strings.Contains(got, "in question since") {
		t.Errorf("the label is printed again although it is in question: %.300q", got)
	}
	w.clean(url)
}

func read(t *testing.T, dir, name string) string {
	data, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	return string(data)
}
