package browser

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// written is a form of the server: how it is filled in, and what its pages say.
type written struct {
	name, path string
	fields     map[string]string
	ticks      []string // that are clicked
	previews   bool     // before anything is saved
	says       string   // what came of it
}

// forms are all that can be written about the mill. label gives the address of a form about a label with a standing.
func forms(label func(form, sign string) string) []written {
	const who, why = "A. Planner", "seen on the equipment"
	by := map[string]string{"by": who, "reason": why}
	return []written{
		{"mounted", label("/mounted/?at=", "holds"), map[string]string{"by": who}, nil, false, "Marked installed"},
		{"reprint", label("/reprint/?code=", "holds"), by, nil, false, "printed by " + who},
		{"overlay", label("/overlay/?at=", "in-question"), map[string]string{"by": who}, nil, false, "printed by " + who},
		{"interim", label("/interim/?at=", "in-question"), by, nil, false, "printed by " + who},
		{"removed", label("/removed/?at=", "withdrawn"), map[string]string{"by": who}, nil, false, "emoved"},
		{"accept", "/accept/?at=TURB-B1", by, []string{"#finding-0"}, true, "accepted by " + who},
		{"settle", "/settle/?change=2026-02-10/CHIP-X9", by, []string{"#scope-0"}, true, "The change is settled"},
		{"review", "/review/?at=CHIP-X9", by, []string{"#scope-0", "#finding-right"}, true, "The review is logged"},
		{"print", "/print/", map[string]string{"by": who}, nil, false, "printed by " + who},
		{"change", "/change/", map[string]string{"at": "TURB-B1", "kind": "fuse replaced", "by": who}, nil, true, "The change is logged"},
		{"withdraw", label("/withdraw/?at=", "falls-due"), by, nil, false, "Withdrawn"},
	}
}

// offered finds labels for which a server offers a form.
func offered(t *testing.T, public, url string) func(form, sign string) string {
	t.Helper()
	labels, err := filepath.Glob(filepath.Join(public, "V", "*", "*", "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	return func(form, sign string) string {
		for _, file := range labels {
			at := form + filepath.Base(filepath.Dir(filepath.Dir(file)))
			if strings.Contains(readFile(t, file), `class="verdict `+sign+`"`) && strings.Contains(got(t, http.DefaultClient, url+at), `method="post"`) {
				return at
			}
		}
		t.Fatalf("%s is offered for no label that is %s", form, sign)
		return ""
	}
}

// got is the text at an address, whatever the status.
func got(t *testing.T, c *http.Client, url string) string {
	t.Helper()
	answer, err := c.Get(url)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	data, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// Each form sent empty, its preview, and what came of it: valid, no violation, and nothing wider than the screen. An audit
// once made, and signing in, likewise.
func TestFormsAccessible(t *testing.T) {
	source := axe(t)
	p := newPlant(t, "mill")
	public, _ := p.published(t)
	url := p.serve(t, "--allow-writes")
	w := open(t)
	dir, check := validator(t)
	var document network.RequestID
	chromedp.ListenTarget(w, func(e any) {
		if e, ok := e.(*network.EventResponseReceived); ok && e.Type == network.ResourceTypeDocument {
			w.mu.Lock()
			document = e.RequestID
			w.mu.Unlock()
		}
	})
	pages := 0
	must := func(name, text string) {
		t.Helper()
		w.mu.Lock()
		id := document
		w.mu.Unlock()
		w.do(chromedp.ActionFunc(func(ctx context.Context) error { // as it was sent, not as a browser repairs it
			data, err := network.GetResponseBody(id).Do(ctx)
			if err != nil {
				return err
			}
			pages++
			return os.WriteFile(filepath.Join(dir, fmt.Sprintf("form-%d-%s.html", pages, strings.Fields(strings.ReplaceAll(name, ",", ""))[0])), data, 0o644)
		}))
		if got := w.text("main"); !strings.Contains(got, text) {
			t.Errorf("%s says %.400q, not %q", name, got, text)
		}
		w.fine(source, name, 390)
	}
	for _, f := range forms(offered(t, public, url)) {
		w.phone()
		w.show(url + f.path)
		w.eval(`document.querySelector("form[method=post]").noValidate = true`, nil)
		w.press("form[method=post] button")
		must(f.name+", sent empty", "Nothing was written")
		w.phone()
		w.show(url + f.path)
		w.fill(f.fields)
		for _, tick := range f.ticks {
			w.do(chromedp.Click(tick, chromedp.ByQuery))
		}
		w.press("form[method=post] button")
		if f.previews {
			must(f.name+", before it is saved", "Nothing is saved yet")
			w.phone()
			w.press("[name=save]")
		}
		must(f.name+", done", f.says)
	}
	w.phone()
	w.show(url + "/audit/")
	w.press("form[method=post] button")
	must("audit, made", "Records intact")
	if out, err := check("form-*.html"); err != nil || pages < 2*11+5 {
		t.Errorf("%d pages, %v\n%.5000s", pages, err, out)
	}
}
