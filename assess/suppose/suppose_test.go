package suppose

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
	"vouchmark/testdata/suite"
)

// plant is an invented one: a utility, a transformer, a switchboard, a panel
// below it, and beside it a panel with two feeds. All results are recomputed
// ones, accepted by an invented name.
func plant() *assess.Site {
	day, _ := assess.ParseDate("2026-03-14")
	place := func(id, from string, v assess.Volts, fault assess.KA, ms assess.MS) assess.Location {
		l := assess.Location{ID: id, Equipment: id, Supply: shock.AC3, Voltage: v, Distance: 609.6, Rating: 65}
		if v > 600 {
			l.Distance = 914.4
		}
		l.Cases = []assess.Case{{Electrodes: "VCB", Gap: 32, Height: 508, Width: 508, Depth: 508, Fault: fault, Clear: ms, ClearReduced: ms, Method: assess.IEEE1584, AcceptedBy: "X", Prepared: day, Device: "device of " + id}}
		c := &l.Cases[0]
		if v > 600 {
			c.Gap, c.Height, c.Width, c.Depth = 152, 1143, 762, 762
		}
		if from != "" {
			c.FedFrom = strings.Split(from, ";")
			c.DeviceAt = c.FedFrom[0]
		}
		return l
	}
	return &assess.Site{
		Policy: assess.Policy{Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger, TolerancePercent: 5,
			Ladder:       []assess.Rung{{Kit: "A", Rating: 4}, {Kit: "B", Rating: 8}, {Kit: "C", Rating: 40}},
			Transformers: []assess.Transformer{{At: "T", KVA: 1000, ImpedancePercent: 5.75, Secondary: 480}}},
		Locations: []assess.Location{
			place("U", "", 13800, 9, 100), place("T", "U", 480, 19.1, 100), place("S", "T", 480, 18, 100),
			place("P", "S", 480, 12, 50), place("Q", "S;X", 480, 12, 50), place("X", "", 480, 15, 50)},
		Curves: map[string]*assess.Curve{},
	}
}

func curve(t *testing.T, points ...arc.Point) *assess.Curve {
	t.Helper()
	c, err := arc.NewCurve(points, true, true, 0)
	if err != nil {
		t.Fatal(err)
	}
	return &assess.Curve{File: "curve.csv", Points: points, Curve: c}
}

func follow(t *testing.T, s *assess.Site, h Hypothesis) (*Result, map[string]Outcome) {
	t.Helper()
	today, _ := assess.ParseDate("2026-05-01")
	r, err := Of(s, s.Assess(today), h)
	if err != nil {
		t.Fatal(err)
	}
	byID := map[string]Outcome{}
	for _, o := range r.Outcomes {
		byID[o.ID] = o
	}
	return r, byID
}

func compute(s *assess.Site, l *assess.Location, c *assess.Case) (*assess.Computed, string, bool) {
	in := s.Inputs(l)
	return assess.Compute(&in, c)
}

// energyAt is what the equations give at one fault current and duration.
func energyAt(s *assess.Site, id string, kA, ms float64) float64 {
	l, _ := s.Location(id)
	c := l.Cases[0]
	c.Fault, c.Clear, c.ClearReduced = assess.KA(kA), assess.MS(ms), assess.MS(ms)
	r, why, _ := compute(s, l, &c)
	if r == nil {
		panic(why)
	}
	return float64(r.Energy)
}

func TestSourceRises(t *testing.T) {
	s := plant()
	r, by := follow(t, s, Hypothesis{Kind: Source, At: "U", Fault: 18})
	if !slices.Equal(r.Outside, []string{"X"}) {
		t.Errorf("outside: %v", r.Outside)
	}
	if u := by["U"]; u.FaultLeast != 18 || u.FaultMost != 18 {
		t.Errorf("at the place itself: %v to %v", u.FaultLeast, u.FaultMost)
	}
	// By hand, sum of magnitudes: half of the source's 1.071 mΩ at 480 V goes
	// away of the 14.509 mΩ that 19.1 kA stand for.
	half := milliohm(13800, 9) * math.Pow(480.0/13800, 2) / 2
	closeTo(t, "T", float64(by["T"].FaultMost), 480/math.Sqrt(3)/(milliohm(480, 19.1)-half), 1e-7)
	for _, id := range []string{"T", "S", "P"} {
		o := by[id]
		if o.Effect != More && o.Effect != Same || o.FaultLeast < o.FaultNow || o.FaultMost <= o.FaultLeast {
			t.Errorf("%s: %+v", id, o)
		}
		// The energy rises with the current here, so the most is at the upper end.
		ms := map[string]float64{"T": 100, "S": 100, "P": 50}[id]
		closeTo(t, id+" energy", float64(o.Then.Energy), energyAt(s, id, float64(o.FaultMost), ms), 1e-6)
	}
	if q := by["Q"]; q.FaultLeast != 12 || q.FaultMost != 24 || q.Notes == nil {
		t.Errorf("two feeds, one of them changed: %+v", q)
	}
}

