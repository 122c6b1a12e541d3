package plant

import (
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
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
		{"no longer a survey, a change is open", assess.Log{Changes: []assess.Change{fuse}},
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
			func(_ *assess.Site, _ *assess.Location, c *assess.Case) { dates(c, t); c.Device = "52-1" }, assess.Error},
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
			if r := place.Refusal(false); r == nil || r.Interim || !strings.HasSuffix(r.Why, "[survey-alone]") || place.Record != nil || place.Printed.Standing.Status != standing.InQuestion {
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

// Somebody may take responsibility for it by name. The label that is then printed rests on
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
		place.Record != place.Printed.Record || len(place.Record.Accept) != 1 || len(bound(v)) > 0 {
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

// A study that looked at a change calculates it: what is not a result, what is left
// empty, and the same number again, do not count as new. After a change to a device
// only the durations, the fault current and the curve show it.
func TestSurveyAloneCosmetic(t *testing.T) {
	fuse := assess.Change{ID: "2026-05-06/P0", Date: day(t, "2026-05-06"), At: "P0", Kind: assess.ChangeKinds[0], By: "x"}
	for name, c := range map[string]struct {
		change func(l *assess.Location, c *assess.Case)
		alone  bool
	}{
		"rating":              {func(l *assess.Location, _ *assess.Case) { l.Rating = 25 }, true},
		"device":              {func(_ *assess.Location, c *assess.Case) { c.Device = "Breaker 1" }, true},
		"device rating":       {func(_ *assess.Location, c *assess.Case) { c.DeviceRating = 66 }, true},
		"device place":        {func(_ *assess.Location, c *assess.Case) { c.DeviceAt = "" }, true},
		"fault in a digit":    {func(_ *assess.Location, c *assess.Case) { c.Fault = 12.2501 }, true},
		"duration in a digit": {func(_ *assess.Location, c *assess.Case) { c.Clear = 60.01 }, true},
		"fault left empty":    {func(_ *assess.Location, c *assess.Case) { c.Fault = 0 }, true},
		"duration left empty": {func(_ *assess.Location, c *assess.Case) { c.ClearReduced = 0 }, true},
		"frequency":           {func(_ *assess.Location, c *assess.Case) { c.Hertz = 60 }, true},
		"multiplier":          {func(_ *assess.Location, c *assess.Case) { c.Multiplier = 1 }, true},
		"geometry where none": {func(_ *assess.Location, c *assess.Case) { c.Gap, c.Height = 25, 508 }, true},
		"the case twice":      {func(l *assess.Location, c *assess.Case) { o := *c; o.Name = "other"; l.Cases = append(l.Cases, o) }, true},
		"another fault":       {func(_ *assess.Location, c *assess.Case) { c.Fault = 12.5 }, false},
		"another duration":    {func(_ *assess.Location, c *assess.Case) { c.ClearReduced = 90 }, false},
		"another energy":      {func(_ *assess.Location, c *assess.Case) { c.Energy = 5.1 }, true},
		"another boundary":    {func(_ *assess.Location, c *assess.Case) { c.Boundary = 1120 }, true},
		"another distance":    {func(l *assess.Location, _ *assess.Case) { l.Distance = 609.6 }, true},
		"another voltage":     {func(l *assess.Location, _ *assess.Case) { l.Voltage = 600 }, true},
		"a duration more":     {func(_ *assess.Location, c *assess.Case) { c.Curve = "" }, true},
		"a case more of other": {func(l *assess.Location, c *assess.Case) {
			o := *c
			o.Name, o.Fault = "other", 9
			l.Cases = append(l.Cases, o)
		}, true},
	} {
		p := newShop(t, works(t, 2))
		l, k := p.row("P1")
		k.DeviceAt, k.Device = "P0", "Breaker"
		p.print("2026-04-02")
		p.Log.Changes = []assess.Change{fuse}
		k.Surveyed, k.Prepared = day(t, "2026-07-01"), day(t, "2026-07-10")
		c.change(l, k)
		place, _ := p.judge("2026-08-01").Place("P1")
		if f := finding(place, assess.SurveyAlone); (f != nil && f.Level == assess.Error) != c.alone {
			t.Errorf("%s: %+v", name, f)
		}
	}
}

// A newer prepared beside the old numbers, where the label has lapsed, is one to
// look at: a study that was made again may find them all as before.
func TestSurveyAloneLapsed(t *testing.T) {
	const today = "2031-04-01"
	p := newShop(t, works(t, 2))
	p.print("2026-04-02")
	_, c := p.row("P1")
	c.Prepared = day(t, "2031-03-20")
	place, _ := p.judge(today).Place("P1")
	if f := finding(place, assess.SurveyAlone); f == nil || f.Level != assess.Caution || !strings.Contains(f.Message, "that label has lapsed") || place.Refusal(false) != nil {
		t.Errorf("renewed by its date alone: %+v", f)
	}
	p.Log.Reviews = []assess.Review{{Date: day(t, "2031-03-25"), By: "x", Finding: assess.FoundRight, Scope: assess.Scope{All: true}}}
	place, _ = p.judge(today).Place("P1")
	if f := finding(place, assess.SurveyAlone); f == nil || f.Level != assess.Caution || place.Refusal(false) != nil {
		t.Errorf("somebody signed a review of it: %+v, %+v", f, place.Refusal(false))
	}
	p.Log.Reviews = nil
	c.Energy = 5.2
	place, _ = p.judge(today).Place("P1")
	if f := finding(place, assess.SurveyAlone); f != nil || place.Refusal(false) != nil {
		t.Errorf("a study with another number: %+v, %+v", f, place.Refusal(false))
	}
}

// An "upstream row" doubt is not cleared by dates and a rating either.
func TestSurveyAloneUpstreamRow(t *testing.T) {
	p := newShop(t, works(t, 2))
	p.print("2026-04-02")
	_, up := p.row("P0")
	up.Fault, up.Prepared, up.Surveyed = 25, day(t, "2026-06-01"), day(t, "2026-06-01")
	l, c := p.row("P1")
	l.Rating, c.Prepared, c.Surveyed = 25, day(t, "2026-06-01"), day(t, "2026-06-01")
	place, _ := p.judge("2026-08-01").Place("P1")
	if f := finding(place, assess.SurveyAlone); f == nil || f.Level != assess.Error {
		t.Errorf("%+v", f)
	}
}

// recomputed is a plant whose second place is recomputed from its row.
func recomputed(t *testing.T) *assess.Site {
	s := works(t, 2)
	l := &s.Locations[1]
	l.Class, l.Rating = "mcc", 42
	l.Cases[0] = assess.Case{Method: assess.IEEE1584, Electrodes: "VCB", Gap: 25, Height: 355.6, Width: 304.8, Depth: 203.2,
		Fault: 12, Clear: 50, ClearReduced: 50, Energy: 1.6, Boundary: 560, Device: "52-1", DeviceAt: "P0", FedFrom: []string{"P0"},
		Surveyed: day(t, "2026-02-01"), Prepared: day(t, "2026-03-14")}
	return s
}

// What a change reported about a label that is therefore too low is not forgotten
// because the row has newer dates.
func TestTooLowIsKept(t *testing.T) {
	told := func(v assess.NewValues) []assess.Change {
		return []assess.Change{{ID: "2026-05-06/P0", Date: day(t, "2026-05-06"), At: "P0", Kind: assess.ChangeKinds[2], By: "x",
			New: map[string]assess.NewValues{"P1": v}}}
	}
	longer := assess.NewValues{Clear: 350, ClearReduced: 350}
	for _, c := range []struct {
		name   string
		told   assess.NewValues
		change func(c *assess.Case)
		want   string // in the finding; "" for none
	}{
		{"still 50 ms", longer, func(c *assess.Case) { c.Energy, c.Boundary = 1.7, 570 }, "clear_ms 50 instead of 350"},
		{"shorter yet", longer, func(c *assess.Case) { c.Clear, c.ClearReduced = 40, 40 }, "clear_ms 40 instead of 350"},
		{"one of two", longer, func(c *assess.Case) { c.Clear, c.Energy, c.Boundary = 350, 9, 2000 }, "clear_reduced_ms 50 instead of 350"},
		{"nearly", longer, func(c *assess.Case) { c.Clear, c.ClearReduced, c.Energy, c.Boundary = 300, 300, 9.5, 2000 }, "clear_ms 300 instead of 350"},
		{"the told ones", longer, func(c *assess.Case) { c.Clear, c.ClearReduced, c.Energy, c.Boundary = 350, 350, 11, 2000 }, ""},
		{"longer ones", longer, func(c *assess.Case) { c.Clear, c.ClearReduced, c.Energy, c.Boundary = 400, 400, 13, 2200 }, ""},
		{"the current as it was", assess.NewValues{Fault: 18, Clear: 50, ClearReduced: 50},
			func(c *assess.Case) { c.Energy, c.Boundary = 1.7, 570 }, "fault_ka 12 instead of 18"},
		{"less current", assess.NewValues{Fault: 18, Clear: 50, ClearReduced: 50}, func(c *assess.Case) { c.Fault = 11 }, "fault_ka 11 instead of 18"},
		{"the told current", assess.NewValues{Fault: 18, Clear: 50, ClearReduced: 50},
			func(c *assess.Case) { c.Fault, c.Energy, c.Boundary = 18, 2.6, 760 }, ""},
		{"not over", assess.NewValues{Clear: 45, ClearReduced: 45}, func(c *assess.Case) { c.Energy, c.Boundary = 1.7, 570 }, ""},
	} {
		s := recomputed(t)
		p := newShop(t, s)
		if got := p.print("2026-04-02"); len(got) != 2 {
			place, _ := p.judge("2026-04-02").Place("P1")
			t.Fatalf("printed %v: %+v", got, place.Refusal(false))
		}
		s.Log.Changes = told(c.told)
		if got := p.standing("P1", "2026-06-01"); got.TooLow != (c.name != "not over") {
			t.Fatalf("%s: too low %v: %+v", c.name, got.TooLow, got.Screening)
		}
		_, k := p.row("P1")
		k.Surveyed, k.Prepared = day(t, "2026-07-01"), day(t, "2026-07-10")
		c.change(k)
		place, _ := p.judge("2026-08-01").Place("P1")
		f := finding(place, assess.SurveyAlone)
		if (f == nil) != (c.want == "") || f != nil && (f.Level != assess.Error || !strings.Contains(f.Message, c.want)) {
			t.Errorf("%s: %+v, want %q", c.name, f, c.want)
		}
		if r := place.Refusal(false); (r == nil) != (c.want == "") {
			t.Errorf("%s: refused %+v", c.name, r)
		}
		if c.want == "" {
			continue
		}
		s.Policy.Accept = []assess.Acceptance{accept(t, assess.SurveyAlone, "2026-07-12", "2026-12-31", "P1")}
		if got := p.print("2026-08-01", "P1"); !slices.Equal(got, []string{"P1"}) {
			t.Errorf("%s: accepted, and printed %v", c.name, got)
			continue
		}
		if got := p.standing("P1", "2026-09-01"); got.Status != standing.Holds {
			t.Errorf("%s: accepted: %+v", c.name, got)
		}
		// The answer is for these numbers: another one does not count.
		l, _ := p.row("P1")
		l.Rating = 41
		place, _ = p.judge("2026-09-01").Place("P1")
		if f := finding(place, assess.SurveyAlone); f == nil || f.Level != assess.Error {
			t.Errorf("%s: accepted, then another rating: %+v", c.name, f)
		}
	}
}

// What was reported is not forgotten either because its durations are in a row from
// which nothing can be recomputed now.
func TestToldDurationsProveNothing(t *testing.T) {
	change := assess.Change{ID: "2026-05-06/P0", Date: day(t, "2026-05-06"), At: "P0", Kind: assess.ChangeKinds[2], By: "x",
		New: map[string]assess.NewValues{"P1": {Clear: 350, ClearReduced: 350}}}
	for name, c := range map[string]struct {
		change func(l *assess.Location, c *assess.Case)
		want   string // in the finding; "" for none
	}{
		"no electrodes":  {func(_ *assess.Location, c *assess.Case) { c.Electrodes = "" }, "1.6 cal/cm² instead of 11.2"},
		"no height":      {func(_ *assess.Location, c *assess.Case) { c.Height = 0 }, "1.6 cal/cm² instead of 11.2"},
		"no gap":         {func(_ *assess.Location, c *assess.Case) { c.Gap = 0 }, "1.6 cal/cm² instead of 11.2"},
		"no fault":       {func(_ *assess.Location, c *assess.Case) { c.Fault = 0 }, "1.6 cal/cm² instead of 11.2"},
		"one phase":      {func(l *assess.Location, _ *assess.Case) { l.Supply, l.Cases[0].Method = shock.AC1, assess.Stated }, "1.6 cal/cm² instead of 11.2"},
		"400 Hz, stated": {func(_ *assess.Location, c *assess.Case) { c.Method, c.Hertz = assess.Stated, 400 }, "1.6 cal/cm² instead of 11.2"},
		"the boundary alone": {func(_ *assess.Location, c *assess.Case) { c.Electrodes, c.Energy = "", 11.4 },
			"a boundary of 22.0472 in instead of "},
		"no electrodes, and the told numbers": {func(_ *assess.Location, c *assess.Case) {
			c.Electrodes, c.Energy, c.Boundary = "", 11.4, 2000
		}, ""},
	} {
		s := recomputed(t)
		s.Locations[1].Class = "other" // it has no typical values
		p := newShop(t, s)
		p.print("2026-04-02")
		s.Log.Changes = []assess.Change{change}
		if got := p.standing("P1", "2026-06-01"); !got.TooLow {
			t.Fatalf("%s: %+v", name, got.Screening)
		}
		l, k := p.row("P1")
		k.Surveyed, k.Prepared, k.Clear, k.ClearReduced = day(t, "2026-07-01"), day(t, "2026-07-10"), 350, 350
		c.change(l, k)
		place, _ := p.judge("2026-08-01").Place("P1")
		f := finding(place, assess.SurveyAlone)
		if (f == nil) != (c.want == "") || f != nil && (f.Level != assess.Error || !strings.Contains(f.Message, c.want)) {
			t.Errorf("%s: %+v, want %q", name, f, c.want)
		}
		if (place.Record == nil) != (c.want != "") {
			t.Errorf("%s: %+v", name, place.Assessment.Findings)
		}
	}
}

// The same for the line of the maintenance switch.
func TestToldOfTheSwitch(t *testing.T) {
	for name, c := range map[string]struct {
		change func(c *assess.Case)
		want   string
	}{
		"told, nothing recomputes it": {func(c *assess.Case) { c.Clear, c.ClearReduced, c.Electrodes = 350, 350, "" },
			"1.6 cal/cm² with the maintenance switch on instead of 11.2"},
		"not told": {func(c *assess.Case) { c.Energy = 1.7 }, "clear_ms 50 instead of 350"},
		"told":     {func(c *assess.Case) { c.Clear, c.ClearReduced, c.Energy, c.Boundary = 350, 350, 11.4, 2000 }, ""},
	} {
		s := recomputed(t)
		l := &s.Locations[1]
		on := l.Cases[0]
		on.Name, on.Maintenance = "on", true
		l.Cases[0].Name, l.Cases[0].Clear, l.Cases[0].ClearReduced = "off", 600, 600
		l.Cases[0].Energy, l.Cases[0].Boundary = 20, 2700
		l.Cases = append(l.Cases, on)
		p := newShop(t, s)
		if got := p.print("2026-04-02"); len(got) != 2 {
			place, _ := p.judge("2026-04-02").Place("P1")
			t.Fatalf("%v: %+v", got, place.Refusal(false))
		}
		s.Log.Changes = []assess.Change{{ID: "2026-05-06/P0", Date: day(t, "2026-05-06"), At: "P0", Kind: assess.ChangeKinds[2],
			By: "x", New: map[string]assess.NewValues{"P1": {Case: "on", Clear: 350, ClearReduced: 350}}}}
		if got := p.standing("P1", "2026-06-01"); !got.TooLow {
			t.Fatalf("%s: %+v", name, got.Screening)
		}
		for i := range l.Cases {
			l.Cases[i].Surveyed, l.Cases[i].Prepared = day(t, "2026-07-01"), day(t, "2026-07-10")
		}
		c.change(&l.Cases[1])
		place, _ := p.judge("2026-08-01").Place("P1")
		f := finding(place, assess.SurveyAlone)
		if (f == nil) != (c.want == "") || f != nil && (f.Level != assess.Error || !strings.Contains(f.Message, c.want)) {
			t.Errorf("%s: %+v, want %q", name, f, c.want)
		}
	}
}

// After a change to a device, a new digit in anything but what the device does is not
// a study of it.
func TestDeviceChangedDigit(t *testing.T) {
	for name, c := range map[string]struct {
		change func(l *assess.Location, c *assess.Case)
		kind   int
		told   assess.NewValues
		want   bool
	}{
		"energy": {func(_ *assess.Location, c *assess.Case) { c.Energy = 1.61 }, 1, assess.NewValues{}, true},
		"gap":    {func(_ *assess.Location, c *assess.Case) { c.Gap = 25.2 }, 1, assess.NewValues{}, true},
		"a case more": {func(l *assess.Location, c *assess.Case) {
			o := *c
			o.Name, o.Clear = "x", 40
			l.Cases = append(l.Cases, o)
		}, 1, assess.NewValues{}, true},
		"no durations": {func(_ *assess.Location, c *assess.Case) { c.Clear, c.ClearReduced, c.Energy = 0, 0, 1.61 }, 1, assess.NewValues{}, true},
		"duration": {func(_ *assess.Location, c *assess.Case) {
			c.Clear, c.ClearReduced, c.Energy, c.Boundary = 60, 60, 2, 620
		}, 1, assess.NewValues{}, false},
		"fault":             {func(_ *assess.Location, c *assess.Case) { c.Fault, c.Energy, c.Boundary = 13, 1.8, 600 }, 1, assess.NewValues{}, false},
		"not of the device": {func(_ *assess.Location, c *assess.Case) { c.Energy = 1.61 }, 7, assess.NewValues{}, false},
		"told":              {func(_ *assess.Location, c *assess.Case) { c.Energy = 1.61 }, 1, assess.NewValues{Clear: 50, ClearReduced: 50}, false},
		"its fault is told": {func(_ *assess.Location, c *assess.Case) { c.Energy = 1.61 }, 1, assess.NewValues{Fault: 12}, true},
	} {
		s := recomputed(t)
		p := newShop(t, s)
		p.print("2026-04-02")
		s.Log.Changes = []assess.Change{{ID: "2026-05-06/P0", Date: day(t, "2026-05-06"), At: "P0", Kind: assess.ChangeKinds[c.kind], By: "x"}}
		if c.told.Tells() {
			s.Log.Changes[0].New = map[string]assess.NewValues{"P1": c.told}
		}
		l, k := p.row("P1")
		k.Surveyed, k.Prepared = day(t, "2026-07-01"), day(t, "2026-07-10")
		c.change(l, k)
		place, _ := p.judge("2026-08-01").Place("P1")
		if f := finding(place, assess.SurveyAlone); (f != nil && f.Level == assess.Error) != c.want || f != nil && !f.Acceptable() {
			t.Errorf("%s: %+v", name, f)
		}
	}
}
