package record

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
)

func fieldsOf(list []standing.Difference) string {
	var names []string
	for _, d := range list {
		names = append(names, d.Field)
	}
	return strings.Join(names, ", ")
}

// Which changes of a row or the policy count, as what, and whether the label then
// warns of too little.
func TestDrift(t *testing.T) {
	for _, c := range []struct {
		name         string
		change       func(s *assess.Site)
		data, policy string
		worse        string
	}{
		{name: "nothing", change: func(*assess.Site) {}},
		{name: "a note, an engineer, a class, the study's edition", change: func(s *assess.Site) {
			k := &s.Locations[0].Cases[0]
			k.Note, k.Engineer, k.AcceptedBy, k.Edition = "x", "y", "z", "NFPA 70E-2024"
			s.Locations[0].Class = "mcc"
		}},
		{name: "more energy", change: func(s *assess.Site) { s.Locations[0].Cases[0].Energy = 7 }, data: "energy_cal_cm2", worse: "incident energy 6.5 cal/cm² → 7 cal/cm²"},
		{name: "less energy", change: func(s *assess.Site) { s.Locations[0].Cases[0].Energy = 6 }, data: "energy_cal_cm2"},
		{name: "another feed", change: func(s *assess.Site) { s.Locations[0].Cases[0].FedFrom = []string{"X"} }, data: "fed_from"},
		{name: "a later study", change: func(s *assess.Site) { s.Locations[0].Cases[0].Prepared = s.Locations[0].Cases[0].Prepared.AddDays(9) }, data: "prepared"},
		{name: "a case more", change: func(s *assess.Site) {
			k := s.Locations[0].Cases[0]
			k.Name = "tie closed"
			s.Locations[0].Cases = append(s.Locations[0].Cases, k)
		}, data: "case"},
		{name: "a higher cutoff", change: func(s *assess.Site) { s.Policy.Cutoff = 39 }},
		{name: "a cutoff below", change: func(s *assess.Site) { s.Policy.Cutoff = 5 }, policy: "signal word, kit", worse: "DANGER"},
		{name: "another ladder", change: func(s *assess.Site) { s.Policy.Ladder[1].Rating = 12 }, policy: "ladder", worse: "a stronger kit"},
		{name: "the kit rated lower, another one in its place", change: func(s *assess.Site) {
			s.Policy.Ladder = append(s.Policy.Ladder[:1:1], assess.Rung{Kit: "Kit B", Rating: 6, Wear: assess.Words{"": {"jacket"}}}, assess.Rung{Kit: "Kit B2", Rating: 8}, s.Policy.Ladder[2])
		}, policy: "kit, ladder", worse: "the kit Kit B is now rated 6"},
		{name: "less to wear", change: func(s *assess.Site) { s.Policy.Ladder[1].Wear = assess.Words{"": {}} }, policy: "wear"},
		{name: "another name", change: func(s *assess.Site) { s.Policy.Ladder[1].Kit = "Kit X" }, policy: "kit, ladder", worse: "the kit Kit B is now rated 0"},
		{name: "another list", change: func(s *assess.Site) { s.Policy.Ladder[1].Wear = assess.Words{"": {"other"}} }, policy: "wear", worse: "more to wear: other"},
		{name: "the list of a kit that is not on the label", change: func(s *assess.Site) { s.Policy.Ladder[0].Wear = assess.Words{"": {"other"}} }},
		{name: "the interval", change: func(s *assess.Site) { s.Policy.ReviewMonths = 36 }, policy: "review_months"},
		{name: "the edition alone", change: func(s *assess.Site) { s.Policy.Edition = "NFPA 70E-2027" }},
		{name: "the test of a DANGER label on another one", change: func(s *assess.Site) { s.Policy.DangerTest = assess.Words{"": {"by meter"}} }},
		{name: "the clearing time that no row has", change: func(s *assess.Site) { s.Policy.ShowClearingTime = true }},
		{name: "the units", change: func(s *assess.Site) { s.Policy.Units = assess.SI }, policy: "units"},
		{name: "a glove class", change: func(s *assess.Site) { s.Policy.MinimumGloveClass = "1" }, policy: "glove class", worse: "gloves of class"},
	} {
		t.Run(c.name, func(t *testing.T) {
			of := func(change func(*assess.Site)) *Record {
				s := driftSite(t)
				change(s)
				a := s.Assess(s.Locations[0].Cases[0].Prepared.AddDays(100))
				return New(&a[0])
			}
			d := Drift(of(func(*assess.Site) {}), of(c.change))
			if fieldsOf(d.Data) != c.data || fieldsOf(d.Policy) != c.policy || (d.Worse == "") != (c.worse == "") || !strings.Contains(d.Worse, c.worse) {
				t.Errorf("data %q, policy %q, worse %q; want %q, %q, %q", fieldsOf(d.Data), fieldsOf(d.Policy), d.Worse, c.data, c.policy, c.worse)
			}
		})
	}
}

// driftSite has a kit below and a kit above that of its label.
func driftSite(t *testing.T) *assess.Site {
	t.Helper()
	prepared, err := assess.ParseDate("2026-03-14")
	if err != nil {
		t.Fatal(err)
	}
	return &assess.Site{
		Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger,
			Ladder: []assess.Rung{{Kit: "Kit A", Rating: 4, Wear: assess.Words{"": {"shirt"}}}, {Kit: "Kit B", Rating: 8, Wear: assess.Words{"": {"jacket"}}}, {Kit: "Kit C", Rating: 40, Wear: assess.Words{"": {"suit"}}}}},
		Locations: []assess.Location{{ID: "P", Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2,
			Cases: []assess.Case{{Energy: 6.5, Boundary: 1200, Fault: 18.35, Method: assess.Stated, Prepared: prepared}}}},
	}
}