// A lower current without a curve has no bound, and no number is given.
func TestFallWithoutCurve(t *testing.T) {
	for _, h := range []Hypothesis{{Kind: Source, At: "U", Fault: 5}, {Kind: Transformer, At: "T", ImpedancePercent: 8}, {Kind: Transformer, At: "T", KVA: 500}} {
		_, by := follow(t, plant(), h)
		for id, o := range by {
			if o.Effect != NoBound || o.Then != (Label{}) || o.Changes != nil || !strings.Contains(o.WhyNot, "may clear later and release more energy") {
				t.Errorf("%s, %s: %+v", h.words(), id, o)
			}
			if o.FaultLeast >= o.FaultNow || o.FaultMost > o.FaultNow {
				t.Errorf("%s, %s: %v to %v", h.words(), id, o.FaultLeast, o.FaultMost)
			}
		}
	}
}

// With a curve a fall has a bound: no current in the interval gives more.
func TestFallWithCurve(t *testing.T) {
	s := plant()
	l, _ := s.Location("P")
	step := curve(t, arc.Point{CurrentA: 1000, TimeS: 10}, arc.Point{CurrentA: 7000, TimeS: 0.4}, arc.Point{CurrentA: 7000, TimeS: 0.05}, arc.Point{CurrentA: 30000, TimeS: 0.05})
	s.Curves["curve.csv"] = step
	l.Cases[0].Curve, l.Cases[0].Clear, l.Cases[0].ClearReduced = "curve.csv", 0, 0
	_, by := follow(t, s, Hypothesis{Kind: Source, At: "S", Fault: 10})
	o := by["P"]
	if o.Effect != More {
		t.Fatalf("%+v", o)
	}
	most := 0.0
	for i := range 4001 {
		c := l.Cases[0]
		c.Fault = o.FaultLeast + assess.KA(float64(i)/4000)*(o.FaultMost-o.FaultLeast)
		r, why, _ := compute(s, l, &c)
		if r == nil {
			t.Fatal(why)
		}
		most = max(most, float64(r.Energy))
	}
	if got := float64(o.Then.Energy); got < most*(1-1e-6) || got > most*1.01 {
		t.Errorf("at most %v, a fine scan finds %v", got, most)
	}
	// A current below the curve's first point may not clear at all.
	s.Curves["curve.csv"] = curve(t, arc.Point{CurrentA: 6500, TimeS: 0.05}, arc.Point{CurrentA: 30000, TimeS: 0.05})
	_, by = follow(t, s, Hypothesis{Kind: Source, At: "S", Fault: 8})
	if o := by["P"]; !o.Danger || o.Effect != NoBound || o.Then != (Label{}) {
		t.Errorf("below the curve: %+v", o)
	}
}

// Where a row and its curve both tell, the curve counts only if it does not
// fall short of the row now.
func TestCurveBesideRow(t *testing.T) {
	for _, test := range []struct {
		reason string
		ms     float64 // of the curve, at any current
		bound  bool
	}{{"as the row", 50, true}, {"a little short of it", 48, true}, {"longer, within the tolerance", 52, true}, {"much shorter", 20, false}} {
		s := plant()
		l, _ := s.Location("P")
		l.Cases[0].Curve = "curve.csv"
		s.Curves["curve.csv"] = curve(t, arc.Point{CurrentA: 100, TimeS: test.ms / 1000}, arc.Point{CurrentA: 90000, TimeS: test.ms / 1000})
		_, by := follow(t, s, Hypothesis{Kind: Source, At: "S", Fault: 17.9})
		o := by["P"]
		if (o.Effect != NoBound) != test.bound {
			t.Errorf("%s: %+v", test.reason, o)
		}
		// 17.9 kA in place of 18 take off less than a hundredth.
		if test.bound && float64(o.Then.Energy) < 0.99*float64(o.Now.Energy) {
			t.Errorf("%s: the energy falls from %v to %v", test.reason, o.Now.Energy, o.Then.Energy)
		}
	}
}

