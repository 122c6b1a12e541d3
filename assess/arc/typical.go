package arc

// Class is a kind of equipment for which IEEE 1584-2018 prints typical gaps, enclosures and
// working distances.
type Class uint8

// The classes. A panelboard counts as a motor control center.
const (
	ClassSwitchgear  Class = iota + 1 // switchgear
	ClassMCC                          // motor control center or panelboard
	ClassJunctionBox                  // cable junction box, up to 600 V only
)

// Typical is the typical geometry of a class of equipment, mm. The depth is unknown, and so
// counts as deep.
type Typical struct {
	Name       string
	GapMM      float64
	HeightMM   float64
	WidthMM    float64
	DistanceMM float64
}

// typicals holds the typical values, from memory of the standard's tables of gaps,
// enclosure sizes and working distances. The gaps were also seen on a public page; the
// boxes and distances were not. For 5 kV switchgear the standard has two boxes, a cube of
// 914.4 mm and 1143 x 762 x 762 mm: the cube is used, since it gives the higher energy of
// the two. Source of every row: IEEE 1584-2018 typical values.
var typicals = []struct {
	class     Class
	low, high float64 // V
	Typical
}{
	{ClassSwitchgear, MinVoltageV, 600, Typical{"low-voltage switchgear", 32, 508, 508, 609.6}},
	{ClassMCC, MinVoltageV, 600, Typical{"low-voltage MCC or panelboard", 25, 355.6, 304.8, 457.2}},
	{ClassJunctionBox, MinVoltageV, 600, Typical{"cable junction box", 13, 355.6, 304.8, 457.2}},
	{ClassSwitchgear, 1000, 5000, Typical{"5 kV switchgear", 104, 914.4, 914.4, 914.4}},
	{ClassMCC, 1000, 5000, Typical{"5 kV MCC", 104, 660.4, 660.4, 914.4}},
	{ClassSwitchgear, 5000, MaxVoltageV, Typical{"15 kV switchgear", 152, 1143, 762, 914.4}},
	{ClassMCC, 5000, MaxVoltageV, Typical{"15 kV MCC", 152, 914.4, 914.4, 914.4}},
}

// TypicalFor returns the typical geometry of a class at a voltage in V: low-voltage values
// from 208 to 600 V, 5 kV values from above 1000 to 5000 V, 15 kV values above to 15 000 V.
// Between 600 and 1000 V no value is held, since it is not settled here which class would
// be the safe one. The error is a [Refusals].
func TypicalFor(class Class, voltageV float64) (Typical, error) {
	for _, t := range typicals {
		if t.class == class && voltageV <= t.high &&
			(voltageV > t.low || voltageV == MinVoltageV && t.low == MinVoltageV) {
			return t.Typical, nil
		}
	}
	return Typical{}, Refusals{{Quantity: "typical geometry", Unit: "V", Bound: NoValue, Found: voltageV,
		Note:   "no class of equipment with typical values at " + quantity(voltageV, "V"),
		Source: "IEEE 1584-2018 typical values"}}
}
