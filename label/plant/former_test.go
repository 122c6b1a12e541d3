package plant

import (
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// renamed is a plant in which P1 was printed, a change told more of it than it
// prints, and its row then got the id P1A.
func renamed(t *testing.T) *shop {
	s := recomputed(t)
	p := newShop(t, s)
	p.print("2026-04-02")
	s.Log.Changes = []assess.Change{{ID: "2026-05-06/P0", Date: day(t, "2026-05-06"), At: "P0", Kind: assess.ChangeKinds[1],
		By: "x", New: map[string]assess.NewValues{"P1": {Clear: 350, ClearReduced: 350}}}}
	if !p.standing("P1", "2026-06-01").TooLow {
		t.Fatal("it is not too low")
	}
	s.Locations[1].ID, s.Policy.Former = "P1A", []string{"P1"}
	return p
}

// A location that gets another id keeps what changes reported about it.
func TestRenamedKeepsWhatWasTold(t *testing.T) {
	const today = "2026-08-01"
	for name, c := range map[string]struct {
		change func(c *assess.Case)
		want   bool
	}{
		"as it was":     {func(*assess.Case) {}, true},
		"newer dates":   {func(c *assess.Case) { c.Surveyed, c.Prepared = day(t, "2026-07-01"), day(t, "2026-07-10") }, true},
		"another digit": {func(c *assess.Case) { c.Energy, c.Boundary = 1.7, 575 }, true},
		"what was told": {func(c *assess.Case) { c.Clear, c.ClearReduced, c.Energy, c.Boundary = 350, 350, 11.4, 2000 }, false},
		"another study": {func(c *assess.Case) { c.Clear, c.ClearReduced, c.Energy, c.Boundary = 80, 80, 2.7, 760 }, false},
		"no less":       {func(c *assess.Case) { c.Energy, c.Boundary = 11.4, 2000 }, false},
	} {
		p := renamed(t)
		_, k := p.row("P1A")
		c.change(k)
		for _, only := range []string{"", "P1A"} {
			v := p.judge(today)
			if only != "" {
				var err error
				if v, err = New(p.Site, p.h, day(t, today), nil, only); err != nil || len(v.Unlisted) > 0 {
					t.Fatal(err, v.Unlisted)
				}
			}
			place, _ := v.Place("P1A")
			f := finding(place, assess.SurveyAlone)
			if (f != nil) != c.want || f != nil && (f.Level != assess.Error || !f.Acceptable() || place.Record != nil ||
				!strings.Contains(f.Message, "the label of P1, which is too low after a logged change: 11.2 cal/cm²")) {
				t.Errorf("%s, %q: %+v", name, only, f)
			}
		}
	}
	// Somebody takes responsibility for it, and it still prints.
	p := renamed(t)
	_, k := p.row("P1A")
	k.Surveyed, k.Prepared = day(t, "2026-07-01"), day(t, "2026-07-10")
	p.Policy.Accept = []assess.Acceptance{accept(t, assess.SurveyAlone, "2026-07-12", "2026-12-31", "P1A")}
	if got := p.print(today, "P1A"); !slices.Equal(got, []string{"P1A"}) {
		t.Fatalf("accepted, and printed %v", got)
	}
	if got := p.standing("P1A", "2026-08-02"); got.Status != standing.Holds {
		t.Errorf("accepted: %+v", got)
	}
}

// Nor does a settlement of all forget it.
func TestSettleFormer(t *testing.T) {
	p := renamed(t)
	v := p.judge("2026-08-01")
	for _, c := range []struct {
		scope assess.Scope
		want  string
	}{{assess.Scope{All: true}, "P1"}, {assess.Scope{IDs: []string{"P1"}}, "P1"}, {assess.Scope{IDs: []string{"P1A"}}, ""}} {
		low, _ := v.TooLow(&p.Log.Changes[0], c.scope)
		got := ""
		for _, l := range low {
			got += l.ID
		}
		if got != c.want || len(v.AllTooLow(c.scope)) != len(c.want)/2 {
			t.Errorf("%+v: %+v", c.scope, low)
		}
	}
	// Nobody covers a withdrawn label.
	printing := p.h.Labels["P1"]
	printing.Withdrawn = &record.Line{Date: day(t, "2026-07-01"), Reason: "renamed", By: "x"}
	p.h.Labels["P1"] = printing
	v = p.judge("2026-08-01")
	if low, _ := v.TooLow(&p.Log.Changes[0], assess.Scope{All: true}); low != nil {
		t.Errorf("withdrawn: %+v", low)
	}
	if place, _ := v.Place("P1A"); finding(place, assess.SurveyAlone) == nil {
		t.Error("withdrawn, and its row by another id forgets it")
	}
}

// Labels that note nothing of the rows above them are counted.
func TestFeedsNotNoted(t *testing.T) {
	p := newShop(t, works(t, 3))
	p.print("2026-04-02")
	find := func() *assess.Finding {
		v := p.judge("2026-08-01")
		if i := slices.IndexFunc(v.Findings, func(f assess.Finding) bool { return f.Code == assess.FeedsNotNoted }); i >= 0 {
			return &v.Findings[i]
		}
		return nil
	}
	if f := find(); f != nil {
		t.Errorf("all note their feeds: %+v", f)
	}
	for _, id := range []string{"P0", "P1", "P2"} { // nothing feeds P0
		printing := p.h.Labels[id]
		r := *printing.Record
		r.Feeds, printing.Record = nil, &r
		p.h.Labels[id] = printing
	}
	if f := find(); f == nil || f.Level != assess.Caution || !strings.HasPrefix(f.Message, "2 labels were") {
		t.Errorf("%+v", f)
	}
}
