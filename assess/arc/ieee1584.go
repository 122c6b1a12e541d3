package arc

import "math"

// Input is one case for IEEE 1584-2018. Ranges are those of clause 4.2; [Prepare] refuses
// others.
type Input struct {
	VoltageV   float64    // open-circuit voltage line to line, V, 208 to 15 000
	FaultKA    float64    // bolted fault current Ibf, kA, 0.5 to 106 up to 600 V, 0.2 to 65 above
	GapMM      float64    // gap between conductors G, mm, 6.35 to 76.2 up to 600 V, 19.05 to 254 above
	DistanceMM float64    // working distance D, mm, at least 304.8
	HeightMM   float64    // enclosure height, mm; ignored in open air
	WidthMM    float64    // enclosure width, mm, at least 4 gaps; ignored in open air
	DepthMM    float64    // enclosure depth, mm; 0 is unknown and counts as deep; ignored in open air
	Electrodes Electrodes // configuration
}

// A Model is a case of IEEE 1584-2018 of which everything but time is computed, so that
// durations and distances can be tried at little cost. It comes from [Prepare]; it is a
// value, and holds no pointer.
type Model struct {
	in       Input
	kv       float64 // Voc, kV
	tables   int     // 1 up to 600 V, else 3
	place    place   // above 600 V
	reduce   float64 // 1 - 0.5 VarCf
	arcing   Arcing
	box      Enclosure
	lgFault  float64       // of Ibf
	lgGap    float64       // of G
	lgD      float64       // of the working distance
	lgSize   float64       // of CF
	lgReduce float64       // of reduce
	lgI      [3]float64    // of the arcing current that stands for I
	poly     [3]float64    // k4 Ibf^6 + ... + k10
	basis    [2][3]float64 // by case and table, see bases
}

// Governs says which current gives the larger energy.
type Governs uint8

// The two cases; "full" governs when both are equal.
const (
	Full Governs = iota
	Reduced
)

// String returns "full" or "reduced".
func (g Governs) String() string {
	if g == Reduced {
		return "reduced"
	}
	return "full"
}

// Result is a full evaluation: energies at the working distance in cal/cm2, boundaries in
// mm. The larger boundary mostly belongs to the case of the larger energy; above 600 V it
// need not.
type Result struct {
	ArcingKA        float64 // final arcing current, kA
	ArcingReducedKA float64 // reduced arcing current, kA
	EnergyFull      float64 // incident energy at the full arcing current, cal/cm2
	EnergyReduced   float64 // at the reduced arcing current, cal/cm2
	BoundaryFull    float64 // arc-flash boundary at the full arcing current, mm
	BoundaryReduced float64 // at the reduced arcing current, mm
	Energy          float64 // the larger energy: the result
	Boundary        float64 // the larger boundary: the result
	Governs         Governs // the case of the larger energy
	EnclosureFactor float64 // CF; 1 in open air
	EnclosureIn     float64 // equivalent enclosure size EES, in; 0 in open air
	Cautions        Cautions
}

// Prepare checks a case against the limits of the model and computes what does not
// depend on time. The error is a [Refusals] with every limit that is violated. rec may
// be nil.
func Prepare(in *Input, rec *Recorder) (Model, error) {
	var m Model
	if err := m.prepare(in, rec); err != nil {
		return Model{}, err
	}
	return m, nil
}

// prepare is Prepare on a zero model. The enclosure comes between the intermediate and
// the final currents, which wait for each other, so that the processor has other work
// in between.
func (m *Model) prepare(in *Input, rec *Recorder) error {
	if err := m.start(in); err != nil {
		return err
	}
	if rec != nil {
		rec.add("Voc", m.kv, "kV", "given", "open-circuit voltage, line to line; electrodes "+in.Electrodes.String())
		rec.add("Ibf", in.FaultKA, "kA", "given", "bolted fault current")
		rec.add("G", in.GapMM, "mm", "given", "gap between conductors")
	}
	m.intermediate(rec)
	m.size()
	if err := m.final(rec); err != nil {
		return err
	}
	if !positive(m.box.Factor) {
		return noValue("enclosure correction factor", "IEEE 1584-2018 eq. 14, 15, Table 7")
	}
	if rec != nil {
		m.box.record(rec, in)
	}
	m.bases(rec)
	return nil
}

// start checks the input and fills what both current and energy need.
func (m *Model) start(in *Input) error {
	if r := in.refuse(); len(r) > 0 {
		return r
	}
	m.in, m.kv, m.tables = *in, in.VoltageV/1000, 3
	if in.VoltageV <= lowVoltageV {
		m.tables = 1
	} else {
		m.place.set(m.kv)
	}
	m.lgFault, m.lgGap = lg(in.FaultKA), lg(in.GapMM)
	m.arcing.Variation = variation(in.Electrodes, m.kv) // eq. 2, Table 2
	m.reduce = 1 - float64(0.5*m.arcing.Variation)      // eq. 2
	return nil
}

// size fills the terms of enclosure and distance.
func (m *Model) size() {
	in := &m.in
	m.box.size(in.Electrodes, in.VoltageV, in.HeightMM, in.WidthMM, in.DepthMM)
	if in.Electrodes.Enclosed() {
		m.lgSize = lg(m.box.Factor)
	}
	m.lgReduce, m.lgD = lg(m.reduce), lg(in.DistanceMM)
}

