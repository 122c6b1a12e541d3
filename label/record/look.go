package record

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"vouchmark/assess"
)

// Look is what somebody found on the equipment of a location, as it is told.
type Look struct {
	Location string
	Code     Code   // that was read; "" where none was, or where it is none of this site's
	Text     string // that was read where it is not of a label of this site; with a code, if the ledger does not know that
	Found    Found  // what the person says; "" where it follows from what was read
	// Day is the day; zero for that of the note. One that cannot be right is refused, unless a device said it.
	Day  assess.Date
	Tick string // see [Sight]; "" for none
}

// Looked is what became of a look.
type Looked struct {
	Found   Found
	Label   Code  // the label printed last; "" for none
	There   Code  // the label that was found; "" where it is not known
	Already bool  // the ledger had it already
	Err     error // why it cannot be noted: a [LookError], or nil
}

// LookError says why what somebody found cannot be noted.
type LookError struct {
	Taken bool // its tick is in the ledger with other content
	Err   error
}

func (e *LookError) Error() string { return e.Err.Error() }

func (e *LookError) Unwrap() error { return e.Err }

// See notes what somebody found. Each look is noted or refused by itself; with whole, nothing is noted
// where one is refused. A look that is in the ledger already is not noted again. With a label printed last that
// is there, damaged or not, it is also noted that this was mounted. The error is that of the disk.
func (s *Store) See(looks []Look, whole bool, date assess.Date, by, tool string) (all []Looked, err error) {
	err = s.NoteAll(func(l *Ledger) ([]Line, error) {
		// Of labels that are found somewhere else too: their records must be known.
		r := s.Replay(l, date, nil)
		e := seer{replay: r, ticks: l.ticks(), on: l.seenOn(), date: date}
		all = make([]Looked, len(looks))
		var lines []Line
		refused := false
		for i := range looks {
			var more []Line
			all[i], more = e.look(&looks[i])
			lines = append(lines, more...)
			refused = refused || all[i].Err != nil
		}
		if refused && whole {
			return nil, nil
		}
		lines = together(lines)
		for i := range lines {
			lines[i].Date, lines[i].By, lines[i].Tool = date, by, tool
		}
		return lines, nil
	})
	return all, err
}

// seer judges looks by a ledger.
type seer struct {
	replay *Replay
	ticks  map[string]*Printed // by their names
	on     map[seenOn]*Printed // what is noted last of each location and day
	date   assess.Date
	codes  map[Code]*Entry // see printed
}

// printed is the record with a code, and the location for which its label was printed.
func (e *seer) printed(code Code) (id ID, at string, known bool) {
	if e.codes == nil {
		e.codes = map[Code]*Entry{}
		for _, n := range e.replay.Records {
			if i := slices.IndexFunc(n.Entries, func(e *Entry) bool { return e.Kind.Prints() && !e.Failed }); n.Valid && i >= 0 {
				e.codes[n.ID.Code()] = n.Entries[i]
			}
		}
	}
	of := e.codes[code]
	if of == nil {
		return ID{}, "", false
	}
	id, err := ParseID(of.Record)
	return id, of.ID, err == nil
}

// ticks are what lines note of ticks, by their names.
func (l *Ledger) ticks() map[string]*Printed {
	all := map[string]*Printed{}
	for i := range l.Lines {
		for k := range l.Lines[i].Labels {
			if p := &l.Lines[i].Labels[k]; p.Sight != nil && p.Sight.Tick != "" {
				all[p.Sight.Tick] = p
			}
		}
	}
	return all
}

// look is what becomes of one look, and the lines that note it.
func (e *seer) look(look *Look) (is Looked, lines []Line) {
	refuse := func(err error) (Looked, []Line) { return Looked{Err: &LookError{Err: err}}, nil }
	if look.Code != "" && look.Text != "" {
		one := *look
		if _, _, known := e.printed(one.Code); known {
			one.Text = ""
		} else {
			one.Code = ""
		}
		look = &one
	}
	last := e.replay.Labels[look.Location]
	if last != nil {
		is.Label = last.ID.Code()
	}
	if look.Tick != "" && !TickName(look.Tick) {
		return refuse(fmt.Errorf("%q cannot name a tick: expected 16 to 64 letters and digits", look.Tick))
	}
	if was := e.ticks[look.Tick]; look.Tick != "" && was != nil {
		there := was.there()
		if !look.same(was, there) {
			return Looked{Err: &LookError{true, fmt.Errorf("the ledger already has something else under the name %s", look.Tick)}}, nil
		}
		is.Already, is.Found = true, was.Sight.Found // as it was noted then
		if there != (ID{}) {
			is.There = there.Code()
		}
		return is, nil
	}
	sight := &Sight{Found: look.Found, Text: look.Text, Tick: look.Tick}
	day := cmp.Or(look.Day, e.date)
	there, err := e.compare(look, last, sight, day)
	if err != nil {
		return refuse(err)
	}
	is.Found = sight.Found
	named := there // the label that should be there, else the one that is
	if last != nil {
		named = last.ID
	} else if sight.Found == FoundMissing {
		named = e.replay.Seen[look.Location].Label
	}
	if there != (ID{}) {
		is.There = there.Code()
	}
	if since := e.since(there, last); e.date.Before(day) || day.Before(since) {
		if look.Tick == "" {
			return refuse(fmt.Errorf("%s: nobody can have looked on %s: expected a day from %s, when the label was printed, to %s",
				look.Location, day, since, e.date))
		}
		sight.Clock, day = day, e.date
	}
	p := Printed{ID: look.Location, Record: named.String(), Sight: sight}
	on, now := seenOn{look.Location, day}, e.replay.Seen[look.Location]
	redone := now != nil && now.Day == day && now.Cleared && now.Found != FoundRight // found again after it was put right
	if was := e.on[on]; look.Tick == "" && was != nil && !redone && was.Record == p.Record && was.Sight.alike(sight) {
		is.Already = true
		return is, nil
	}
	lines = append(lines, Line{Kind: Seen, Applied: day, Labels: []Printed{p}})
	// Without its code nobody can tell which label a damaged one is, nor a copy from the one before.
	// Where none of them was found before, it is the new copy.
	bare := last != nil && (last.Door.Bare || now.Amiss(last) && now.Found != FoundDamaged)
	if (sight.Found == FoundRight || sight.Found == FoundDamaged && sight.There != "") &&
		(last.Mounted.IsZero() && !last.Again || last.Waits() && bare) {
		lines = append(lines, Line{Kind: Mounted, Applied: day, Labels: []Printed{{ID: p.ID, Record: p.Record}}})
		last.Mounted, last.Again = day, false
	}
	if e.on[on] = &p; look.Tick != "" {
		e.ticks[look.Tick] = &p
	}
	if now == nil || !day.Before(now.Day) {
		e.replay.Seen[look.Location] = &Seeing{Sight: sight, Day: day, Label: named}
	}
	return is, lines
}

