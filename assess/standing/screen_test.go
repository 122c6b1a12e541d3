package standing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/arc"
	"vouchmark/testdata/suite"
)

// steady is a device that clears in the same time at any current.
func steady(t testing.TB, name string, ms float64) *assess.Curve {
	t.Helper()
	points := []arc.Point{{CurrentA: 100, TimeS: ms / 1000}, {CurrentA: 200_000, TimeS: ms / 1000}}
	c, err := arc.NewCurve(points, true, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	return &assess.Curve{File: name, Points: points, Curve: c}
}

func has(t *testing.T, what string, got Screening, over bool, want string) {
	t.Helper()
	if got.Over != over || !strings.Contains(got.Detail, want) || over && got.Room != nil {
		t.Errorf("%s: %+v, want %q", what, got, want)
	}
}

// A breaker was replaced: its former curve and durations no longer count. By the old
// curve there was still a margin at a somewhat higher current.
func TestScreenAfterDevice(t *testing.T) {
	s, l := board(t, 22)
	now := compute(t, s, l)
	printed := Printed{Energy: assess.PrintedCal(now.Energy * 1.05), Boundary: now.Boundary * 1.1, Fault: 30}
	in := of(s, l)
	const replaced = "breaker replaced at SWB-1 on 2026-02-01"
	screen := func(told ...assess.NewValues) Screening { return Screen(in, printed, told) }
	has(t, "without a change of the device", screen(assess.NewValues{Fault: 22.1}), false, "margin ")
	device := assess.NewValues{Device: replaced}
	for _, told := range [][]assess.NewValues{
		{device},
		{device, {Fault: 22.1}},
		{{Fault: 22.1}, device},
		{{Clear: 10, ClearReduced: 10}, device},
		{{Curve: steady(t, "old.csv", 10)}, device},
		{{Fault: 22.1, Device: replaced}},
	} {
		has(t, fmt.Sprint(told), screen(told...), false, "not possible: "+replaced)
	}
	l.Cases[0].Clear, l.Cases[0].ClearReduced, l.Cases[0].Curve = 60, 60, ""
	has(t, "durations of the row", screen(device, assess.NewValues{Fault: 22}), false, "not possible: "+replaced)
	// A new fault current alone may condemn.
	has(t, "too much current", screen(assess.NewValues{Fault: 33}, device), true, "fault current 33 kA, above the printed 30 kA: cover the label")
	l.Cases[0].DeviceRating = 25
	has(t, "more than it interrupts", screen(device, assess.NewValues{Fault: 26}), true, "may not clear the fault at all: cover the label")
	// New durations or a new curve, of this or a later change.
	has(t, "new durations", screen(device, assess.NewValues{Clear: 10, ClearReduced: 10}), false, "margin ")
	has(t, "one new duration that is too much", screen(device, assess.NewValues{Clear: 600}), true, ": cover the label")
	has(t, "one new duration", screen(device, assess.NewValues{Clear: 10}), false, "not possible: the full and the reduced")
	has(t, "a new curve", screen(device, assess.NewValues{Curve: steady(t, "new.csv", 10)}), false, "margin ")
	has(t, "a new curve that is slow", screen(device, assess.NewValues{Curve: steady(t, "new.csv", 600)}), true, ": cover the label")
	has(t, "a curve, then a current", screen(device, assess.NewValues{Curve: steady(t, "new.csv", 10)}, assess.NewValues{Fault: 23}), false, "margin ")
	has(t, "durations, then a current", screen(device, assess.NewValues{Clear: 10, ClearReduced: 10}, assess.NewValues{Fault: 23}), false, "not possible: "+replaced)
	has(t, "a curve and longer durations", screen(assess.NewValues{Curve: steady(t, "new.csv", 10), Clear: 600, ClearReduced: 600, Device: replaced}), true, ": cover the label")
	high, err := arc.NewCurve([]arc.Point{{CurrentA: 40_000, TimeS: 0.01}, {CurrentA: 90_000, TimeS: 0.01}}, true, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	has(t, "an arc below the new curve", screen(assess.NewValues{Curve: &assess.Curve{File: "high.csv", Curve: high}, Device: replaced}), true, "no arc duration at the arcing current from high.csv")
}

// All cases are tried where none is named, and the worst is told.
func TestScreenCases(t *testing.T) {
	s, l := board(t, 22)
	l.Cases[0].Name = "normal"
	l.Cases[0].Curve, l.Cases[0].Clear, l.Cases[0].ClearReduced = "", 60, 60
	closed, on := l.Cases[0], l.Cases[0]
	closed.Name, closed.Fault, on.Name, on.Maintenance = "tie closed", 40, "switch on", true
	l.Cases = append(l.Cases, closed, on)
	in := of(s, l)
	worst, _, _ := assess.Compute(in, &l.Cases[1])
	printed := Printed{Energy: assess.PrintedCal(worst.Energy * 1.2), Boundary: worst.Boundary * 1.2, Fault: 45}
	screen := func(told ...assess.NewValues) Screening { return Screen(in, printed, told) }
	margin := assess.Percent(100 * float64(1-worst.Energy*50/60/printed.Energy))
	has(t, "all cases", screen(assess.NewValues{Clear: 50, ClearReduced: 50}), false,
		fmt.Sprintf("still below what is printed in all 2 cases, margin at least %s", margin))
	has(t, "one case", screen(assess.NewValues{Clear: 50, ClearReduced: 50, Case: "normal"}), false, "still below what is printed in case normal, ")
	has(t, "too slow in one", screen(assess.NewValues{Clear: 100, ClearReduced: 100}), true,
		fmt.Sprintf("%.4g cal/cm² in case tie closed, above the printed %.9g cal/cm²: cover the label", worst.Energy*100/60, printed.Energy))
	has(t, "not too slow in the other", screen(assess.NewValues{Clear: 100, ClearReduced: 100, Case: "normal"}), false, "in case normal")
	has(t, "a case that the label's record does not have", screen(assess.NewValues{Clear: 100, ClearReduced: 100, Case: "renamed"}), true, "in case tie closed")
	has(t, "a case that does not decide", screen(assess.NewValues{Clear: 100, ClearReduced: 100, Case: "switch on"}), false, "not possible: the values belong to a case with the maintenance switch on")
	has(t, "the device of both, the durations of one", screen(assess.NewValues{Device: "x"}, assess.NewValues{Clear: 50, ClearReduced: 50, Case: "normal", Device: "x"}), false, "not possible in case tie closed: x, so")
	has(t, "one after the other", screen(assess.NewValues{Clear: 100, ClearReduced: 100}, assess.NewValues{Clear: 50, ClearReduced: 50, Case: "tie closed"}), false, "in all 2 cases")
}

// A change of a device concerns the cases that it clears: one elsewhere leaves
// what is known of the others.
func TestScreenDeviceElsewhere(t *testing.T) {
	s, l := board(t, 22)
	c := &l.Cases[0]
	c.Curve, c.Clear, c.ClearReduced, c.DeviceAt = "", 60, 60, "SWB"
	now := compute(t, s, l)
	printed := Printed{Energy: assess.PrintedCal(now.Energy * 1.5), Boundary: now.Boundary * 2, Fault: 30}
	screen := func(told ...assess.NewValues) Screening { return Screen(of(s, l), printed, told) }
	slow := assess.NewValues{Clear: 120, ClearReduced: 120, Device: "breaker replaced", At: "SWB", Event: "a/SWB"}
	elsewhere := assess.NewValues{Device: "setting changed", At: "MVS", Event: "b/MVS"}
	has(t, "slow, then a device elsewhere", screen(slow, elsewhere), true, "above the printed")
	has(t, "a device elsewhere alone", screen(elsewhere, assess.NewValues{Fault: 22}), false, "margin ")
	has(t, "at a place that nobody knows", screen(assess.NewValues{Device: "x", Event: "b/"}, assess.NewValues{Fault: 22}), false, "not possible: x")
	has(t, "in its own enclosure", screen(assess.NewValues{Device: "x", At: l.ID, Event: "b/P"}, assess.NewValues{Fault: 22}), false, "not possible: x")
	// Two entries of one event, each of a case.
	l.Cases[0].Name = "open"
	closed := l.Cases[0]
	closed.Name = "closed"
	l.Cases = append(l.Cases, closed)
	of := func(name string, event string) []assess.NewValues {
		return []assess.NewValues{{Device: "x", At: "SWB", Event: event}, {Clear: 50, ClearReduced: 50, Case: name, Device: "x", At: "SWB", Event: event}}
	}
	has(t, "one case told", screen(of("closed", "e")...), false, "not possible in case open")
	has(t, "each case told", screen(append(of("closed", "e"), of("open", "e")...)...), false, "in all 2 cases")
	has(t, "told, and the device changed again", screen(append(of("closed", "e"), of("open", "later")...)...), false, "not possible in case closed")
}

// Where the study states more than what is recomputed, that changes in the
// proportion of the recomputed one: the label says the study's.
func TestScreenInProportion(t *testing.T) {
	s, l := board(t, 22)
	c := &l.Cases[0]
	c.Curve, c.Clear, c.ClearReduced = "", 60, 60
	now := compute(t, s, l)
	c.Energy, c.Boundary = now.Energy*2, now.Boundary*1.5
	printed := Printed{Energy: assess.PrintedCal(c.Energy), Boundary: c.Boundary * 1.01, Fault: 30}
	has(t, "twice as long", Screen(of(s, l), printed, []assess.NewValues{{Clear: 120, ClearReduced: 120}}), true,
		fmt.Sprintf("%.4g cal/cm², above the printed %.9g", 4*now.Energy, printed.Energy))
	has(t, "half as long", Screen(of(s, l), printed, []assess.NewValues{{Clear: 30, ClearReduced: 30}}), false, "margin 50.6 %")
}

// The line of the maintenance switch is held against values of its own case.
func TestScreenMaintenance(t *testing.T) {
	s, l := board(t, 22)
	l.Cases[0].Name = "normal"
	l.Cases[0].Curve, l.Cases[0].Clear, l.Cases[0].ClearReduced = "", 300, 300
	on := l.Cases[0]
	on.Name, on.Maintenance, on.Clear, on.ClearReduced = "switch on", true, 50, 50
	l.Cases = append(l.Cases, on)
	in := of(s, l)
	normal, _, _ := assess.Compute(in, &l.Cases[0])
	quick, _, _ := assess.Compute(in, &l.Cases[1])
	printed := Printed{Energy: assess.PrintedCal(normal.Energy), Boundary: normal.Boundary * 1.01, Fault: 30,
		EnergyOn: assess.PrintedCal(quick.Energy), BoundaryOn: quick.Boundary * 1.01}
	screen := func(told ...assess.NewValues) Screening { return Screen(in, printed, told) }
	has(t, "the switch slower", screen(assess.NewValues{Clear: 100, ClearReduced: 100, Case: "switch on"}), true, "with the maintenance switch on, above the printed")
	has(t, "of no case by name", screen(assess.NewValues{Clear: 250, ClearReduced: 250}), false, "what the label says about the maintenance switch was not checked")
	has(t, "of the normal case by name", screen(assess.NewValues{Clear: 250, ClearReduced: 250, Case: "normal"}), false, "margin ")
	if got := screen(assess.NewValues{Clear: 250, ClearReduced: 250, Case: "normal"}); strings.Contains(got.Detail, "switch") {
		t.Errorf("%+v", got)
	}
}

// Labels whose energy is a bound.
func TestScreenBounds(t *testing.T) {
	s, l := board(t, 30)
	l.Cases[0].Curve, l.Cases[0].Clear, l.Cases[0].ClearReduced = "", 60, 60
	now := compute(t, s, l)
	above := Printed{Energy: assess.PrintedCal(now.Energy / 2), Bound: assess.Above, Boundary: now.Boundary * 2}
	has(t, "above what the label says above", Screen(of(s, l), above, []assess.NewValues{{Clear: 70, ClearReduced: 70}}), false, "the label says above")
	above.Boundary = now.Boundary
	has(t, "beyond its boundary", Screen(of(s, l), above, []assess.NewValues{{Clear: 90, ClearReduced: 90}}), true, "boundary")
	ms := assess.MS(60 * 1.15 / float64(now.Energy)) // 1.15 cal/cm², which prints as 1.2
	under := Printed{Energy: 1.2, Bound: assess.Under, Boundary: now.Boundary * 2}
	has(t, "a printed 1.2", Screen(of(s, l), under, []assess.NewValues{{Clear: ms, ClearReduced: ms}}), true, "1.15 cal/cm²")
	ms *= 1.09 / 1.15
	has(t, "a printed 1.1", Screen(of(s, l), under, []assess.NewValues{{Clear: ms, ClearReduced: ms}}), false, "margin ")
}

// draws are how many random sites a test tries.
func draws() int {
	if suite.Exhaustive {
		return 10_000
	}
	return 400
}

// tells is random: what changes tell, in their order.
func tells(t *testing.T, r *rand.Rand, names []string) []assess.NewValues {
	curves := []*assess.Curve{steady(t, "a.csv", 40), steady(t, "b.csv", 120)}
	var all []assess.NewValues
	for range 1 + r.IntN(4) {
		var v assess.NewValues
		if r.IntN(2) == 0 {
			v.Fault = assess.KA(8 + r.IntN(40))
		}
		if r.IntN(2) == 0 {
			v.Clear = assess.MS(20 + r.IntN(120))
		}
		if r.IntN(3) > 0 && v.Clear > 0 || r.IntN(6) == 0 {
			v.ClearReduced = assess.MS(20 + r.IntN(140))
		}
		if r.IntN(5) == 0 {
			v.Curve = curves[r.IntN(2)]
		}
		told := v != (assess.NewValues{})
		if told && r.IntN(3) == 0 {
			v.Case = names[r.IntN(len(names))]
		}
		if r.IntN(4) == 0 {
			v.Device = fmt.Sprint("device ", len(all))
			v.Event = fmt.Sprint(len(all), "/", "PQ"[r.IntN(2):][:1])
			all = append(all, assess.NewValues{Device: v.Device, Event: v.Event})
		}
		if told {
			all = append(all, v)
		}
	}
	return all
}

// slowly screens one case after the other as a person would: what is known of
// it, from the row on, change by change.
func slowly(in *assess.Inputs, printed Printed, told []assess.NewValues) (over, known bool, most assess.CalCM2) {
	known = true
	for _, row := range in.Location.Cases {
		if row.Maintenance {
			continue
		}
		fault := row.Fault
		var duration, reduced assess.MS
		var curve *assess.Curve
		rowCounts, named, moved := true, false, false
		devices := map[byte]assess.NewValues{} // what was told last of each
		for _, v := range told {
			if v.Case != "" && v.Case != row.Name {
				continue
			}
			if named = true; v.Device != "" {
				rowCounts, duration, reduced, curve = false, 0, 0, nil
			}
			if v == (assess.NewValues{Device: v.Device, Event: v.Event}) {
				continue
			}
			if v.Device != "" && (v.Clear > 0 || v.ClearReduced > 0 || v.Curve != nil) {
				devices[v.Event[len(v.Event)-1]] = v
			}
			duration, reduced = v.Clear, v.ClearReduced
			if v.Curve != nil {
				curve = v.Curve
			}
			if v.Fault > 0 {
				fault, moved = v.Fault, true
			}
		}
		if !named {
			continue
		}
		if moved && fault > printed.Fault {
			over = true
		}
		if moved && row.DeviceRating > 0 && fault > row.DeviceRating {
			over = true
		}
		// Every pair of durations that may count: each is a lower bound, and
		// all together decide.
		at := func(full, less assess.MS, c *assess.Curve) (float64, float64, bool) {
			with := *in
			with.Curves = map[string]*assess.Curve{"x": c}
			one := row
			one.Fault, one.Clear, one.ClearReduced, one.Curve = fault, full, less, "x"
			if c == nil {
				one.Curve = ""
			}
			x, _, stuck := assess.Compute(&with, &one)
			over = over || stuck
			if x == nil {
				return 0, 0, false
			}
			return float64(x.Energy), float64(x.Boundary), true
		}
		const none = 1e-3
		type pair struct {
			full, less assess.MS
			curve      *assess.Curve
		}
		var pairs []pair
		sure := true
		if curve != nil {
			pairs = append(pairs, pair{0, 0, curve})
		} else if duration > 0 || reduced > 0 {
			sure = duration > 0 && reduced > 0
		}
		if duration > 0 {
			pairs = append(pairs, pair{duration, none, nil})
		}
		if reduced > 0 {
			pairs = append(pairs, pair{none, reduced, nil})
		}
		if pairs == nil {
			switch rowCurve := in.Curves[row.Curve]; {
			case !rowCounts:
				sure = false
			case !moved || fault == row.Fault:
				pairs = append(pairs, pair{row.Clear, row.ClearReduced, rowCurve})
			case rowCurve != nil:
				pairs = append(pairs, pair{0, 0, rowCurve})
				if row.Clear > 0 {
					pairs = append(pairs, pair{row.Clear, none, nil}, pair{none, row.ClearReduced, nil})
				}
			default:
				sure = false
			}
		}
		last := len(pairs)
		for _, d := range devices {
			if duration == 0 && reduced == 0 && curve == nil {
				break
			}
			if d.Curve != nil {
				pairs = append(pairs, pair{0, 0, d.Curve})
			}
			if d.Clear > 0 {
				pairs = append(pairs, pair{d.Clear, none, nil})
			}
			if d.ClearReduced > 0 {
				pairs = append(pairs, pair{none, d.ClearReduced, nil})
			}
		}
		for i, p := range pairs {
			e, b, ok := at(p.full, p.less, p.curve)
			if known = known && (ok || i >= last); e > float64(printed.Energy)*(1+1e-9) || b > float64(printed.Boundary)*(1+1e-9) {
				over = true
			}
			most = max(most, assess.CalCM2(e))
		}
		known = known && sure
	}
	return over, known && !over, most
}

func TestScreenAgainstSlow(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 1))
	overs, rooms, unknown := 0, 0, 0
	for range draws() {
		s, l := board(t, 22)
		names := []string{"one", "two", "three", "four"}[:1+r.IntN(4)]
		row := l.Cases[0]
		l.Cases = nil
		for _, name := range names {
			c := row
			c.Name, c.Fault, c.Maintenance = name, assess.KA(10+r.IntN(30)), len(l.Cases) > 0 && r.IntN(4) == 0
			if kind := r.IntN(3); kind > 0 {
				c.Clear, c.ClearReduced = assess.MS(30+r.IntN(60)), assess.MS(30+r.IntN(60))
				if kind == 1 {
					c.Curve = ""
				}
			}
			if r.IntN(4) == 0 {
				c.DeviceRating = assess.KA(30 + r.IntN(40))
			}
			l.Cases = append(l.Cases, c)
		}
		in := of(s, l)
		printed := Printed{Energy: assess.CalCM2(2 + 12*r.Float64()), Boundary: assess.MM(900 + 2500*r.Float64()), Fault: assess.KA(30 + r.IntN(20))}
		told := tells(t, r, names)
		got := Screen(in, printed, told)
		over, known, most := slowly(in, printed, told)
		tried := slices.ContainsFunc(l.Cases, func(c assess.Case) bool { return !c.Maintenance && ofCase(told, l, &c) != (assess.NewValues{}) })
		known = known && tried
		switch {
		case got.Over:
			overs++
		case got.Room != nil:
			rooms++
		default:
			unknown++
		}
		if got.Over != over || (got.Room != nil) != known || known && math.Abs(float64(got.Energy/most-1)) > 1e-8 {
			t.Fatalf("%+v\nslowly: over %v, known %v, %v\n%+v\n%+v\n%+v", got, over, known, most, l.Cases, told, printed)
		}
	}
	if overs == 0 || rooms == 0 || unknown == 0 {
		t.Errorf("%d over, %d with room, %d unknown: something was never tried", overs, rooms, unknown)
	}
}

