package record

import (
	"cmp"
	"maps"

	"vouchmark/assess"
)

// Label is the label printed last for a location, and those before it.
type Label struct {
	ID        ID
	Gist      Gist        // of its record, by the first of its prints that notes it; "" for none
	Since     assess.Date // the first of its prints in a row
	Withdrawn *Line       // the line that withdrew it; nil while it is in use
	Mounted   assess.Date // since when it is mounted, where that was noted; else zero
	Strip     bool        // it had an INTERIM strip when it was printed last
	Printed   assess.Date // last
	Overlay   assess.Date // when an overlay was printed for it since, and not noted as removed; zero for none
	Stuck     bool        // that overlay is noted as mounted over it
	Again     bool        // it was printed again, and that copy must replace the one before
	Gone      assess.Date // since when it is removed from the equipment, if noted since it was printed last; else zero
	Door      Door        // what is on the equipment, as somebody noted who put it there
	Seen      *Seeing     // what somebody found there last; nil where nobody looked
	Earlier   []Earlier   // oldest first; of consecutive prints of one record only the first
}

// Earlier is a label that another one replaced.
type Earlier struct {
	ID       ID
	Replaced assess.Date
	By       ID
}

// overlay is the Thing of lines about overlays.
const overlay = "overlay"

// label applies a line to the label of its location.
func (r *Replay) label(e *Entry, id ID, has func(ID) bool) {
	if e.Thing != "" && e.Thing != overlay || e.Failed || id == (ID{}) {
		return
	}
	last := r.Labels[e.ID]
	same := last != nil && last.ID == id
	switch {
	case last != nil && e.Kind == Removed && last.Door.Label == id:
		last.door(e, id)
	case !same && (e.Thing == overlay || !e.Kind.Prints()):
	case e.Kind == Withdrawn:
		last.Withdrawn = e.Line
	case e.Kind == Mounted || e.Kind == Removed:
		last.door(e, id)
	case !e.Kind.Prints() || !e.Done && !r.stored[e.Record] && !has(id):
	case e.Thing == overlay:
		last.Overlay, last.Stuck = e.Date, false
	case same:
		last.again(e, r.Seen[e.ID].Amiss(last))
		last.Gist = cmp.Or(last.Gist, e.Gist)
	default:
		h := &Label{ID: id, Gist: e.Gist, Since: e.Date, Printed: e.Date, Strip: e.Strip}
		if last != nil {
			h.Earlier, h.Door = append(last.Earlier, Earlier{last.ID, e.Date, id}), last.Door
		}
		r.Labels[e.ID] = h
	}
}

// tidy keeps, for each earlier label, only the last time it was replaced, and
// nothing for the label that was printed again.
func (h *Label) tidy() {
	if len(h.Earlier) < 2 {
		return
	}
	seen := map[ID]bool{h.ID: true}
	from := len(h.Earlier)
	for i := from - 1; i >= 0; i-- {
		if e := h.Earlier[i]; !seen[e.ID] {
			seen[e.ID] = true
			from--
			h.Earlier[from] = e
		}
	}
	h.Earlier = h.Earlier[from:]
}

// History is what the ledger and the records say about a site.
type History struct {
	Ledger *Ledger
	Replay Replay
	Labels map[string]Printing // by location; see Last
	Notes  *Notes              // of entries of changes.toml

	// Load reads the record of a label; nil where there are no files.
	Load func(ID) (*Record, error)

	store *Store // nil where there are no files
}

// Before are the records of the labels that a location had before the one
// printed last, oldest first, and nil for each that cannot be read.
func (h *History) Before(p *Printing) []*Record {
	all := make([]*Record, len(p.Earlier))
	for i := range all {
		if h.Load == nil {
			break
		}
		if r, err := h.Load(p.Earlier[i].ID); err == nil {
			all[i] = r
		}
	}
	return all
}

// Printing is the label printed last for a location, which the replay of the ledger has too, with its
// record.
type Printing struct {
	*Label
	Record *Record // nil where it cannot be read, and until a [Reader] has read it
	Err    error   // why it cannot be read
}

