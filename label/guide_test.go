package label

import (
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// The guide explains the parts that only some labels have if a label of the site has
// them, in every language.
func TestGuideExplainsWhatLabelsHave(t *testing.T) {
	rated := func(r *record.Record) {
		r.Location.Rating, r.Accept = 18, []assess.Acceptance{{Finding: assess.OverRating, By: "E. Sample, PE"}}
	}
	paged := and(maintained(3.06, assess.KitChosen, "Kit A"), func(r *record.Record) { r.Policy.MaintenanceOnPage = true })
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		want   GuideParts
	}{
		{"none", func(*record.Record) {}, GuideParts{}}, {"above", above, GuideParts{Bound: true}}, {"below", below, GuideParts{Bound: true}},
		{"switch", maintained(3.06, assess.KitChosen, "Kit A"), GuideParts{Maintenance: true}}, {"on the page", paged, GuideParts{}},
		{"no kit with it either", maintained(60, assess.NoneAllowed, ""), GuideParts{}},
		{"rated", rated, GuideParts{Rated: true}}, {"all", and(above, maintained(3.06, assess.KitChosen, "Kit A"), rated), GuideParts{true, true, true}},
	} {
		r := noted(t, assess.US, c.change)
		for _, lang := range []string{"en", "es", "fr"} {
			p := Presentation{Languages: []string{lang}}
			var parts GuideParts
			parts.See(r, Compose(r, "7K3M-9QTD-RC4A-0W2E", p))
			if parts != c.want {
				t.Errorf("%s: %+v, want %+v", c.name, parts, c.want)
			}
			words := builtin().byLanguage[lang]
			var want []string
			for _, x := range []struct {
				is   bool
				text string
			}{{c.want.Bound, words.GuideBound}, {c.want.Maintenance, words.GuideMaintenance}, {c.want.Rated, words.GuideRated}} {
				if x.is {
					want = append(want, x.text)
				}
			}
			if g := ComposeGuide(r.Policy, r, "7K3M-9QTD-RC4A-0W2E", lang, parts, p); !slices.Equal(g.Also, want) {
				t.Errorf("%s in %s: %q", c.name, lang, g.Also)
			}
		}
	}
}

// The guide writes its numbers with the decimal sign of the language, as labels do.
func TestGuideDecimals(t *testing.T) {
	r := noted(t, assess.US, func(r *record.Record) { r.Policy.Cutoff, r.Policy.Ladder[0].Rating = 40.5, 4.2 })
	for lang, want := range map[string][2]string{"en": {"40.5 cal/cm²", "4.2 cal/cm²"}, "es": {"40.5 cal/cm²", "4.2 cal/cm²"},
		"fr": {"40,5 cal/cm²", "4,2 cal/cm²"}} {
		g := ComposeGuide(r.Policy, r, "7K3M-9QTD-RC4A-0W2E", lang, GuideParts{}, Presentation{Languages: []string{lang}})
		if !strings.Contains(g.Cutoff, want[0]) || !strings.Contains(g.Callouts[0].Text, want[0]) || g.Rungs[0].Rating != want[1] {
			t.Errorf("%s: %q, %q, %q", lang, g.Cutoff, g.Callouts[0].Text, g.Rungs[0].Rating)
		}
	}
}
