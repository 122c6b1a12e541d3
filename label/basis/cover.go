package basis

import (
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// coverings are the labels that are to be covered on the equipment.
func (h *Shelf) coverings() map[record.Code]bool {
	all := map[record.Code]bool{}
	tasks := h.Tasks()
	for i := range tasks {
		if t := &tasks[i]; t.Do == plant.Cover {
			all[t.Label] = true
		}
	}
	return all
}

// Tasks are what there is to do on the equipment, for many readers.
func (h *Shelf) Tasks() []plant.Task { return h.tasks() }

// Covers reports whether the label with a code is to be covered.
func (h *Shelf) Covers(code record.Code) bool { return h.covers()[code] }
