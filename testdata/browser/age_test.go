package browser

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// clock makes the pages believe that it is noon of a day.
func (w *window) clock(year, month, day int) (undo func()) {
	var id page.ScriptIdentifier
	w.do(chromedp.ActionFunc(func(ctx context.Context) (err error) {
		id, err = page.AddScriptToEvaluateOnNewDocument(fmt.Sprintf(
			`{ const real = Date; Date = class extends real { constructor(...a) { if (a.length) super(...a); else super(%d, %d, %d, 12); } }; }`,
			year, month-1, day)).Do(ctx)
		return err
	}))
	return func() { w.do(page.RemoveScriptToEvaluateOnNewDocument(id)) }
}

// A published page that was not checked for a week says so above its verdict, from a
// file too; one that was checked does not; one whose day is gone does. Without a script
// the day is there in words, with what to do if it is long ago.
func TestOutOfDate(t *testing.T) {
	p := newPlant(t, "mill")
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	labels, err := filepath.Glob(filepath.Join(public, "V", "*", "*", "index.html"))
	if err != nil || len(labels) < 10 {
		t.Fatal(err, labels)
	}
	w := open(t)
	shown := func() (yes bool) {
		w.eval(`document.querySelector(".stale").offsetHeight > 0`, &yes)
		return yes
	}
	for _, file := range []string{labels[0], filepath.Join(public, "index.html"), filepath.Join(public, "list", "1.html")} {
		for day, stale := range map[int]bool{1: false, 2: false, 9: false, 10: true, 30: true} {
			undo := w.clock(2026, 5, day)
			w.show("file://" + file)
			w.do(chromedp.WaitReady(`.stale[data-checked="`+today+`"]`, chromedp.ByQuery))
			if shown() != stale {
				t.Errorf("%s on 2026-05-%02d: out of date is %v", file, day, !stale)
			}
			undo()
		}
	}
	w.clean("file://" + public)
	undo := w.clock(2026, 6, 1)
	w.show("file://" + labels[0])
	w.do(chromedp.WaitVisible(".stale", chromedp.ByQuery))
	var first bool
	w.eval(`document.querySelector(".stale").getBoundingClientRect().bottom <= document.querySelector(".verdict").getBoundingClientRect().top`, &first)
	if got := w.text(".stale"); !first || !strings.Contains(got, "no check in the last 7 days is known") {
		t.Errorf("above the verdict is %q", got)
	}
	w.look("out-of-date")
	undo()

	w.do(emulation.SetScriptExecutionDisabled(true))
	w.show("file://" + public + "/checked.html")
	if got := w.text("main"); !strings.Contains(got, "Last checked: 2026-05-02 (May 2, 2026)") || !strings.Contains(got, "If this is long ago, do not rely on it.") {
		t.Errorf("the small page says %q", got)
	}
	for _, x := range []int64{320, 390, 820} {
		w.size(x, 844)
		w.show("file://" + labels[0])
		w.look(fmt.Sprintf("no-script-%d", x))
	}
	w.do(emulation.SetScriptExecutionDisabled(false))

	if err := os.Remove(filepath.Join(public, "checked.html")); err != nil {
		t.Fatal(err)
	}
	undo = w.clock(2026, 5, 2)
	w.show("file://" + labels[0])
	w.do(chromedp.WaitVisible(".stale", chromedp.ByQuery))
	undo()
}

// On paper too the picture of a label that does not hold is overprinted.
func TestOverprintOnPaper(t *testing.T) {
	need(t, "pdftotext")
	p := newPlant(t, "mill")
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	labels, err := filepath.Glob(filepath.Join(public, "V", "*", "*", "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	w, void := open(t), map[bool]int{}
	for _, file := range labels {
		w.show("file://" + file)
		var pdf []byte
		w.do(chromedp.ActionFunc(func(ctx context.Context) (err error) {
			pdf, _, err = page.PrintToPDF().Do(ctx)
			return err
		}))
		paper := filepath.Join(t.TempDir(), "page.pdf")
		if err := os.WriteFile(paper, pdf, 0o644); err != nil {
			t.Fatal(err)
		}
		printed := strings.Join(strings.Fields(run(t, "pdftotext", "-raw", paper, "-")), " ")
		bad := strings.Contains(printed, "Do not use this label. Treat the equipment as energized.")
		void[bad]++
		if over := strings.Contains(printed, "DO NOT RELY ON THE LABEL"); over != bad {
			t.Errorf("%s: overprinted is %v", file, over)
		}
	}
	if void[true] < 4 || void[false] < 4 {
		t.Error(void)
	}
}
