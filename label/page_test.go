package label

import (
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/assess/standing"
)

// told are labels of every standing, by the key of what their page says first.
func told(t *testing.T) map[string]Told {
	day, err := assess.ParseDate("2026-05-06")
	if err != nil {
		t.Fatal(err)
	}
	because := func(status standing.Status, cause standing.Cause, found bool) *standing.Standing {
		return &standing.Standing{Status: status, Reasons: []standing.Reason{{Since: day, Found: found,
			Ground: &standing.Ground{Cause: cause, Status: status}}}}
	}
	low := because(standing.InQuestion, standing.RowCause, false)
	low.TooLow = true
	holds := standing.Standing{Status: standing.Holds, Until: day}
	settled, unfed := holds, holds
	settled.Settled, unfed.Unfed = 2, true
	return map[string]Told{
		"holds": {Standing: &holds}, "settled": {Standing: &settled}, "unfed": {Standing: &unfed},
		"falls due": {Standing: &standing.Standing{Status: standing.FallsDue, Until: day, ReviewBy: day}},
		"lapsed":    {Standing: because(standing.Lapsed, standing.ByAgeCause, false)},
		"upstream":  {Standing: because(standing.InQuestion, standing.UpstreamCause, false)},
		"review":    {Standing: because(standing.InQuestion, standing.ReviewCause, false)},
		"device":    {Standing: because(standing.InQuestion, standing.DeviceCause, false)},
		"found":     {Standing: because(standing.InQuestion, standing.PolicyCause, true)},
		"withdrawn": {Standing: because(standing.Withdrawn, standing.WithdrawCause, false)},
		"too low":   {Standing: low}, "replaced": {Standing: &holds, Newer: "7K3M-9QTD-RC4A-0W2E"},
		"differs": {Standing: &holds, Differs: true}, "unknown": {Standing: &holds, Unknown: true},
	}
}

// texts are all strings within a value.
func texts(v reflect.Value) []string {
	switch v.Kind() {
	case reflect.String:
		return []string{v.String()}
	case reflect.Slice:
		var all []string
		for i := range v.Len() {
			all = append(all, texts(v.Index(i))...)
		}
		return all
	case reflect.Struct:
		var all []string
		for i := range v.NumField() {
			all = append(all, texts(v.Field(i))...)
		}
		return all
	}
	return nil
}

// Whoever scans a label reads in each language of the site what holds, what to
// do and whom to ask, each text filled in.
func TestPages(t *testing.T) {
	r, _ := compose(t, places[0])
	p := Presentation{Languages: []string{"en", "es", "fr"}}
	for name, one := range told(t) {
		one.Ask = "Q. Example, ext. 4711"
		all := p.Pages(r, one)
		if len(all) != 3 {
			t.Fatal(all)
		}
		seen := map[string]bool{}
		for i := range all {
			page := &all[i]
			if page.Language != p.Languages[i] || page.Verdict == "" || seen[page.Verdict] || len(page.Means) == 0 {
				t.Errorf("%s: %+v", name, page)
			}
			seen[page.Verdict] = true
			for _, text := range texts(reflect.ValueOf(*page)) {
				if strings.ContainsAny(text, "{}") && text != page.Checked {
					t.Errorf("%s in %s: %q is not filled in", name, page.Language, text)
				}
			}
			good := name == "holds" || name == "settled" || name == "unfed" || name == "falls due"
			if on := page.On("2026-05-07"); !strings.Contains(on, "2026-05-07") || !strings.Contains(strings.ToLower(on), map[string]string{"en": "may 7, 2026", "es": "7 de mayo de 2026", "fr": "7 mai 2026"}[page.Language]) {
				t.Errorf("in %s: %q", page.Language, on)
			}
			if stale := page.Stale(9); !strings.Contains(stale, " 9 ") || !strings.Contains(stale, one.Ask) || strings.ContainsAny(stale, "{}") {
				t.Errorf("in %s: %q", page.Language, stale)
			}
			if do := strings.Join(page.Do, " "); good != (do == "") || !good && !strings.Contains(do, one.Ask) {
				t.Errorf("%s in %s: %q", name, page.Language, do)
			}
			said := page.Verdict + " " + strings.Join(page.Means, " ")
			if dated := strings.Contains(said, "2026-05-06"); name == "found" && dated || name == "upstream" && !dated {
				t.Errorf("%s in %s: %q", name, page.Language, said)
			}
			if strings.Count(said, "2026-05-06") > 2 {
				t.Errorf("%s in %s says its date again: %q", name, page.Language, said)
			}
		}
	}
	english := p.Pages(r, told(t)["too low"])[0]
	if english.Verdict != "COVER: printed too low · IN QUESTION since 2026-05-06" ||
		!strings.Contains(strings.Join(english.Means, " "), "More energy is possible than this label shows.") {
		t.Errorf("%+v", english)
	}
	if got := english.On("2026-05-07"); got != "Last checked: 2026-05-07 (May 7, 2026)" {
		t.Error(got)
	}
}

// A language of the owner's own whose file has no texts of pages gets them in
// English, marked as English, and each language comes once.
func TestPagesOfAnOwnersLanguage(t *testing.T) {
	data, err := wordingFiles.ReadFile("wording/en.toml")
	if err != nil {
		t.Fatal(err)
	}
	var old []string
	for _, line := range strings.Split(string(data), "\n") {
		if !strings.HasPrefix(line, "page_") {
			old = append(old, line)
		}
	}
	folder := fstest.MapFS{"wording/pt.toml": {Data: []byte(strings.Join(old, "\n"))},
		"wording/de.toml": {Data: []byte(strings.Replace(string(data), `"English"`, `"Deutsch"`, 1))}}
	c, err := ReadCatalogue(folder, site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r, _ := compose(t, places[0])
	for languages, want := range map[string]string{"pt": "en", "en pt": "en", "es pt": "es en", "de es": "de es"} {
		p := Presentation{Catalogue: c, Languages: strings.Fields(languages)}
		var got []string
		for _, page := range p.Pages(r, told(t)["holds"]) {
			got = append(got, page.Language)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: %q, want %s", languages, got, want)
		}
	}
}
