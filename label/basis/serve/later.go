package serve

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
)

// later is what a change dated after today would do if it were made today: by then more may
// have changed.
type later struct {
	From  assess.Date
	Moved *moved
}

// later is nil for an entry that counts from today. Notes that now has too are left out.
func (h *Handler) later(v *plant.Plant, entry logbook.Entry, now *logbook.Effect) (*later, error) {
	c, ok := entry.(*logbook.Change)
	if !ok || !v.Today.Before(c.Date) {
		return nil, nil
	}
	today := *c
	today.Date = v.Today
	effect, err := h.site.Desk.Preview(v, &today)
	if err != nil {
		return nil, err
	}
	m := newMoved(effect, v, "")
	m.Entry = "" // its name has another day
	m.Notes = slices.DeleteFunc(slices.Clone(m.Notes), func(n string) bool { return slices.Contains(now.Notes, n) })
	return &later{c.Date, m}, nil
}