func TestTransformer(t *testing.T) {
	s := plant()
	// Nameplate 13.248 mΩ, a quarter of it less with 1333.3 kVA; 19.1 kA stand
	// for 14.509 mΩ; sum of magnitudes.
	_, by := follow(t, s, Hypothesis{Kind: Transformer, At: "T", KVA: 4000.0 / 3})
	closeTo(t, "T", float64(by["T"].FaultMost), 480/math.Sqrt(3)/(milliohm(480, 19.1)-13.248/4), 1e-5)
	if _, above := by["U"]; above {
		t.Error("the utility is above the change")
	}
	// The same nameplate changes nothing.
	_, by = follow(t, s, Hypothesis{Kind: Transformer, At: "T", KVA: 1000})
	for id, o := range by {
		if o.Effect != Same || o.FaultMost != o.FaultNow {
			t.Errorf("%s: %+v", id, o)
		}
	}
	// More fault current than the nameplate alone lets by: motors, in the study.
	s.Locations[1].Cases[0].Fault = 22
	_, by = follow(t, s, Hypothesis{Kind: Transformer, At: "T", KVA: 2000})
	if o := by["T"]; o.FaultLeast != 22 || o.FaultMost != 44 || !slices.Contains(o.Notes, moreThan) {
		t.Errorf("motors: %+v", o)
	}
	for _, h := range []Hypothesis{{Kind: Transformer, At: "S", KVA: 1500}, {Kind: Source, At: "no", Fault: 1}, {Kind: Device, At: "P", Clear: 1}, {Kind: Device, At: "S", Device: "no", Clear: 1}} {
		if r, err := Of(s, nil, h); err == nil {
			t.Errorf("%+v: %+v", h, r)
		}
	}
}

// Feeders and nameplates that are all given narrow the interval; those that
// the study's fault current contradicts do not, and that is said.
func TestFeeders(t *testing.T) {
	wide := func(o Outcome) float64 { return float64(o.FaultMost - o.FaultLeast) }
	h := Hypothesis{Kind: Source, At: "S", Fault: 30}
	s := plant()
	_, by := follow(t, s, h)
	without := wide(by["P"])
	rest := milliohm(480, 12) - milliohm(480, 18)
	for _, test := range []struct {
		milliohm float64
		narrower bool
		note     bool
	}{{rest, true, false}, {1.2 * rest, true, false}, {10 * rest, false, false}, {0.5 * rest, false, true}} {
		s.Policy.Feeders = []assess.Feeder{{At: "P", From: "S", Milliohm: test.milliohm}}
		_, by = follow(t, s, h)
		o := by["P"]
		if (wide(o) < without*(1-1e-9)) != test.narrower || slices.Contains(o.Notes, notFollows) != test.note {
			t.Errorf("%v mΩ: %v wide, %v without; %v", test.milliohm, wide(o), without, o.Notes)
		}
	}
	// Below a transformer the rest holds the source, and every conductor.
	s = plant()
	h = Hypothesis{Kind: Transformer, At: "T", KVA: 2000}
	_, by = follow(t, s, h)
	without = wide(by["S"])
	s.Policy.Feeders = []assess.Feeder{{At: "S", From: "T", Milliohm: 1}}
	if _, by = follow(t, s, h); wide(by["S"]) != without {
		t.Error("narrowed without the conductors of the primary")
	}
	s.Policy.Feeders = append(s.Policy.Feeders, assess.Feeder{At: "T", From: "U", Milliohm: 30})
	if _, by = follow(t, s, h); wide(by["S"]) >= without {
		t.Errorf("%v, %v without", wide(by["S"]), without)
	}
}