// History reads the ledger up to and including a day: for the named locations, or for
// all if none is named. The records of the labels are read later, by a [Reader].
func (s *Store) History(today assess.Date, locations ...string) (*History, error) {
	l, err := s.Ledger()
	if err != nil {
		return nil, err
	}
	return s.HistoryOf(l, today, locations...), nil
}

// HistoryOf is History of a ledger that was read already.
func (s *Store) HistoryOf(l *Ledger, today assess.Date, locations ...string) *History {
	only := Locations(locations...)
	if len(locations) == 0 {
		only = nil
	}
	h := &History{Ledger: l, Replay: *s.Replay(l, today, only), Notes: l.Notes(), Load: s.Load, store: s}
	h.Labels = make(map[string]Printing, len(h.Replay.Labels))
	for location, last := range h.Replay.Labels {
		h.Labels[location] = Printing{Label: last}
	}
	return h
}

// Last is the label printed last for a location, with an empty label where none was printed.
func (h *History) Last(location string) (p Printing, printed bool) {
	if p, printed = h.Labels[location]; !printed {
		p.Label = &Label{}
	}
	return p, printed
}

// Noted is the history with another log of notes.
func (h *History) Noted(n *Notes) *History {
	other := *h
	other.Notes = n
	return &other
}

// Continued is the history by a ledger that continues its own with lines about entries of
// changes.toml alone; nil where the ledger says anything else. What is known about labels
// is then the same.
func (h *History) Continued(l *Ledger) *History {
	n := len(h.Ledger.Lines)
	if len(l.Lines) < n || l.HeadAt(n) != h.Ledger.Head() || !l.onlyLogs(n) {
		return nil
	}
	other := *h
	other.Ledger, other.Notes = l, l.Notes()
	return &other
}

// onlyLogs reports whether the lines after a number of them are about entries of changes.toml alone.
func (l *Ledger) onlyLogs(n int) bool {
	announced := map[string]bool{}
	for i := n; i < len(l.Lines); i++ {
		switch line := &l.Lines[i]; line.Kind {
		case Entered:
			announced[line.Hash] = true
		case Noted:
		case Done, Failed, Unfinished:
			if !announced[line.Of] {
				return false
			}
		default:
			return false
		}
	}
	return true
}

// Reader reads the records of the labels printed last. Many may use it at the same time.
type Reader struct {
	h      *History
	there  func(ID) bool
	shared *Shared
}

// Reader is a reader of the records of all labels that are not yet read.
func (h *History) Reader(shared *Shared) *Reader {
	r := &Reader{h: h, shared: shared}
	if h.store != nil {
		r.there = h.store.there(len(h.Labels))
	}
	return r
}

// Read is the label printed last for a location, with its record; false if none was. made is
// the record that a print would store now, nil for none: where it says what the label's
// says, it is taken for that, and no file is read. A record that is lost or cannot be read
// affects only its own location.
func (r *Reader) Read(location string, made *Record) (Printing, bool) {
	p, printed := r.h.Last(location)
	switch {
	case !printed || p.Record != nil || p.Err != nil || r.there == nil:
	case !r.there(p.ID):
		p.Err = lost(p.ID)
	case made != nil && r.same(p.Label, made):
		made.stored, p.Record = p.ID, made
	default:
		p.Record, p.Err = r.h.Load(p.ID)
	}
	return p, printed
}

// same reports whether a record says what that of a label says.
func (r *Reader) same(l *Label, made *Record) bool {
	if l.Gist.comparable() {
		is, err := r.shared.Gist(made)
		return err == nil && is == l.Gist
	}
	is, err := made.Hash()
	return err == nil && is == l.ID
}

// Keep keeps labels as they were read.
func (h *History) Keep(all map[string]Printing) { maps.Copy(h.Labels, all) }

// Replay replays a ledger with the records of the folder.
func (s *Store) Replay(l *Ledger, today assess.Date, only Only) *Replay {
	return l.Replay(today, s.has, only)
}
