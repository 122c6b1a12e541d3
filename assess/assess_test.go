package assess

import (
	"strings"
	"testing"

	"vouchmark/assess/shock"
)

// policy is an invented owner's policy with the ladder 4, 8, 25, 40 and more
// where a cutoff asks for it; common practice.
func policy(cutoff CalCM2, ratings ...CalCM2) Policy {
	p := Policy{Cutoff: cutoff, ReviewMonths: 60, NoticeDays: 90, TolerancePercent: 5, Units: US, Govern: Larger, FrequencyHz: 60}
	for i, r := range ratings {
		p.Ladder = append(p.Ladder, Rung{Kit: "Kit " + string(rune('A'+i)), Rating: r})
	}
	return p
}

func panel(energy CalCM2, boundaryIn, distanceIn float64) Location {
	return Location{ID: "P", Supply: shock.AC3, Voltage: 480, Distance: MM(distanceIn * MMPerInch),
		Cases: []Case{{Method: Stated, Energy: energy, Boundary: MM(boundaryIn * MMPerInch), Prepared: Date{2026, 3, 14}}}}
}

// judge assesses locations of which those without a feed are the site's sources.
func judge(p Policy, l ...Location) []Assessment {
	for i := range l {
		if len(l[i].FedFrom()) == 0 {
			p.Sources = append(p.Sources, l[i].ID)
		}
	}
	return (&Site{Policy: p, Locations: l}).Assess(Date{2026, 5, 1})
}

// inputs are those of a location in a site.
func inputs(s *Site, l *Location) *Inputs {
	in := s.Inputs(l)
	return &in
}

// A cutoff of 40, 60 or 100 is the owner's choice, and 63 cal/cm² is DANGER
// for one and a kit for another: common practice. The threshold of 1.2
// cal/cm² is that of the arc-flash boundary (NFPA 70E Article 100).
func TestSignalAndKit(t *testing.T) {
	usual := policy(40, 4, 8, 25, 40)
	large := policy(100, 8, 40, 100)
	for _, c := range []struct {
		name   string
		policy Policy
		energy CalCM2
		signal Signal
		status KitStatus
		kit    string
	}{
		{"63 above a cutoff of 40", usual, 63, Danger, NoneAllowed, ""},
		{"63 below a cutoff of 100", large, 63, Warning, KitChosen, "Kit C"},
		{"at the cutoff", usual, 40, Warning, KitChosen, "Kit D"},
		{"printed just above the cutoff", usual, 40.01, Danger, NoneAllowed, ""},
		{"8.04 prints 8.1", usual, 8.04, Warning, KitChosen, "Kit C"},
		{"8 takes a kit of 8", usual, 8, Warning, KitChosen, "Kit B"},
		{"1.2 takes a kit", usual, 1.2, Warning, KitChosen, "Kit A"},
		{"1.11 prints 1.2 and takes a kit", usual, 1.11, Warning, KitChosen, "Kit A"},
		{"1.1 takes none", usual, 1.1, Warning, NotRequired, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := panel(c.energy, 18, 18)
			a := judge(c.policy, l)[0]
			if a.Signal != c.signal || a.Status != c.status || a.Kit != c.kit {
				t.Errorf("got %s, %s, %q; want %s, %s, %q", a.Signal, a.Status, a.Kit, c.signal, c.status, c.kit)
			}
		})
	}
}

// 208 V three-phase: limited 42 in, restricted 12 in, class 00 (common
// practice; NFPA 70E Table 130.4(E)(a) and 29 CFR 1926.97 Table E-4).
func Test208V(t *testing.T) {
	l := panel(1.9, 23.4, 18)
	l.Voltage = 208
	a := judge(policy(40, 8, 40), l)[0]
	if PrintedInches(MM(a.Shock.Limited)) != 42 || PrintedInches(MM(a.Shock.Restricted)) != 12 || a.Glove.Class != "00" {
		t.Errorf("208 V: %+v, class %q", a.Shock, a.Glove.Class)
	}
}

