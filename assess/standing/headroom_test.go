package standing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
)

// board is a low-voltage switchboard with a relay's curve: fast above 8 kA,
// slow below. The owner's ladder is invented.
func board(t testing.TB, fault float64) (*assess.Site, *assess.Location) {
	t.Helper()
	points := []arc.Point{{CurrentA: 500, TimeS: 4}, {CurrentA: 2000, TimeS: 1}, {CurrentA: 8000, TimeS: 0.4}, {CurrentA: 8000, TimeS: 0.06}, {CurrentA: 90000, TimeS: 0.05}}
	c, err := arc.NewCurve(points, true, true, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	s := &assess.Site{Curves: map[string]*assess.Curve{"r.csv": {File: "r.csv", Points: points, TolerancePercent: 10, Curve: c}},
		Policy: assess.Policy{Cutoff: 40, Ladder: []assess.Rung{{Kit: "A", Rating: 4}, {Kit: "B", Rating: 8}, {Kit: "C", Rating: 40}}}}
	s.Locations = []assess.Location{{ID: "SWB-1", Supply: shock.AC3, Voltage: 480, Distance: 609.6,
		Cases: []assess.Case{{Electrodes: "VCB", Gap: 32, Height: 508, Width: 508, Depth: 508, Method: assess.IEEE1584, Fault: assess.KA(fault), Curve: "r.csv"}}}}
	return s, &s.Locations[0]
}

// of are the inputs of a location in a site.
func of(s *assess.Site, l *assess.Location) *assess.Inputs {
	in := s.Inputs(l)
	return &in
}

// governs is an energy that decides a label, of a case.
func governs(e assess.CalCM2, name string) assess.Governing[assess.CalCM2] {
	return assess.Governing[assess.CalCM2]{Value: e, Case: name, From: assess.FromComputed}
}

func compute(t testing.TB, s *assess.Site, l *assess.Location) *assess.Computed {
	t.Helper()
	r, why, _ := assess.Compute(of(s, l), &l.Cases[0])
	if r == nil {
		t.Fatal(why)
	}
	return r
}

// The interval of the fault current is the connected one: every current in it
// keeps the limit, and just outside the energy exceeds it or there is none. By
// a scan of the whole evaluation, which the headroom does not use.
func TestFaultRoomAgainstScan(t *testing.T) {
	for _, fault := range []float64{22, 40} {
		s, l := board(t, fault)
		now := compute(t, s, l)
		h := HeadroomOf(of(s, l), governs(now.Energy, ""))
		if h.WhyNot != "" || h.Energy == nil || h.Kit == nil || h.Signal == nil {
			t.Fatalf("%+v", h)
		}
		for name, r := range map[string]*Room{"energy": h.Energy, "kit": h.Kit, "signal": h.Signal} {
			at := func(kA float64) (assess.CalCM2, bool) {
				moved := *l
				c := l.Cases[0]
				c.Fault = assess.KA(kA)
				moved.Cases = []assess.Case{c}
				x, _, _ := assess.Compute(of(s, &moved), &moved.Cases[0])
				if x == nil {
					return 0, false
				}
				return x.Energy, true
			}
			f := *r.FaultKA
			for i := range 2001 {
				kA := f[0] * math.Pow(f[1]/f[0], float64(i)/2000)
				if e, ok := at(min(max(kA, f[0]), f[1])); !ok || e > r.Limit*(1+1e-9) {
					t.Fatalf("%s at %v kA: %v cal/cm2 inside the room to %v", name, kA, e, r.Limit)
				}
			}
			for _, out := range []float64{f[0] * (1 - 1e-6), f[1] * (1 + 1e-6)} {
				if e, ok := at(out); ok && e <= r.Limit*(1-1e-6) {
					t.Errorf("%s: %v kA gives %v, below %v, and lies outside of %v", name, out, e, r.Limit, f)
				}
			}
		}
		if h.Energy.Limit > h.Kit.Limit || h.Kit.Limit > h.Signal.Limit {
			t.Errorf("limits out of order: %+v", h)
		}
	}
}

// Each duration alone may grow to its room and no further; IEEE 1584-2018 is
// linear in the duration (eq. 3 to 6).
func TestDurationRoom(t *testing.T) {
	s, l := board(t, 30)
	c := &l.Cases[0]
	c.Curve, c.Clear, c.ClearReduced = "", 60, 75
	now := compute(t, s, l)
	h := HeadroomOf(of(s, l), governs(now.Energy, ""))
	for _, r := range []*Room{h.Energy, h.Kit, h.Signal} {
		if r.FaultKA != nil || !strings.Contains(h.WhyNot, "a lower current may clear later") {
			t.Errorf("a fault current without a curve: %+v, %q", r, h.WhyNot)
		}
		for _, grown := range []func(f float64){
			func(f float64) { c.Clear, c.ClearReduced = assess.MS(f**r.ClearMS), 75 },
			func(f float64) { c.Clear, c.ClearReduced = 60, assess.MS(f**r.ClearReducedMS) },
		} {
			grown(1)
			if e := compute(t, s, l).Energy; e > r.Limit*(1+1e-8) || e < r.Limit*(1-1e-6) {
				t.Errorf("at the room's end %v, want %v", e, r.Limit)
			}
			c.Clear, c.ClearReduced = 60, 75
		}
	}
	if want := float64(h.Energy.Limit/now.Energy-1) * 100; math.Abs(h.Energy.Percent-want) > 0.1 || h.Energy.Percent > want {
		t.Errorf("%v %%, want %v rounded down", h.Energy.Percent, want)
	}
}

// What has no room says why: a stated row, a label above its own number, a
// DANGER label, which has no kit to be too weak.
func TestNoRoom(t *testing.T) {
	s, l := board(t, 30)
	now := compute(t, s, l)
	if h := HeadroomOf(of(s, l), governs(now.Energy/2, "")); h.Energy != nil || !strings.Contains(h.WhyNot, "above the") {
		t.Errorf("%+v", h)
	}
	s.Policy.Cutoff = 1.2
	if h := HeadroomOf(of(s, l), governs(now.Energy, "")); h.Energy == nil || h.Kit != nil || h.Signal != nil {
		t.Errorf("DANGER: %+v", h)
	}
	l.Cases[0].Method = assess.Stated
	if h := HeadroomOf(of(s, l), governs(5, "")); h.Energy != nil || !strings.Contains(h.WhyNot, "stated") {
		t.Errorf("%+v", h)
	}
}

// Below 1.2 the margin goes up to a printed 1.1.
func TestRoomBelowThreshold(t *testing.T) {
	s, l := board(t, 30)
	c := &l.Cases[0]
	c.Curve, c.Clear, c.ClearReduced = "", 10, 10
	now := compute(t, s, l)
	h := HeadroomOf(of(s, l), governs(now.Energy, ""))
	if now.Energy >= 1.1 || h.Kit == nil || h.Kit.Limit != 1.1 {
		t.Errorf("%v cal/cm2: %+v", now.Energy, h.Kit)
	}
}

// Of several cases the one with the most energy comes first, the others after.
func TestRoomOfCases(t *testing.T) {
	s, l := board(t, 30)
	other := l.Cases[0]
	other.Name, other.Fault = "minimum", 12
	l.Cases[0].Name = "maximum"
	l.Cases = append(l.Cases, other)
	worst := assess.CalCM2(0)
	name := ""
	for i := range l.Cases {
		r, _, _ := assess.Compute(of(s, l), &l.Cases[i])
		if r.Energy > worst {
			worst, name = r.Energy, r.Case
		}
	}
	if h := HeadroomOf(of(s, l), governs(worst, name)); h.Case != name || len(h.OtherCases) != 1 || h.OtherCases[0].Case == name {
		t.Errorf("%+v, want %s first", h, name)
	}
}

func TestScreen(t *testing.T) {
	s, l := board(t, 30)
	c := &l.Cases[0]
	c.Curve, c.Clear, c.ClearReduced, c.DeviceRating = "", 60, 60, 65
	now := compute(t, s, l)
	printed := Printed{Energy: assess.PrintedCal(now.Energy), Boundary: now.Boundary * 1.05, Fault: 30}
	for _, k := range []struct {
		name   string
		values assess.NewValues
		over   bool
		want   string
	}{
		{"faster", assess.NewValues{Clear: 45, ClearReduced: 45}, false, fmt.Sprintf("still below what is printed, margin %s; a qualified person must accept it", assess.Percent(float64(1-now.Energy*0.75/printed.Energy)*100))},
		{"slower", assess.NewValues{Clear: 90, ClearReduced: 90}, true, fmt.Sprintf("%.4g cal/cm², above the printed %.9g cal/cm²: cover the label", now.Energy*1.5, printed.Energy)},
		{"one duration alone that is too much", assess.NewValues{Clear: 600}, true, ": cover the label"},
		{"one duration alone", assess.NewValues{Clear: 45}, false, "not possible: the full and the reduced arcing current each need a duration"},
		{"another current alone", assess.NewValues{Fault: 20}, false, "not possible: at 20 kA the device may clear at a different time"},
		{"too much current alone", assess.NewValues{Fault: 33}, true, "fault current 33 kA, above the printed 30 kA: cover the label"},
		{"a current and its durations", assess.NewValues{Fault: 20, Clear: 45, ClearReduced: 45}, false, "still below"},
		{"more current, faster", assess.NewValues{Fault: 31, Clear: 45, ClearReduced: 45}, true, "fault current 31 kA, above the printed 30 kA: cover the label"},
		{"more than the device interrupts", assess.NewValues{Fault: 70, Clear: 45, ClearReduced: 45}, true, "may not clear the fault at all: cover the label"},
	} {
		if got := Screen(of(s, l), printed, []assess.NewValues{k.values}); got.Over != k.over || !strings.Contains(got.Detail, k.want) || got.Over == (got.Room != nil) && got.Energy > 0 {
			t.Errorf("%s: %+v, want %q", k.name, got, k.want)
		}
	}
	// By the curve a lower current clears later and releases more energy.
	s, l = board(t, 22)
	now = compute(t, s, l)
	printed = Printed{Energy: assess.PrintedCal(now.Energy), Boundary: now.Boundary * 1.05}
	if got := Screen(of(s, l), printed, []assess.NewValues{assess.NewValues{Fault: 12}}); !got.Over {
		t.Errorf("12 kA on the curve: %+v", got)
	}
	// A duration that the row states counts where the curve's is not longer.
	l.Cases[0].Clear, l.Cases[0].ClearReduced = 90, 90
	slow := Screen(of(s, l), printed, []assess.NewValues{assess.NewValues{Fault: 23}})
	l.Cases[0].Clear, l.Cases[0].ClearReduced = 0, 0
	if fast := Screen(of(s, l), printed, []assess.NewValues{assess.NewValues{Fault: 23}}); !(slow.Energy > fast.Energy*1.2) {
		t.Errorf("23 kA: %+v by the row's 90 ms, %+v by the curve", slow, fast)
	}
	// Below its first point it may not clear at all.
	if got := Screen(of(s, l), printed, []assess.NewValues{assess.NewValues{Fault: 0.55}}); !got.Over || !strings.Contains(got.Detail, ": cover the label") {
		t.Errorf("0.55 kA on the curve: %+v", got)
	}
	l.Cases = append(l.Cases, l.Cases[0])
	l.Cases[1].Name = "tie closed"
	if got := Screen(of(s, l), printed, []assess.NewValues{assess.NewValues{Clear: 8, ClearReduced: 8}}); got.Over || got.Room == nil || !strings.Contains(got.Detail, "in all 2 cases") {
		t.Errorf("two cases: %+v", got)
	}
	// What is over in one of the cases is over, whichever it is of.
	if got := Screen(of(s, l), printed, []assess.NewValues{assess.NewValues{Fault: 12}}); !got.Over {
		t.Errorf("two cases, too much: %+v", got)
	}
}

// Values of several changes count together, a later one over an earlier one;
// what was settled is still so.
func TestScreeningOfSeveralChanges(t *testing.T) {
	s, l := board(t, 30)
	other := *l
	s.Locations = append(s.Locations, other)
	s.Locations[1].ID = "B"
	add := func(on string, v assess.NewValues) {
		c := assess.Change{ID: on, At: "SWB-1", Date: day(t, on), Kind: assess.ChangeKinds[10]}
		if v != (assess.NewValues{}) {
			c.New = map[string]assess.NewValues{"B": v}
		}
		s.Log.Changes = append(s.Log.Changes, c)
	}
	add("2026-02-03", assess.NewValues{Clear: 50, Fault: 20})
	add("2026-02-01", assess.NewValues{Clear: 90, ClearReduced: 95})
	add("2026-02-02", assess.NewValues{})
	add("2026-02-04", assess.NewValues{Fault: 22, Clear: 60, ClearReduced: 60})
	add("2026-02-05", assess.NewValues{Clear: 70, ClearReduced: 70})
	s.Log.Settlements = []assess.Settlement{{Change: "2026-02-04", Date: day(t, "2026-02-04"), Scope: assess.Scope{All: true}}}
	var got []assess.NewValues
	subject := Subject{ID: "B", At: 1, Base: day(t, "2026-01-01"), ReviewBy: day(t, "2031-01-01"),
		Screen: func(v []assess.NewValues) Screening { got = v; return Screening{known: true} }}
	// B is not below SWB-1: its new values say that it is reached.
	st := Of([]Subject{subject}, s, day(t, "2026-03-01"))[0]
	// Durations are those of one state: none of the earlier ones is left.
	if want := (assess.NewValues{Fault: 22, Clear: 70, ClearReduced: 70}); ofCase(got, l, &l.Cases[0]) != want || st.Screening == nil || strings.Join(st.Screening.Changes, " ") != "2026-02-01 2026-02-03 2026-02-05" || st.Status != InQuestion {
		t.Errorf("%+v, %+v", got, st)
	}
}

// Headroom of 10,000 locations with curves; ns per location.
func BenchmarkHeadroom(b *testing.B) {
	r := rand.New(rand.NewPCG(7, 8))
	var sites []*assess.Site
	var energies []assess.CalCM2
	for range 200 {
		s, l := board(b, 10+50*r.Float64())
		sites = append(sites, s)
		energies = append(energies, compute(b, s, l).Energy)
	}
	for _, kind := range []string{"curve", "durations"} {
		b.Run(kind, func(b *testing.B) {
			n := 0
			for b.Loop() {
				s := sites[n%len(sites)]
				l := s.Locations[0]
				if kind == "durations" {
					c := l.Cases[0]
					c.Curve, c.Clear, c.ClearReduced = "", 60, 60
					l.Cases = []assess.Case{c}
				}
				HeadroomOf(of(s, &l), governs(energies[n%len(sites)], ""))
				n++
			}
		})
	}
}

// A bound tells no margin, a case with the maintenance switch on has none, and a
// case's own reason for two seconds counts before the site's.
func TestHeadroomOfCases(t *testing.T) {
	s, l := board(t, 30)
	now := compute(t, s, l)
	bound := governs(40, "")
	bound.Bound = assess.Above
	if h := HeadroomOf(of(s, l), bound); h.Energy != nil || h.Kit != nil || !strings.Contains(h.WhyNot, "only known to be above 40 cal/cm²") {
		t.Errorf("a bound: %+v", h)
	}
	alone := HeadroomOf(of(s, l), governs(now.Energy, ""))
	on := l.Cases[0]
	on.Name, on.Maintenance, on.Curve, on.Clear, on.ClearReduced = "switch on", true, "", 20, 20
	l.Cases = append(l.Cases, on)
	if h := HeadroomOf(of(s, l), governs(now.Energy, "")); len(h.OtherCases) != 0 || h.Kit == nil || h.Kit.Percent != alone.Kit.Percent {
		t.Errorf("with a case that governs nothing: %+v, alone %+v", h, alone)
	}
	l.Cases = l.Cases[1:]
	if h := HeadroomOf(of(s, l), governs(now.Energy, "")); h.Kit != nil || h.WhyNot == "" {
		t.Errorf("with the switch on alone: %+v", h)
	}
	// Below 8 kA this relay takes three seconds and more: where nobody stays longer
	// than two, a lower current is still within what the signal word bears.
	s, l = board(t, 22)
	points := []arc.Point{{CurrentA: 500, TimeS: 10}, {CurrentA: 8000, TimeS: 3}, {CurrentA: 8000, TimeS: 0.06}, {CurrentA: 90000, TimeS: 0.05}}
	curve, err := arc.NewCurve(points, true, true, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	s.Curves["r.csv"].Curve = curve
	now = compute(t, s, l)
	longest := func() float64 {
		h := HeadroomOf(of(s, l), governs(now.Energy, ""))
		if h.Signal == nil || h.Signal.FaultKA == nil {
			t.Fatalf("%+v", h)
		}
		return h.Signal.FaultKA[0]
	}
	without := longest()
	l.Cases[0].TwoSecondReason = "a case of its own"
	own := longest()
	l.Cases[0].TwoSecondReason, s.Policy.TwoSecondReason = "", "the site's"
	if site := longest(); own != site || own >= without {
		t.Errorf("from %v kA by its own reason, %v by the site's, %v without one", own, site, without)
	}
}

// Where the study states more than what is recomputed, the margin is that of
// what the label says.
func TestHeadroomOfStated(t *testing.T) {
	s, l := board(t, 22)
	c := &l.Cases[0]
	c.Curve, c.Clear, c.ClearReduced = "", 60, 60
	r := compute(t, s, l)
	c.Energy = r.Energy * 2
	in := of(s, l)
	h := HeadroomOf(in, assess.Governing[assess.CalCM2]{Value: c.Energy, Case: c.Name})
	limit := float64(h.Signal.Limit)
	if want := math.Floor((limit/float64(c.Energy)-1)*1000) / 10; h.Signal.Percent != want {
		t.Errorf("%v %%, want %v", h.Signal.Percent, want)
	}
	c.Clear, c.ClearReduced = assess.MS(*h.Signal.ClearMS), 60
	if longest := compute(t, s, l); math.Abs(2*float64(longest.Energy)/limit-1) > 1e-6 {
		t.Errorf("at %v ms twice %v cal/cm², want %v", *h.Signal.ClearMS, longest.Energy, limit)
	}
}
