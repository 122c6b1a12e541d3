package basis

import (
	"slices"

	"vouchmark/assess/standing"
)

// OpenChange is a change of the power system that puts printed labels in question.
type OpenChange struct {
	Change
	IDs []string // of the locations of these labels
}

// Open are the changes that are still open, newest first: of those that reach a label,
// as many as its page shows.
func (h *Shelf) Open() []OpenChange {
	var all []OpenChange
	at := map[string]int{} // by change
	for i := range h.Site.Places {
		p := &h.Site.Places[i]
		if p.Printed == nil || p.Printed.Record == nil || p.Printed.Standing.Status != standing.InQuestion {
			continue
		}
		for _, c := range h.changes(h.touched()[p.Number].Changes, p.Printed.Record.Location, p.Printed.Standing.Held) {
			if !c.Counts {
				continue
			}
			k, known := at[c.Name]
			if !known {
				k = len(all)
				at[c.Name], all = k, append(all, OpenChange{Change: c})
			}
			all[k].IDs = append(all[k].IDs, p.ID())
		}
	}
	slices.SortStableFunc(all, func(a, b OpenChange) int { return b.Date.Compare(a.Date) })
	return all
}
