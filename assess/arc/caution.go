package arc

// Cautions is a set of things that a reader of a computed result must know. It is a
// bitmask, so that it allocates nothing; its text is for people.
type Cautions uint16

// The cautions.
const (
	CautionHeight      Cautions = 1 << iota // enclosure higher than tested
	CautionWidth                            // enclosure wider than tested
	CautionOpening                          // opening larger than tested
	CautionDepth                            // depth unknown, typical box taken
	CautionSinglePhase                      // three-phase equations stand in for one phase; set by the caller
	CautionLee                              // Lee method
	CautionDC                               // DC maximum-power method
)

var cautionTexts = [...]string{
	"enclosure height is above the 1244.6 mm tested: computed with the table's cap (IEEE 1584-2018 clause 4.2, Table 6)",
	"enclosure width is above the 1244.6 mm tested: computed with the table's cap (IEEE 1584-2018 clause 4.2, Table 6)",
	"enclosure opening is above the 1.549 m2 (2401 in2) tested (IEEE 1584-2018 clause 4.2)",
	"enclosure depth is unknown: taken as the typical (deep) box; at 480 V the shallow box would give less",
	"single phase: the three-phase equations with the single-phase fault current, expected to be conservative " +
		"(IEEE 1584-2018 clause 4.11)",
	"Lee method: theoretical, open air; 29 CFR 1910.269 Appendix E Table 3 does not accept it above 15 kV " +
		"except to decide whether the energy exceeds 2 cal/cm², nor for three-phase arcs in a box",
	"DC maximum-power method: not from arc tests; the enclosure multiplier is the owner's choice (NFPA 70E Annex D.5)",
}

// List returns the text of each caution in the set, in a fixed order.
func (c Cautions) List() []string {
	var texts []string
	for i, text := range cautionTexts {
		if c&(1<<i) != 0 {
			texts = append(texts, text)
		}
	}
	return texts
}
