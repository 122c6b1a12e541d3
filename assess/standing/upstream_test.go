package standing

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/testdata/suite"
)

// restsOn is slow and obviously right: all locations on whose rows the study of one is
// based, by its row and the records of its labels. It climbs the feeds of the location
// and of the places of its own devices.
func restsOn(s *assess.Site, subjects []Subject, at int) map[string]bool {
	recorded := func(id string, of func(*Subject) []string) (all []string) {
		for i := range subjects {
			if subjects[i].ID == id {
				all = append(all, of(&subjects[i])...)
			}
		}
		return all
	}
	l := &s.Locations[at]
	queue := []string{l.ID}
	for _, c := range l.Cases {
		queue = append(queue, c.DeviceAt)
	}
	queue = append(queue, recorded(l.ID, func(l *Subject) []string { return l.DeviceAt })...)
	above := map[string]bool{}
	for len(queue) > 0 {
		id := queue[0]
		queue = queue[1:]
		up, known := s.Location(id)
		if !known || above[id] {
			continue
		}
		above[id] = true
		queue = append(queue, up.FedFrom()...)
		queue = append(queue, recorded(id, func(l *Subject) []string { return l.FedFrom })...)
		queue = append(queue, up.TiedTo()...)
		for i := range s.Locations { // a tie is one from either side
			if o := &s.Locations[i]; slices.Contains(o.TiedTo(), id) {
				queue = append(queue, o.ID)
			}
		}
	}
	delete(above, l.ID)
	return above
}

// Over random plants with loops, feeds that only a record knows, devices
// elsewhere, and more changed rows than one load holds.
func TestRowsUpstreamAgainstSlow(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 1))
	today, start := day(t, "2026-06-01"), day(t, "2026-01-01")
	rounds := 400
	if suite.Exhaustive {
		rounds = 10_000
	}
	told := 0
	for round := range rounds {
		n := 1 + r.IntN(14)
		if round%200 == 0 {
			n = 600
		}
		s := randomPlant(r, n)
		var subjects []Subject
		for i := range n {
			l := Subject{ID: s.Locations[i].ID, At: i, Prepared: start.AddDays(r.IntN(40)), ReviewBy: day(t, "2031-03-01")}
			if r.IntN(4) == 0 {
				l.FedFrom = []string{fmt.Sprintf("L%d", r.IntN(n))}
			}
			if r.IntN(6) == 0 {
				l.DeviceAt = []string{fmt.Sprintf("L%d", r.IntN(n))}
			}
			if r.IntN(2) == 0 || n > 100 {
				l.Moved = &Moved{Since: start.AddDays(r.IntN(40)), Found: r.IntN(9) == 0,
					Difference: Difference{Field: "fault_ka", Old: "12.25", New: fmt.Sprint(i)}}
			}
			subjects = append(subjects, l)
			if r.IntN(3) == 0 { // as the row would print it
				subjects = append(subjects, Subject{ID: l.ID, At: i, Prepared: start.AddDays(r.IntN(40)), ReviewBy: l.ReviewBy})
			}
		}
		for i, got := range Of(subjects, s, today) {
			if n > 100 && i%50 > 0 {
				continue
			}
			l, above := &subjects[i], restsOn(s, subjects, subjects[i].At)
			var rows []*Subject
			for k := range subjects {
				if u := &subjects[k]; above[u.ID] && u.Moved != nil && (u.Moved.Found || l.Prepared.Before(u.Moved.Since)) {
					rows = append(rows, u)
				}
			}
			slices.SortStableFunc(rows, func(a, b *Subject) int {
				if a.Moved.Found != b.Moved.Found {
					return map[bool]int{true: 1, false: -1}[a.Moved.Found]
				}
				return a.Moved.Since.Compare(b.Moved.Since)
			})
			at := slices.IndexFunc(got.Reasons, func(r Reason) bool { return r.Cause == RowCause })
			if (at >= 0) != (len(rows) > 0) || len(rows) > 0 && got.Status != InQuestion {
				t.Fatalf("round %d, %s of %s: %+v; %d rows", round, l.ID, l.Prepared, got, len(rows))
			}
			if at < 0 {
				continue
			}
			told++
			first, last, r := rows[0], rows[len(rows)-1].Moved, got.Reasons[at]
			since, latest := first.Moved.Since, last.Since
			if first.Moved.Found {
				since = today
			}
			if last.Found || len(rows) == 1 {
				latest = assess.Date{}
			}
			if r.Since != since || r.Found != first.Moved.Found || r.Count != len(rows) || r.Latest != latest ||
				!strings.Contains(r.Detail, first.ID+" fault_ka 12.25 → "+first.Moved.New) {
				t.Fatalf("round %d, %s: %+v, want since %s, %d until %s, %+v", round, l.ID, r, since, len(rows), latest, first.Moved)
			}
		}
	}
	if told == 0 {
		t.Error("no label rests on a changed row")
	}
}

