// Package arc implements the incident-energy and arc-flash boundary equations of
//
//	IEEE Std 1584-2018, IEEE Guide for Performing Arc-Flash Hazard Calculations,
//
// for three-phase systems of 208 V to 15 kV, plus the Lee method above 15 kV and the
// maximum-power method for DC up to 1000 V, both as printed in NFPA 70E Annex D. The
// functions are pure: no files, no clock, no state.
//
// # What is where
//
//	clause 4.2, limits of the model          Prepare, Refusal    limits.go
//	eq. 1, Table 1, intermediate current     Currents            current.go
//	eq. 2, Table 2, variation, reduced       Currents            current.go
//	eq. 3 to 6, Tables 3 to 5, energy        Evaluate            energy.go
//	eq. 7 to 10, Tables 3 to 5, boundary     Evaluate            energy.go
//	eq. 11 to 15, Tables 6, 7, enclosure     Prepare             enclosure.go
//	eq. 16 to 24, interpolation              Currents, Evaluate  interpolate.go
//	eq. 25, final current up to 600 V        Currents            current.go
//	both currents, each with its duration    Evaluate            ieee1584.go
//	typical gaps, enclosures, distances      TypicalFor          typical.go
//	NFPA 70E Annex D, Lee                    Lee                 lee.go
//	NFPA 70E D.5, DC maximum power           DCMaxPower          dc.go
//
// A clearing curve ([Curve]), how far the fault current may move ([FaultIntervals]) and
// the record of steps ([Recorder]) are the package's own.
//
// # Units
//
// Inputs and results: V, kA, mm, ms, cal/cm2. In the equations, as in the standard: kV,
// kA, mm, ms, J/cm2, and lg is the logarithm to base 10. 1 cal is 4.184 J.
//
// # Where the numbers come from
//
// No copy of the standard was at hand. Tables 1 to 5 and 7, the limits of clause 4.2 and
// the numbering of the equations were transcribed from memory and compared with several
// independent public transcriptions, which agree. The printed results of Annex D.1 and D.2
// are reproduced to every printed digit, but both examples use VCB, and so exercise 8 of
// the 41 rows of coefficients: the three VCB rows of Table 1, one of Table 2, one each of
// Tables 3, 4, 5, and the typical VCB row of Table 7. The other 33 rows (VCBB, HCB, VOA,
// HOA everywhere, and the shallow half of Table 7) rest on agreeing transcriptions alone.
// The typical sizes, the Lee form and the DC form are from memory too, checked against the
// published results that their tests name.
//
// # Outside the model
//
// Outside its limits an equation gives no number: the error is a [Refusals] that lists
// every limit that was violated, with the value found. An enclosure above the sizes
// tested is computed with the table's own cap and carries a [Cautions] bit. A reduced
// arcing current without a duration of its own is not computed. NaN and infinity are
// never returned.
//
// # Above 600 V
//
// The standard interpolates the boundaries of 600, 2700 and 14 300 V themselves, so the
// energy at the interpolated boundary is only close to 1.2 cal/cm2 (a test says how
// close). At the three voltages, and at or below 600 V, it is 1.2 exactly.
//
// # Same digits everywhere
//
// A product that feeds a sum is written float64(x*y)+z, which forbids a fused
// multiply-add. Exponentials and logarithms may still differ in the last bit between
// machines; results are meant to be rounded to 9 significant digits, and a test
// compares a hash of such digits over a grid.
package arc
