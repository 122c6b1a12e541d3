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

// reaches is slow and obviously right: it walks from the place of a change
// over single steps until nothing is new. The labels' own feeds and devices
// count as well as the rows'.
func reaches(s *assess.Site, subjects []Subject, at string, reach assess.Reach) map[string]bool {
	recorded := func(id string, of func(*Subject) []string) (all []string) {
		for i := range subjects {
			if subjects[i].ID == id {
				all = append(all, of(&subjects[i])...)
			}
		}
		return all
	}
	ups := func(b *assess.Location) []string {
		return append(slices.Clone(b.FedFrom()), recorded(b.ID, func(l *Subject) []string { return l.FedFrom })...)
	}
	devices := func(b *assess.Location) []string {
		all := recorded(b.ID, func(l *Subject) []string { return l.DeviceAt })
		for _, c := range b.Cases {
			all = append(all, c.DeviceAt)
		}
		return all
	}
	tiesOf := func(b *assess.Location) []string {
		return append(slices.Clone(b.TiedTo()), recorded(b.ID, func(l *Subject) []string { return l.TiedTo })...)
	}
	tied := func(a, b *assess.Location) bool {
		return slices.Contains(tiesOf(a), b.ID) || slices.Contains(tiesOf(b), a.ID)
	}
	feeds := func(a, b *assess.Location) bool { return slices.Contains(ups(b), a.ID) }
	stands := func(a, b *assess.Location) bool { return slices.Contains(devices(b), a.ID) } // b's device is at a
	in := map[string]bool{at: true}
	for grown := true; grown; {
		grown = false
		for i := range s.Locations {
			for j := range s.Locations {
				a, b := &s.Locations[i], &s.Locations[j]
				joined := feeds(a, b) || tied(a, b)
				if reach == assess.Connected {
					joined = joined || feeds(b, a) || stands(a, b) || stands(b, a)
				}
				if in[a.ID] && joined && !in[b.ID] {
					in[b.ID], grown = true, true
				}
			}
		}
	}
	below := map[string]bool{}
	for id := range in {
		below[id] = true
	}
	for i := range s.Locations {
		for j := range s.Locations {
			if in[s.Locations[i].ID] && stands(&s.Locations[i], &s.Locations[j]) {
				below[s.Locations[j].ID] = true
			}
		}
	}
	// What nobody knows reaches, and is reached by, everything; so is what
	// such a feed leads to.
	known := func(id string) bool { _, ok := s.Location(id); return ok || id == "" }
	lost := map[string]bool{}
	unknown := func(id string) bool { return !known(id) }
	for i := range s.Locations {
		b := &s.Locations[i]
		lost[b.ID] = b.FeedsUnknown() || slices.ContainsFunc(ups(b), unknown) || slices.ContainsFunc(tiesOf(b), unknown)
	}
	for grown := true; grown; {
		grown = false
		for i := range s.Locations {
			for j := range s.Locations {
				a, b := &s.Locations[i], &s.Locations[j]
				if lost[a.ID] && !lost[b.ID] && (feeds(a, b) || tied(a, b)) {
					lost[b.ID], grown = true, true
				}
			}
		}
	}
	for i := range s.Locations {
		b := &s.Locations[i]
		if lost[b.ID] || !known(at) || slices.ContainsFunc(devices(b), func(id string) bool { return !known(id) }) {
			below[b.ID] = true
		}
	}
	return below
}

