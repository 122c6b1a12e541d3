package browser

import (
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// installed is a folder with a package of the npm registry.
func installed(t *testing.T, name string) string {
	t.Helper()
	need(t, "npm")
	dir := t.TempDir()
	if out, err := exec.Command("npm", "install", "--prefix", dir, name, "--no-audit", "--no-fund").CombinedOutput(); err != nil {
		missing(t, fmt.Sprintf("%s cannot be installed: %v\n%s", name, err, out))
	}
	return dir
}

// axe is the text of axe-core.
func axe(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("VOUCHMARK_AXE")
	if dir == "" {
		dir = installed(t, "axe-core@4")
	}
	data, err := os.ReadFile(filepath.Join(dir, "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		missing(t, err.Error())
	}
	return string(data)
}

const wcag = `{type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}`

// check has axe-core check the page with all that is folded open.
func (w *window) check(axe, name string) {
	w.t.Helper()
	w.do(chromedp.Evaluate(`document.querySelectorAll("details").forEach(d => { d.open = true; })`, nil))
	for _, v := range w.violations(axe, name, wcag, 5) {
		w.t.Errorf("%s: %s", name, v)
	}
}

// checkDark has axe-core check the colors of the page as a dark one.
func (w *window) checkDark(axe, name string) {
	w.t.Helper()
	w.dark(true)
	for _, v := range w.violations(axe, name, `["color-contrast"]`, 1) {
		w.t.Errorf("%s, dark: %s", name, v)
	}
	w.dark(false)
}

func (w *window) dark(on bool) {
	w.t.Helper()
	scheme := map[bool]string{true: "dark", false: "light"}[on]
	w.do(emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}))
}

// violations are what axe-core finds. The rules that it found to hold, at least so many, show that it
// looked at all.
func (w *window) violations(axe, name, rules string, least int) []string {
	w.t.Helper()
	var found struct {
		Passes     int
		Violations []string
	}
	w.do(chromedp.Evaluate(axe, nil))
	w.eval(`axe.run(document, {runOnly: `+rules+`, iframes: false})
		.then(r => ({passes: r.passes.length, violations: r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.map(n => n.html.slice(0, 160)).slice(0, 3).join(" | "))}))`, &found)
	if found.Passes < least {
		w.t.Errorf("%s: axe-core found only %d rules to hold", name, found.Passes)
	}
	return found.Violations
}

// A checker that finds nothing wrong with a bad page would prove nothing.
func TestAxeFinds(t *testing.T) {
	source := axe(t)
	file := filepath.Join(t.TempDir(), "wrong.html")
	if err := os.WriteFile(file, []byte(`<!DOCTYPE html><html><head></head><body><main><h1>x</h1><img src="x.png"><p style="color:#bbb;background:#fff">faint</p><input></main></body></html>`), 0o644); err != nil {
		t.Fatal(err)
	}
	w := open(t)
	w.show("file://" + file)
	all := strings.Join(w.violations(source, "wrong", wcag, 5), "\n")
	for _, rule := range []string{"image-alt", "color-contrast", "label", "html-has-lang", "document-title"} {
		if !strings.Contains(all, rule+":") {
			t.Errorf("axe-core does not find %s in %s", rule, all)
		}
	}
}

// Every kind of page, on a phone, a tablet and a desktop, light and dark: no violation, and nothing that makes
// the page itself scroll sideways, with scripts or without. What comes of forms: TestFormsAccessible.
func TestAccessible(t *testing.T) {
	source := axe(t)
	p := newPlant(t, "mill")
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	url := p.serve(t, "--allow-writes")
	pages := map[string]string{
		"start": url + "/", "found": url + "/?q=chip", "filtered": url + "/?signal=WARNING&sort=energy", "due": url + "/due/", "findings": url + "/findings/", "plant": url + "/plant/", "walk": url + "/walk/", "audit": url + "/audit/", "published-audit": "file://" + public + "/audit/index.html", "published-audited": "file://" + public + "/audit/labels/index.html", "trouble": url + "/plant/trouble/", "drawing": url + "/plant/drawing/", "list": url + "/list/1.html", "missing": url + "/none",
		"change": url + "/change/", "published-start": "file://" + public + "/index.html", "published-plant": "file://" + public + "/plant/index.html", "published-404": "file://" + public + "/404.html", "published-checked": "file://" + public + "/checked.html",
		"print": url + "/print/", "settle": url + "/settle/?change=2026-02-10/CHIP-X9", "review": url + "/review/?at=CHIP-X9",
		"accept": url + "/accept/", "removed": url + "/removed/", "done": url + "/done/none/",
	}
	labels, err := filepath.Glob(filepath.Join(public, "V", "*", "*", "index.html"))
	if err != nil || len(labels) < 10 {
		t.Fatal(err, labels)
	}
	compared, err := filepath.Glob(filepath.Join(public, "compare", "*.html"))
	if err != nil || len(compared) == 0 {
		t.Fatal(err, compared)
	}
	pages["compared"] = url + "/compare/" + filepath.Base(compared[0])
	seen := map[string]bool{}
	for _, file := range labels {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		_, rest, _ := strings.Cut(string(data), `class="verdict `)
		sign, _, _ := strings.Cut(rest, `"`)
		if seen[sign] {
			continue
		}
		seen[sign] = true
		rel, _ := filepath.Rel(public, filepath.Dir(file))
		code := strings.Split(rel, "/")[1]
		pages["label-"+sign] = url + "/" + rel + "/"
		pages["code-"+sign] = "file://" + public + "/V/" + code + "/index.html"
		pages["reprint-"+sign] = url + "/reprint/?code=" + code
		for _, form := range map[string][]string{"holds": {"mounted", "withdraw"}, "in-question": {"overlay", "interim"}}[sign] {
			pages[form+"-"+sign] = url + "/" + form + "/?at=" + code
		}
		pages["differs"] = url + "/V/" + code + "/X-1.1CAL/"
		pages["elsewhere"] = url + "/NORTH/V/" + code + "/"
	}
	if len(seen) < 5 {
		t.Errorf("only labels that are %v", seen)
	}
	names := slices.Sorted(maps.Keys(pages))
	t.Run("pages", func(t *testing.T) {
		for half := range 2 { // each in a window of its own
			t.Run(fmt.Sprint(half), func(t *testing.T) {
				t.Parallel()
				w := open(t)
				for i := half; i < len(names); i += 2 {
					w.fits(source, names[i], pages[names[i]])
				}
			})
		}
	})
}

