package record

import (
	"slices"
	"testing"

	"vouchmark/assess"
)

// Everything that makes another label is named separately; columns without weight
// make none.
func TestDifferences(t *testing.T) {
	s := driftSite(t)
	a := s.Assess(s.Locations[0].Cases[0].Prepared.AddDays(100))
	of := func(change func(r *Record)) *Record {
		r := *New(&a[0])
		l, p, o := *r.Location, *r.Policy, *r.Outcome
		r.Outcome = &o
		l.Cases = slices.Clone(l.Cases)
		p.Ladder = slices.Clone(p.Ladder)
		r.Location, r.Policy, r.Codes = &l, &p, nil
		change(&r)
		return &r
	}
	for want, change := range map[string]func(r *Record){
		"": func(r *Record) {
			c := &r.Location.Cases[0]
			c.Note, c.Source, c.Engineer, r.Location.Class = "x", "R.xlsx 7", "Q. Example, PE", "mcc"
		},
		"area":                                func(r *Record) { r.Location.Area = "Roof" },
		"energy_cal_cm2":                      func(r *Record) { r.Location.Cases[0].Energy = 6.6 },
		"accepted_by":                         func(r *Record) { r.Location.Cases[0].AcceptedBy = "E. Sample, PE" },
		"edition":                             func(r *Record) { r.Location.Cases[0].Edition = "NFPA 70E-2018" },
		"governing energy_cal_cm2":            func(r *Record) { r.Energy.Value = 6.6 },
		"governing boundary_mm":               func(r *Record) { r.Boundary.Value++ },
		"signal word":                         func(r *Record) { r.Signal = assess.Danger },
		"governing approach row":              func(r *Record) { r.Shock.Voltage++ },
		"governing glove class":               func(r *Record) { r.Glove.Limit++ },
		"governing printed boundary_mm":       func(r *Record) { r.BoundaryToPrint++ },
		"governing fault_ka":                  func(r *Record) { r.Fault.Value++ },
		"governing prepared":                  func(r *Record) { r.Prepared = r.Prepared.AddDays(1) },
		"governing surveyed":                  func(r *Record) { r.Surveyed = r.Prepared },
		"review_by":                           func(r *Record) { r.ReviewBy = r.ReviewBy.AddDays(1) },
		"governing recomputed energy_cal_cm2": func(r *Record) { r.Computed = []*assess.Computed{{Energy: 6}} },
		"accepted findings":                   func(r *Record) { r.Accept = []assess.Acceptance{{Finding: assess.OverRating, By: "E. Sample, PE"}} },
		"policy":                              func(r *Record) { r.Policy.MinimumGloveClass = "0" },
		"kit":                                 func(r *Record) { r.Kit = "Kit C" },
		"review_months, governing fault_ka":   func(r *Record) { r.Policy.ReviewMonths, r.Fault.Value = 36, 1 },
	} {
		was, is := of(func(*Record) {}), of(change)
		got := was.Differences(is)
		if fieldsOf(got) != want || (got == nil) != (want == "") || was.sameLabel(is) != (want == "") {
			t.Errorf("%q, want %q", fieldsOf(got), want)
		}
		for _, d := range got {
			if d.Old == d.New && d.Field != "policy" {
				t.Errorf("%s: %q both times", d.Field, d.Old)
			}
		}
	}
	was, is := of(func(*Record) {}), of(func(r *Record) { r.Status = assess.NotRequired })
	if got := fieldsOf(was.Differences(is)); got != "kit" {
		t.Errorf("another status: %q", got)
	}
	// How the program computed its numbers does not matter, nor the last of nine digits.
	is = of(func(r *Record) {
		r.Energy.From, r.Energy.Value, r.Rules = assess.FromComputed, r.Energy.Value*(1+1e-9), 1
	})
	if got := was.Differences(is); got != nil {
		t.Errorf("another origin: %+v", got)
	}
}
