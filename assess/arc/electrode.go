package arc

import "slices"

// Electrodes is an electrode configuration of IEEE 1584-2018. The zero value means
// that it is not known: a configuration is never assumed.
type Electrodes uint8

// The five configurations.
const (
	VCB  Electrodes = iota + 1 // vertical conductors inside a box
	VCBB                       // vertical conductors that end at a barrier inside a box
	HCB                        // horizontal conductors inside a box
	VOA                        // vertical conductors in open air
	HOA                        // horizontal conductors in open air
)

var electrodeNames = [...]string{"none", "VCB", "VCBB", "HCB", "VOA", "HOA"}

// ElectrodeNames are the standard's names, in the order of its tables.
func ElectrodeNames() []string { return slices.Clone(electrodeNames[1:]) }

// ParseElectrodes returns the configuration of that name, in capitals as the standard
// writes it; ok is false for any other text.
func ParseElectrodes(name string) (e Electrodes, ok bool) {
	for e := VCB; e <= HOA; e++ {
		if electrodeNames[e] == name {
			return e, true
		}
	}
	return 0, false
}

// String returns the standard's name, VCB to HOA, or "none".
func (e Electrodes) String() string {
	if !e.valid() {
		return electrodeNames[0]
	}
	return electrodeNames[e]
}

// Enclosed reports whether the configuration is in a box, so that the size of the box
// counts.
func (e Electrodes) Enclosed() bool { return e >= VCB && e <= HCB }

func (e Electrodes) valid() bool { return e >= VCB && e <= HOA }

// row is the configuration's place in the coefficient tables.
func (e Electrodes) row() int { return int(e) - 1 }
