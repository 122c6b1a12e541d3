package standing

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
)

// printsTen is a label that prints 10 cal/cm², and a kiloampere is as much as
// a calorie to it. After a change of the device nothing is known without a
// duration.
func printsTen(told []assess.NewValues) Screening {
	var v assess.NewValues
	for _, one := range told {
		v = one.Over(v)
	}
	out := Screening{Printed: 10, Energy: assess.CalCM2(v.Fault)}
	if v.Device != "" && v.Clear == 0 {
		out.Energy = 0
	}
	if out.Over = out.Energy > 10; out.Over {
		out.Detail = fmt.Sprintf("%g cal/cm², above the printed 10 cal/cm²", out.Energy) + cover
	}
	out.known = out.Energy > 0 && !out.Over
	return out
}

// logOf is the log of a site of a feed A, and B below it.
type logOf struct {
	*testing.T
	site assess.Site
	line int
}

func newLogOf(t *testing.T) *logOf {
	l := &logOf{T: t}
	l.site.Locations = []assess.Location{{ID: "A"}, {ID: "B", Cases: []assess.Case{{FedFrom: []string{"A"}}}}}
	return l
}

// change logs one at A; 0 tells no fault current at B.
func (l *logOf) change(on, kind string, kA assess.KA) string {
	i := slices.IndexFunc(assess.ChangeKinds, func(k assess.ChangeKind) bool { return k.Name == kind })
	c := assess.Change{Date: day(l, on), At: "A", Kind: assess.ChangeKinds[i], ID: l.site.Log.NextID(day(l, on), "A")}
	if l.line++; kA > 0 {
		c.New = map[string]assess.NewValues{"B": {Fault: kA}}
	}
	c.Line = l.line
	l.site.Log.Changes = append(l.site.Log.Changes, c)
	return c.ID
}

func (l *logOf) settle(on, change, against string) {
	l.line++
	l.site.Log.Settlements = append(l.site.Log.Settlements, assess.Settlement{Change: change, Date: day(l, on), By: "E. Sample, PE",
		Reason: "x", AgainstScreening: against, Scope: assess.Scope{All: true}, Line: l.line})
}

func (l *logOf) b() *Standing {
	sub := Subject{ID: "B", At: 1, Base: day(l, "2026-01-01"), ReviewBy: day(l, "2031-06-01"), Unreviewed: day(l, "2031-01-01"), Screen: printsTen,
		Reviewed: &assess.Review{Date: day(l, "2026-06-01")}}
	return &Of([]Subject{sub}, &l.site, day(l, "2026-12-31"))[0]
}

func (l *logOf) expect(what string, status Status, over bool, against int) *Standing {
	l.Helper()
	s := l.b()
	if s.Status != status || s.Understated() != over || len(s.Against) != against {
		l.Errorf("%s: %s, %+v, %d against: %+v", what, s.Status, s.Screening, len(s.Against), s.Against)
	}
	if renewed := s.Until == day(l, "2031-06-01"); renewed == over {
		l.Errorf("%s: REVIEW BY %s", what, s.Until)
	}
	return s
}

// A settlement never releases a label whose screening is above what it prints,
// but one by somebody who is responsible for it; and then both are told for ever.
func TestSettlementAgainstScreening(t *testing.T) {
	l := newLogOf(t)
	utility := l.change("2026-02-01", "utility source changed", 11.17)
	l.expect("open", InQuestion, true, 0)
	l.settle("2026-02-02", utility, "")
	s := l.expect("settled without a word of it", InQuestion, true, 0)
	if r := s.Worst(); r == nil || r.Change != utility || !slices.Equal(s.Held, []string{utility}) || s.Settled != 0 || s.Screening.Others != 0 ||
		r.Remedy.Act != assess.ToAnswer {
		t.Errorf("the reason is not kept: %+v", s)
	}
	l.settle("2026-02-03", utility, "motors are off at night")
	s = l.expect("settled against it", Holds, false, 1)
	if got := s.Against[0].Words(); got != utility+" was settled against its screening (11.17 cal/cm², above the printed 10 cal/cm²) on 2026-02-03 by E. Sample, PE: motors are off at night" {
		t.Error(got)
	}
	// Later entries forget nothing.
	fuse := l.change("2026-03-01", "conductor changed", 0)
	l.expect("another change", InQuestion, false, 1)
	l.settle("2026-03-01", fuse, "")
	l.expect("settled too", Holds, false, 1)
	less := l.change("2026-04-01", "motor load changed", 10.5)
	l.expect("less, and still above", InQuestion, true, 1)
	l.settle("2026-04-01", less, "")
	l.expect("less than what somebody took responsibility for", Holds, false, 1)
	more := l.change("2026-05-01", "motor load changed", 12)
	l.settle("2026-05-01", more, "")
	s = l.expect("more than what somebody took responsibility for", InQuestion, true, 1)
	if !slices.Equal(s.Held, []string{less, more}) {
		t.Errorf("held %v", s.Held)
	}
	l.settle("2026-05-02", more, "measured")
	l.expect("accepted again", Holds, false, 2)
	// What brings it below what is printed releases it.
	l.change("2026-06-01", "motor load changed", 9)
	l.settle("2026-06-01", "2026-06-01/A", "")
	l.expect("below", Holds, false, 2)
}

