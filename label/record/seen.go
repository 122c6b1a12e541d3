package record

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"vouchmark/assess"
)

// Found is what somebody found on the equipment of a location, compared with the label that
// was printed last for it.
type Found string

// What can be found.
const (
	FoundRight   Found = "right"   // the label printed last
	FoundOld     Found = "old"     // a label of the location that is no longer in use: replaced, or withdrawn
	FoundOther   Found = "other"   // the label of other equipment
	FoundForeign Found = "foreign" // a code that is not of this site, or a text that is not that of its label
	FoundMissing Found = "missing" // no label
	FoundDamaged Found = "damaged" // a label that cannot be read completely
)

// Founds are all of them.
var Founds = []Found{FoundRight, FoundOld, FoundOther, FoundForeign, FoundMissing, FoundDamaged}

// Sight is what somebody found, as a line of the ledger has it.
type Sight struct {
	Found Found `json:"found"`
	// There is the record of the label that was found, where it is known and is not that of
	// the label printed last.
	There string `json:"there,omitempty"`
	// Text is what was read where it is not of a label of this site.
	Text string `json:"text,omitempty"`
	// Tick is what the device that noted it calls it: sent again, it is not noted again.
	Tick string `json:"tick,omitempty"`
	// Clock is the day by that device, where it cannot be right.
	Clock assess.Date `json:"clock,omitzero"`
}

// valid reports whether a command could have written it.
func (s *Sight) valid() bool {
	if s == nil || !slices.Contains(Founds, s.Found) || s.Tick != "" && !TickName(s.Tick) {
		return false
	}
	there := s.There == "" || isSHA256(s.There) && (s.Found == FoundOld || s.Found == FoundOther)
	return there && (s.Text == "" || s.Found == FoundForeign)
}

// TickName reports whether a text can be the name of a tick: 16 to 64 letters and digits.
func TickName(s string) bool {
	if len(s) < 16 || len(s) > 64 {
		return false
	}
	for _, c := range []byte(s) {
		if (c < '0' || c > '9') && (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') {
			return false
		}
	}
	return true
}

// Seeing is what was found last on the equipment of a location.
type Seeing struct {
	*Sight
	Day   assess.Date // on which it was found
	By    string
	Label ID // the label that was the one printed last then
	// Cleared is true where somebody has mounted or removed a label there since.
	Cleared bool
}

// There is the record of the label that was found; zero where it is not known.
func (s *Seeing) ThereID() ID {
	if s.Found == FoundRight || s.Found == FoundDamaged {
		return s.Label
	}
	id, _ := ParseID(s.There) // zero where there is none
	return id
}

// see applies what a line says of the equipment: of all locations, also where only some are replayed, since
// a label may be on other equipment than its own. What was found on an earlier day does not count over
// what was found later. Where somebody has mounted or removed a label since, it is no longer there.
func (r *Replay) see(line *Line) {
	for i := range line.Labels {
		p := &line.Labels[i]
		was := r.Seen[p.ID]
		if was != nil && line.Applied.Before(was.Day) {
			continue
		}
		switch {
		case line.Kind == Seen && p.Sight != nil:
			if id, err := ParseID(p.Record); err == nil {
				r.Seen[p.ID] = &Seeing{Sight: p.Sight, Day: line.Applied, By: line.By, Label: id}
			}
		case was != nil && line.Thing == "" && (line.Kind == Mounted || line.Kind == Removed):
			was.Cleared = true
		}
	}
}

// sees reports whether a line says what was found, and nothing else.
func (l *Line) sees() bool {
	return l.Thing == "" && len(l.Labels) > 0 && !l.Applied.IsZero() && !l.Date.Before(l.Applied) &&
		!slices.ContainsFunc(l.Labels, func(p Printed) bool { return !p.Sight.valid() || p.Copy != 0 || p.Strip })
}

