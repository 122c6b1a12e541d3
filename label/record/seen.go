package record

import (
	"reflect"
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
	// There is the record of the label that was found, where its code was read and it is not
	// the right one; of a damaged label, that of the label printed last.
	There string `json:"there,omitempty"`
	// Text is what was read where it is not of a label of this site.
	Text string `json:"text,omitempty"`
	// Tick is what the device that noted it calls it: sent again, it is not noted again.
	Tick string `json:"tick,omitempty"`
	// Clock is the day by that device, where it cannot be right.
	Clock assess.Date `json:"clock,omitzero"`
}

// sees reports whether a command could have written what was found.
func (p *Printed) sees() bool {
	s := p.Sight
	if s == nil || !slices.Contains(Founds, s.Found) || s.Tick != "" && !TickName(s.Tick) || p.Copy != 0 || p.Strip {
		return false
	}
	there := s.There == "" || isSHA256(s.There) &&
		(s.Found == FoundOld || s.Found == FoundOther || s.Found == FoundDamaged && s.There == p.Record)
	return there && (s.Text == "" || s.Found == FoundForeign) && (s.Clock.IsZero() || s.Tick != "")
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
	By    string      // with the role, if the person had signed in
	Label ID          // the label that was the one printed last then
	// Cleared is true where somebody has mounted or removed a label there since.
	Cleared bool
}

// ThereID is the record of the label that was found; zero where it is not known.
func (s *Seeing) ThereID() ID {
	if s.Found == FoundRight {
		return s.Label
	}
	id, _ := ParseID(s.There) // zero where there is none
	return id
}

// Amiss reports whether something else was found than the label printed last, undamaged, and nobody has
// put it right since. last is nil where none was printed.
func (s *Seeing) Amiss(last *Label) bool {
	switch {
	case s == nil || s.Cleared || s.Found == FoundRight:
		return false
	case s.Found == FoundDamaged || last == nil || last.Withdrawn != nil:
		return true
	}
	return s.ThereID() != last.ID // else it was printed again, and is the last one now
}

// see applies what a line says of the equipment: of all locations, also where only some are replayed, since
// a label may be on other equipment than its own. What was found on an earlier day does not count over
// what was found later. Where somebody has mounted or removed a label on that day or later, it is no longer
// there, whichever line comes first.
func (r *Replay) see(line *Line) {
	door := line.Thing == "" && (line.Kind == Mounted || line.Kind == Removed)
	for i := range line.Labels {
		switch p := &line.Labels[i]; {
		case door:
			if r.handled[p.ID].Before(line.Applied) {
				r.handled[p.ID] = line.Applied
			}
			if was := r.Seen[p.ID]; was != nil && !line.Applied.Before(was.Day) {
				was.Cleared = true
			}
		case line.Kind == Seen && p.Sight != nil:
			id, err := ParseID(p.Record)
			if was := r.Seen[p.ID]; err != nil || was != nil && line.Applied.Before(was.Day) {
				continue
			}
			s := &Seeing{Sight: p.Sight, Day: line.Applied, By: line.Who(), Label: id, Cleared: line.Applied.Before(r.handled[p.ID])}
			r.Seen[p.ID] = s
			if last := r.Labels[p.ID]; last != nil && !s.Cleared {
				last.found(s)
			}
		}
	}
}

// found applies what somebody found to what was noted about the equipment.
func (l *Label) found(s *Seeing) {
	if s.Found == FoundRight || s.Found == FoundDamaged {
		return // an overlay may be over it
	}
	if l.Stuck && !s.Day.Before(l.Door.Covered) {
		l.Overlay, l.Stuck = assess.Date{}, false // went with the label that it covered
	}
	if !s.Day.Before(l.Door.Covered) {
		l.Door.Covered = assess.Date{}
	}
	switch {
	case s.Found != FoundMissing && !s.Day.Before(l.Gone):
		l.Gone = assess.Date{} // it is there, or another one is
	case s.Found == FoundMissing && l.Withdrawn != nil && l.Gone.IsZero():
		l.Gone, l.Mounted, l.Again, l.Door = s.Day, assess.Date{}, false, Door{Bare: true}
	}
}

// sees reports whether a line says what was found, and nothing else.
func (l *Line) sees() bool {
	only := Line{Schema: l.Schema, Kind: l.Kind, Date: l.Date, By: l.By, Role: l.Role, Tool: l.Tool, Applied: l.Applied,
		Labels: l.Labels, Prev: l.Prev, Hash: l.Hash}
	return reflect.DeepEqual(*l, only) && len(l.Labels) > 0 && !l.Applied.IsZero() && !l.Date.Before(l.Applied) &&
		!slices.ContainsFunc(l.Labels, func(p Printed) bool { return !p.sees() })
}
