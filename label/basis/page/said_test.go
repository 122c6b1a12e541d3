package page

import (
	"encoding/xml"
	"regexp"
	"strings"
	"testing"

	"vouchmark/label/basis"
)

// said is what the elements of the class "said" of a page hold, by language.
func said(t *testing.T, html string) map[string]string {
	t.Helper()
	all := map[string]string{}
	d := xml.NewDecoder(strings.NewReader(html))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	depth, language := 0, ""
	for {
		token, err := d.Token()
		if err != nil {
			return all
		}
		switch e := token.(type) {
		case xml.StartElement:
			if depth > 0 {
				depth++
				continue
			}
			lang := ""
			for _, a := range e.Attr {
				if a.Name.Local == "lang" {
					lang = a.Value
				}
			}
			for _, a := range e.Attr {
				if a.Name.Local == "class" && strings.Contains(" "+a.Value+" ", " said ") {
					depth, language = 1, lang
				}
			}
		case xml.EndElement:
			depth = max(0, depth-1)
		case xml.CharData:
			if text := strings.TrimSpace(string(e)); depth > 0 && text != "" {
				all[language] += text + "\n"
			}
		}
	}
}

var staleNote = regexp.MustCompile(`(?s)<div class="stale".*?</div>`)

// Every page of a label has what a technician needs in each language of the site,
// without file names and commands. Files and a server say the same.
func TestSaid(t *testing.T) {
	files, live := mill(t, "2026-05-01", nil), mill(t, "2026-05-01", &Live{Writes: true})
	for _, b := range []*Book{files, live} {
		b.Shelf.Site.Site.Policy.Languages = []string{"es", "en"}
		b.Shelf.Site.Site.Policy.Ask = "Q. Example, ext. 4711"
	}
	command := regexp.MustCompile(`\.csv|\.toml|\.json|vouchmark|--[a-z]|_cal|_mm\b|_ms\b`)
	seen := map[basis.Sign]bool{}
	for _, id := range files.Shelf.Printed() {
		v, err := files.Shelf.View(id)
		if err != nil {
			t.Fatal(err)
		}
		html, err := files.LabelPage(v)
		if err != nil {
			t.Fatal(err)
		}
		served, err := live.LabelPage(v)
		if err != nil {
			t.Fatal(err)
		}
		// Files alone can be out of date.
		all, same := said(t, staleNote.ReplaceAllString(string(html), "")), said(t, string(served))
		if len(all) != 2 || all["en"] == "" || all["es"] == "" {
			t.Fatalf("%s speaks %d languages", id.Code(), len(all))
		}
		for language, text := range all {
			// A server says in the page itself when it checked; files in a small page of their own.
			if other := regexp.MustCompile(`(?m)^(Last checked|Última verificación): .*\n`).ReplaceAllString(same[language], ""); other != text {
				t.Errorf("%s in %s: files say\n%s\nthe server says\n%s", id.Code(), language, text, other)
			}
			if bad := command.FindString(text); bad != "" {
				t.Errorf("%s in %s: a technician reads %q in\n%s", id.Code(), language, bad, text)
			}
			if !strings.Contains(text, "Q. Example, ext. 4711") {
				t.Errorf("%s in %s does not say whom to ask:\n%s", id.Code(), language, text)
			}
		}
		if first, second := strings.Index(string(html), all["es"][:12]), strings.Index(string(html), all["en"][:8]); first > second {
			t.Errorf("%s: the site's first language does not come first", id.Code())
		}
		sign := v.Verdict().Sign
		seen[sign] = true
		unused := strings.Contains(all["es"], "No use esta etiqueta. Trate el equipo como energizado.")
		if good := sign == "holds" || sign == "falls due"; good == unused {
			t.Errorf("%s is %s and says:\n%s", id.Code(), sign, all["es"])
		}
		if strings.Contains(all["es"], "Do not") || strings.Contains(all["en"], "No use") {
			t.Errorf("%s mixes its languages", id.Code())
		}
	}
	if len(seen) < 5 {
		t.Errorf("only %v", seen)
	}
}

var loadsLanguage = regexp.MustCompile(`language\.\w+\.js" defer`)

// A site of one language needs no choice, and its pages load no script for it.
func TestOneLanguage(t *testing.T) {
	one := mill(t, "2026-05-01", nil)
	one.Shelf.Site.Site.Policy.Languages = []string{"en"}
	for name, data := range all(t, one) {
		if strings.HasSuffix(name, ".html") && loadsLanguage.MatchString(data) {
			t.Errorf("%s loads the script that chooses a language", name)
		}
	}
	b := mill(t, "2026-05-01", nil)
	b.Shelf.Site.Site.Policy.Languages = []string{"en", "fr"}
	for name, data := range all(t, b) {
		if strings.HasSuffix(name, ".html") && name != "404.html" && !loadsLanguage.MatchString(data) {
			t.Errorf("%s does not load it", name)
		}
	}
}
