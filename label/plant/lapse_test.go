package plant

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
	"vouchmark/testdata/suite"
)

// works is an invented site: panels one below the other, by the study's word.
func works(t *testing.T, n int) *assess.Site {
	t.Helper()
	s := &assess.Site{Policy: assess.Policy{
		Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, NoticeDays: 90, Govern: assess.Larger,
		TolerancePercent: 5, Sources: []string{"P0"},
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 8, Wear: assess.Words{"": {"shirt"}}}, {Kit: "Kit B", Rating: 40, Wear: assess.Words{"": {"suit"}}}},
	}}
	for i := range n {
		l := assess.Location{ID: fmt.Sprintf("P%d", i), Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2}
		l.Cases = []assess.Case{{Method: assess.Stated, Energy: 5, Boundary: 1100, Fault: 12.25, Clear: 60, ClearReduced: 80,
			Surveyed: day(t, "2026-02-01"), Prepared: day(t, "2026-03-14")}}
		if i > 0 {
			l.Cases[0].FedFrom = []string{fmt.Sprintf("P%d", i-1)}
		}
		s.Locations = append(s.Locations, l)
	}
	return s
}

// shop prints labels of a site into a history that has no files.
type shop struct {
	*testing.T
	*assess.Site
	h       *record.History
	records map[record.ID]*record.Record
}

func newShop(t *testing.T, s *assess.Site) *shop {
	p := &shop{t, s, &record.History{Ledger: &record.Ledger{}, Labels: map[string]record.Printing{}}, map[record.ID]*record.Record{}}
	p.h.Load = func(id record.ID) (*record.Record, error) { return p.records[id], nil }
	return p
}

// judge is the site on a day.
func (p *shop) judge(today string) *Plant {
	p.Helper()
	v, err := New(p.Site, p.h, day(p.T, today), nil)
	if err != nil {
		p.Fatal(err)
	}
	return v
}

// print prints what may be printed on a day, of the places that are named or of
// all, and gives the ids of those.
func (p *shop) print(today string, only ...string) []string {
	p.Helper()
	v, on := p.judge(today), day(p.T, today)
	var printed []string
	for i := range v.Places {
		place := &v.Places[i]
		if len(only) > 0 && !slices.Contains(only, place.ID()) || place.Refusal(true) != nil {
			continue
		}
		printed = append(printed, place.ID())
		p.take(place.Record, on)
	}
	return printed
}

// stored is a record as its file has it, which no later edit of the rows reaches.
func stored(t *testing.T, r *record.Record) (*record.Record, record.ID) {
	t.Helper()
	data, id, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if r, err = record.Decode(data); err != nil {
		t.Fatal(err)
	}
	return r, id
}

// take makes a record the label of its location that was printed last.
func (p *shop) take(r *record.Record, on assess.Date) {
	p.Helper()
	r, id := stored(p.T, r)
	p.records[id] = r
	next := record.Label{ID: id, Since: on, Printed: on}
	if last, again := p.h.Labels[r.Location.ID]; again {
		next.Earlier = last.Earlier
		if last.ID == id {
			next.Since = last.Since
		} else {
			next.Earlier = append(slices.Clone(last.Earlier), record.Earlier{ID: last.ID, Replaced: on, By: id})
		}
	}
	p.h.Labels[r.Location.ID] = record.Printing{Label: &next, Record: r}
}

// force prints the row of a location whatever is against it.
func (p *shop) force(id string, on assess.Date) {
	p.Helper()
	place, _ := p.judge(on.String()).Place(id)
	p.take(record.Next(place.last(), record.New(place.Assessment)), on)
}

func (p *shop) row(id string) (*assess.Location, *assess.Case) {
	l, _ := p.Location(id)
	return l, &l.Cases[0]
}

// standing of the label of a place on a day.
func (p *shop) standing(id, today string) standing.Standing {
	p.Helper()
	place, _ := p.judge(today).Place(id)
	return place.Printed.Standing
}

// worst is the reason that decides it.
func (p *shop) worst(id, today string) *standing.Reason {
	s := p.standing(id, today)
	return s.Worst()
}

// causes are those that count against a label.
func causes(s standing.Standing) string {
	var all []string
	for _, r := range s.Reasons {
		if r.Status != standing.Holds {
			all = append(all, string(r.Cause))
		}
	}
	return strings.Join(all, ", ")
}