func TestCases(t *testing.T) {
	s := plant()
	l, _ := s.Location("S")
	l.Cases = append(l.Cases, l.Cases[0])
	l.Cases[0].Name, l.Cases[1].Name, l.Cases[1].Fault = "normal", "tie closed", 20
	p, _ := s.Location("P")
	p.Cases = append(p.Cases, p.Cases[0])
	p.Cases[0].Name, p.Cases[1].Name, p.Cases[1].Fault = "normal", "tie closed", 13
	q, _ := s.Location("Q")
	q.Cases[0].FedFrom = []string{"S"}
	_, by := follow(t, s, Hypothesis{Kind: Source, At: "S", Fault: 25})
	for k, c := range p.Cases {
		of := l.Cases[k].Fault
		if sum := 480 / math.Sqrt(3) / (milliohm(480, 25) + milliohm(480, c.Fault) - milliohm(480, of)); float64(by["P"].FaultMost) < sum*(1-1e-8) {
			t.Errorf("%s: %v is below %v", c.Name, by["P"].FaultMost, sum)
		}
	}
	// One case without a name below two: of which of them its current is, nobody
	// knows, so the widest interval counts.
	least, most := math.Inf(1), 0.0
	for k := range l.Cases {
		one := plant()
		at, _ := one.Location("S")
		at.Cases[0].Fault = l.Cases[k].Fault
		below, _ := one.Location("Q")
		below.Cases[0].FedFrom = []string{"S"}
		_, by := follow(t, one, Hypothesis{Kind: Source, At: "S", Fault: 25})
		least, most = min(least, float64(by["Q"].FaultLeast)), max(most, float64(by["Q"].FaultMost))
	}
	if o := by["Q"]; float64(o.FaultLeast) != least || float64(o.FaultMost) != most || least == most ||
		!slices.ContainsFunc(o.Notes, func(n string) bool { return strings.Contains(n, "2 cases, none of them named") }) {
		t.Errorf("one case without a name below two: %+v, want %v to %v", o, least, most)
	}
	// The case may be named: then the others stay as they are.
	r, by := follow(t, s, Hypothesis{Kind: Source, At: "S", Fault: 25, Case: "tie closed"})
	if !strings.HasSuffix(r.Words, "in case tie closed") {
		t.Error(r.Words)
	}
	if o := by["P"]; o.FaultMost <= 13 || o.FaultLeast < 12 {
		t.Errorf("P: %v to %v", o.FaultLeast, o.FaultMost)
	}
	if o := by["Q"]; o.FaultLeast != 12 || float64(o.FaultMost) <= 12 {
		t.Errorf("Q in one of two cases: %v to %v", o.FaultLeast, o.FaultMost)
	}
	for _, h := range []Hypothesis{{Kind: Source, At: "S", Fault: 25, Case: "tie open"}, {Kind: Device, At: "S", Clear: 50, Case: "tie open"}} {
		if r, err := Of(s, nil, h); err == nil || !strings.Contains(err.Error(), "normal, tie closed") {
			t.Errorf("%+v: %+v, %v", h, r, err)
		}
	}
	_, by = follow(t, s, Hypothesis{Kind: Device, At: "S", Clear: 500, ClearReduced: 500, Case: "tie closed"})
	if len(by) != 1 || by["P"].Effect != More {
		t.Errorf("a device in one case: %+v", by)
	}
}

// No fault current is computed across a tie: not at either end, nor below.
func TestTies(t *testing.T) {
	s := plant()
	x, _ := s.Location("X")
	x.Cases[0].TiedTo = []string{"S"} // one side is enough
	_, by := follow(t, s, Hypothesis{Kind: Source, At: "U", Fault: 18})
	for id, tied := range map[string]bool{"U": false, "T": false, "S": true, "X": true, "P": true, "Q": true} {
		if o, reached := by[id]; !reached || (o.Effect == NoBound && o.WhyNot == acrossTie && o.FaultMost == 0) != tied {
			t.Errorf("%s: %+v", id, o)
		}
	}
	// A tie of one case leaves the others their numbers; the label has no bound.
	p, _ := s.Location("P")
	x.Cases[0].TiedTo = nil
	l, _ := s.Location("S")
	for _, two := range []*assess.Location{l, p} {
		two.Cases = append(two.Cases, two.Cases[0])
		two.Cases[0].Name, two.Cases[1].Name = "normal", "tie closed"
	}
	l.Cases[1].TiedTo = []string{"X"}
	c := faultChange{network: newNetwork(s, 0), volts: 13800, fault: 18}
	for k, tied := range []bool{false, true} {
		if v, is := c.of(3, &p.Cases[k]); !is || (v.whyNot == acrossTie) != tied || (v.high == 0) != tied {
			t.Errorf("P, %s: %+v", p.Cases[k].Name, v)
		}
	}
	// A device changes no fault current, so a tie does not matter.
	if _, by = follow(t, s, Hypothesis{Kind: Device, At: "S", Clear: 400, ClearReduced: 400}); by["P"].Effect != More {
		t.Errorf("a device below a tie: %+v", by["P"])
	}
}

