package basis

import (
	"fmt"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// PlannedChange is a change dated after today, which does not count until then.
type PlannedChange struct {
	Name, What string
	Date       assess.Date
	IDs        []string    // of the locations that it reaches and that have a label
	Code       record.Code // of one of these labels, that of the place of the change before others; "" for none
}

// Planned are the changes dated after today that reach a location, the soonest first: of those
// that reach a location, as many as its page shows.
func (h *Shelf) Planned() []PlannedChange {
	var all []PlannedChange
	at := map[string]int{} // by change
	for i := range h.Site.Places {
		p := &h.Site.Places[i]
		for _, c := range h.planned()[p.Number].Changes {
			k, known := at[c.ID]
			if !known {
				k, at[c.ID] = len(all), len(all)
				all = append(all, PlannedChange{Name: c.ID, What: c.Kind.Name + " at " + c.At, Date: c.Date})
			}
			if p.Printed == nil {
				continue
			}
			one := &all[k]
			if one.IDs = append(one.IDs, p.ID()); one.Code == "" || p.ID() == c.At {
				one.Code = p.Printed.ID.Code()
			}
		}
	}
	slices.SortStableFunc(all, func(a, b PlannedChange) int { return a.Date.Compare(b.Date) })
	return all
}

// plannedWords say which changes are planned for one location.
func plannedWords(t *standing.Touched) (all []string) {
	for _, c := range t.Changes {
		all = append(all, "Planned for "+c.Date.String()+": "+c.Kind.Name+" at "+c.At)
	}
	if t.More > 0 {
		all = append(all, fmt.Sprintf("and %d later changes planned", t.More))
	}
	return all
}