// fits checks a page on four screens, light and dark, with and without scripts.
func (w *window) fits(axe, name, address string) {
	w.t.Helper()
	w.do(emulation.SetScriptExecutionDisabled(true))
	w.size(390, 844)
	w.show(address)
	w.narrow(name+" without scripts", 390, 820, 1440)
	w.do(emulation.SetScriptExecutionDisabled(false))
	w.size(320, 844)
	w.show(address)
	got := strings.TrimSpace(w.text("main"))
	if !strings.Contains(got, wanted(name)) || strings.HasPrefix(name, "label-") && !strings.HasPrefix(got, wanted(name)) && !strings.HasPrefix(got, "COVER") {
		w.t.Errorf("%s shows %.200q", name, got) // that of a label with its verdict first
	}
	w.narrow(name, 320)
	w.fine(axe, name, 390, 1440)
}

// fine checks the page that is shown, light and dark, by axe-core at some sizes, and that it fits on a phone, a
// tablet and a desktop, also with all that is folded open.
func (w *window) fine(axe, name string, sizes ...int64) {
	w.t.Helper()
	w.narrow(name, 390)
	for i, x := range sizes {
		w.size(x, 844)
		w.check(axe, fmt.Sprintf("%s at %d", name, x))
		if i == 0 { // the colors are the same on every screen
			w.checkDark(axe, name)
		}
		w.look(fmt.Sprintf("%s-%d", name, x))
	}
	w.narrow(name+", unfolded", 390, 820, 1440)
}

// narrow fails where the page scrolls sideways.
func (w *window) narrow(name string, sizes ...int64) {
	w.t.Helper()
	for _, x := range sizes {
		w.size(x, 844)
		var wide int64
		w.eval(`document.scrollingElement.scrollWidth`, &wide)
		if wide > x {
			var which []string
			w.eval(fmt.Sprintf(`[...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > %d).map(e => e.outerHTML.slice(0, 80)).slice(0, 3)`, x), &which)
			w.t.Errorf("%s at %d: the page is %d wide: %q", name, x, wide, which)
		}
	}
}

// wanted is what must be on a page with that name.
func wanted(name string) string {
	kind, sign, _ := strings.Cut(name, "-")
	verdicts := map[string]string{"holds": "HOLDS", "falls-due": "FALLS DUE", "lapsed": "LAPSED", "in-question": "IN QUESTION", "replaced": "REPLACED", "withdrawn": "WITHDRAWN"}
	switch kind {
	case "label", "code":
		return verdicts[sign]
	case "reprint":
		return "Print a label again"
	case "mounted", "withdraw", "overlay", "interim":
		return map[string]string{"mounted": "Mark a label installed", "withdraw": "Withdraw a label", "overlay": "Print an overlay", "interim": "Print an interim label"}[kind]
	case "published":
		return map[string]string{"start": "Label status", "plant": "Go to a location", "audit": "Records intact", "audited": "mounted", "404": "No such page", "checked": "Last checked"}[sign]
	}
	return map[string]string{"start": "Label status", "found": "found for", "filtered": "found", "findings": "By location", "due": "What falls due", "plant": "from the service down", "walk": "on the equipment", "trouble": "need attention", "audit": "Make an audit", "compared": "What differs", "drawing": "as a drawing", "list": "All labels", "missing": "No such page", "change": "Log a change", "differs": "DIFFERS",
		"print": "Print what is due", "settle": "Settle a change", "review": "Review a study", "accept": "Accept a finding", "removed": "Note that a label is removed",
		"elsewhere": "Not a label of this site",
		"done":      "No longer kept", "overview": "What needs attention first"}[name]
}