func TestRatings(t *testing.T) {
	s := plant()
	p, _ := s.Location("P")
	p.Rating = 14
	_, by := follow(t, s, Hypothesis{Kind: Source, At: "S", Fault: 30})
	if o := by["P"]; o.Says == nil || o.Effect != More {
		t.Errorf("above the equipment's rating: %+v", o)
	}
	p.Cases[0].DeviceRating = 14
	_, by = follow(t, s, Hypothesis{Kind: Source, At: "S", Fault: 30})
	if o := by["P"]; !o.Danger || o.Then != (Label{}) {
		t.Errorf("above what the device interrupts: %+v", o)
	}
}

func TestDevice(t *testing.T) {
	s := plant()
	r, by := follow(t, s, Hypothesis{Kind: Device, At: "S", Clear: 400, ClearReduced: 400})
	if len(r.Outcomes) != 2 || len(r.Outside) != 4 {
		t.Errorf("reached %d, not %d", len(r.Outcomes), len(r.Outside))
	}
	closeTo(t, "P", float64(by["P"].Then.Energy), energyAt(s, "P", 12, 400), 1e-6)
	if o := by["P"]; o.Effect != More || !slices.Contains(o.Changes, "kit") {
		t.Errorf("%+v", o)
	}
	_, by = follow(t, s, Hypothesis{Kind: Device, At: "S", Device: "device of P", Clear: 20, ClearReduced: 20})
	if len(by) != 1 || by["P"].Effect != Less {
		t.Errorf("one device, faster: %+v", by)
	}
	_, by = follow(t, s, Hypothesis{Kind: Device, At: "S", Device: "device of P", Clear: 20})
	if o := by["P"]; o.Effect != NoBound || !strings.Contains(o.WhyNot, "--clear-reduced-ms") {
		t.Errorf("no duration at the reduced current: %+v", o)
	}
	c := curve(t, arc.Point{CurrentA: 1000, TimeS: 0.4}, arc.Point{CurrentA: 30000, TimeS: 0.4})
	_, by = follow(t, s, Hypothesis{Kind: Device, At: "S", Device: "device of P", Curve: c})
	closeTo(t, "by a curve", float64(by["P"].Then.Energy), energyAt(s, "P", 12, 400), 1e-6)
	c = curve(t, arc.Point{CurrentA: 11000, TimeS: 0.4}, arc.Point{CurrentA: 30000, TimeS: 0.4})
	if _, by = follow(t, s, Hypothesis{Kind: Device, At: "S", Curve: c}); !by["P"].Danger {
		t.Errorf("a curve that begins above the arcing current: %+v", by["P"])
	}
}

// The study's word stays the study's word: what was stated above the
// recomputed result grows with it, and what is stated alone has no bound.
func TestStudyGoverns(t *testing.T) {
	s := plant()
	p, _ := s.Location("P")
	p.Cases[0].Energy, p.Cases[0].Boundary = assess.CalCM2(3*energyAt(s, "P", 12, 50)), 900
	_, by := follow(t, s, Hypothesis{Kind: Device, At: "S", Clear: 100, ClearReduced: 100})
	if by["P"].WhyNot != "" {
		t.Fatal(by["P"].WhyNot)
	}
	closeTo(t, "twice the duration", float64(by["P"].Then.Energy/by["P"].Now.Energy), 2, 1e-6)
	p.Cases[0].Method = assess.Stated
	_, by = follow(t, s, Hypothesis{Kind: Device, At: "S", Clear: 100, ClearReduced: 100})
	if o := by["P"]; o.Effect != NoBound || !strings.Contains(o.WhyNot, "only the study's own result") {
		t.Errorf("%+v", o)
	}
}

// An error finding stops a label now: nothing is said of it then.
func TestErrorNow(t *testing.T) {
	s := plant()
	p, _ := s.Location("P")
	p.Cases[0].AcceptedBy = ""
	_, by := follow(t, s, Hypothesis{Kind: Source, At: "S", Fault: 30})
	if o := by["P"]; o.Effect != NoBound || !strings.Contains(o.WhyNot, "error finding") || o.Now != (Label{}) {
		t.Errorf("%+v", o)
	}
}

