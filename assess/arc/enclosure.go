package arc

// Enclosure is the size of a box as the model counts it.
type Enclosure struct {
	Shallow  bool    // the shallow box of Table 7, else the typical one
	HeightIn float64 // equivalent height H1, in
	WidthIn  float64 // equivalent width W1, in
	SizeIn   float64 // equivalent enclosure size EES, in; 0 in open air
	Factor   float64 // correction factor CF; 1 in open air
	Cautions Cautions
}

const (
	sizeLowMM    = 508     // mm, 20 in, Table 6
	sizeMiddleMM = 660.4   // mm, 26 in, Table 6
	shallowMM    = 203.2   // mm, 8 in, greatest depth of the shallow box
	inchPerMM    = 0.03937 // in/mm, as printed in Table 6
	mmPerInch    = 25.4    // mm/in, eq. 11, 12
	leastSizeIn  = 20      // in, Table 6
)

// size fills the equivalent size and the correction factor of an enclosure of height,
// width and depth in mm at a voltage in V, by eq. 11 to 15, Tables 6 and 7; c is a zero
// value. Open air has the factor 1. Valid for input that [Input.refuse] does not
// refuse; above 1244.6 mm the table's cap is used and a caution set. A depth of 0 is
// unknown and counts as deep.
//
// The shallow box has no lower bound: for VCBB 1/CF falls to a third at 6 in and to zero at
// 2.5 in, far below the box of 14 by 12 in from which it stems. There the energy is low
// because the formula says so.
func (c *Enclosure) size(e Electrodes, voltageV, heightMM, widthMM, depthMM float64) {
	if !e.Enclosed() {
		c.Factor = 1 // eq. 3 to 10: open air has CF 1
		return
	}
	kv := voltageV / 1000
	if voltageV < lowVoltageV && heightMM < sizeLowMM && widthMM < sizeLowMM {
		if depthMM == 0 {
			c.Cautions |= CautionDepth
		} else if depthMM <= shallowMM {
			c.Shallow = true
		}
	}
	if c.Shallow {
		c.HeightIn = float64(inchPerMM * heightMM) // Table 6, shallow
		c.WidthIn = float64(inchPerMM * widthMM)   // Table 6, shallow
	} else {
		c.HeightIn = equivalentIn(e, kv, heightMM, true)
		c.WidthIn = equivalentIn(e, kv, widthMM, false)
	}
	c.SizeIn = (c.HeightIn + c.WidthIn) / 2 // eq. 13
	if c.Shallow {
		c.Factor = 1 / quadratic(&sizeTable[1][e.row()], c.SizeIn) // eq. 15, Table 7
	} else {
		c.Factor = quadratic(&sizeTable[0][e.row()], c.SizeIn) // eq. 14, Table 7
	}
	if heightMM > testedSizeMM {
		c.Cautions |= CautionHeight
	}
	if widthMM > testedSizeMM {
		c.Cautions |= CautionWidth
	}
	if heightMM*widthMM > testedAreaMM2*(1+1e-9) { // 49 in by 49 in passes in mm as well
		c.Cautions |= CautionOpening
	}
}

// equivalentIn returns the equivalent height or width, in, of a dimension x in mm of the
// typical box, Table 6.
func equivalentIn(e Electrodes, kv, x float64, height bool) float64 {
	switch {
	case x < sizeLowMM:
		return leastSizeIn // Table 6
	case x <= sizeMiddleMM:
		return float64(inchPerMM * x) // Table 6
	case height && e == VCB && x <= testedSizeMM:
		return float64(inchPerMM * x) // Table 6: VCB's height
	case height && e == VCB:
		return 49 // in, Table 6: VCB's height above 1244.6 mm
	}
	x = min(x, testedSizeMM) // Table 6
	ab := &dimensionTable[e.row()]
	return (sizeMiddleMM + float64((x-sizeMiddleMM)*(kv+ab.a)/ab.b)) / mmPerInch // eq. 11, 12
}

// quadratic returns b1 x2 + b2 x + b3.
func quadratic(b *[3]float64, x float64) float64 {
	return float64((float64(b[0]*x)+b[1])*x) + b[2] // eq. 14, 15
}

// record adds the steps of the enclosure's size.
func (c *Enclosure) record(r *Recorder, in *Input) {
	e := in.Electrodes
	if !e.Enclosed() {
		r.add("CF", c.Factor, "", "IEEE 1584-2018 eq. 3 to 10", "enclosure size correction factor: 1 in open air")
		return
	}
	r.add("H", in.HeightMM, "mm", "given", "enclosure height")
	r.add("W", in.WidthMM, "mm", "given", "enclosure width")
	r.add("depth", in.DepthMM, "mm", "given", "enclosure depth; 0 is unknown and counts as deep")
	r.add("H1", c.HeightIn, "in", "IEEE 1584-2018 eq. 12, Table 6",
		"equivalent height"+r.rule(e, c.Shallow, in.HeightMM, true))
	r.add("W1", c.WidthIn, "in", "IEEE 1584-2018 eq. 11, Table 6",
		"equivalent width"+r.rule(e, c.Shallow, in.WidthMM, false))
	r.add("EES", c.SizeIn, "in", "IEEE 1584-2018 eq. 13", "equivalent enclosure size: (H1 + W1) / 2")
	if c.Shallow {
		r.add("CF", c.Factor, "", "IEEE 1584-2018 eq. 15, Table 7",
			r.coefficients("correction factor, shallow box: 1 / (b1 EES^2 + b2 EES + b3)", "b", 1, sizeTable[1][e.row()][:]...))
	} else {
		r.add("CF", c.Factor, "", "IEEE 1584-2018 eq. 14, Table 7",
			r.coefficients("correction factor, typical box: b1 EES^2 + b2 EES + b3", "b", 1, sizeTable[0][e.row()][:]...))
	}
}

// rule says which line of Table 6 gave the equivalent of a dimension x in mm, in the order
// of equivalentIn.
func (r *Recorder) rule(e Electrodes, shallow bool, x float64, height bool) string {
	switch {
	case r.NoWords:
		return ""
	case shallow:
		return ", shallow box: 0.03937 times the dimension in mm"
	case x < sizeLowMM:
		return ": 20 in below 508 mm"
	case x <= sizeMiddleMM, height && e == VCB && x <= testedSizeMM:
		return ": 0.03937 times the dimension in mm"
	case height && e == VCB:
		return ": 49 in, the cap above 1244.6 mm"
	}
	words := ": (660.4 + (x - 660.4) (Voc + A) / B) / 25.4, Voc in kV, x the dimension in mm, at most 1244.6"
	ab := &dimensionTable[e.row()]
	return words + "; A = " + quantity(ab.a, "") + ", B = " + quantity(ab.b, "")
}
