package browser

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// tab presses Tab until an element has the focus, which must also be seen.
func (w *window) tab(selector string) {
	w.t.Helper()
	const most = 90
	for range most {
		w.do(chromedp.KeyEvent(kb.Tab))
		var at bool
		w.eval(fmt.Sprintf(`document.activeElement.matches(%q)`, selector), &at)
		if at {
			w.focusShows(selector)
			return
		}
	}
	w.t.Fatalf("%s is not reached by %d times Tab", selector, most)
}

// focusShows checks that the element with the focus has an outline and is in view. A picture or a font
// that comes late moves the page under it for a moment; half a pixel out of view is in view.
func (w *window) focusShows(selector string) {
	w.t.Helper()
	const patience = 5 * time.Second
	var how string
	for start := time.Now(); time.Since(start) < patience; time.Sleep(50 * time.Millisecond) {
		w.eval(`(e => {
			const s = getComputedStyle(e), r = e.getBoundingClientRect();
			if (s.outlineStyle !== "none" && s.outlineWidth !== "0px" && r.top > -1 && r.bottom < innerHeight + 1) return "";
			return [s.outlineStyle, s.outlineWidth, "from", r.top, "to", r.bottom, "of", innerHeight].join(" ");
		})(document.activeElement)`, &how)
		if how == "" {
			return
		}
	}
	w.t.Errorf("it does not show that %s has the focus: %s", selector, how)
}

// enter presses Enter and waits for the page that it leads to.
func (w *window) enter() {
	w.t.Helper()
	if _, err := chromedp.RunResponse(w, chromedp.KeyEvent(kb.Enter)); err != nil {
		w.t.Fatal(err)
	}
	w.do(chromedp.WaitReady("main", chromedp.ByQuery))
}

func (w *window) typed(text string) { w.t.Helper(); w.do(chromedp.KeyEvent(text)) }

// Someone without a mouse logs a change, and prints a label again.
func TestKeyboard(t *testing.T) {
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	url := p.serve(t, "--allow-writes")
	w := open(t)
	w.size(1280, 800)
	w.show(url + "/")
	w.tab(`header a[href$="change/"]`)
	w.enter()
	w.tab("#at")
	w.typed("REP-TX3")
	w.tab("#kind")
	w.typed("fuse r") // a list takes the first letters
	w.tab("#by")
	w.typed("A. Planner")
	w.tab("form button")
	w.enter()
	if got := w.text("main"); !strings.Contains(got, "Nothing is saved yet") || !strings.Contains(got, "fuse replaced") {
		t.Fatalf("%q", got)
	}
	w.tab(`button[name="save"]`)
	w.enter()
	if got := w.text("main"); !strings.Contains(got, "The change is logged") {
		t.Fatalf("%q", got)
	}
	w.show(url + "/")
	w.tab("#q")
	w.typed("TUB-MC4")
	w.enter()
	w.tab(`a[href*="reprint/"]`)
	w.enter()
	w.tab("#by")
	w.typed("A. Planner")
	w.tab("#reason")
	w.typed("damaged")
	w.tab("form.sheet button")
	w.enter()
	if got := w.text("main"); !strings.Contains(got, "mark it installed") {
		t.Fatalf("%q", got)
	}
}

// A screen reader says the verdict first, then what to do, then of which equipment, then the picture by
// its name, then what decides.
func TestReadingOrder(t *testing.T) {
	p := newPlant(t, "mill")
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	pages, err := filepath.Glob(filepath.Join(public, "V", "*", "CHIP-P8-*", "index.html"))
	if err != nil || len(pages) != 1 {
		t.Fatal(err, pages)
	}
	w := open(t)
	w.show("file://" + pages[0])
	type value struct {
		Value any `json:"value"`
	}
	var tree struct {
		Nodes []struct {
			ID       string   `json:"nodeId"`
			Ignored  bool     `json:"ignored"`
			Role     value    `json:"role"`
			Name     value    `json:"name"`
			Children []string `json:"childIds"`
		} `json:"nodes"`
	}
	// Not by accessibility.GetFullAXTree: it knows no properties that are newer than itself.
	w.do(chromedp.ActionFunc(func(ctx context.Context) error {
		return cdp.Execute(ctx, accessibility.CommandGetFullAXTree, nil, &tree)
	}))
	var said []string
	var read func(id string)
	read = func(id string) {
		for _, n := range tree.Nodes {
			if n.ID == id {
				if !n.Ignored {
					said = append(said, fmt.Sprint(n.Role.Value, ": ", n.Name.Value))
				}
				for _, child := range n.Children {
					read(child)
				}
			}
		}
	}
	read(tree.Nodes[0].ID)
	from := 0
	for _, want := range []string{"heading: IN QUESTION", "Iframe: The day on which the standing was last checked", "StaticText: Do not use this label", "heading: CHIP-P8", "image: DO NOT RELY ON THE LABEL", "heading: Values on the label: do not use"} {
		at := -1
		for i := from; i < len(said); i++ {
			if strings.Contains(said[i], want) {
				at = i
				break
			}
		}
		if at < 0 {
			t.Fatalf("%q is not said after %q:\n%s", want, said[max(0, from-1)], strings.Join(said, "\n"))
		}
		from = at + 1
	}
}
