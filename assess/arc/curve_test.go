package arc

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// relay is an invented curve: inverse down to a vertical step at 8 kA, definite above.
func relay(t testing.TB) *Curve {
	c, err := NewCurve([]Point{{500, 100}, {1000, 10}, {2000, 2.5}, {8000, 0.4}, {8000, 0.05}, {120000, 0.05}}, true, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestClearMS checks interpolation, steps and ends of a curve. Between 1 and 2 kA the time
// falls with the square of the current, so the wanted values are exact.
func TestClearMS(t *testing.T) {
	c := relay(t)
	for _, tt := range []struct {
		name   string
		ka, ms float64
	}{
		{"first point", 0.5, 100000},
		{"a point", 1, 10000},
		{"between, inverse square", math.Sqrt2, 5000},
		{"between, inverse square", 1.25, 6400},
		{"vertical step: the longer time", 8, 400},
		{"just above the step", 8.001, 50},
		{"level", 50, 50},
		{"last point", 120, 50},
	} {
		got, err := c.ClearMS(tt.ka)
		if err != nil || relative(got, tt.ms) > 1e-12 {
			t.Errorf("%s: ClearMS(%v) = %v, %v, want %v", tt.name, tt.ka, got, err, tt.ms)
		}
	}
	for _, tt := range []struct {
		ka   float64
		want string
	}{
		{0.4999, "current 499.9 A is below 500 A (first point of the clearing curve)"},
		{120.1, "current 120100 A is above 120000 A (last point of the clearing curve)"},
		{0, "missing"},
		{-1, "not a number"},
		{math.NaN(), "not a number"},
		{math.Inf(1), "not a number"},
	} {
		got, err := c.ClearMS(tt.ka)
		if err == nil || got != 0 || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("ClearMS(%v) = %v, %v, want %q", tt.ka, got, err, tt.want)
		}
	}
}

// TestPickupTolerance checks that both edges of the tolerance are tried, and what lies
// between them.
func TestPickupTolerance(t *testing.T) {
	points := []Point{{1000, 10}, {2000, 2.5}, {8000, 0.4}, {8000, 0.05}, {20000, 0.05}, {30000, 0.2}, {40000, 0.05}, {50000, 0.05}}
	c, err := NewCurve(points, true, true, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name   string
		ka, ms float64
	}{
		{"the lower edge is slower", 1.4, 10000 / (1.26 * 1.26)},
		{"just above the step, the lower edge is below it", 8.2, 0},
		{"far above the step", 10, 50},
		{"the upper edge is slower, where time rises", 22, 0},
		{"a peak between the edges", 30, 200},
	} {
		got, err := c.ClearMS(tt.ka)
		want := tt.ms
		if want == 0 {
			exact, _ := NewCurve(points, true, true, 0)
			a, _ := exact.ClearMS(tt.ka * 0.9)
			b, _ := exact.ClearMS(tt.ka * 1.1)
			want = max(a, b)
		}
		if tt.ka == 8.2 {
			want = max(want, 400) // the step itself lies between the edges
		}
		if err != nil || relative(got, want) > 1e-12 {
			t.Errorf("%s: ClearMS(%v) = %v, %v, want %v", tt.name, tt.ka, got, err, want)
		}
	}
	if _, err := c.ClearMS(1.1); err == nil ||
		!strings.Contains(err.Error(), "current with the pickup tolerance taken off or added, 990 A is below 1000 A") {
		t.Errorf("lower edge outside: %v", err)
	}
	if _, err := c.ClearMS(46); err == nil || !strings.Contains(err.Error(), "above") {
		t.Errorf("upper edge outside: %v", err)
	}
}

// TestCurveRefused checks what NewCurve refuses, all faults at once.
func TestCurveRefused(t *testing.T) {
	good := []Point{{1000, 10}, {2000, 2.5}}
	_, err := NewCurve(good, false, false, -1)
	if !errors.Is(err, ErrNotTotalClearing) || !errors.Is(err, ErrNotMaximumBand) ||
		!strings.Contains(err.Error(), "pickup tolerance -1") {
		t.Errorf("undeclared curve: %v", err)
	}
	for _, tt := range []struct {
		points []Point
		want   string
	}{
		{nil, "two currents"},
		{good[:1], "two currents"},
		{[]Point{{1000, 10}, {1000, 2}}, "two currents"},
		{[]Point{{1000, 10}, {900, 2}, {2000, 1}}, "point 2: current 900 A is below 1000 A"},
		{[]Point{{1000, 10}, {2000, 0}}, "point 2: time 0 s"},
		{[]Point{{-1, 10}, {2000, 1}}, "point 1: current -1 A"},
		{[]Point{{1000, 10}, {2000, math.NaN()}}, "point 2: time NaN s"},
		{[]Point{{1000, 10}, {math.Inf(1), 1}}, "point 2: current +Inf A"},
	} {
		if c, err := NewCurve(tt.points, true, true, 0); c != nil || err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("NewCurve(%v) = %v, %v, want %q", tt.points, c, err, tt.want)
		}
	}
	for _, tol := range []float64{1, math.NaN(), math.Inf(1)} {
		if _, err := NewCurve(good, true, true, tol); err == nil {
			t.Errorf("tolerance %v was taken", tol)
		}
	}
	c, err := NewCurve(good, true, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	good[0].TimeS = 1
	if ms, _ := c.ClearMS(1); ms != 10000 {
		t.Error("the curve shares its points with the caller")
	}
	if low, high := c.RangeA(); low != 1000 || high != 2000 {
		t.Errorf("RangeA = %v, %v", low, high)
	}
}

// TestCurveDurations reads a curve at both arcing currents of Annex D.2's case.
func TestCurveDurations(t *testing.T) {
	a, err := Currents(&examples[1].in)
	if err != nil {
		t.Fatal(err)
	}
	c, err := NewCurve([]Point{{20000, 0.4}, {a.ReducedKA * 1000, 0.319}, {a.FullKA * 1000, 0.0613}, {60000, 0.05}}, true, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	ms, minMS, err := c.DurationsMS(a)
	if err != nil || ms != 61.3 || minMS != 319 {
		t.Errorf("DurationsMS = %v, %v, %v", ms, minMS, err)
	}
	short, _ := NewCurve([]Point{{26000, 0.4}, {60000, 0.05}}, true, true, 0)
	if _, _, err := short.DurationsMS(a); err == nil || !strings.Contains(err.Error(), "at the reduced arcing current: ") {
		t.Errorf("below the curve: %v", err)
	}
	if _, _, err := short.DurationsMS(Arcing{FullKA: 70, ReducedKA: 50}); err == nil ||
		!strings.Contains(err.Error(), "at the full arcing current: ") {
		t.Errorf("above the curve: %v", err)
	}
}