func finding(p *Place, code assess.Code) *assess.Finding {
	for i := range p.Assessment.Findings {
		if f := &p.Assessment.Findings[i]; f.Code == code {
			return f
		}
	}
	return nil
}

func accept(t *testing.T, code assess.Code, date, until string, at ...string) assess.Acceptance {
	a := assess.Acceptance{Finding: code, By: "E. Sample, PE", Date: day(t, date), Reason: "a reason", At: at}
	if until != "" {
		a.Until = day(t, until)
	}
	return a
}

// When an acceptance ends, the label is in question from the next day, and a
// print refuses; a new acceptance puts both right.
func TestAcceptanceEnds(t *testing.T) {
	s := works(t, 2)
	s.Locations[1].Rating = 10 // 12.25 kA is available
	p := newShop(t, s)
	if got := p.print("2026-04-01"); !slices.Equal(got, []string{"P0"}) {
		t.Fatalf("printed %v before anybody accepted", got)
	}
	s.Policy.Accept = []assess.Acceptance{accept(t, assess.OverRating, "2026-04-02", "2026-09-30", "P1")}
	if got := p.print("2026-04-02", "P1"); !slices.Equal(got, []string{"P1"}) {
		t.Fatalf("printed %v", got)
	}
	if r := p.h.Labels["P1"].Record; len(r.Accept) != 1 || r.Accept[0].Finding != assess.OverRating {
		t.Errorf("the record has %+v", r.Accept)
	}
	if v := p.judge("2026-09-30"); len(bound(v)) > 0 {
		t.Errorf("on its last day: %+v", v.Findings)
	} else if place, _ := v.Place("P1"); place.Printed.Standing.Status != standing.Holds || place.Refusal(false) != nil || place.Record != place.Printed.Record {
		t.Errorf("on its last day: %+v, %+v", place.Printed.Standing, place.Refusal(false))
	}
	for _, today := range []string{"2026-10-01", "2027-05-05"} {
		v := p.judge(today)
		place, _ := v.Place("P1")
		w := place.Printed.Standing.Worst()
		if place.Printed.Standing.Status != standing.InQuestion || w.Since != day(t, "2026-10-01") || w.Found ||
			!strings.HasPrefix(w.Detail, "its row has an error, so it could not be printed now: 12.25 kA is available") ||
			!strings.HasSuffix(w.Detail, "E. Sample, PE was responsible for it until 2026-09-30") || place.Refusal(false) == nil || place.Record != nil {
			t.Errorf("%s: %+v", today, w)
		}
		if f := bound(v); len(f) != 1 || f[0].Code != assess.AcceptUnused {
			t.Errorf("%s: %+v", today, v.Findings)
		}
	}
	s.Policy.Accept = append(s.Policy.Accept, accept(t, assess.OverRating, "2026-10-05", "", "P1"))
	place, _ := p.judge("2026-10-05").Place("P1")
	if place.Printed.Standing.Status != standing.Holds || place.Refusal(false) != nil {
		t.Errorf("accepted again: %+v", place.Printed.Standing)
	}
	if place.Record != place.Printed.Record {
		t.Error("accepted again by the same person, the label is another one")
	}
	s.Policy.Accept[1].By = "Q. Sample, PE"
	if place, _ = p.judge("2026-10-05").Place("P1"); place.Record == place.Printed.Record {
		t.Error("accepted by another person, the label names the first one")
	}
	// The entry was taken out: since when nobody answers is not known.
	s.Policy.Accept = nil
	if w := p.worst("P1", "2026-08-01"); w == nil || !w.Found {
		t.Errorf("taken out: %+v", w)
	}
	if w := p.worst("P1", "2026-12-01"); w == nil || w.Found || w.Since != day(t, "2026-10-01") {
		t.Errorf("taken out after its end: %+v", w)
	}
	// And that the policy changed as well does not hide it.
	s.Policy.Ladder[0].Kit = "Kit X"
	if got := causes(p.standing("P1", "2026-12-01")); got != "finding, policy drift" {
		t.Errorf("with another ladder: %s", got)
	}
}