// plants are random: several feeds, other ones in another case, ties, devices
// elsewhere, cells that cannot be read, loops too.
func randomPlant(r *rand.Rand, n int) *assess.Site {
	s := &assess.Site{Policy: assess.Policy{NoticeDays: 90}}
	id := func() string {
		if r.IntN(25) == 0 {
			return "gone"
		}
		return fmt.Sprintf("L%d", r.IntN(n))
	}
	for i := range n {
		l := assess.Location{ID: fmt.Sprintf("L%d", i), Cases: []assess.Case{{}}}
		for range r.IntN(3) {
			l.Cases[0].FedFrom = append(l.Cases[0].FedFrom, id())
		}
		if r.IntN(3) == 0 {
			l.Cases[0].DeviceAt = id()
		}
		if r.IntN(6) == 0 {
			l.Cases = append(l.Cases, assess.Case{Name: "tie", DeviceAt: id(), FedFrom: []string{id()}})
		}
		if r.IntN(5) == 0 {
			c := &l.Cases[len(l.Cases)-1]
			c.TiedTo = append(c.TiedTo, id())
		}
		if r.IntN(40) == 0 {
			l.LostFeeds = true
		}
		s.Locations = append(s.Locations, l)
	}
	return s
}

// Both reaches, over random topologies, with what is settled for all and for
// some, with surveys before, on and after the day of a change, and with more
// changes of a kind than one load holds.
func TestReachAgainstSlow(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	today := day(t, "2026-06-01")
	rounds := 100
	if suite.Exhaustive {
		rounds = 400
	}
	for round := range rounds {
		n := 1 + r.IntN(14)
		s := randomPlant(r, n)
		changes := r.IntN(12)
		if round%40 == 0 {
			changes = 600 // more than a load
		}
		for i := range changes {
			c := assess.Change{ID: fmt.Sprint(i), At: fmt.Sprintf("L%d", r.IntN(n)+r.IntN(20)/19), Date: day(t, "2026-01-01").AddDays(r.IntN(200)),
				Kind: assess.ChangeKinds[[]int{0, 0, 6, 9, 12}[r.IntN(5)]]}
			s.Log.Changes = append(s.Log.Changes, c)
			if r.IntN(4) == 0 {
				e := assess.Settlement{Change: c.ID, Date: c.Date.AddDays(r.IntN(60)), Scope: assess.Scope{All: r.IntN(3) == 0}}
				if !e.Scope.All {
					e.Scope.IDs = []string{fmt.Sprintf("L%d", r.IntN(n)), fmt.Sprintf("L%d", r.IntN(n))}
				}
				s.Log.Settlements = append(s.Log.Settlements, e)
			}
		}
		var subjects []Subject
		for i := range n {
			l := Subject{ID: s.Locations[i].ID, At: i, ReviewBy: day(t, "2031-03-01")}
			l.Base = day(t, "2026-01-01").AddDays(r.IntN(200))
			if r.IntN(4) == 0 { // the row was different when the label was printed
				l.FedFrom = []string{fmt.Sprintf("L%d", r.IntN(n))}
			}
			if r.IntN(8) == 0 {
				l.TiedTo = []string{fmt.Sprintf("L%d", r.IntN(n))}
			}
			if r.IntN(6) == 0 {
				l.DeviceAt = []string{fmt.Sprintf("L%d", r.IntN(n))}
			}
			subjects = append(subjects, l)
		}
		for i, got := range Of(subjects, s, today) {
			compare(t, s, subjects, &subjects[i], &got, today)
		}
		compareTouched(t, s, subjects, Touching(s, subjects, today, 7), today)
	}
}