// A study of the same day as the upstream one knows it; one of the day before
// does not. What nobody dated nobody knows.
func TestDaysOfRowsUpstream(t *testing.T) {
	s := &assess.Site{Locations: []assess.Location{{ID: "A", Cases: []assess.Case{{}}}, {ID: "B", Cases: []assess.Case{{FedFrom: []string{"A"}}}}}}
	moved := Moved{Since: day(t, "2026-05-06"), Difference: Difference{"fault_ka", "12.25", "25"}}
	for prepared, want := range map[string]Status{"2026-05-05": InQuestion, "2026-05-06": Holds, "2026-05-07": Holds} {
		for _, found := range []bool{false, true} {
			moved.Found = found
			subjects := []Subject{
				{ID: "A", At: 0, Prepared: day(t, "2026-01-01"), ReviewBy: day(t, "2031-01-01"), Moved: &moved},
				{ID: "B", At: 1, Prepared: day(t, prepared), ReviewBy: day(t, "2031-01-01")},
			}
			all := Of(subjects, s, day(t, "2026-06-01"))
			if found {
				want = InQuestion
			}
			if all[0].Status != Holds || all[1].Status != want {
				t.Errorf("%s, undated %v: A %+v, B %+v", prepared, found, all[0], all[1])
			}
			if w := all[1].Worst(); w != nil && !found && (w.Since != moved.Since ||
				w.Remedy.Words != "enter a study of this location, prepared on 2026-05-06 or later") {
				t.Errorf("%+v", w)
			}
		}
	}
}

// A chain of 10,000 locations, each of which has another current now.
func TestManyRowsUpstream(t *testing.T) {
	n := 10_000
	s := &assess.Site{}
	subjects := make([]Subject, n)
	for i := range n {
		l := assess.Location{ID: fmt.Sprintf("L%d", i), Cases: []assess.Case{{}}}
		if i > 0 {
			l.Cases[0].FedFrom = []string{fmt.Sprintf("L%d", i-1)}
		}
		s.Locations = append(s.Locations, l)
		subjects[i] = Subject{ID: l.ID, At: i, Prepared: day(t, "2026-01-01"), ReviewBy: day(t, "2031-01-01"),
			Moved: &Moved{Since: day(t, "2026-02-01"), Difference: Difference{"fault_ka", "1", "2"}}}
	}
	all := Of(subjects, s, day(t, "2026-06-01"))
	for _, i := range []int{0, 1, 255, 256, 257, n - 1} {
		count := 0
		for _, r := range all[i].Reasons {
			count += r.Count
		}
		if count != i {
			t.Errorf("%s rests on %d rows, want %d", subjects[i].ID, count, i)
		}
	}
}

// Whom nothing connects with the plant above is told so, and nobody else.
func TestUnfed(t *testing.T) {
	case1 := func(c assess.Case) []assess.Case { return []assess.Case{c} }
	s := &assess.Site{Policy: assess.Policy{Sources: []string{"UTL"}}, Locations: []assess.Location{
		{ID: "UTL", Cases: case1(assess.Case{})},
		{ID: "lone", Cases: case1(assess.Case{})},
		{ID: "feeds", Cases: case1(assess.Case{DeviceAt: "feeds"})},
		{ID: "fed", Cases: case1(assess.Case{FedFrom: []string{"feeds"}})},
		{ID: "ties", Cases: case1(assess.Case{TiedTo: []string{"tied"}})},
		{ID: "tied", Cases: case1(assess.Case{})},
		{ID: "device", Cases: case1(assess.Case{DeviceAt: "UTL"})},
		{ID: "recorded", Cases: case1(assess.Case{})},
		{ID: "second case", Cases: []assess.Case{{}, {Name: "tie", FedFrom: []string{"feeds"}}}},
	}}
	var subjects []Subject
	for i := range s.Locations {
		l := Subject{ID: s.Locations[i].ID, At: i, ReviewBy: day(t, "2031-01-01")}
		if l.ID == "recorded" {
			l.FedFrom = []string{"feeds"}
		}
		subjects = append(subjects, l)
	}
	for i, got := range Of(subjects, s, day(t, "2026-06-01")) {
		want := subjects[i].ID == "lone" || subjects[i].ID == "feeds"
		if got.Unfed != want || (got.NoChange() == DatesOnly) != want || got.Status != Holds {
			t.Errorf("%s: %+v, %q", subjects[i].ID, got, got.NoChange())
		}
	}
}

