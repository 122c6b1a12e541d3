package press

import (
	"slices"

	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
)

// NewMarkings turns a plan of labels into one of fault current markings (NEC
// 110.24, 408.6). A location without a fault current has none: where it was
// asked for by name that is a refusal, else it is passed over.
func NewMarkings(v *plant.Plant, only []string, look Look) (*Plan, error) {
	look.Interim = "" // a marking has no strip to say so
	p, err := New(v, only, look)
	if err != nil {
		return nil, err
	}
	m := &Plan{Thing: Markings, Refused: p.Refused}
	for _, i := range p.Items {
		i.Label, i.Marking = nil, label.ComposeMarking(i.Record, i.Code, look.Presentation)
		switch {
		case i.Marking != nil:
			m.Items = append(m.Items, i)
		case len(only) > 0:
			m.Refused = append(m.Refused,
				Refusal{i.Record.Location.ID, "no fault current is stated", "fill in fault_ka in locations.csv"})
		}
	}
	return m, nil
}

// NewOverlays plans a strip for each printed label that is not to be relied on
// today or shows an old REVIEW BY, or for those in only. What refuses a label
// does not refuse its overlay. A withdrawn label is to be taken off: it gets
// one where it is asked for by name.
func NewOverlays(v *plant.Plant, only []string, look Look) (*Plan, error) {
	p := &Plan{Thing: Overlays}
	add := func(id string, printed *plant.Printed) {
		s := &printed.Standing
		named := slices.Contains(only, id)
		if len(only) > 0 && !named || s.Status == standing.Withdrawn && !named {
			return
		}
		if printed.Record == nil {
			p.Refused = append(p.Refused, Refusal{id,
				"do not rely on its label: its record cannot be read, so no strip can be made: " + printed.Err.Error(),
				"cover the label by hand; bring the record back from a copy of the folder"})
			return
		}
		code := printed.ID.Code()
		if o := label.ComposeOverlay(printed.Record, code, s, look.Ask, look.Presentation); o != nil {
			p.Items = append(p.Items, Item{Record: printed.Record, Code: code, Overlay: o})
		}
	}
	labeled := map[string]bool{}
	for i := range v.Places {
		if place := &v.Places[i]; place.Printed != nil {
			labeled[place.ID()] = true
			add(place.ID(), place.Printed)
		}
	}
	for i := range v.Unlisted {
		u := &v.Unlisted[i]
		labeled[u.ID] = true
		add(u.ID, &u.Printed)
	}
	if err := known(only, func(id string) bool { return labeled[id] }); err != nil {
		return nil, err
	}
	slices.SortFunc(p.Items, less)
	return p, nil
}
