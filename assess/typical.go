package assess

import (
	"slices"

	"vouchmark/assess/arc"
)

// typicalOf is the typical geometry of a location's class at its voltage.
func typicalOf(l *Location) (arc.Typical, bool) {
	class, ok := map[string]arc.Class{
		"switchgear": arc.ClassSwitchgear, "switchboard": arc.ClassSwitchgear,
		"mcc": arc.ClassMCC, "panelboard": arc.ClassMCC,
	}[l.Class]
	if !ok {
		return arc.Typical{}, false
	}
	t, err := arc.TypicalFor(class, float64(l.Voltage))
	return t, err == nil
}

func (l *Location) assumed(column string) bool {
	return slices.ContainsFunc(l.Cases, func(c Case) bool { return slices.Contains(c.Assumed, column) })
}

// AssumeTypical fills in a missing gap, enclosure or working distance from the typical
// values of the class, and notes what it assumed. An unknown depth stays unknown and
// counts as deep; electrodes are never assumed. The owner enables it with typical =
// true. A distance is assumed only if no energy is stated, since a stated one belongs to
// the distance of the study.
func AssumeTypical(l *Location) {
	t, ok := typicalOf(l)
	if !ok {
		return
	}
	fill := func(c *Case, to *MM, column string, value float64) {
		if *to == 0 && value > 0 {
			*to = MM(value)
			c.Assumed = append(c.Assumed, column)
		}
	}
	if !slices.ContainsFunc(l.Cases, func(c Case) bool { return c.Energy > 0 }) {
		fill(&l.Cases[0], &l.Distance, "distance_mm", t.DistanceMM)
	}
	for i := range l.Cases {
		c := &l.Cases[i]
		if e, ok := arc.ParseElectrodes(c.Electrodes); ok {
			fill(c, &c.Gap, "gap_mm", t.GapMM)
			if e.Enclosed() && c.Height == 0 && c.Width == 0 {
				fill(c, &c.Height, "height_mm", t.HeightMM)
				fill(c, &c.Width, "width_mm", t.WidthMM)
			}
		}
	}
}
