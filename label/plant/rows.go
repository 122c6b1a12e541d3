package plant

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// What the rows say is judged first, on all cores: by the site's own files alone, so that it is
// still right when only the log of changes is edited.

// made is what a print of a row would store before anything but the site's own files is
// taken into account.
type made struct {
	record *record.Record // nil if nothing
	id     record.ID
}

// assess judges the rows, and gets the records of the labels. Where a row still gives the
// record of its label, that is not read.
func (p *Plant) assess() (all []assess.Assessment, first []made) {
	reader := p.History.Reader()
	first = make([]made, len(p.Site.Locations))
	read := make([]record.Printing, len(first))
	all = p.Site.AssessEach(p.Today, func(i int, a *assess.Assessment) {
		m := &first[i]
		if compared(a.Location) {
			r := p.shared.New(a)
			if id, err := r.Hash(); err == nil { // else preparing it says why
				m.record, m.id = r, id
			}
		}
		read[i], _ = reader.Read(a.Location.ID, m.record, m.id)
		a.DropSteps()
		if m.record != nil {
			m.record.Shortened()
		}
	})
	printed := map[string]record.Printing{}
	index := p.indexed()
	for id := range p.History.Labels {
		if i, listed := index[id]; listed {
			printed[id] = read[i]
		} else {
			printed[id], _ = reader.Read(id, nil, record.ID{})
		}
	}
	p.History.Keep(printed)
	return all, first
}

// compared reports whether the row of a location can be compared with a record.
func compared(l *assess.Location) bool { return !l.Unlabeled && len(l.Unreadable) == 0 }

// newPlace is a location before its label is judged.
func (p *Plant) newPlace(number int, a *assess.Assessment, first made) Place {
	place := Place{Number: number, Assessment: a, upstream: a.Feeds, first: first, shared: p.shared}
	if printing, printed := p.History.Labels[a.Location.ID]; printed {
		place.Printed = &Printed{Printing: printing}
		place.checkAccepted(p.History)
	}
	return place
}

// last is the record of the last printed label; nil if there is none, if it cannot
// be read, or if the row cannot be compared with it.
func (p *Place) last() *record.Record {
	if p.Printed == nil || !compared(p.Assessment.Location) {
		return nil
	}
	return p.Printed.Record
}

// own makes the place's assessment one that can be changed.
func (p *Place) own() *assess.Assessment {
	if !p.owned {
		p.Assessment, p.owned = p.Assessment.Copy(), true
	}
	return p.Assessment
}

// now is the record of the row as it is: the first one, which may be that of its label,
// where not a byte differs.
func (p *Place) now() *record.Record {
	first, a := p.first.record, p.Assessment
	if first != nil && len(a.Accept) == 0 && len(first.Accept) == 0 && slices.Equal(a.Feeds, first.Feeds) { // nearly always
		return first
	}
	r := p.shared.New(a)
	if first != nil && r.Again(first) {
		return first
	}
	return r
}

// prepare makes the record that a print would store.
func (p *Place) prepare() error {
	if !p.Assessment.Prints() {
		return nil
	}
	last := p.last()
	if p.Record = record.Next(last, p.now()); p.Record == last {
		p.Code = p.Printed.ID.Code()
		return nil
	}
	id, err := p.first.id, error(nil)
	if p.Record != p.first.record {
		id, err = p.Record.Hash()
	}
	p.Code = id.Code()
	return err
}
