package record

import (
	"vouchmark/assess"
	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
)

// Rebuild makes of a record the site of one location that it was made from:
// what its equations need, for whoever follows or checks them.
func (r *Record) Rebuild() (*assess.Site, error) {
	s := &assess.Site{Curves: map[string]*assess.Curve{}}
	s.Policy = *r.ladder()
	p := &s.Policy
	p.TwoSecondReason, p.Govern = r.Policy.TwoSecondReason, assess.Govern(r.Policy.Govern)
	for _, k := range r.Curves {
		c := &assess.Curve{File: k.Name, TolerancePercent: k.TolerancePercent}
		for _, at := range k.Points {
			c.Points = append(c.Points, arc.Point{CurrentA: at[0], TimeS: at[1]})
		}
		var err error
		if c.Curve, err = arc.NewCurve(c.Points, true, true, k.TolerancePercent/100); err != nil {
			return nil, err
		}
		s.Curves[k.Name] = c
	}
	row := r.Row()
	l := assess.Location{
		ID: row.ID, Area: row.Area, Equipment: row.Equipment, Class: row.Class, FedFrom: row.FedFrom,
		Supply: shock.Supply(row.Supply), Voltage: assess.Volts(row.Voltage), Rating: assess.KA(row.Rating),
		Distance: assess.MM(row.Distance), Electrodes: row.Electrodes, Gap: assess.MM(row.Gap),
		Height: assess.MM(row.Height), Width: assess.MM(row.Width), Depth: assess.MM(row.Depth), Movable: row.Conductor == "movable",
	}
	for i := range r.Rows {
		row := &r.Rows[i]
		c := assess.Case{
			Name: row.Case, Fault: assess.KA(row.Fault), Energy: assess.CalCM2(row.Energy), Boundary: assess.MM(row.Boundary),
			Clear: assess.MS(row.Clear), ClearReduced: assess.MS(row.Reduced), Device: row.Device, DeviceAt: row.DeviceAt,
			DeviceRating: assess.KA(row.Interrupts), Curve: row.Curve, Method: assess.Method(row.Method), Multiplier: row.Multiplier,
			Study: row.Study, Revision: row.Revision, Edition: row.Edition, Engineer: row.Engineer, AcceptedBy: row.AcceptedBy, Note: row.Note,
		}
		var err error
		if c.Prepared, err = assess.ParseDate(row.Prepared); err != nil {
			return nil, err
		}
		if err := c.Surveyed.UnmarshalText([]byte(row.Surveyed)); err != nil {
			return nil, err
		}
		l.Cases = append(l.Cases, c)
	}
	s.Locations = []assess.Location{l}
	return s, nil
}

// Day reads one of the record's own dates; "" is "not given".
func (r *Record) Day(s string) assess.Date {
	var d assess.Date
	d.UnmarshalText([]byte(s)) // Decode refuses what is no date
	return d
}