func TestAsked(t *testing.T) {
	for _, test := range []struct {
		asked Asked
		words string // of the hypothesis, or of the error
	}{
		{Asked{At: "U", FaultKA: "12"}, "a change upstream of U brings 12 kA of fault current there"},
		{Asked{At: "T", KVA: "1500", ImpedancePercent: "6"}, "the transformer at T is replaced by one of 1500 kVA and 6 %"},
		{Asked{At: "S", Device: "52-1", ClearMS: "50", ClearReducedMS: "60"}, "52-1 at S clears in 50 ms, and in 60 ms at the reduced arcing current"},
		{Asked{At: "S", ClearMS: "50"}, "the devices at S clear in 50 ms"},
		{Asked{FaultKA: "12"}, "--at: name the location"},
		{Asked{At: "U"}, "give one change"},
		{Asked{At: "U", FaultKA: "12", KVA: "1500"}, "give one change"},
		{Asked{At: "U", FaultKA: "-1"}, `--fault-ka: "-1" is not a number above 0`},
		{Asked{At: "U", FaultKA: "NaN"}, "is not a number above 0"},
		{Asked{At: "U", FaultKA: "Inf"}, "is not a number above 0"},
		{Asked{At: "U", FaultKA: "0"}, "is not a number above 0"},
		{Asked{At: "U", FaultKA: "12", Device: "x"}, "--device goes with"},
		{Asked{At: "S", ClearReducedMS: "50"}, "neither replaces the other"},
		{Asked{At: "S", ClearMS: "50", Curve: "x.csv"}, "not both"},
	} {
		h, err := test.asked.Hypothesis()
		got := h.words()
		if err != nil {
			got = err.Error()
		}
		if !strings.Contains(got, test.words) {
			t.Errorf("%+v: %q, want %q", test.asked, got, test.words)
		}
	}
}

// Random cases of a place and of a location below it, against one hypothesis
// for each pair that may belong together.
func TestCasesAgainstSlow(t *testing.T) {
	draws := 300
	if suite.Exhaustive {
		draws = 10_000
	}
	r := rand.New(rand.NewPCG(14, 3))
	names := []string{"normal", "tie closed", "one feed", "generator"}
	kinds := map[string]int{}
	for range draws {
		s := plant()
		place, _ := s.Location("S")
		below, _ := s.Location("P")
		random := func(l *assess.Location, least, most float64) {
			row := l.Cases[0]
			l.Cases = nil
			for _, k := range r.Perm(len(names))[:1+r.IntN(3)] {
				c := row
				c.Name, c.Fault = names[k], assess.KA(least+r.Float64()*(most-least))
				l.Cases = append(l.Cases, c)
			}
			if len(l.Cases) == 1 && r.IntN(2) == 0 {
				l.Cases[0].Name = ""
			}
		}
		random(place, 15, 25)
		random(below, 8, 14)
		h := Hypothesis{Kind: Source, At: "S", Fault: assess.KA(10 + r.Float64()*20)}
		if r.IntN(3) == 0 {
			h.Case = place.Cases[r.IntN(len(place.Cases))].Name
		}
		_, by := follow(t, s, h)
		// Each case of the location with each of the place's that may be its own.
		reached, least, most := false, 0.0, 0.0
		for _, c := range below.Cases {
			same := func(pc assess.Case) bool { return pc.Name == c.Name }
			alone := len(place.Cases) == 1 || slices.ContainsFunc(place.Cases, same)
			low, high, changed := math.Inf(1), 0.0, false
			for _, pc := range place.Cases {
				if alone && len(place.Cases) > 1 && !same(pc) {
					continue
				}
				a, b := float64(c.Fault), float64(c.Fault)
				if h.Case == "" || h.Case == pc.Name {
					one := plant()
					up, _ := one.Location("S")
					down, _ := one.Location("P")
					up.Cases[0].Fault, down.Cases[0].Fault = pc.Fault, c.Fault
					_, of := follow(t, one, Hypothesis{Kind: Source, At: "S", Fault: h.Fault})
					a, b, changed = float64(of["P"].FaultLeast), float64(of["P"].FaultMost), true
				}
				low, high = min(low, a), max(high, b)
			}
			if !changed {
				low, high = float64(c.Fault), float64(c.Fault)
			}
			reached = reached || changed
			least, most = max(least, low), max(most, high)
		}
		o, got := by["P"]
		kinds[fmt.Sprint(reached, len(o.Notes) > 0)]++
		if got != reached || reached && (!near9(float64(o.FaultLeast), least) || !near9(float64(o.FaultMost), most)) {
			t.Fatalf("%+v\n%v, want %v: %v to %v\n%+v\n%+v", h, o, reached, least, most, place.Cases, below.Cases)
		}
	}
	if len(kinds) < 3 {
		t.Errorf("something was never tried: %v", kinds)
	}
}

func near9(a, b float64) bool { return math.Abs(a-b) <= 1e-8*math.Abs(b) }
