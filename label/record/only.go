package record

import "iter"

// Only is the labels to replay, as if lines named no others; nil for all.
type Only func(p *Printed) bool

// Locations are the labels of locations alone.
func Locations(ids ...string) Only {
	all := set(ids)
	return func(p *Printed) bool { return all[p.ID] }
}

// Records are the labels of records alone.
func Records(names ...string) Only {
	all := set(names)
	return func(p *Printed) bool { return all[p.Record] }
}

func set(names []string) map[string]bool {
	all := make(map[string]bool, len(names))
	for _, n := range names {
		all[n] = true
	}
	return all
}

// of are the labels of a line that are replayed.
func (o Only) of(l *Line) iter.Seq[*Printed] {
	return func(yield func(*Printed) bool) {
		for i := range l.Labels {
			if p := &l.Labels[i]; (o == nil || o(p)) && !yield(p) {
				return
			}
		}
	}
}
