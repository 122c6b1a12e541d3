package record

import (
	"slices"

	"vouchmark/assess/cores"
)

// Joins are the places that a record joins its location with. A change may reach the label
// by them even if the rows no longer say so. The ledger notes them, so that one label can be
// judged without reading the records of all others.
type Joins struct {
	// Up are its feeds, and where the devices that clear its arc are installed, in
	// alphabetical order; nil where an older version wrote the line.
	Up   []string `json:"up,omitzero"`
	Ties []string `json:"ties,omitempty"` // likewise what ties connect it to
}

// Joins are the places that the record joins its location with; Up is never nil.
func (r *Record) Joins() Joins {
	l := r.Location
	tidy := func(ids []string) []string {
		ids = slices.DeleteFunc(ids, func(id string) bool { return id == "" || id == l.ID })
		slices.Sort(ids)
		return slices.Compact(ids)
	}
	up := slices.Clone(l.FedFrom())
	for i := range l.Cases {
		up = append(up, l.Cases[i].DeviceAt)
	}
	return Joins{append([]string{}, tidy(up)...), tidy(slices.Clone(l.TiedTo()))}
}

// Joined is a location with the places that the record of one of its labels joins it with.
type Joined struct {
	ID string
	Joins
}

// Joined gives the places that the records of labels join locations with, replaced labels
// included. A location comes as often as it has records. Those of which the ledger notes nothing
// are read.
func (s *Store) Joined(l *Ledger) []Joined {
	most := 0
	for i := range l.Lines {
		most += len(l.Lines[i].Labels)
	}
	all := make([]Joined, 0, most)
	var unnoted []*Printed
	seen := map[string]bool{}
	for i := range l.Lines {
		line := &l.Lines[i]
		if line.Thing != "" || !line.Kind.Prints() {
			continue
		}
		for k := range line.Labels {
			switch p := &line.Labels[k]; {
			case p.Up != nil:
				all = append(all, Joined{p.ID, p.Joins})
			case !seen[p.Record]:
				seen[p.Record] = true
				unnoted = append(unnoted, p)
			}
		}
	}
	joins := make([]Joins, len(unnoted))
	cores.Each(len(unnoted), s.Progress, func(i int) {
		if id, err := ParseID(unnoted[i].Record); err == nil {
			if r, err := s.Load(id); err == nil { // one that is lost joins nothing
				joins[i] = r.Joins()
			}
		}
	})
	for i, p := range unnoted {
		all = append(all, Joined{p.ID, joins[i]})
	}
	return all
}