// A curve is compared by its points; another name for the same points is not
// drift.
func TestCurveDrift(t *testing.T) {
	of := func(name string) *Record {
		points := []arc.Point{{CurrentA: 1, TimeS: 2}, {CurrentA: 3, TimeS: 4}}
		return &Record{Inputs: assess.Inputs{
			Location: &assess.Location{Cases: []assess.Case{{Curve: name}}},
			Curves:   map[string]*assess.Curve{name: {File: name, Points: points}},
		}}
	}
	a, b := of("a.csv"), of("b.csv")
	if d := curveDrift(a, b); d != nil {
		t.Errorf("the same points: %v", d)
	}
	b.Curves["b.csv"].Points[1].TimeS = 5
	if d := curveDrift(a, b); len(d) != 1 || d[0].New != "b.csv" {
		t.Errorf("other points: %v", d)
	}
}

// Withdrawn, printed again, replaced: as the ledger notes it.
func TestLabels(t *testing.T) {
	dir := t.TempDir()
	s := Open(dir)
	a, a2 := example(t, "A", 6.5), example(t, "A", 7.5)
	_, id, _ := a.Encode()
	_, id2, _ := a2.Encode()
	last := func() *Label {
		t.Helper()
		l, err := s.Ledger()
		if err != nil {
			t.Fatal(err)
		}
		return s.Replay(l, job(t, Print).Date, nil).Labels["A"]
	}
	j := job(t, Print, a)
	if _, err := s.Withdraw("A", j.Date, "x", "me", "test"); !strings.Contains(err.Error(), "no label was printed for it") {
		t.Error(err)
	}
	carry(t, dir, j)
	if _, err := s.Withdraw("A", j.Date, "burnt", "me", "test"); err != nil {
		t.Fatal(err)
	}
	if h := last(); h.ID != id || h.Withdrawn == nil || h.Withdrawn.Reason != "burnt" {
		t.Errorf("withdrawn: %+v", h)
	}
	if _, err := s.Withdraw("A", j.Date, "again", "me", "test"); err == nil {
		t.Error("withdrawn twice")
	}
	carry(t, dir, j)
	if h := last(); h.Withdrawn != nil || len(h.Earlier) != 0 {
		t.Errorf("printed again: %+v", h)
	}
	carry(t, dir, job(t, Print, a2))
	if h := last(); h.ID != id2 || len(h.Earlier) != 1 || h.Earlier[0].ID != id || h.Earlier[0].By != id2 {
		t.Errorf("replaced: %+v", h)
	}
}

// With many writers of one file at the same time, each entry is there, complete.
func TestEditAtOnce(t *testing.T) {
	dir := t.TempDir()
	var wg sync.WaitGroup
	for i := range 30 {
		wg.Go(func() {
			err := Open(dir).Edit("changes.toml", func(old []byte) ([]byte, error) {
				return append(bytes.Clone(old), fmt.Sprintf("entry %d\n", i)...), nil
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	data, err := os.ReadFile(filepath.Join(dir, "changes.toml"))
	if err != nil || bytes.Count(data, []byte("entry ")) != 30 || bytes.Count(data, []byte("\n")) != 30 {
		t.Errorf("%s, %v", data, err)
	}
	if err := Open(dir).Edit("changes.toml", func([]byte) ([]byte, error) { return nil, errors.New("no") }); err == nil {
		t.Error("a refused edit passes")
	}
	if again, _ := os.ReadFile(filepath.Join(dir, "changes.toml")); !bytes.Equal(again, data) {
		t.Error("a refused edit changed the file")
	}
}

// What is on the label alone is policy drift: how the site tests behind a
// DANGER label, and whether the service's clearing time is shown.
func TestLabelChoicesDrift(t *testing.T) {
	for _, c := range []struct {
		name         string
		both, change func(*assess.Site)
		want         string
	}{
		{"danger_test", func(s *assess.Site) { s.Locations[0].Cases[0].Energy = 63 },
			func(s *assess.Site) { s.Policy.DangerTest = assess.Words{"": {"by meter"}} }, "danger_test"},
		{"show_clearing_time", func(s *assess.Site) { s.Locations[0].Cases[0].ServiceClearing = 50 },
			func(s *assess.Site) { s.Policy.ShowClearingTime = true }, "show_clearing_time"},
	} {
		of := func(change func(*assess.Site)) *Record {
			s := driftSite(t)
			c.both(s)
			change(s)
			a := s.Assess(s.Locations[0].Cases[0].Prepared.AddDays(100))
			return New(&a[0])
		}
		old, now := of(func(*assess.Site) {}), of(c.change)
		if d := Drift(old, now); fieldsOf(d.Policy) != c.want || len(d.Data) > 0 {
			t.Errorf("%s: data %v, policy %v", c.name, d.Data, d.Policy)
		}
		if d := Drift(old, of(func(*assess.Site) {})); d.Policy != nil || d.Data != nil {
			t.Errorf("%s: %+v without a change", c.name, d)
		}
	}
}
