package label

import (
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Where the fault current is above the rating of the equipment and a named person
// accepts it, label and marking show both numbers.
func TestRated(t *testing.T) {
	accepted := []assess.Acceptance{{Finding: assess.OverRating, By: "E. Sample, PE", Date: on("2026-03-20"), Reason: "series rated"}}
	want := []string{
		"fault current: RATED 18 kA, AVAILABLE 18.4 kA",
		"corriente de falla: CAPACIDAD 18 kA, DISPONIBLE 18.4 kA",
		"courant de défaut : CAPACITÉ 18 kA, DISPONIBLE 18,4 kA",
	}
	for _, c := range []struct {
		name   string
		rating assess.KA
		accept []assess.Acceptance
		says   bool
	}{
		{"above, accepted", 18, accepted, true},
		{"above, nobody answers", 18, nil, false},
		{"above, another finding is accepted", 18, []assess.Acceptance{{Finding: assess.Understated}}, false},
		{"as much", 18.35, accepted, false},
		{"below", 22, accepted, false},
		{"not stated", 0, accepted, false},
	} {
		r := noted(t, assess.US, func(r *record.Record) { r.Location.Rating, r.Accept = c.rating, c.accept })
		marking := ComposeMarking(r, "7K3M-9QTD-RC4A-0W2E", Presentation{Languages: []string{"en", "es", "fr"}})
		for i, w := range inAll(r) {
			expect := ""
			if c.says {
				expect = want[i]
			}
			m := marking.Words[i]
			if w.Rated != expect || m.Rated != expect {
				t.Errorf("%s: label %q, marking %q, want %q", c.name, w.Rated, m.Rated, expect)
			}
			current := map[string]string{"en": "18.4 kA", "es": "18.4 kA", "fr": "18,4 kA"}[w.Language]
			if !strings.Contains(w.Fault+w.Rated, current) || strings.Contains(w.Fault, current) == c.says {
				t.Errorf("%s: the foot says %q and %q", c.name, w.Fault, w.Rated)
			}
		}
	}
}

// The marking has the clearing time of the service's own device, only from the case
// that decides the fault current (NEC 110.16(B) of 2017 and 2020).
func TestServiceClearing(t *testing.T) {
	for _, c := range []struct {
		ms   assess.MS
		want string
	}{
		{50, "clearing time of the service device at this current: 50 ms"},
		{16.6666667, "clearing time of the service device at this current: 16.7 ms"},
		{0, ""},
	} {
		r := noted(t, assess.US, func(r *record.Record) {
			other := r.Location.Cases[0]
			other.Name, other.Fault, other.ServiceClearing = "minimum", 3, 400
			r.Location.Cases[0].ServiceClearing = c.ms
			r.Location.Cases = append(r.Location.Cases, other)
		})
		m := ComposeMarking(r, "7K3M-9QTD-RC4A-0W2E", Presentation{Languages: []string{"en", "es", "fr"}})
		if m.Words[0].Clearing != c.want {
			t.Errorf("%v ms: %q", c.ms, m.Words[0].Clearing)
		}
		for _, w := range m.Words {
			if (w.Clearing != "") != (c.ms > 0) || strings.Contains(w.Clearing, "{") {
				t.Errorf("%v ms, %s: %q", c.ms, w.Language, w.Clearing)
			}
		}
	}
}

// A list that is not in the label's language is marked as such.
func TestWearUntranslated(t *testing.T) {
	const en, es, fr = "list not translated:", "lista sin traducir:", "liste non traduite :"
	for _, c := range []struct {
		name      string
		wear      assess.Words
		languages []string
		want      []string
	}{
		{"one list", assess.Words{"": {"shirt"}}, []string{"en", "es", "fr"}, []string{"", es, fr}},
		{"Spanish alone", assess.Words{"": {"shirt"}}, []string{"es"}, []string{es}},
		{"translated", assess.Words{"": {"shirt"}, "es": {"camisa"}}, []string{"en", "es", "fr"}, []string{"", "", fr}},
		{"English has a list of its own", assess.Words{"": {"camisa"}, "en": {"shirt"}, "es": {"camisa"}}, []string{"en", "es"},
			[]string{"", ""}},
		{"English has none", assess.Words{"es": {"camisa"}}, []string{"en", "es"}, []string{en, ""}},
		{"no list", nil, []string{"es"}, []string{""}},
	} {
		for _, where := range []string{"kit", "below 1.2"} {
			r := noted(t, assess.US, func(r *record.Record) {
				r.Policy.Rung(r.Kit).Wear = c.wear
				if where == "below 1.2" {
					below(r)
					r.Policy.BelowThresholdWear = c.wear
				}
			})
			if where == "below 1.2" && c.wear == nil {
				continue // the list of NFPA 70E serves, which is translated
			}
			var got []string
			for _, w := range Compose(r, "7K3M-9QTD-RC4A-0W2E", Presentation{Languages: c.languages}).Words {
				got = append(got, w.WearNote)
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%s, %s: %q, want %q", c.name, where, got, c.want)
			}
		}
	}
}
