package record

import (
	"strings"
	"testing"

	"vouchmark/assess"
)

// Another bound makes another label, and so does another person who accepts a
// finding, or another finding. The same facts in other words do not.
func TestBoundsAndAcceptancesMakeLabels(t *testing.T) {
	accepted := func(by string, code assess.Code) []assess.Acceptance {
		return []assess.Acceptance{{Finding: code, By: by, Reason: "r", At: []string{"MCC-4"}}}
	}
	start := func(t *testing.T) *assess.Site {
		s := driftSite(t)
		s.Locations[0].Cases[0].Fault, s.Locations[0].Rating = 20, 10
		s.Locations[0].ID = "MCC-4"
		s.Policy.Accept = accepted("E. Sample, PE", assess.OverRating)
		return s
	}
	on := assess.Case{Name: "switch on", Maintenance: true, Method: assess.Stated, Energy: 2, Boundary: 500}
	for _, c := range []struct {
		name   string
		before func(s *assess.Site) // changes both
		change func(s *assess.Site)
		same   bool
	}{
		{name: "nothing", change: func(*assess.Site) {}, same: true},
		{name: "another person answers", change: func(s *assess.Site) { s.Policy.Accept[0].By = "Q. Sample, PE" }},
		{name: "the same person, for another reason and day", change: func(s *assess.Site) {
			s.Policy.Accept[0].Reason, s.Policy.Accept[0].Date = "x", s.Policy.Accept[0].Date.AddDays(9)
		}, same: true},
		{name: "an acceptance that meets nothing", change: func(s *assess.Site) {
			s.Policy.Accept = append(s.Policy.Accept, assess.Acceptance{Finding: assess.OverInterrupting, By: "x", Date: s.Policy.Accept[0].Date, At: []string{"MCC-4"}})
		}, same: true},
		{name: "at least", change: func(s *assess.Site) { s.Locations[0].Cases[0].Bound = assess.Above }},
		{name: "a switch", change: func(s *assess.Site) {
			k := on
			k.Prepared, k.Surveyed = s.Locations[0].Cases[0].Prepared, s.Locations[0].Cases[0].Surveyed
			s.Locations[0].Cases = append(s.Locations[0].Cases, k)
		}},
	} {
		of := func(change func(*assess.Site)) *Record {
			s := start(t)
			s.Policy.Accept[0].Date = s.Locations[0].Cases[0].Prepared
			change(s)
			a := s.Assess(s.Locations[0].Cases[0].Prepared.AddDays(100))
			return New(&a[0])
		}
		was, is := of(func(*assess.Site) {}), of(c.change)
		if len(was.Accept) != 1 {
			t.Fatalf("%+v", was.Accept)
		}
		if got := was.sameLabel(is); got != c.same {
			t.Errorf("%s: the same label: %v", c.name, got)
		}
	}
}

// A label that says "above 40" does not drift on its own where 40 is the cutoff, and
// one that says so now warns of more than one that said 40.
func TestDriftOfBounds(t *testing.T) {
	of := func(energy assess.CalCM2, bound assess.Bound) *Record {
		s := driftSite(t)
		c := &s.Locations[0].Cases[0]
		c.Energy, c.Bound, c.Boundary = energy, bound, 3200
		a := s.Assess(c.Prepared.AddDays(100))
		return New(&a[0])
	}
	if d := Drift(of(40, assess.Above), of(40, assess.Above)); len(d.Data)+len(d.Policy) > 0 || d.Worse != "" {
		t.Errorf("above 40: %+v", d)
	}
	if d := Drift(of(40, ""), of(40, assess.Above)); fieldsOf(d.Data) != "energy_bound" || !strings.Contains(d.Worse, "above 40 cal/cm²") {
		t.Errorf("40, then above 40: %+v", d)
	}
	if d := Drift(of(40, assess.Above), of(40, "")); fieldsOf(d.Data) != "energy_bound" || d.Worse != "" {
		t.Errorf("above 40, then 40: %+v", d)
	}
}

// The maintenance-switch line: which of two labels shows the lower hazard in it.
func TestWorseWithTheSwitch(t *testing.T) {
	of := func(energy assess.CalCM2, device string) *Record {
		r := &Record{Outcome: &assess.Outcome{}}
		if energy > 0 {
			r.Maintenance = &assess.Maintenance{Energy: assess.Governing[assess.CalCM2]{Value: energy}, BoundaryToPrint: 500, Device: device}
		}
		return r
	}
	for _, c := range []struct {
		old, now *Record
		worse    bool
	}{
		{of(0, ""), of(0, ""), false},
		{of(0, ""), of(3, "52-1"), false},
		{of(3, "52-1"), of(3, "52-1"), false},
		{of(3, "52-1"), of(2, "52-1"), false},
		{of(3, "52-1"), of(4, "52-1"), true},
		{of(3, "52-1"), of(3, "52-2"), true},
		{of(3, "52-1"), of(0, ""), true},
	} {
		if got := worseSwitched(c.old, c.now); got != c.worse {
			t.Errorf("%q, then %q: %v", maintenanceWords(c.old), maintenanceWords(c.now), got)
		}
	}
}
