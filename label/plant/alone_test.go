package plant

import (
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// Newer dates beside numbers that are all as before clear nothing: an error
// while something is open against the label's dates, else a caution.
func TestSurveyAlone(t *testing.T) {
	const today = "2026-08-01"
	dates := func(c *assess.Case, t *testing.T) {
		c.Surveyed, c.Prepared = day(t, "2026-07-01"), day(t, "2026-07-10")
	}
	fuse := assess.Change{ID: "2026-05-06/P0", Date: day(t, "2026-05-06"), At: "P0", Kind: assess.ChangeKinds[0], By: "x"}
	wrong := assess.Review{Date: day(t, "2026-05-06"), By: "x", Finding: assess.FoundWrong, Scope: assess.Scope{IDs: []string{"P1"}}}
	settled := assess.Settlement{Change: fuse.ID, Date: day(t, "2026-05-08"), Scope: assess.Scope{All: true}}
	for _, c := range []struct {
		name   string
		log    assess.Log
		change func(s *assess.Site, l *assess.Location, c *assess.Case)
		want   assess.Level // "" for no finding
	}{
		{"nothing, a change is open", assess.Log{Changes: []assess.Change{fuse}}, func(*assess.Site, *assess.Location, *assess.Case) {}, ""},
		{"both dates", assess.Log{}, func(_ *assess.Site, _ *assess.Location, c *assess.Case) { dates(c, t) }, assess.Caution},
		{"both dates, a change is open", assess.Log{Changes: []assess.Change{fuse}}, func(_ *assess.Site, _ *assess.Location, c *assess.Case) { dates(c, t) }, assess.Error},
		{"the survey alone, a change is open", assess.Log{Changes: []assess.Change{fuse}},
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { c.Surveyed = day(t, "2026-03-14") }, assess.Error},
		{"no survey any more, a change is open", assess.Log{Changes: []assess.Change{fuse}},
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { c.Surveyed = assess.Date{} }, assess.Error},
		{"another revision and area too, a change is open", assess.Log{Changes: []assess.Change{fuse}},
			func(_ *assess.Site, l *assess.Location, c *assess.Case) {
				dates(c, t)
				c.Revision, l.Area = "B", "Roof"
			}, assess.Error},
		{"the case has a name too, a change is open", assess.Log{Changes: []assess.Change{fuse}},
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { dates(c, t); c.Name = "normal" }, assess.Error},
		{"older dates, a change is open", assess.Log{Changes: []assess.Change{fuse}},
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { c.Surveyed = day(t, "2026-01-01") }, ""},
		{"another current too, a change is open", assess.Log{Changes: []assess.Change{fuse}},
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { dates(c, t); c.Fault = 13 }, ""},
		{"another duration too, a change is open", assess.Log{Changes: []assess.Change{fuse}},
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { dates(c, t); c.Clear = 70 }, ""},
		{"another device too, a change is open", assess.Log{Changes: []assess.Change{fuse}},
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { dates(c, t); c.Device = "52-1" }, ""},
		{"both dates, the change is settled", assess.Log{Changes: []assess.Change{fuse}, Settlements: []assess.Settlement{settled}},
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { dates(c, t) }, assess.Caution},
		{"both dates, a review found it wrong", assess.Log{Reviews: []assess.Review{wrong}},
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { dates(c, t) }, assess.Error},
		{"both dates, a row upstream has more current", assess.Log{}, func(s *assess.Site, _ *assess.Location, c *assess.Case) {
			dates(c, t)
			s.Locations[0].Cases[0].Fault, s.Locations[0].Cases[0].Prepared = 25, day(t, "2026-06-01")
		}, assess.Error},
	} {
		p := newShop(t, works(t, 2))
		p.print("2026-04-02")
		p.Log = c.log
		l, k := p.row("P1")
		before := p.standing("P1", today)
		c.change(p.Site, l, k)
		place, _ := p.judge(today).Place("P1")
		f := finding(place, assess.SurveyAlone)
		if (f == nil) != (c.want == "") || f != nil && (f.Level != c.want || f.Field != "surveyed") {
			t.Errorf("%s: %+v, want %q", c.name, f, c.want)
		}
		if c.want == assess.Error {
			if r := place.Refusal(false); r == nil || r.Interim || !strings.HasPrefix(r.Why, "surveyed: ") || place.Record != nil || place.Printed.Standing.Status != standing.InQuestion {
				t.Errorf("%s: it prints: %+v, %+v", c.name, r, place.Printed.Standing)
			}
			if place.Assessment.Findings[0].Level != assess.Error {
				t.Errorf("%s: errors are not first", c.name)
			}
		}
		if c.want == assess.Caution && place.Refusal(false) != nil {
			t.Errorf("%s: %+v, was %+v", c.name, place.Refusal(false), before)
		}
	}
}

// Somebody may answer for it by name. The label that is then printed rests on
// that: it is in question when the acceptance ends, and another round of dates
// does not wash it off.
func TestSurveyAloneAccepted(t *testing.T) {
	p := newShop(t, works(t, 2))
	p.print("2026-04-02")
	p.Log.Changes = []assess.Change{{ID: "2026-05-06/P0", Date: day(t, "2026-05-06"), At: "P0", Kind: assess.ChangeKinds[0], By: "x"}}
	_, c := p.row("P1")
	c.Surveyed, c.Prepared = day(t, "2026-07-01"), day(t, "2026-07-10")
	p.Policy.Accept = []assess.Acceptance{accept(t, assess.SurveyAlone, "2026-07-12", "2026-12-31", "P1")}
	if got := p.print("2026-08-01", "P1"); !slices.Equal(got, []string{"P1"}) {
		t.Fatalf("printed %v", got)
	}
	v := p.judge("2026-08-02")
	place, _ := v.Place("P1")
	if f := finding(place, assess.SurveyAlone); f == nil || f.AcceptedBy != "E. Sample, PE" || place.Printed.Standing.Status != standing.Holds ||
		place.Record != place.Printed.Record || len(place.Record.Accept) != 1 || len(v.Findings) > 0 {
		t.Errorf("printed by the acceptance: %+v, %+v, %+v", f, place.Printed.Standing, v.Findings)
	}
	if what, judged := place.Record.Differs(); what != "" || !judged {
		t.Errorf("its record, judged again: %q, %v", what, judged)
	}
	if w := p.worst("P1", "2027-02-01"); w == nil || w.Since != day(t, "2027-01-01") {
		t.Errorf("after its end: %+v", w)
	}
	// Another round of dates, after the acceptance.
	c.Surveyed, c.Prepared = day(t, "2026-08-10"), day(t, "2026-08-10")
	place, _ = p.judge("2026-08-11").Place("P1")
	if f := finding(place, assess.SurveyAlone); f == nil || f.Level != assess.Error {
		t.Errorf("another round of dates: %+v", f)
	}
	// A study with other numbers ends all that.
	c.Energy = 5.5
	place, _ = p.judge("2026-08-11").Place("P1")
	if f := finding(place, assess.SurveyAlone); f != nil || place.Refusal(false) != nil {
		t.Errorf("a study with other numbers: %+v, %+v", f, place.Refusal(false))
	}
}