func TestWorstOverCases(t *testing.T) {
	l := panel(5, 40, 18)
	l.Cases[0].Name, l.Cases[0].Fault = "normal", 20
	l.Cases = append(l.Cases,
		Case{Name: "tie closed", Method: Stated, Energy: 7, Boundary: 900, Fault: 18, Prepared: Date{2026, 4, 1}},
		Case{Name: "utility minimum", Method: Stated, Energy: 6, Boundary: 45 * MMPerInch, Fault: 12, Prepared: Date{2025, 12, 1}})
	a := judge(policy(40, 8, 40), l)[0]
	if a.Energy.Case != "tie closed" || a.Boundary.Case != "utility minimum" || a.Fault.Case != "normal" {
		t.Errorf("decided by %q, %q, %q", a.Energy.Case, a.Boundary.Case, a.Fault.Case)
	}
	if a.Prepared.String() != "2025-12-01" || a.ReviewBy.String() != "2030-12-01" {
		t.Errorf("prepared %s, review by %s; the oldest case counts", a.Prepared, a.ReviewBy)
	}
}

func TestFindings(t *testing.T) {
	p := policy(40, 8, 40)
	for _, c := range []struct {
		name string
		edit func(*Location)
		want string // "level field", "" for none
	}{
		{"clean", func(l *Location) {}, ""},
		{"boundary inside the working distance", func(l *Location) { l.Cases[0].Boundary = 400 }, "error boundary_in"},
		{"boundary beyond it below 1.2", func(l *Location) { l.Cases[0].Energy = 0.6 }, "error boundary_in"},
		{"the same within 10 %", func(l *Location) { l.Cases[0].Energy, l.Cases[0].Boundary = 1.3, 450 }, "caution boundary_in"},
		{"within 10 % below", func(l *Location) { l.Cases[0].Energy, l.Cases[0].Boundary = 1.1, 480 }, "caution boundary_in"},
		{"1.2 with a boundary of an inch", func(l *Location) { l.Cases[0].Energy, l.Cases[0].Boundary = 1.2, 25.4 }, "error boundary_in"},
		{"1.3 with a boundary of 500 in", func(l *Location) { l.Cases[0].Energy, l.Cases[0].Boundary = 1.3, 12700 }, "error boundary_in"},
		{"1.2 at the working distance", func(l *Location) { l.Cases[0].Energy, l.Cases[0].Boundary = 1.2, 457.2 }, ""},
		{"a voltage in kV by mistake", func(l *Location) { l.Voltage = 0.48 }, "error voltage_v"},
		{"energy falls too fast", func(l *Location) { l.Cases[0].Boundary = 28 * MMPerInch }, "error boundary_in"},
		{"energy falls too slowly", func(l *Location) { l.Cases[0].Boundary = 90 * MMPerInch }, "caution boundary_in"},
		{"from the future", func(l *Location) { l.Cases[0].Prepared = Date{2026, 5, 2} }, "error prepared"},
		{"prepared today", func(l *Location) { l.Cases[0].Prepared = Date{2026, 5, 1} }, ""},
		{"surveyed after", func(l *Location) { l.Cases[0].Surveyed = Date{2026, 3, 15} }, "error surveyed"},
		{"above the equipment's rating", func(l *Location) { l.Rating, l.Cases[0].Fault = 14, 14.1 }, "error rating_ka"},
		{"above the device's rating", func(l *Location) { l.Cases[0].DeviceRating, l.Cases[0].Fault = 14, 14.1 }, "error device_rating_ka"},
		{"its own device", func(l *Location) { l.Cases[0].DeviceAt = "P" }, "error device_at"},
		{"an unknown device place", func(l *Location) { l.Cases[0].DeviceAt = "X" }, "error device_at"},
		{"an unknown feed", func(l *Location) { l.Cases[0].FedFrom = []string{"X"} }, "error fed_from"},
		{"a loop", func(l *Location) { l.Cases[0].FedFrom = []string{"P"} }, "error fed_from"},
		{"no row", func(l *Location) { l.Voltage = 34500 }, "error voltage_v"},
		{"no results", func(l *Location) { l.Cases[0].Energy, l.Cases[0].Boundary = 0, 0 }, "error energy_cal_cm2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := panel(5, 42, 18)
			c.edit(&l)
			var got []string
			for _, f := range judge(p, l)[0].Findings {
				got = append(got, string(f.Level)+" "+f.Field)
			}
			if strings.Join(got, ", ") != c.want {
				t.Errorf("findings %q, want %q", got, c.want)
			}
		})
	}
}

