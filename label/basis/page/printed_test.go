package page

import (
	"testing"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// What a comparison calls printed is what the labels show, rounded as they round it.
func TestPrintedDiffers(t *testing.T) {
	record := func(mm assess.MM, e assess.CalCM2, u assess.Units) *record.Record {
		r := &record.Record{Outcome: &assess.Outcome{}}
		r.Policy, r.Location = &assess.Policy{Units: u}, &assess.Location{}
		r.BoundaryToPrint, r.Energy.Value = mm, e
		return r
	}
	for _, c := range []struct {
		u    assess.Units
		want []differing
	}{
		{assess.SI, []differing{{"Incident energy, as printed", "", "16.8 J/cm² (4.0 cal/cm²)", "18.0 J/cm² (4.3 cal/cm²)"}, {"Arc-flash boundary, as printed", "", "670 mm", "710 mm"}}},
		{assess.US, []differing{{"Incident energy, as printed", "", "4.0 cal/cm²", "4.3 cal/cm²"}, {"Arc-flash boundary, as printed", "", "27 in", "28 in"}}},
	} {
		got := differ(record(661, 4, c.u), record(704, 4.3, c.u))
		for i, want := range c.want {
			if len(got) <= i || got[i] != want {
				t.Errorf("%s: %+v, not %+v", c.u, got, want)
			}
		}
	}
	for _, d := range differ(record(661, 4, assess.SI), record(661.5, 4, assess.SI)) { // printed alike
		if d.Name == "Arc-flash boundary, as printed" {
			t.Errorf("%+v", d)
		}
	}
}