// Look is what somebody found on the equipment of a location, as it is told.
type Look struct {
	Location string
	Code     Code   // that was read; "" where none was, or where it is none of this site's
	Text     string // that was read where it is not of a label of this site
	Found    Found  // what the person says; "" where it follows from what was read
	Day      assess.Date
	Tick     string // see [Sight]; "" for none
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
		e := seer{replay: r, ticks: l.ticks(), date: date}
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
	ticks  map[string]*Printed
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
	last := e.replay.Labels[look.Location]
	sight := &Sight{Found: look.Found, Text: look.Text, Tick: look.Tick}
	there, err := e.compare(look, last, sight)
	if err != nil {
		return Looked{Err: &LookError{Err: err}}, nil
	}
	is.Found, is.Label = sight.Found, ""
	named := there // the label that should be there, else the one that is
	if last != nil {
		named, is.Label = last.ID, last.ID.Code()
	}
	if there != (ID{}) {
		is.There = there.Code()
	}
	p := Printed{ID: look.Location, Record: named.String(), Sight: sight}
	if was := e.ticks[look.Tick]; look.Tick != "" && was != nil {
		if is.Already = was.ID == p.ID && was.Sight.read(was) == sight.read(&p); !is.Already {
			return Looked{Err: &LookError{true, fmt.Errorf("the ledger already has something else under the name %s", look.Tick)}}, nil
		}
		is.Found = was.Sight.Found // as it was noted then
		return is, nil
	}
	day := cmp.Or(look.Day, e.date)
	if since := e.since(there); e.date.Before(day) || day.Before(since) {
		sight.Clock, day = day, e.date
	}
	if was := e.replay.Seen[look.Location]; look.Tick == "" && was != nil && !was.Cleared && was.Day == day && *was.Sight == *sight {
		is.Already = true
		return is, nil
	}
	lines = append(lines, Line{Kind: Seen, Applied: day, Labels: []Printed{p}})
	if (sight.Found == FoundRight || sight.Found == FoundDamaged) && last.Mounted.IsZero() && !last.Again {
		lines = append(lines, Line{Kind: Mounted, Applied: day, Labels: []Printed{{ID: p.ID, Record: p.Record}}})
		last.Mounted = day
	}
	if look.Tick != "" {
		e.ticks[look.Tick] = &p
	}
	e.replay.Seen[look.Location] = &Seeing{Sight: sight, Day: day, Label: named}
	return is, lines
}

// read is what was read or said, without what followed from it when it was noted.
func (s *Sight) read(p *Printed) string {
	switch {
	case s.Text != "":
		return "text " + s.Text
	case s.Found == FoundMissing, s.Found == FoundDamaged:
		return string(s.Found)
	case s.There != "":
		return "record " + s.There
	case s.Found == FoundRight:
		return "record " + p.Record
	}
	return string(s.Found)
}

// since is the day on which a label was printed first; zero for none.
func (e *seer) since(id ID) (first assess.Date) {
	for _, at := range e.replay.Record(id).Entries {
		if at.Kind.Prints() && (first.IsZero() || at.Date.Before(first)) {
			first = at.Date
		}
	}
	return first
}

// compare finds what a look found, and the label that was there; zero where it is not known.
func (e *seer) compare(look *Look, last *Label, sight *Sight) (there ID, err error) {
	if look.Tick != "" && !TickName(look.Tick) {
		return ID{}, fmt.Errorf("%q cannot name a tick: expected 16 to 64 letters and digits", look.Tick)
	}
	if look.Code == "" {
		switch {
		case look.Text != "":
			sight.Found = FoundForeign
		case look.Found == "":
			return ID{}, errors.New("say what was found")
		case !slices.Contains(Founds, look.Found):
			return ID{}, fmt.Errorf("%q cannot be found: choose one of %v", look.Found, Founds)
		}
		if last == nil {
			return ID{}, fmt.Errorf("%q: %w, so only the code of the label that is there can be noted", look.Location, errNotPrinted)
		}
		if sight.Found == FoundRight && last.Withdrawn != nil {
			sight.Found = FoundOld
		}
		if sight.Found == FoundRight || sight.Found == FoundDamaged {
			return last.ID, nil
		}
		return ID{}, nil
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
			sight.Found = FoundDamaged
		}
	default:
		sight.Found, sight.There = FoundOld, there.String()
	}
	return there, nil
}
