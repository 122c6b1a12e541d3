package browser

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// A person whose browser asks for Spanish reads Spanish on the pages of a site
// that speaks it, may choose another of the site's languages, and reads all of
// them where the browser asks for none or runs no script. Files and server are
// alike.
func TestLanguage(t *testing.T) {
	p := newPlant(t, "mill")
	policy := filepath.Join(p.dir, "site.toml")
	data, err := os.ReadFile(policy)
	if err != nil {
		t.Fatal(err)
	}
	data = regexp.MustCompile(`(?m)^languages = .*\n`).ReplaceAll(data, nil)
	if err := os.WriteFile(policy, append([]byte("languages = [\"en\", \"es\"]\n"), data...), 0o644); err != nil {
		t.Fatal(err)
	}
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	url := p.serve(t)
	labels, err := filepath.Glob(filepath.Join(public, "V", "*", "*", "index.html"))
	if err != nil || len(labels) < 10 {
		t.Fatal(err, labels)
	}
	rel, err := filepath.Rel(public, labels[0])
	if err != nil {
		t.Fatal(err)
	}
	w := open(t)
	asks := func(languages string) {
		w.do(chromedp.ActionFunc(func(ctx context.Context) error {
			return emulation.SetUserAgentOverride("test").WithAcceptLanguage(languages).Do(ctx)
		}))
	}
	shown := func() (languages []string) {
		w.eval(`[...new Set([...document.querySelectorAll(".said")].filter(e => e.offsetParent !== null).map(e => e.lang))]`, &languages)
		return languages
	}
	is := func(what string, want ...string) {
		t.Helper()
		got := shown()
		for i, l := range want {
			if len(got) != len(want) || got[i] != l {
				t.Errorf("%s: %q is shown, want %q", what, got, want)
				return
			}
		}
	}
	for _, page := range []string{"file://" + public + "/" + rel, "file://" + public + "/checked.html", url + "/" + filepath.Dir(rel) + "/", url + "/none"} {
		for languages, want := range map[string][]string{
			"es-MX,es,en": {"es"}, "fr-CA,es": {"es"}, "en-US": {"en"}, "pl": {"en", "es"},
		} {
			asks(languages)
			w.show(page)
			is(page+" for "+languages, want...)
		}
	}
	w.show(url + "/" + filepath.Dir(rel) + "/")
	w.look("language-none")
	w.do(chromedp.Click(`.languages button[value=es]`, chromedp.ByQuery))
	is("after the button", "es")
	w.look("language-es")
	w.show(url + "/")
	is("on the next page", "es")
	w.do(emulation.SetScriptExecutionDisabled(true))
	w.show("file://" + public + "/" + rel)
	w.do(emulation.SetScriptExecutionDisabled(false)) // of the page's scripts alone: they have not run
	is("without a script", "en", "es")
}