// What was told last of a device is outdone by a change of that device alone.
func TestScreenKeepsDevice(t *testing.T) {
	s, l := board(t, 22)
	c := &l.Cases[0]
	c.Curve, c.Clear, c.ClearReduced = "", 60, 60
	now := compute(t, s, l)
	printed := Printed{Energy: assess.PrintedCal(now.Energy * 1.5), Boundary: now.Boundary * 2, Fault: 30}
	screen := func(told ...assess.NewValues) Screening { return Screen(of(s, l), printed, told) }
	device := func(event string, ms assess.MS) assess.NewValues {
		return assess.NewValues{Clear: ms, ClearReduced: ms, Device: "breaker replaced", Event: event}
	}
	motors := func(ms assess.MS) assess.NewValues { return assess.NewValues{Clear: ms, ClearReduced: ms, Fault: 21} }
	curve := device("a/SWB", 0)
	curve.Curve = steady(t, "slow.csv", 350)
	for _, slow := range []assess.NewValues{device("a/SWB", 350), curve} {
		has(t, "motors", screen(slow, motors(30)), true, "above the printed")
		has(t, "a curve of no device", screen(slow, assess.NewValues{Curve: steady(t, "fast.csv", 30)}), true, "above the printed")
		has(t, "no durations between", screen(slow, assess.NewValues{Device: "x", Event: "b/SWB"}, motors(30)), true, "above the printed")
		has(t, "a device elsewhere", screen(slow, device("b/MVS", 30)), true, "above the printed")
		has(t, "the same device", screen(slow, motors(40), device("b/SWB", 30)), false, "margin ")
	}
	has(t, "longer ones count", screen(device("a/SWB", 30), motors(350)), true, "above the printed")
	long, short := screen(device("a/SWB", 50), motors(50)), screen(device("a/SWB", 50), motors(30))
	if short.Energy != long.Energy || short.Room == nil {
		t.Errorf("the worst is not told: %+v, %+v", short, long)
	}
}