// compare compares one standing with what every single change says.
func compare(t *testing.T, s *assess.Site, subjects []Subject, l *Subject, got *Standing, today assess.Date) {
	t.Helper()
	type sum struct {
		count       int
		first, last assess.Date
		open        []*assess.Change
	}
	want := map[string]sum{}
	settled := 0
	for _, c := range s.Log.Changes {
		if today.Before(c.Date) || c.Date.Before(l.Base) || !reaches(s, subjects, c.At, c.Kind.Reach)[l.ID] {
			continue
		}
		if slices.ContainsFunc(s.Log.Settlements, func(e assess.Settlement) bool {
			return e.Change == c.ID && !today.Before(e.Date) && e.Scope.Holds(l.ID)
		}) {
			settled++
			continue
		}
		w := want[c.Kind.Name]
		if w.count == 0 || c.Date.Before(w.first) {
			w.first = c.Date
		}
		if w.last.Before(c.Date) {
			w.last = c.Date
		}
		w.count++
		w.open = append(w.open, &c)
		want[c.Kind.Name] = w
	}
	if got.Settled != settled || len(got.Reasons) != len(want) || (got.Status == InQuestion) != (len(want) > 0) {
		t.Fatalf("%s: %+v\nwant %+v, %d settled", l.ID, got, want, settled)
	}
	for _, r := range got.Reasons {
		w := want[r.Kind]
		if last := r.Latest; r.Count != w.count || r.Since != w.first || (r.Count > 1 && last != w.last) {
			t.Fatalf("%s: %+v, want %+v", l.ID, r, w)
		}
		slices.SortStableFunc(w.open, func(a, b *assess.Change) int { return a.Date.Compare(b.Date) })
		var names []string
		for _, c := range w.open[:min(5, w.count)] {
			names = append(names, c.ID)
		}
		if w.count == 1 && r.Open != nil || w.count > 1 && !slices.Equal(r.Open, names) || r.Change != names[0] {
			t.Fatalf("%s: %s %v, want %v", l.ID, r.Change, r.Open, names)
		}
		words, more := ", and likewise "+strings.Join(names[1:], ", "), fmt.Sprintf(" and %d more", w.count-5)
		if (w.count > 1) != strings.Contains(r.Remedy.Words, words) || (w.count > 5) != strings.HasSuffix(r.Remedy.Words, more) {
			t.Fatalf("%s: %s, want %s%s", l.ID, r.Remedy.Words, words, more)
		}
	}
}

// compareTouched holds what the log says of each location against every single
// change, whether it counts or not: the newest ones, and how many older.
func compareTouched(t *testing.T, s *assess.Site, subjects []Subject, got []Touched, today assess.Date) {
	t.Helper()
	reached := make([]map[string]bool, len(s.Log.Changes))
	for i, c := range s.Log.Changes {
		reached[i] = reaches(s, subjects, c.At, c.Kind.Reach)
	}
	for i, l := range s.Locations {
		var want []*assess.Change
		for k := len(s.Log.Changes) - 1; k >= 0; k-- {
			if c := &s.Log.Changes[k]; reached[k][l.ID] && !today.Before(c.Date) {
				want = append(want, c)
			}
		}
		slices.SortStableFunc(want, func(a, b *assess.Change) int { return b.Date.Compare(a.Date) })
		most := min(7, len(want))
		if !slices.Equal(got[i].Changes, want[:most]) || got[i].More != len(want)-most {
			t.Fatalf("%s: %d and %d more; want %d and %d", l.ID, len(got[i].Changes), got[i].More, most, len(want)-most)
		}
	}
}

// A change on the day of the survey puts the label in question, a later survey
// clears it; an entry that is dated after today does not count.
func TestDaysOfChanges(t *testing.T) {
	s := &assess.Site{Locations: []assess.Location{{ID: "A"}, {ID: "B", Cases: []assess.Case{{FedFrom: []string{"A"}}}}},
		Log: assess.Log{Changes: []assess.Change{{ID: "x", At: "A", Date: day(t, "2026-05-06"), Kind: assess.ChangeKinds[0]}}}}
	status := func(surveyed, today string) Status {
		c := assess.Case{Prepared: day(t, "2027-01-01")}
		if surveyed != "" {
			c.Surveyed = day(t, surveyed)
		}
		at := assess.Location{Cases: []assess.Case{c}}
		l := Subject{ID: "B", At: 1, Prepared: c.Prepared, Base: at.Base(), ReviewBy: day(t, "2032-01-01")}
		return Of([]Subject{l}, s, day(t, today))[0].Status
	}
	for _, c := range []struct {
		surveyed, today string
		want            Status
	}{
		{"2026-05-05", "2027-01-01", InQuestion},
		{"2026-05-06", "2027-01-01", InQuestion}, // the same day
		{"2026-05-07", "2027-01-01", Holds},
		{"", "2027-01-01", Holds}, // else prepared counts
		{"2026-05-05", "2026-05-05", Holds},
		{"2026-05-05", "2026-05-06", InQuestion},
	} {
		if got := status(c.surveyed, c.today); got != c.want {
			t.Errorf("surveyed %q, today %s: %s, want %s", c.surveyed, c.today, got, c.want)
		}
	}
}

