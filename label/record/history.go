package record

import "vouchmark/assess"

// Hung is the label of a location that was printed last, and those before it.
type Hung struct {
	ID        ID
	Since     assess.Date // of its first print in this row
	Withdrawn *Line       // since when it is out of use; nil while it is in use
	Mounted   assess.Date // since when it hangs, where somebody noted it; else zero
	Strip     bool        // an INTERIM strip stood on it when it was printed last
	Printed   assess.Date // last
	Overlay   assess.Date // when an overlay was printed for it since; zero for none
	Earlier   []Earlier   // oldest first; of prints of one record behind each other the first
}

// Earlier is a label that another one replaced.
type Earlier struct {
	ID       ID
	Replaced assess.Date
	By       ID
}

// Hung are the labels of all locations as the ledger told of them on a day. A
// print that was announced and never finished counts if its record is there,
// since its label may exist; without the record no label can, nor where its
// output could not be written.
func (s *Store) Hung(l *Ledger, today assess.Date) map[string]Hung { return l.Hung(today, s.has) }

// Hung is Store.Hung where has tells which records are there.
func (l *Ledger) Hung(today assess.Date, has func(ID) bool) map[string]Hung {
	done, failed := l.Done(), l.of(Failed)
	all := map[string]Hung{}
	for i := range l.Lines {
		line := &l.Lines[i]
		if line.Thing != "" && line.Thing != overlay || failed[line.Hash] || today.Before(line.Date) {
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
			case line.Kind == Mounted:
				if hangs && h.ID == id {
					h.Mounted = line.Applied
				}
			case !line.Kind.Prints() || !done[line.Hash] && !has(id):
				continue
			case line.Thing == overlay:
				if hangs && h.ID == id {
					h.Overlay = line.Date
				}
			case hangs && h.ID == id:
				h.Withdrawn, h.Strip, h.Printed, h.Overlay = nil, p.Strip, line.Date, assess.Date{}
			default:
				h = next(h, hangs, line, id, p.Strip)
			}
			if h.ID != (ID{}) {
				all[p.ID] = h
			}
		}
	}
	return all
}

// overlay is the thing of the ledger that is stuck over a label.
const overlay = "overlay"

// next is the label that a print puts in the place of another, if one hangs.
func next(h Hung, hangs bool, line *Line, id ID, strip bool) Hung {
	n := Hung{ID: id, Since: line.Date, Printed: line.Date, Strip: strip}
	for _, e := range h.Earlier {
		if e.ID != id { // it hangs again
			n.Earlier = append(n.Earlier, e)
		}
	}
	if hangs {
		n.Earlier = append(n.Earlier, Earlier{h.ID, line.Date, id})
	}
	return n
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

// History reads the ledger, as far as it tells of a day and the days before,
// and the records of the labels that were printed last. A record that cannot be
// read is the trouble of its location alone.
func (s *Store) History(today assess.Date) (*History, error) {
	l, err := s.Ledger()
	if err != nil {
		return nil, err
	}
	h := &History{Ledger: l, Labels: map[string]Printing{}}
	for location, hung := range s.Hung(l, today) {
		r, err := s.Load(hung.ID)
		h.Labels[location] = Printing{hung, r, err}
	}
	return h, nil
}