// Without a day of its own it ends with REVIEW BY.
func TestAcceptanceEndsWithReviewBy(t *testing.T) {
	s := works(t, 1)
	s.Locations[0].Rating = 10
	s.Policy.Accept = []assess.Acceptance{accept(t, assess.OverRating, "2026-04-02", "", "P0")}
	p := newShop(t, s)
	p.print("2026-04-02")
	if got := p.standing("P0", "2031-03-14"); got.Status != standing.FallsDue {
		t.Errorf("on REVIEW BY: %+v", got)
	}
	if got := p.standing("P0", "2031-03-15"); causes(got) != "finding, age" || got.Reasons[0].Since != day(t, "2031-03-15") {
		t.Errorf("on the day after: %+v", got)
	}
}

// An acceptance speaks of the numbers that its label was printed by.
func TestAcceptanceOfOtherNumbers(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(l *assess.Location)
		counts bool
	}{
		{"nothing", func(*assess.Location) {}, true},
		{"another area", func(l *assess.Location) { l.Area = "Roof" }, true},
		{"a note", func(l *assess.Location) { l.Cases[0].Note = "x" }, true},
		{"more current", func(l *assess.Location) { l.Cases[0].Fault = 18 }, false},
		{"less current", func(l *assess.Location) { l.Cases[0].Fault = 11 }, false},
		{"a lower rating", func(l *assess.Location) { l.Rating = 9 }, false},
		{"another survey", func(l *assess.Location) { l.Cases[0].Surveyed = day(t, "2026-02-11") }, false},
		{"another device", func(l *assess.Location) { l.Cases[0].Device = "52-1" }, false},
	} {
		s := works(t, 1)
		s.Locations[0].Rating = 10
		s.Policy.Accept = []assess.Acceptance{accept(t, assess.OverRating, "2026-04-02", "2026-12-31", "P0")}
		p := newShop(t, s)
		p.print("2026-04-02")
		c.change(&s.Locations[0])
		place, _ := p.judge("2026-05-01").Place("P0")
		f := finding(place, assess.OverRating)
		if f == nil || (f.Level == assess.Caution) != c.counts || (f.AcceptedBy != "") != c.counts ||
			strings.Contains(f.Message, "accepted by") != c.counts || (place.Refusal(false) == nil) != c.counts {
			t.Errorf("%s: %+v, refused %+v", c.name, f, place.Refusal(false))
		}
		if !c.counts && place.Assessment.Findings[0].Level != assess.Error {
			t.Errorf("%s: errors are not first: %+v", c.name, place.Assessment.Findings)
		}
		// Accepted again, the row prints again.
		s.Policy.Accept = append(s.Policy.Accept, accept(t, assess.OverRating, "2026-05-01", "2026-12-31", "P0"))
		if place, _ = p.judge("2026-05-01").Place("P0"); place.Refusal(false) != nil {
			t.Errorf("%s: accepted again, and refused: %+v", c.name, place.Refusal(false))
		}
	}
}

// Nor does it count for other numbers when labels were printed between.
func TestAcceptanceOfOtherNumbersLater(t *testing.T) {
	s := works(t, 1)
	l := &s.Locations[0]
	s.Policy.Accept = []assess.Acceptance{accept(t, assess.OverRating, "2026-04-02", "2026-12-31", "P0")}
	p := newShop(t, s)
	for _, c := range []struct {
		on     string
		rating assess.KA
		prints bool
	}{{"2026-04-02", 10, true}, {"2026-04-10", 22, true}, {"2026-04-20", 5, false}, {"2026-04-21", 10, true}, {"2026-04-22", 22, true}, {"2026-04-23", 9.9, false}} {
		l.Rating = c.rating
		if got := p.print(c.on); (len(got) == 1) != c.prints {
			t.Errorf("rated %v kA: printed %v", c.rating, got)
		}
	}
}