// Of several states the worst counts: withdrawn, in question, lapsed, falls
// due, holds.
func TestOrder(t *testing.T) {
	s := &assess.Site{Policy: assess.Policy{NoticeDays: 90, Edition: "NFPA 70E-2024"}, Locations: []assess.Location{{ID: "A"}},
		Log: assess.Log{Reviews: []assess.Review{{Date: day(t, "2026-05-06"), By: "X", Finding: assess.FoundWrong, Scope: assess.Scope{All: true}}}}}
	l := Subject{ID: "A", Prepared: day(t, "2026-01-01"), Base: day(t, "2026-01-01"), ReviewBy: day(t, "2026-02-01"), Edition: "NFPA 70E-2021",
		Withdrawn: &Withdrawal{Date: day(t, "2026-05-01"), Reason: "burnt"},
		Drift:     Drift{Policy: []Difference{{"cutoff_cal_cm2", "40", "8"}}}}
	today := day(t, "2026-06-01")
	want := []Status{Withdrawn, InQuestion, InQuestion, Lapsed, Holds}
	got := Of([]Subject{l}, s, today)[0]
	if got.Status != Withdrawn || len(got.Reasons) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i, r := range got.Reasons {
		if r.Status != want[i] {
			t.Errorf("reason %d: %s %s, want %s", i, r.Status, r.Cause, want[i])
		}
	}
	l.Withdrawn = nil
	if got := Of([]Subject{l}, s, today)[0]; got.Status != InQuestion || got.Worst().Cause != ReviewCause {
		t.Errorf("%+v", got)
	}
	s.Log.Reviews, l.Drift = nil, Drift{}
	if got := Of([]Subject{l}, s, today)[0]; got.Status != Lapsed {
		t.Errorf("%+v", got)
	}
	l.ReviewBy = day(t, "2026-07-01")
	if got := Of([]Subject{l}, s, today)[0]; got.Status != FallsDue {
		t.Errorf("%+v", got)
	}
	l.ReviewBy = day(t, "2031-07-01")
	if got := Of([]Subject{l}, s, today)[0]; got.Status != Holds || len(got.Reasons) != 1 || got.Reasons[0].Cause != EditionCause {
		t.Errorf("an older edition has no standing of its own: %+v", got)
	}
}

// Standing of 10,000, 100,000 and a million locations, a tree five wide with
// devices upstream, and 10,000 changes of every kind all over it.
func BenchmarkStanding(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			s, subjects := large(b, n)
			today := day(b, "2026-06-01")
			b.ReportAllocs()
			for b.Loop() {
				Of(subjects, s, today)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/location")
		})
	}
}

func large(t testing.TB, n int) (*assess.Site, []Subject) {
	s := &assess.Site{Policy: assess.Policy{NoticeDays: 90}}
	r := rand.New(rand.NewPCG(5, 6))
	subjects := make([]Subject, n)
	for i := range n {
		l := assess.Location{ID: fmt.Sprintf("L%d", i), Cases: []assess.Case{{}}}
		if i > 0 {
			up := fmt.Sprintf("L%d", (i-1)/5)
			l.Cases[0].FedFrom, l.Cases[0].DeviceAt = []string{up}, up
		}
		s.Locations = append(s.Locations, l)
		subjects[i] = Subject{ID: l.ID, At: i, Base: day(t, "2025-01-01").AddDays(r.IntN(400)), ReviewBy: day(t, "2030-03-01")}
	}
	for i := range 10_000 {
		c := assess.Change{ID: fmt.Sprint(i), At: fmt.Sprintf("L%d", r.IntN(n)), Date: day(t, "2025-01-01").AddDays(r.IntN(500)), Kind: assess.ChangeKinds[r.IntN(len(assess.ChangeKinds))]}
		s.Log.Changes = append(s.Log.Changes, c)
		if i%3 == 0 {
			s.Log.Settlements = append(s.Log.Settlements, assess.Settlement{Change: c.ID, Date: c.Date, Scope: assess.Scope{All: i%2 == 0, IDs: []string{c.At}}})
		}
	}
	return s, subjects
}

