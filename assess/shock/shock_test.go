package shock

import (
	"errors"
	"testing"
)

// The limits are those of 29 CFR 1926.97 Table E-4 for AC (maximum use voltage
// of each class) and of ASTM D120 for DC, as quoted on public pages.
func TestGloveClasses(t *testing.T) {
	for _, c := range []struct {
		supply Supply
		volts  float64
		want   string
	}{
		{AC3, 208, "00"}, {AC3, 480, "00"}, {AC3, 500, "00"},
		{AC3, 501, "0"}, {AC3, 1000, "0"},
		{AC3, 1001, "1"}, {AC3, 7500, "1"},
		{AC3, 7501, "2"}, {AC3, 13800, "2"}, {AC3, 17000, "2"},
		{AC3, 17001, "3"}, {AC3, 26500, "3"},
		{AC3, 26501, "4"}, {AC3, 36000, "4"},
		{AC1, 277, "00"},
		{DC, 125, "00"}, {DC, 750, "00"}, {DC, 751, "0"}, {DC, 1500, "0"},
		{DC, 11250, "1"}, {DC, 25500, "2"}, {DC, 39750, "3"}, {DC, 54000, "4"},
	} {
		g, err := GloveFor(c.supply, c.volts, "")
		if err != nil || g.Class != c.want {
			t.Errorf("GloveFor(%s, %g) = %q, %v; want %q", c.supply, c.volts, g.Class, err, c.want)
		}
	}
	if g, err := GloveFor(AC3, 36001, ""); err == nil {
		t.Errorf("36 001 V AC has the class %q, want an error", g.Class)
	}
	if g, _ := GloveFor(AC3, 480, "0"); g.Class != "0" {
		t.Errorf("480 V with the owner's minimum 0 = %q", g.Class)
	}
	if g, _ := GloveFor(AC3, 13800, "0"); g.Class != "2" {
		t.Errorf("a minimum lowers 13.8 kV to %q", g.Class)
	}
	if _, err := GloveFor(AC3, 480, "5"); err == nil {
		t.Error("class 5 is accepted")
	}
}

// Rows of NFPA 70E Table 130.4(E)(a) for AC and (b) for DC (130.4(D) in 2015
// and 2018), in feet and inches. That a three-phase 208 V panel is labeled
// 42 in and 12 in is common practice as well.
func TestApproachRows(t *testing.T) {
	const none = -1 // avoid contact
	for _, c := range []struct {
		supply                     Supply
		volts                      float64
		movable, fixed, restricted float64 // in
	}{
		{AC3, 50, 120, 42, none}, {AC3, 120, 120, 42, none}, {AC3, 150, 120, 42, none},
		{AC3, 151, 120, 42, 12}, {AC3, 208, 120, 42, 12}, {AC3, 480, 120, 42, 12}, {AC3, 750, 120, 42, 12},
		{AC3, 751, 120, 60, 26}, {AC3, 4160, 120, 60, 26}, {AC3, 13800, 120, 60, 26}, {AC3, 15000, 120, 60, 26},
		{DC, 50, 120, 42, none}, {DC, 125, 120, 42, none}, {DC, 300, 120, 42, none},
		{DC, 301, 120, 42, 12}, {DC, 600, 120, 42, 12}, {DC, 1000, 120, 42, 12},
		// Single phase: up to 250 V its own row, above it that of 1.732 times the voltage.
		{AC1, 120, 120, 42, none}, {AC1, 240, 120, 42, 12}, {AC1, 250, 120, 42, 12}, {AC1, 434, 120, 60, 26},
		{AC1, 277, 120, 42, 12}, {AC1, 7200, 120, 60, 26},
	} {
		for _, movable := range []bool{false, true} {
			b, err := Approach(c.supply, c.volts, movable, nil)
			want := c.fixed
			if movable {
				want = c.movable
			}
			if err != nil || !near(b.Limited, want*25.4) {
				t.Errorf("%s %g V movable=%v: limited %g mm, %v; want %g in", c.supply, c.volts, movable, b.Limited, err, want)
			}
			if c.restricted == none {
				if b.Rule != AvoidContact || b.Restricted != 0 {
					t.Errorf("%s %g V: %s %g, want avoid contact", c.supply, c.volts, b.Rule, b.Restricted)
				}
			} else if b.Rule != AtDistance || !near(b.Restricted, c.restricted*25.4) {
				t.Errorf("%s %g V: %s %g mm, want %g in", c.supply, c.volts, b.Rule, b.Restricted, c.restricted)
			}
		}
	}
	for _, s := range []Supply{AC3, AC1, DC} {
		if b, err := Approach(s, 48, false, nil); err != nil || b.Rule != NotSpecified || b.Limited != 0 {
			t.Errorf("48 V %s: %+v, %v; want not specified", s, b, err)
		}
	}
}

// A metric label prints the larger of feet and inches and the table's meters:
// 3 ft 6 in is 1066.8 mm, the table's metric column says 1.0 m.
func TestMetricIsTheLarger(t *testing.T) {
	b, err := Approach(AC3, 480, false, nil)
	if err != nil || !near(b.LimitedPrint, 1066.8) || !near(b.RestrictedPrint, 304.8) {
		t.Errorf("480 V: %g, %g, %v", b.LimitedPrint, b.RestrictedPrint, err)
	}
	if b, _ = Approach(AC3, 13800, false, nil); !near(b.LimitedPrint, 1524) || !near(b.RestrictedPrint, 700) {
		t.Errorf("13.8 kV: %g, %g; the table's 0.7 m is more than 2 ft 2 in", b.LimitedPrint, b.RestrictedPrint)
	}
}

// Above 15 kV AC and 1 kV DC, and in the gaps of one volt between the rows,
// there is no number but the owner's.
func TestGaps(t *testing.T) {
	owner := []Row{{Supply: AC3, Above: 15000, Upto: 36000, Fixed: 72 * inch, Rule: AtDistance, Limit: 33 * inch,
		Source: "invented", Name: "above 15000 V to 36000 V"}}
	for _, c := range []struct {
		supply Supply
		volts  float64
	}{{AC3, 150.5}, {AC3, 750.5}, {AC3, 15001}, {AC3, 34500}, {AC1, 14400}, {DC, 300.5}, {DC, 1001}} {
		var gap *GapError
		if b, err := Approach(c.supply, c.volts, false, nil); !errors.As(err, &gap) {
			t.Errorf("%s %g V: %+v, %v; want a gap", c.supply, c.volts, b, err)
		}
	}
	b, err := Approach(AC3, 34500, false, owner)
	if err != nil || !near(b.Limited, 72*inch) || !near(b.Restricted, 33*inch) || b.Owner != "invented" {
		t.Errorf("with the owner's row: %+v, %v", b, err)
	}
	if _, err := Approach(AC3, 34500, true, owner); err == nil {
		t.Error("the owner's row has no column for a movable conductor, yet it is used")
	}
	if _, err := Approach(DC, 34500, false, owner); err == nil {
		t.Error("the owner's AC row serves DC")
	}
	if b, _ := Approach(AC3, 480, false, []Row{{Supply: AC3, Upto: 36000, Fixed: 1, Rule: AvoidContact}}); near(b.Limited, 1) {
		t.Error("an owner's row overrides what the table settles")
	}
}

func near(a, b float64) bool { return a-b < 1e-6 && b-a < 1e-6 }