// What is printed too low comes before all others, keeps its status, and is not
// reported for a label that is removed.
func TestTooLow(t *testing.T) {
	s := &assess.Site{Locations: []assess.Location{{ID: "A", Cases: []assess.Case{{}}}},
		Log: assess.Log{Changes: []assess.Change{{ID: "x", At: "A", Date: day(t, "2026-05-06"), Kind: assess.ChangeKinds[0],
			New: map[string]assess.NewValues{"A": {Clear: 90}}}}}}
	l := Subject{ID: "A", ReviewBy: day(t, "2031-01-01"), Prepared: day(t, "2026-01-01"), Base: day(t, "2026-01-01")}
	for _, over := range []bool{false, true} {
		l.Screen = func([]assess.NewValues) Screening { return Screening{Over: over} }
		got := Of([]Subject{l}, s, day(t, "2026-06-01"))[0]
		if got.Status != InQuestion || got.TooLow != over || (got.Urgency() < Withdrawn.Rank()) != over {
			t.Errorf("over %v: %+v", over, got)
		}
	}
	l.Withdrawn = &Withdrawal{Date: day(t, "2026-05-20")}
	if got := Of([]Subject{l}, s, day(t, "2026-06-01"))[0]; got.Status != Withdrawn || got.TooLow {
		t.Errorf("a label that is off: %+v", got)
	}
}

// What stops a print of the row, and what the row itself cannot say.
func TestReasonsOfTheRow(t *testing.T) {
	s := &assess.Site{Locations: []assess.Location{{ID: "A", Cases: []assess.Case{{}}}}}
	today, ended := day(t, "2026-06-01"), day(t, "2026-04-02")
	for _, c := range []struct {
		name    string
		label   Subject
		details []string
		since   assess.Date // of the first; zero: found today
	}{
		{name: "refused", label: Subject{Refused: "x"}, details: []string{"its row has an error, so it could not be printed now: x"}},
		{name: "an acceptance ended", label: Subject{Refused: "x", RefusedSince: ended}, details: []string{"its row has an error, so it could not be printed now: x"}, since: ended},
		{name: "and the policy changed", label: Subject{Refused: "x", RefusedSince: ended, Drift: Drift{Policy: []Difference{{"kit", "A", "B"}}}},
			details: []string{"its row has an error, so it could not be printed now: x", "under the current policy the label would differ: kit A → B"}, since: ended},
		{name: "unreadable", label: Subject{Unreadable: "fault_ka: x", Refused: "fault_ka: x"}, details: []string{"a cell of its row cannot be read: fault_ka: x"}},
		{name: "no label", label: Subject{Unlabeled: true}, details: []string{"locations.csv says that it has no label (label = no)"}},
		{name: "another row", label: Subject{Refused: "x", Drift: Drift{Data: []Difference{{"voltage_v", "480", "208"}}}},
			details: []string{"locations.csv differs from the label's record: voltage_v 480 → 208"}},
	} {
		c.label.ID, c.label.ReviewBy = "A", day(t, "2031-01-01")
		got := Of([]Subject{c.label}, s, today)[0]
		var details []string
		for _, r := range got.Reasons {
			details = append(details, r.Detail)
		}
		since := c.since
		if since.IsZero() {
			since = today
		}
		if first := got.Reasons[0]; !slices.Equal(details, c.details) || got.Status != InQuestion || first.Since != since || first.Found != c.since.IsZero() {
			t.Errorf("%s: %q since %s, found %v", c.name, details, first.Since, first.Found)
		}
	}
}