// Where nobody knows the energy nothing is chosen, least of all "no kit".
func TestNoEnergyNoChoice(t *testing.T) {
	l := panel(5, 42, 18)
	l.Cases[0].Energy, l.Cases[0].Boundary = 0, 0
	if a := judge(policy(40, 8, 40), l)[0]; a.Status != "" || a.Kit != "" || a.Prints() {
		t.Errorf("%q, kit %q", a.Status, a.Kit)
	}
}

func TestOwnMain(t *testing.T) {
	p := policy(40, 8, 40)
	p.OwnMain = true
	for note, want := range map[string]bool{"main isolated: barrier between main and bus": true, "main isolated: ": false, "isolated": false, "": false} {
		l := panel(5, 42, 18)
		l.Cases[0].DeviceAt, l.Cases[0].Note = "P", note
		if got := judge(p, l)[0].Prints(); got != want {
			t.Errorf("note %q prints: %v, want %v", note, got, want)
		}
	}
}

// Above a printed 1.2 cal/cm² the boundary never ends inside the working
// distance, where the energy is above 1.2.
func TestBoundaryAtLeastDistance(t *testing.T) {
	if got := boundaryToPrint(Governing[CalCM2]{Value: 1.25}, 440, 457.2); got != 457.2 {
		t.Errorf("got %v", got)
	}
	if got := boundaryToPrint(Governing[CalCM2]{Value: 1.15}, 440, 457.2); got != 440 {
		t.Errorf("a printed 1.2 raises the boundary to %v", got)
	}
}

func TestFaultAgainstUpstream(t *testing.T) {
	p := policy(40, 8, 40)
	at := func(id string, fault KA, feeds ...string) Location {
		l := panel(5, 42, 18)
		l.ID, l.Cases[0].FedFrom, l.Cases[0].Fault = id, feeds, fault
		return l
	}
	cautions := func(fault KA) int {
		n := 0
		for _, a := range judge(p, at("A", 20), at("B", 10, "A"), at("C", 0, "A", "B"), at("D", fault, "C")) {
			if a.Location.ID == "D" {
				n = len(a.Findings)
			}
		}
		return n
	}
	if cautions(21.9) != 0 || cautions(22.1) != 1 {
		t.Errorf("21.9 kA: %d cautions, 22.1 kA: %d; upstream is 20 kA and motors may add 10 %%", cautions(21.9), cautions(22.1))
	}
}

func TestLoopShowsItsPath(t *testing.T) {
	p := policy(40, 8, 40)
	at := func(id string, feeds ...string) Location {
		l := panel(5, 42, 18)
		l.ID, l.Cases[0].FedFrom = id, feeds
		return l
	}
	all := judge(p, at("A", "B"), at("B", "C"), at("C", "A"), at("D", "A"), at("E"))
	if f := all[0].Findings; len(f) != 1 || !strings.Contains(f[0].Message, "A is fed from B is fed from C is fed from A") {
		t.Errorf("A: %v", f)
	}
	if f := all[3].Findings; len(f) != 1 || !strings.Contains(f[0].Message, "fed only by a circular feed: A is fed from B") {
		t.Errorf("D, which only the loop feeds: %v", f)
	}
	if len(all[4].Findings) != 0 {
		t.Errorf("a location outside a loop is blamed: %v", all[4].Findings)
	}
}
