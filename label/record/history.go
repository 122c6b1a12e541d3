package record

import "vouchmark/assess"

// Hung is the label of a location that was printed last, and those before it.
type Hung struct {
	ID        ID
	Since     assess.Date // of its first print in this row
	Withdrawn *Line       // since when it is out of use; nil while it is in use
	Earlier   []Earlier   // oldest first; of prints of one record behind each other the first
}

// Earlier is a label that another one replaced.
type Earlier struct {
	ID       ID
	Replaced assess.Date
	By       ID
}

// Hung are the labels of all locations as the ledger tells of them. A print
// that was announced and never finished counts if its record is there, since
// its label may exist; without the record no label can, nor where its output
// could not be written.
func (s *Store) Hung(l *Ledger) map[string]Hung {
	done, failed := l.Done(), l.of(Failed)
	all := map[string]Hung{}
	for i := range l.Lines {
		line := &l.Lines[i]
		if line.Thing != "" || failed[line.Hash] {
			continue
		}
		for _, p := range line.Labels {
			id, err := ParseID(p.Record)
			if err != nil {
				continue
			}
			h, hangs := all[p.ID]
			switch {
			case line.Kind == Withdrawn:
				if hangs && h.ID == id {
					h.Withdrawn = line
				}
			case !line.Kind.prints() || !done[line.Hash] && !s.has(id):
				continue
			case !hangs:
				h = Hung{ID: id, Since: line.Date}
			case h.ID == id:
				h.Withdrawn = nil
			default:
				h = Hung{ID: id, Since: line.Date, Earlier: append(h.Earlier, Earlier{h.ID, line.Date, id})}
			}
			if h.ID != (ID{}) {
				all[p.ID] = h
			}
		}
	}
	return all
}

// History is what the ledger and the records tell of a site.
type History struct {
	Ledger *Ledger
	Labels map[string]Printing // by location
}

// Printing is the label of a location that was printed last, with the record
// behind it.
type Printing struct {
	Hung
	Record *Record // nil where it cannot be read
	Err    error   // why not
}

// History reads the ledger and the records of the labels that were printed
// last. A record that cannot be read is the trouble of its location alone.
func (s *Store) History() (*History, error) {
	l, err := s.Ledger()
	if err != nil {
		return nil, err
	}
	h := &History{Ledger: l, Labels: map[string]Printing{}}
	for location, hung := range s.Hung(l) {
		r, err := s.Load(hung.ID)
		h.Labels[location] = Printing{hung, r, err}
	}
	return h, nil
}