// Where two acceptances count, the one that ends last does.
func TestAcceptanceRenewed(t *testing.T) {
	s := works(t, 1)
	s.Locations[0].Rating = 10
	s.Policy.Accept = []assess.Acceptance{accept(t, assess.OverRating, "2026-04-02", "2026-09-30", "P0")}
	p := newShop(t, s)
	p.print("2026-04-02")
	if got := p.standing("P0", "2026-08-01"); got.Until != day(t, "2026-09-30") {
		t.Errorf("until %s", got.Until)
	}
	s.Policy.Accept = append(s.Policy.Accept, accept(t, assess.OverRating, "2026-07-01", "2027-09-30", "P0"))
	place, _ := p.judge("2026-08-01").Place("P0")
	if got := place.Printed.Standing; got.Until != day(t, "2027-09-30") || got.Ends == nil || got.Ends.Date != day(t, "2026-07-01") {
		t.Errorf("renewed: until %s, %+v", got.Until, got.Ends)
	}
	if f := finding(place, assess.OverRating); f == nil || !strings.Contains(f.Message, "until 2027-09-30") {
		t.Errorf("renewed: %+v", f)
	}
	if place.Record != place.Printed.Record {
		t.Error("renewed, the label is another one")
	}
}

// A label by older rules goes on holding, in either form of record. Where its
// row has an error now for which nobody answers, it is in question, whatever
// else the policy changed: equipment above its rating was a caution then.
func TestOlderRules(t *testing.T) {
	const today = "2026-06-30"
	mill, h := read(t, "../../testdata/records1/mill", day(t, today))
	first := newShop(t, mill)
	first.h = h
	held := ""
	for _, place := range first.judge(today).Places {
		if place.Printed != nil && place.Printed.Standing.Status == standing.Holds && place.Printed.Record.Schema == 1 {
			held = place.ID()
		}
	}
	if held == "" {
		t.Fatal("no label of the first form holds")
	}
	second := newShop(t, works(t, 1))
	second.print("2026-04-02")
	for id, p := range map[string]*shop{held: first, "P0": second} {
		printing := p.h.Labels[id]
		r, rows := *printing.Record, *printing.Record.Location
		l, _ := p.row(id)
		r.Rules, r.Location, printing.Record = 1, &rows, &r
		p.h.Labels[id] = printing
		if got := p.standing(id, today); got.Status != standing.Holds {
			t.Errorf("%s: %+v", id, got)
		}
		l.Rating, rows.Rating = 0.5, 0.5
		s := p.standing(id, today)
		if w := s.Worst(); causes(s) != "finding" || !w.Found || !strings.Contains(w.Detail, "now: ") || !strings.HasSuffix(w.Detail, "[over-rating]") {
			t.Errorf("%s above its rating: %s: %+v", id, causes(s), *w.Ground)
		}
		p.Policy.Ladder = slices.Clone(p.Policy.Ladder)
		p.Policy.Ladder[0].Kit = "Another name"
		if got := causes(p.standing(id, today)); got != "finding, policy drift" {
			t.Errorf("%s above its rating with another ladder: %s", id, got)
		}
		p.Policy.Accept = []assess.Acceptance{accept(t, assess.OverRating, "2026-06-01", "", id)}
		if got := causes(p.standing(id, today)); got != "policy drift" {
			t.Errorf("%s above its rating, accepted: %s", id, got)
		}
	}
}

