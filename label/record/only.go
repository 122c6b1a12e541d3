package record

import "iter"

// Only selects the labels to replay, as if lines named no others; nil for all.
type Only func(p *Printed) bool

// Locations selects the labels of some locations only.
func Locations(ids ...string) Only { return among(ids, func(p *Printed) string { return p.ID }) }

// Records selects the labels of some records only.
func Records(names ...string) Only { return among(names, func(p *Printed) string { return p.Record }) }

func among(names []string, name func(*Printed) string) Only {
	all := make(map[string]bool, len(names))
	for _, n := range names {
		all[n] = true
	}
	return func(p *Printed) bool { return all[name(p)] }
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
