package press

import (
	"slices"

	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// NewMarkings turns a plan of labels into one of fault current markings (NEC
// 110.24, 408.6). A location without a fault current gets none: if it was asked
// for by name it is refused, else it is skipped. A marking is due if it differs
// from the last print, or was never printed.
func NewMarkings(v *plant.Plant, choice Choice, look Look) (*Plan, error) {
	look.Interim = "" // a marking has no strip to say so
	last := lastMarkings(v)
	p, err := choice.plan(v, look, func(place *plant.Place, _ *plant.Refusal) bool {
		if l := place.Printed; l != nil && l.Withdrawn != nil {
			return false // the label stays withdrawn, and so does its marking
		}
		return place.Record == nil || otherMarking(v, last[place.ID()], place.Record, look)
	})
	if err != nil {
		return nil, err
	}
	m := &Plan{Thing: Markings, Refused: p.Refused, Nothing: choice.nothing(Markings)}
	for _, i := range p.Items {
		i.look, i.refused, i.Marking = nil, nil, label.ComposeMarking(i.Record, i.Code, look.Presentation)
		switch {
		case i.Marking != nil:
			m.Items = append(m.Items, i)
		case slices.Contains(choice.IDs, i.Record.Location.ID):
			m.Refused = append(m.Refused,
				Refusal{ID: i.Record.Location.ID, Why: "no available fault current is stated", Do: "fill in fault_ka in locations.csv"})
		}
	}
	return m, nil
}

// lastMarkings returns the record of the last printed fault current marking of
// each location, from the ledger up to today.
func lastMarkings(v *plant.Plant) map[string]record.ID {
	all := map[string]record.ID{}
	replay := &v.History.Replay
	for i := range replay.Entries {
		e := &replay.Entries[i]
		if !e.Kind.Prints() || e.Thing != string(Markings) || !e.Done || v.Today.Before(e.Date) {
			continue
		}
		if n := replay.Records[e.Record]; n != nil && n.Valid {
			all[e.ID] = n.ID
		}
	}
	return all
}

// otherMarking reports whether the marking of a record differs from the printed
// one in more than its code, or the printed one's record cannot be read; printed
// is zero for none. A record without a fault current has no marking.
func otherMarking(v *plant.Plant, printed record.ID, now *record.Record, look Look) bool {
	is := label.ComposeMarking(now, "", look.Presentation)
	if is == nil || printed == (record.ID{}) || v.History.Load == nil {
		return is != nil
	}
	r, err := v.History.Load(printed)
	if err != nil {
		return true
	}
	was := label.ComposeMarking(r, "", look.Presentation)
	return was == nil || !slices.Equal(was.Words, is.Words)
}

// NewOverlays plans a strip for each printed label that must not be used today
// or shows an old REVIEW BY, or for the chosen ones of these. What refuses a
// label does not refuse its overlay. A withdrawn label should be removed: it
// gets an overlay only if it is asked for by name. An overlay is due if none was
// printed for the label and none is on the equipment.
func NewOverlays(v *plant.Plant, choice Choice, look Look) (*Plan, error) {
	p := &Plan{Thing: Overlays, Nothing: choice.nothing(Overlays)}
	there := areas(v)
	for i := range v.Unlisted {
		there = append(there, v.Unlisted[i].Area())
	}
	chosen, err := choice.of(there)
	if err != nil {
		return nil, err
	}
	add := func(id, area string, printed *plant.Printed) {
		s := &printed.Standing
		if !chosen.has(id, area) || s.Status == standing.Withdrawn && !chosen.named(id) ||
			choice.Changed && !(printed.Overlay.IsZero() && printed.Door.Covered.IsZero()) {
			return
		}
		if printed.Record == nil {
			p.Refused = append(p.Refused, Refusal{ID: id,
				Why: "do not use its label: its record cannot be read, so no overlay can be made: " + printed.Err.Error(),
				Do:  "cover the label by hand; restore the record from a copy of the folder"})
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
			add(place.ID(), place.Assessment.Location.Area, place.Printed)
		}
	}
	for i := range v.Unlisted {
		u := &v.Unlisted[i]
		labeled[u.ID] = true
		add(u.ID, u.Area(), &u.Printed)
	}
	if err := known(v, choice.IDs, func(id string) bool { return labeled[id] }); err != nil {
		return nil, err
	}
	slices.SortFunc(p.Items, less)
	return p, nil
}
