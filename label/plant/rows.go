package plant

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// What the rows say is judged first, on all cores: by the site's own files alone, so that it is
// still right when only the log of changes is edited.

// assess judges the rows, and gets the records of the labels. Where a row still gives the
// record of its label, that is not read. first is what a print of each row would store before
// anything but the site's own files is taken into account; nil for nothing.
func (p *Plant) assess() (all []assess.Assessment, first []*record.Record) {
	reader := p.History.Reader(p.shared)
	first = make([]*record.Record, len(p.Site.Locations))
	read := make([]record.Printing, len(first))
	all = p.Site.AssessEach(p.Today, func(i int, a *assess.Assessment) {
		if compared(a.Location) {
			first[i] = p.shared.New(a)
		}
		read[i], _ = reader.Read(a.Location.ID, first[i])
	})
	printed := make(map[string]record.Printing, len(p.History.Labels))
	index := p.indexed()
	for id := range p.History.Labels {
		if i, listed := index[id]; listed {
			printed[id] = read[i]
		} else {
			printed[id], _ = reader.Read(id, nil)
		}
	}
	p.History.Keep(printed)
	return all, first
}

// compared reports whether the row of a location can be compared with a record.
func compared(l *assess.Location) bool { return !l.Unlabeled && len(l.Unreadable) == 0 }

// newPlace is a location before its label is judged.
func (p *Plant) newPlace(number int, a *assess.Assessment, first *record.Record) Place {
	place := Place{Number: number, Assessment: a, upstream: a.Feeds, first: first, shared: p.shared}
	if printing, printed := p.History.Last(a.Location.ID); printed {
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
	first, a := p.first, p.Assessment
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
func (p *Place) prepare() {
	if p.Assessment.Prints() {
		p.Record = record.Next(p.last(), p.now())
	}
}

// Renews reports whether a print would store the record of the label printed last again,
// with its code.
func (p *Place) Renews() bool { return p.Record != nil && p.Record == p.last() }

// Code is the code of the record that a print would store; "" for none. It is computed each
// time, unless the label printed last has it.
func (p *Place) Code() record.Code {
	switch {
	case p.Record == nil:
		return ""
	case p.Renews():
		return p.Printed.ID.Code()
	}
	id, err := p.Record.Hash()
	if err != nil { // the reader of rows lets no number through that has no text
		panic(err)
	}
	return id.Code()
}