// After a change of the device nothing is known: what was found too low before
// stays so, and says so.
func TestDeviceAfterValues(t *testing.T) {
	l := newLogOf(t)
	utility := l.change("2026-02-01", "utility source changed", 12)
	l.change("2026-03-01", "breaker replaced", 0)
	if s := l.expect("breaker replaced", InQuestion, true, 0); s.Screening == nil || !s.Screening.Over || !slices.Equal(s.Screening.Changes, []string{utility}) || s.Screening.Others != 1 {
		t.Errorf("%+v", s.Screening)
	}
	// Two on a day, in whichever order the settlements are in the file.
	l = newLogOf(t)
	l.settle("2026-02-01", "2026-02-01/A", "")
	l.settle("2026-02-01", "2026-02-01/A/2", "")
	l.change("2026-02-01", "utility source changed", 9)
	l.change("2026-02-01", "motor load changed", 12)
	l.expect("settled above the changes", InQuestion, true, 0)
}

// Random logs against the rule as it is written.
func TestHeldAgainstSlow(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 2))
	kinds := []string{"utility source changed", "motor load changed", "breaker replaced", "conductor changed"}
	count := map[string]int{}
	for range draws() {
		l := newLogOf(t)
		for range 1 + r.IntN(4) {
			on := day(t, "2025-12-30").AddDays(r.IntN(8)).String()
			id := l.change(on, kinds[r.IntN(4)], assess.KA([]int{0, 0, 8, 9, 11, 12, 13}[r.IntN(7)]))
			for range r.IntN(3) {
				l.settle(day(t, on).AddDays(r.IntN(4)).String(), id, []string{"", "", "reason"}[r.IntN(3)])
			}
		}
		changes := slices.DeleteFunc(slices.Clone(l.site.Log.Changes), func(c assess.Change) bool { return c.Date.Before(day(t, "2026-01-01")) })
		slices.SortStableFunc(changes, func(a, b assess.Change) int { return a.Date.Compare(b.Date) })
		until := func(counts func(assess.Change) bool) (energy float64) {
			known := true
			for _, c := range changes {
				if !counts(c) {
					continue
				}
				if c.Kind.Device {
					known = false // no durations are told here
				}
				if v, ok := c.New["B"]; ok {
					energy = float64(v.Fault)
				}
			}
			if !known {
				return 0
			}
			return energy
		}
		now := until(func(assess.Change) bool { return true })
		before := 0.0 // the last number before a change of the device of which nothing is told
		if n := len(changes); n > 0 && now == 0 {
			for before == 0 && n > 1 {
				n--
				before = until(func(c assess.Change) bool {
					return slices.ContainsFunc(changes[:n], func(x assess.Change) bool { return x.ID == c.ID })
				})
			}
		}
		open, answered, against, tells := false, now <= 10, 0, false
		for _, c := range changes {
			settled := slices.ContainsFunc(l.site.Log.Settlements, func(e assess.Settlement) bool { return e.Change == c.ID })
			open, tells = open || !settled, tells || c.New != nil
		}
		for _, e := range l.site.Log.Settlements {
			own := slices.IndexFunc(changes, func(c assess.Change) bool { return c.ID == e.Change })
			if own < 0 || e.AgainstScreening == "" || !tells {
				continue
			}
			then := until(func(c assess.Change) bool {
				return c.ID == e.Change || c.Date.Before(e.Date) || c.Date == e.Date && c.Line < e.Line
			})
			if then > 10 {
				against++
				answered = answered || then >= now
				if then >= before {
					before = 0
				}
			}
		}
		answered = answered && before <= 10
		got := l.b()
		in := open || !answered
		count[fmt.Sprint(open, answered, against > 0)]++
		if (got.Status == InQuestion) != in || len(got.Against) != against || !answered && !got.Understated() {
			var text []string
			for _, c := range l.site.Log.Changes {
				text = append(text, fmt.Sprint(c.ID, " ", c.Kind.Name, " ", c.New, " ", c.Line))
			}
			t.Fatalf("%+v\nopen %v, answered %v, against %d, now %v\n%s\n%+v", got, open, answered, against, now, strings.Join(text, "\n"), l.site.Log.Settlements)
		}
	}
	if len(count) < 7 { // all but "not answered, and nothing over"
		t.Errorf("something was never tried: %v", count)
	}
}

func TestUnconnected(t *testing.T) {
	at := func(id string, from, tied []string) assess.Location {
		return assess.Location{ID: id, Cases: []assess.Case{{FedFrom: from, TiedTo: tied}}}
	}
	s := &assess.Site{Policy: assess.Policy{Sources: []string{"U2"}}, Locations: []assess.Location{
		at("U", nil, nil), at("A", []string{"U"}, nil), at("B", []string{"A"}, nil), at("U2", nil, nil), at("C", []string{"U2"}, nil),
		at("lost", nil, nil), at("below", []string{"lost"}, nil), at("tied", nil, []string{"end"}), at("end", nil, nil), at("told", nil, nil)}}
	c := &assess.Change{At: "A", Kind: assess.ChangeKinds[0], New: map[string]assess.NewValues{"told": {Fault: 1}, "gone": {Fault: 1}}}
	if got := Unconnected(s, c); !slices.Equal(got, []string{"lost"}) {
		t.Errorf("%v", got)
	}
	if c.At = "gone"; Unconnected(s, c) != nil {
		t.Error("a change at a place that nobody knows reaches everything")
	}
}
