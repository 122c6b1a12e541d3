package basis

import (
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// coverings are the labels that are to be covered on the equipment.
func (h *Shelf) coverings() map[record.Code]bool {
	all := map[record.Code]bool{}
	tasks := h.Site.Tasks()
	for i := range tasks {
		if t := &tasks[i]; t.Do == plant.Cover {
			all[t.Label] = true
		}
	}
	return all
}

// Covers reports whether the label with a code is to be covered.
func (h *Shelf) Covers(code record.Code) bool { return h.covers()[code] }