// A chain of 100,000 feeds, a change at its top.
func TestDeepChain(t *testing.T) {
	n := 100_000
	s := &assess.Site{}
	for i := range n {
		l := assess.Location{ID: fmt.Sprintf("L%d", i), Cases: []assess.Case{{}}}
		if i > 0 {
			l.Cases[0].FedFrom = []string{fmt.Sprintf("L%d", i-1)}
		}
		s.Locations = append(s.Locations, l)
	}
	if got := Reached(s, "L0", assess.Below); len(got) != n {
		t.Errorf("%d of %d are below the top", len(got), n)
	}
	if got := Reached(s, fmt.Sprintf("L%d", n-1), assess.Connected); len(got) != n {
		t.Errorf("%d of %d are connected with the end", len(got), n)
	}
}

// Two switchboards, each with its own transformer and a panel, tied together: a
// change at one side's transformer or switchboard reaches both sides, one at a
// panel only what it feeds; without the tie the sides are apart.
func TestReachAcrossATie(t *testing.T) {
	at := func(id string, tied []string, up ...string) assess.Location {
		return assess.Location{ID: id, Cases: []assess.Case{{FedFrom: up}, {Name: "tie closed", FedFrom: up, TiedTo: tied}}}
	}
	plant := func(tied ...string) *assess.Site {
		return &assess.Site{Locations: []assess.Location{
			at("T-1", nil), at("T-2", nil), at("SWB-1", nil, "T-1"), at("SWB-2", tied, "T-2"),
			at("P-1", nil, "SWB-1"), at("P-2", nil, "SWB-2")}}
	}
	for _, c := range []struct {
		at        string
		reach     assess.Reach
		tie, none string
	}{
		{"T-1", assess.Below, "[T-1 SWB-1 SWB-2 P-1 P-2]", "[T-1 SWB-1 P-1]"},
		{"SWB-1", assess.Below, "[SWB-1 SWB-2 P-1 P-2]", "[SWB-1 P-1]"},
		{"SWB-2", assess.Below, "[SWB-1 SWB-2 P-1 P-2]", "[SWB-2 P-2]"},
		{"P-1", assess.Below, "[P-1]", "[P-1]"},
		{"P-1", assess.Connected, "[T-1 T-2 SWB-1 SWB-2 P-1 P-2]", "[T-1 SWB-1 P-1]"},
	} {
		if got := fmt.Sprint(Reached(plant("SWB-1"), c.at, c.reach)); got != c.tie {
			t.Errorf("%s at %s, tied: %s, want %s", c.reach, c.at, got, c.tie)
		}
		if got := fmt.Sprint(Reached(plant(), c.at, c.reach)); got != c.none {
			t.Errorf("%s at %s, without a tie: %s, want %s", c.reach, c.at, got, c.none)
		}
	}
}

// Which locations one change reaches, over many small plants, as `change add`
// lists them.
func TestReachedAtRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	rounds := 2000
	if suite.Exhaustive {
		rounds = 10_000
	}
	for range rounds {
		s := randomPlant(r, 1+r.IntN(9))
		at := s.Locations[r.IntN(len(s.Locations))].ID
		for _, reach := range []assess.Reach{assess.Below, assess.Connected} {
			want := reaches(s, nil, at, reach)
			got := Reached(s, at, reach)
			for i := range s.Locations {
				id := s.Locations[i].ID
				if slices.Contains(got, id) != want[id] {
					t.Fatalf("%s at %s reaches %v, want %v\n%+v", reach, at, got, want, s.Locations)
				}
			}
		}
	}
}
