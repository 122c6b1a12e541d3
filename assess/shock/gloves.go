package shock

import "fmt"

// Glove is one class of rubber insulating gloves.
type Glove struct {
	Class string  // "00", "0", "1" to "4"
	MaxAC float64 // maximum use voltage, V AC, nominal phase to phase
	MaxDC float64 // maximum use voltage, V DC
}

// Gloves are the classes, lowest first. AC limits: 29 CFR 1926.97 Table E-4
// (29 CFR 1910.137 Table I-4 is the same). DC limits: ASTM D120 as quoted on
// public pages.
var Gloves = []Glove{
	{"00", 500, 750},
	{"0", 1000, 1500},
	{"1", 7500, 11250},
	{"2", 17000, 25500},
	{"3", 26500, 39750},
	{"4", 36000, 54000},
}

// GloveFor is the lowest class whose limit is at least the voltage v in volts, and that is not
// below the owner's minimum class, which may be "". An unknown minimum and a voltage above every
// class are errors.
func GloveFor(s Supply, v float64, minimum string) (Glove, error) {
	reached := minimum == ""
	for _, g := range Gloves {
		reached = reached || g.Class == minimum
		if reached && v <= g.Limit(s) {
			return g, nil
		}
	}
	if !reached {
		return Glove{}, fmt.Errorf("no glove class %q: expected 00, 0, 1, 2, 3 or 4", minimum)
	}
	return Glove{}, fmt.Errorf("%g V is above the limit of every class of rubber insulating gloves (class 4: %g V)",
		v, Gloves[len(Gloves)-1].Limit(s))
}

// GloveSource names the table behind a class for a supply.
func GloveSource(s Supply) string {
	if s == DC {
		return "ASTM D120, maximum use voltage DC (as quoted on public pages)"
	}
	return "29 CFR 1926.97 Table E-4"
}

// Limit is the maximum use voltage of the class for a supply, in volts.
func (g Glove) Limit(s Supply) float64 {
	if s == DC {
		return g.MaxDC
	}
	return g.MaxAC
}
