package standing

import (
	"fmt"

	"vouchmark/assess"
)

// screenOn compares new values of cases with the maintenance switch on with the label's
// line about them. over says what is above the printed value, "" for nothing; unjudged
// is true if a change may affect the line but gives no values for these cases.
func (s *Screening) screenOn(in *assess.Inputs, printed *Printed, told []assess.NewValues) (over string, unjudged bool) {
	if printed.EnergyOn == 0 || len(modeOfLabel(in.Location)) == len(in.Location.Cases) {
		return "", false
	}
	for i := range in.Location.Cases {
		c := &in.Location.Cases[i]
		if !c.Maintenance {
			continue
		}
		var own []assess.NewValues // that name it, and changes of its device
		for _, t := range told {
			if t.Case == c.Name && c.Name != "" || t.Device != "" && !t.Tells() {
				own = append(own, t)
			} else if t.Case == "" {
				unjudged = true
			}
		}
		for k, v := range alternatives(own, in.Location, c) {
			s.Told = append(s.Told, Told{c.Name, true, v})
			r, reason, _ := recompute(in, c, v)
			if r = inProportion(in, c, r); r == nil {
				r = inProportion(in, c, atLeast(in, c, v))
				unjudged = unjudged || k == 0
			}
			if r != nil {
				s.energyOn, s.boundaryOn = max(s.energyOn, r.Energy), max(s.boundaryOn, r.Boundary)
			}
			switch {
			case v.Altered():
				over = reason + " with the maintenance switch on"
			case r == nil:
			case r.Energy > printed.EnergyOn*(1+1e-9):
				over = fmt.Sprintf("%s with the maintenance switch on, above the printed %s", s.units.Energy(r.Energy, 4), printed.Says.EnergyOn)
			case r.Boundary > printed.BoundaryOn*(1+1e-9) && over == "":
				over = fmt.Sprintf("boundary %s with the maintenance switch on, above the printed %s", s.units.Length(r.Boundary, 6), printed.Says.BoundaryOn)
			}
		}
	}
	return over, unjudged
}