// seenOn is a location and a day on which somebody looked.
type seenOn struct {
	at  string
	day assess.Date
}

// seenOn are what lines note last of each location and day.
func (l *Ledger) seenOn() map[seenOn]*Printed {
	all := map[seenOn]*Printed{}
	for i := range l.Lines {
		for k := range l.Lines[i].Labels {
			if p := &l.Lines[i].Labels[k]; p.Sight != nil {
				all[seenOn{p.ID, l.Lines[i].Applied}] = p
			}
		}
	}
	return all
}

// alike reports whether the same was found.
func (s *Sight) alike(o *Sight) bool {
	return s.Found == o.Found && s.There == o.There && s.Text == o.Text
}

// there is the record of the label that was found; zero where it is not known.
func (p *Printed) there() ID {
	name := p.Sight.There
	if p.Sight.Found == FoundRight {
		name = p.Record
	}
	id, _ := ParseID(name)
	return id
}

// same reports whether a look is the one that was noted before: what was read or said is the same, whatever
// was printed in between.
func (k *Look) same(was *Printed, there ID) bool {
	s := was.Sight
	switch {
	case was.ID != k.Location || s.Text != k.Text:
		return false
	case k.Text != "":
		return true
	case k.Code != "":
		return there != (ID{}) && there.Code() == k.Code
	}
	return s.Found == k.Found || k.Found == FoundRight && s.Found == FoundOld // it was withdrawn, or another one printed
}

// since is the day on which a label was printed first; where none was read, the first label of the location.
// It is zero for none.
func (e *seer) since(id ID, last *Label) (first assess.Date) {
	ids := []ID{id}
	if id == (ID{}) && last != nil {
		ids[0] = last.ID
		for _, was := range last.Earlier {
			ids = append(ids, was.ID)
		}
	}
	for _, id := range ids {
		for _, at := range e.replay.Record(id).Entries {
			if at.Kind.Prints() && (first.IsZero() || at.Date.Before(first)) {
				first = at.Date
			}
		}
	}
	return first
}

// on is the label that was printed last on a day.
func (l *Label) on(day assess.Date) ID {
	for _, was := range l.Earlier {
		if day.Before(was.Replaced) {
			return was.ID
		}
	}
	return l.ID
}

// compare finds what a look found, and the label that was there; zero where it is not known.
func (e *seer) compare(look *Look, last *Label, sight *Sight, day assess.Date) (there ID, err error) {
	if look.Code == "" {
		return e.said(look, last, sight, day)
	}
	there, at, known := e.printed(look.Code)
	if !known {
		return ID{}, fmt.Errorf("no label with the code %s was printed at this site", look.Code)
	}
	switch {
	case at != look.Location:
		sight.Found, sight.There = FoundOther, there.String()
	case last != nil && there == last.ID && last.Withdrawn == nil:
		if sight.Found = FoundRight; look.Found == FoundDamaged {
			sight.Found, sight.There = FoundDamaged, there.String()
		}
	default:
		sight.Found, sight.There = FoundOld, there.String()
	}
	return there, nil
}

// said is compare of a look without the code of a label.
func (e *seer) said(look *Look, last *Label, sight *Sight, day assess.Date) (there ID, err error) {
	switch {
	case look.Text != "":
		sight.Found = FoundForeign
	case look.Found == "":
		return ID{}, errors.New("say what was found")
	case !slices.Contains(Founds, look.Found):
		return ID{}, fmt.Errorf("%q cannot be found: choose one of %v", look.Found, Founds)
	}
	if last == nil {
		if sight.Found == FoundMissing && e.replay.Seen[look.Location] != nil {
			return ID{}, nil // the label of other equipment that was found there is gone
		}
		return ID{}, fmt.Errorf("%q: %w, so only the code of the label that is there can be noted", look.Location, errNotPrinted)
	}
	was := last.on(day)
	switch {
	case sight.Found == FoundDamaged && last.Withdrawn != nil:
		sight.Found = FoundOld
	case sight.Found != FoundRight:
	case last.Withdrawn != nil:
		sight.Found = FoundOld
	case was != last.ID && !day.Before(e.since(ID{}, last)):
		sight.Found, sight.There = FoundOld, was.String() // it was the right one on that day
		return was, nil
	default:
		return last.ID, nil
	}
	return ID{}, nil
}
