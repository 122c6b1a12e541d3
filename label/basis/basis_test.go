package basis

import (
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// board is the equipment of IEEE Std 1584-2018 Annex D.2, at an invented
// place, with a stated result that is a little lower than the recomputed one.
func board(t *testing.T) *record.Record {
	t.Helper()
	d, err := assess.ParseDate("2026-03-14")
	if err != nil {
		t.Fatal(err)
	}
	s := &assess.Site{Policy: assess.Policy{Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger, TolerancePercent: 5,
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 8, Wear: assess.Words{"": {"shirt"}}}, {Kit: "Kit B", Rating: 40, Wear: assess.Words{"": {"suit"}}}}}}
	s.Locations = []assess.Location{{ID: "SWB-1", Equipment: "Switchboard", Supply: shock.AC3, Voltage: 480, Distance: 609.6,
		Cases: []assess.Case{{Electrodes: "VCB", Gap: 32, Height: 610, Width: 610, Depth: 254, Name: "normal", Method: assess.IEEE1584, Fault: 45, Clear: 61.3, ClearReduced: 319, Energy: 12.6, Boundary: 2650, Prepared: d}}}}
	v, err := plant.New(s, nil, d, nil)
	if err != nil || v.Places[0].Code() == "" {
		t.Fatal(err, v.Places[0].Assessment.Findings)
	}
	return record.New(v.Places[0].Assessment)
}

// Every number on the label is traced to an input, an equation or a table row
// with the standard and the place.
func TestItemsNameTheirSource(t *testing.T) {
	r := board(t)
	want := map[string]string{
		"Voltage":                      "480 V, supply ac3",
		"Signal word":                  "cutoff of 40",
		"Kit":                          "rated 40",
		"Incident energy at 24 in":     "recomputed by IEEE 1584-2018, case \"normal\"; the study states 12.6 cal/cm²; the larger governs",
		"Arc-flash boundary":           "the study states 104.330709 in",
		"Working distance":             "24 in in the study",
		"Limited approach boundary":    "NFPA 70E-2024 Table 130.4(E)(a), row 151 V to 750 V, exposed fixed circuit part",
		"Restricted approach boundary": "NFPA 70E-2024 Table 130.4(E)(a)",
		"Rubber insulating gloves":     "29 CFR 1926.97 Table E-4",
		"Available fault current":      "NEC 110.24",
		"Review by":                    "NFPA 70E 130.5(G)",
		"Study":                        "",
	}
	for _, i := range Items(r) {
		w, known := want[i.Name]
		if !known || !strings.Contains(i.Why, w) || i.Why == "" {
			t.Errorf("%s, %s: %s; want %q", i.Name, i.Value, i.Why, w)
		}
		delete(want, i.Name)
	}
	if len(want) > 0 {
		t.Errorf("nothing is said of %v", want)
	}
}

// The steps computed again are those that the record keeps.
func TestStepsAreThoseOfTheRecord(t *testing.T) {
	data, _, err := board(t).Encode()
	if err != nil {
		t.Fatal(err)
	}
	r, err := record.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	all := evaluations(r)
	if all[0].Result == nil {
		t.Fatal(all)
	}
	kept, again := r.Computed[0], all[0].Result
	for i := range again.Steps {
		again.Steps[i].Words = "" // no record keeps them
		again.Steps[i].Value = arc.Value(arc.Round9(float64(again.Steps[i].Value)))
	}
	if !slices.Equal(again.Steps, kept.Steps) || again.Energy != kept.Energy || len(kept.Steps) < 20 {
		t.Errorf("%d steps again, %d kept", len(again.Steps), len(kept.Steps))
	}
}

// A result that differs in this version is reported, not ignored.
func TestDiffers(t *testing.T) {
	r := board(t)
	r.Computed[0].Energy *= 1.001
	if all := evaluations(r); !strings.Contains(all[0].Differs, "on which the label is based") {
		t.Errorf("%+v", all)
	}
	if all := evaluations(board(t)); all[0].Differs != "" {
		t.Errorf("%q", all[0].Differs)
	}
}

func TestDifferences(t *testing.T) {
	r := board(t)
	truth := label.Facts(r)
	for _, c := range []struct{ name, facts, want string }{
		{"the same", truth, ""},
		{"a code alone", "", ""},
		{"a later review", strings.Replace(truth, "TO-2031", "TO-2036", 1), "Review by: label 2036-03-14, record 2031-03-14"},
		{"less energy", strings.Replace(truth, "12.8CAL", "2.8CAL", 1), "Incident energy: label 2.8CAL, record 12.8CAL"},
		{"another kit", strings.Replace(truth, "KIT-B", "KIT-A", 1), "Kit: label A, record B"},
		{"something left out", strings.Replace(truth, "-24IN", "", 1), truth},
		{"hyphens moved", strings.Replace(truth, "-480V", "--480V", 1), truth},
	} {
		got := strings.Join(differences(label.Scanned{Facts: c.facts}, r), "; ")
		if (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s (%s): %q, want %q", c.name, c.facts, got, c.want)
		}
	}
}

// Rounding is mentioned where a number was rounded, and only there.
func TestRoundingIsSaid(t *testing.T) {
	for _, c := range []struct {
		length assess.MM
		units  assess.Units
		stated string
		up     bool
	}{
		{457.2, assess.US, "18 in", false}, {457.2, assess.SI, "18 in", true}, {457.2, assess.Both, "18 in", true},
		{457, assess.US, "457 mm", true}, {460, assess.SI, "460 mm", false}, {1219.2, assess.US, "48 in", false},
		{463.55, assess.US, "18.25 in", true}, {304.8 * 4.5, assess.US, "54 in", false}, {508, assess.Both, "20 in", true},
		{762, assess.Both, "30 in", true}, {1270, assess.Both, "50 in", false},
	} {
		if got, up := asStated(c.length), roundedLength(c.length, c.units) != ""; got != c.stated || up != c.up {
			t.Errorf("%v mm, %s: %s, rounded %v, want %s %v", c.length, c.units, got, up, c.stated, c.up)
		}
	}
	for _, c := range []struct {
		energy assess.CalCM2
		bound  assess.Bound
		units  assess.Units
		want   string
	}{
		{6.5, "", assess.US, ""}, {6.51, "", assess.US, "; rounded up"}, {6.5, "", assess.SI, "; rounded up"},
		{40, assess.Above, assess.US, ""}, {40.05, assess.Above, assess.US, "; rounded down, so that “above” stays true"},
		{25.01, "", assess.Both, "; rounded up"}, {250, "", assess.Both, ""}, {1.2, assess.Under, assess.US, ""},
	} {
		if got := roundedEnergy(assess.Governing[assess.CalCM2]{Value: c.energy, Bound: c.bound}, c.units); got != c.want {
			t.Errorf("%v %s %s: %q, want %q", c.energy, c.bound, c.units, got, c.want)
		}
	}
}