// A value in the unit of another column leaves no room, and what nobody could
// mean shows without an exponent.
func TestScreenDoubt(t *testing.T) {
	s, l := board(t, 22)
	l.Cases[0].Curve, l.Cases[0].Clear, l.Cases[0].ClearReduced = "", 60, 60
	now := compute(t, s, l)
	printed := Printed{Energy: assess.PrintedCal(now.Energy * 1.5), Boundary: now.Boundary * 2, Fault: 30}
	screen := func(told assess.NewValues) Screening { return Screen(of(s, l), printed, []assess.NewValues{told}) }
	const seconds = "not possible: 0.35 ms is shorter than devices clear, unless a curve shows it: were seconds or cycles meant?"
	has(t, "seconds", screen(assess.NewValues{Clear: 0.35, ClearReduced: 0.35, Device: "x"}), false, seconds)
	has(t, "one in seconds", screen(assess.NewValues{Clear: 35, ClearReduced: 0.35}), false, seconds)
	has(t, "the other too long", screen(assess.NewValues{Clear: 600, ClearReduced: 0.35}), true, "cover the label")
	has(t, "too few amperes", screen(assess.NewValues{Fault: 0.02, Clear: 50, ClearReduced: 50}), false, "not possible: 0.02 kA is less than")
	has(t, "amperes", screen(assess.NewValues{Fault: 22_000, Clear: 50, ClearReduced: 50}), true, "fault current 22000 kA, above the printed 30 kA")
	fuse := assess.NewValues{Clear: 4, ClearReduced: 4, Curve: steady(t, "fuse.csv", 4)}
	has(t, "by its curve", screen(fuse), false, "margin ")
	fuse.Curve = &assess.Curve{File: "fuse.csv"}
	has(t, "by a curve that is no longer known", screen(fuse), true, "not possible: curves/fuse.csv has changed since the change was logged")
}