// Currents returns the arcing currents of a case, which need no duration: the place at
// which a device's curve is read. The error is a [Refusals].
func Currents(in *Input) (Arcing, error) {
	var m Model
	if err := m.start(in); err != nil {
		return Arcing{}, err
	}
	m.intermediate(nil)
	if err := m.final(nil); err != nil {
		return Arcing{}, err
	}
	return m.arcing, nil
}

// Evaluate computes both arcing currents, and the energy and boundary at each with its own
// duration in ms, above 0; the results are the larger ones. A duration of 0 is unknown and
// refuses the evaluation: the full current's duration never stands in for the reduced
// one's. The error is a [Refusals]. rec may be nil; then nothing is allocated unless the
// case is refused.
func Evaluate(in *Input, clearMS, clearReducedMS float64, rec *Recorder) (res Result, err error) {
	var m Model
	if err := m.prepare(in, rec); err != nil {
		return res, err
	}
	if !positive(clearMS) || !positive(clearReducedMS) {
		return res, m.refuseDurations(nil, clearMS, clearReducedMS)
	}
	if rec != nil {
		rec.add("T", clearMS, "ms", "given", "arc duration at the full arcing current")
		rec.add("T_min", clearReducedMS, "ms", "given", "arc duration at the reduced arcing current")
		rec.add("D", in.DistanceMM, "mm", "given", "working distance")
	}
	lgT, lgTReduced := lg(boundaryTime/clearMS), lg(boundaryTime/clearReducedMS) // eq. 7 to 10
	joules := m.energy(caseFull, m.lgD, clearMS, rec)
	joulesReduced := m.energy(caseReduced, m.lgD, clearReducedMS, rec)
	mm := m.boundary(caseFull, lgT, rec)
	mmReduced := m.boundary(caseReduced, lgTReduced, rec)
	if !(joules >= 0 && joulesReduced >= 0 && mm >= 0 && mmReduced >= 0 &&
		joules+joulesReduced+mm+mmReduced <= math.MaxFloat64) {
		return res, noValue("incident energy or boundary", "IEEE 1584-2018 eq. 3 to 24")
	}
	res.ArcingKA, res.ArcingReducedKA = m.arcing.FullKA, m.arcing.ReducedKA
	res.EnergyFull, res.EnergyReduced = joules/Calorie, joulesReduced/Calorie
	res.BoundaryFull, res.BoundaryReduced = mm, mmReduced
	res.Energy, res.Boundary = res.EnergyFull, max(mm, mmReduced)
	words := "result: the larger energy, that of the full arcing current"
	if joulesReduced > joules {
		res.Energy, res.Governs = res.EnergyReduced, Reduced
		words = "result: the larger energy, that of the reduced arcing current"
	}
	res.EnclosureFactor, res.EnclosureIn, res.Cautions = m.box.Factor, m.box.SizeIn, m.box.Cautions
	if rec != nil {
		rec.add("E", res.Energy, "cal/cm2", "1 cal = 4.184 J", words)
		rec.add("AFB", res.Boundary, "mm", "IEEE 1584-2018 eq. 7 to 10, 22 to 24", "result: the arc-flash boundary (AFB), the larger of the two")
	}
	return res, nil
}

// Arcing returns the arcing currents of the case.
func (m *Model) Arcing() Arcing { return m.arcing }

// EnergyAt returns the larger energy, cal/cm2, at another distance in mm, at least 304.8,
// for the same durations in ms: points of the curve of energy over distance. The error is a
// [Refusals].
func (m *Model) EnergyAt(distanceMM, clearMS, clearReducedMS float64) (float64, error) {
	var r Refusals
	r.within("working distance", "mm", distanceMM, MinDistanceMM, math.MaxFloat64, sourceLimits)
	if m.tables == 0 {
		r = append(r, &Refusal{Quantity: "prepared case", Bound: Missing})
	}
	if r = m.refuseDurations(r, clearMS, clearReducedMS); len(r) > 0 {
		return 0, r
	}
	lgD := lg(distanceMM)
	e := max(m.energy(caseFull, lgD, clearMS, nil), m.energy(caseReduced, lgD, clearReducedMS, nil)) / Calorie
	if !(e >= 0 && e <= math.MaxFloat64) {
		return 0, noValue("incident energy", "IEEE 1584-2018 eq. 3 to 6")
	}
	return e, nil
}

// refuseDurations adds a refusal for each duration that is unknown or no number.
func (m *Model) refuseDurations(r Refusals, clearMS, clearReducedMS float64) Refusals {
	r.positive("arc duration at the full arcing current", "ms", clearMS, "IEEE 1584-2018 eq. 3 to 6")
	if !r.positive("arc duration at the reduced arcing current", "ms", clearReducedMS, "IEEE 1584-2018 eq. 2") {
		r[len(r)-1].Note = "not computed, the duration at the full current does not stand in for it; " +
			"the reduced arcing current is " + quantity(m.arcing.ReducedKA, "kA")
	}
	return r
}