// Whatever is accepted, printed and judged when, a label holds until the last
// acceptance of each of its errors ends.
func TestAcceptancesAgainstSlow(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 2))
	rounds := 400
	if suite.Exhaustive {
		rounds = 10_000
	}
	codes := []assess.Code{assess.OverRating, assess.OverInterrupting}
	start := day(t, "2026-04-01")
	seen := map[standing.Status]int{}
	for round := range rounds {
		s := works(t, 1+r.IntN(4))
		errors := map[string][]assess.Code{}
		for i := range s.Locations {
			l := &s.Locations[i]
			if r.IntN(2) == 0 {
				l.Rating = 10
				errors[l.ID] = append(errors[l.ID], assess.OverRating)
			}
			if r.IntN(3) == 0 {
				l.Cases[0].DeviceRating = 5
				errors[l.ID] = append(errors[l.ID], assess.OverInterrupting)
			}
		}
		for _, code := range codes {
			for range r.IntN(4) {
				a := assess.Acceptance{Finding: code, By: fmt.Sprint("P", r.IntN(2)), Date: start.AddDays(r.IntN(40) - 25), Reason: "r"}
				if r.IntN(5) > 0 {
					a.Until = a.Date.AddDays(r.IntN(60))
				}
				for i := range s.Locations {
					if r.IntN(3) > 0 {
						a.At = append(a.At, s.Locations[i].ID)
					}
				}
				s.Policy.Accept = append(s.Policy.Accept, a)
			}
		}
		p := newShop(t, s)
		printed := p.print(start.String())
		reviewBy := day(t, "2031-03-14")
		// end is the last day on which somebody is responsible for an error, by the
		// acceptances that count on a day; zero for none that day.
		end := func(id string, code assess.Code, today assess.Date) (last assess.Date) {
			for _, a := range s.Policy.Accept {
				until := a.Until
				if until.IsZero() {
					until = reviewBy
				}
				if a.Finding == code && slices.Contains(a.At, id) && !a.Date.Before(day(t, "2026-03-14")) &&
					!today.Before(a.Date) && !until.Before(today) && last.Before(until) {
					last = until
				}
			}
			return last
		}
		for i := range s.Locations {
			id, want := s.Locations[i].ID, true
			for _, code := range errors[id] {
				want = want && !end(id, code, start).IsZero()
			}
			if slices.Contains(printed, id) != want {
				t.Fatalf("round %d: %s printed %v, want %v; %+v", round, id, !want, want, s.Policy.Accept)
			}
		}
		for range 3 {
			today := start.AddDays(r.IntN(90))
			v := p.judge(today.String())
			for _, id := range printed {
				// Day by day: since when an error has nobody who answers.
				since := assess.Date{}
				for _, code := range errors[id] {
					if !end(id, code, today).IsZero() {
						continue
					}
					d := today
					for end(id, code, d.AddDays(-1)).IsZero() {
						d = d.AddDays(-1)
					}
					if since.IsZero() || d.Before(since) {
						since = d
					}
				}
				place, _ := v.Place(id)
				got := place.Printed.Standing
				seen[got.Status]++
				if (got.Status == standing.InQuestion) != !since.IsZero() || !since.IsZero() && (got.Worst().Since != since || got.Worst().Found) {
					t.Fatalf("round %d, %s on %s: %+v, want since %s\n%+v", round, id, today, got, since, s.Policy.Accept)
				}
			}
		}
	}
	if seen[standing.Holds] == 0 || seen[standing.InQuestion] == 0 {
		t.Errorf("%v", seen)
	}
}

// A row with an unreadable cell, and a place with label = no.
func TestUnreadableAndUnlabeled(t *testing.T) {
	s := works(t, 3)
	p := newShop(t, s)
	s.Locations[2].Unlabeled = true
	p.print("2026-04-02")
	place, _ := p.judge("2026-05-01").Place("P2")
	if r := place.Refusal(true); place.State() != NoLabel || place.Record != nil || r == nil || !r.Unlabeled || r.Interim || !strings.HasSuffix(r.Why, "(label = no)") {
		t.Errorf("%s, %+v", place.State(), r)
	}
	if v := p.judge("2026-05-01"); v.Stopped() {
		t.Error("a place without a label counts as stopped")
	}
	s.Locations[0].Unlabeled = true
	s.Locations[1].Unreadable = []assess.Finding{{Level: assess.Error, Code: assess.Unreadable, Field: "fault_ka", Message: `"12,25 kA?" is not a number`}}
	s.Locations[1].Cases[0].Fault = 0
	v := p.judge("2026-05-01")
	v.MeasureHeadroom()
	for id, want := range map[string]string{
		"P0": "locations.csv says that it has no label (label = no)",
		"P1": `a cell of its row cannot be read: fault_ka: "12,25 kA?" is not a number [unreadable]`,
	} {
		place, _ := v.Place(id)
		got := place.Printed.Standing
		if got.Status != standing.InQuestion || len(got.Reasons) != 1 || got.Reasons[0].Detail != want || len(got.Reasons[0].Differences) > 0 {
			t.Errorf("%s: %+v", id, got)
		}
		if r := ReprintRefusal(&got, place); r == nil || r.Interim {
			t.Errorf("%s reprints: %+v", id, r)
		}
	}
}

// bound are the findings of a site, except those about acceptances without numbers,
// which these tests have.
func bound(p *Plant) []assess.Finding {
	return slices.DeleteFunc(slices.Clone(p.Findings), func(f assess.Finding) bool { return f.Code == assess.AcceptUnbound })
}
