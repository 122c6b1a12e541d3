package plant

import (
	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// Do is what a person does on the equipment.
type Do string

// What there is to do, as lists write it.
const (
	PutOn   Do = "put on"         // mount a label where none is
	Replace Do = "replace"        // a label by another, or by a copy of it
	Cover   Do = "cover"          // a label by its overlay; the label stays
	Remove  Do = "remove"         // a label, and nothing takes its place
	Uncover Do = "remove overlay" // and leave the label that holds again
)

// Dos are all of them, in the order of their urgency.
var Dos = []Do{Cover, Replace, PutOn, Uncover, Remove}

// Task is one thing that a person has to do on the equipment of a location.
type Task struct {
	ID, Area, Equipment string

	Do Do
	// Urgent is true where the label on the equipment does not hold and must be
	// covered, or is printed too low: it comes before everything else.
	Urgent bool
	// There is the label that is on the equipment, as far as is known: the one to
	// replace, cover, remove or uncover; "" for none.
	There record.Code
	// Label is the last printed label, to mount, cover, remove or uncover; "" if
	// it must be printed first.
	Label record.Code
	// Copy is the label of which another copy must be printed first; "" for none.
	Copy record.Code
	// First is what must be printed first; without words if it is printed.
	First assess.Remedy
	Notes []Note // what else there is to say
}

// ByHand reports whether the label is to be covered by hand, since its overlay
// cannot be printed.
func (t *Task) ByHand() bool { return t.First == byHand }

// Note is something to say with a task: a value, so that a list can say it in
// the language of the site.
type Note struct {
	What   NoteKind
	Date   assess.Date // of a withdrawal, or on which somebody looked
	Reason string      // of a withdrawal
	Found  record.Found
}

// NoteKind is what a note says.
type NoteKind int

// The notes of tasks.
const (
	NoteTooLow       NoteKind = iota // the label is printed too low
	NoteStrip                        // it carries the INTERIM strip
	NoteAgain                        // it is the same label, printed again
	NoteWithdrawn                    // it was withdrawn: when and why
	NoteGone                         // locations.csv no longer has a row for it
	NoteUnlabeled                    // locations.csv says that the place has no label
	NoteIfGone                       // whoever is there finds out whether the equipment is gone
	NoteConfirm                      // whoever is there confirms that no label is needed
	NoteOverlayFirst                 // its overlay must be printed first
	NoteSeen                         // what somebody found there, and when
)

// What has to be printed first.
var (
	printLabel   = assess.Remedy{Words: "{}", Act: assess.ToPrintDue}
	printOverlay = assess.Remedy{Words: "{}", Act: assess.ToPrintOverlay}
	byHand       = assess.Remedy{Words: "cover it by hand: its record cannot be read, so no overlay can be printed"}
)

// Tasks are what a person has to do on the equipment, in the order of the site:
// mount what was printed and is not noted as mounted, cover what does not hold,
// remove what is no longer needed. If something is due that is not printed yet, the
// task says so. A label that is mounted and holds needs nothing, and neither does one
// that does not hold but has its overlay or its INTERIM strip. No label is removed
// from equipment that needs one: what does not hold is covered until another one
// takes its place.
func (p *Plant) Tasks() []Task {
	var all []Task
	for i := range p.Places {
		at := &p.Places[i]
		l := at.Assessment.Location
		all = append(all, p.amiss(at.ID(), at.tasks(), Task{ID: l.ID, Area: l.Area, Equipment: l.Equipment})...)
	}
	for i := range p.Unlisted {
		u := &p.Unlisted[i]
		t := Task{ID: u.ID}
		if r := u.Printed.Record; r != nil {
			t.Area, t.Equipment = r.Location.Area, r.Location.Equipment
		}
		// Equipment that is still there keeps a warning.
		all = append(all, p.amiss(u.ID, u.Printed.removal(t, NoteIfGone, Note{What: NoteGone}), t)...)
	}
	return all
}

// OutOfUse is why the label of a location is not needed though nobody withdrew it;
// "" where it is in use, or where there is none.
func (p *Plant) OutOfUse(id string) string {
	for i := range p.Unlisted {
		if p.Unlisted[i].ID == id {
			return gone
		}
	}
	if place, ok := p.Place(id); ok && place.Assessment.Location.Unlabeled {
		return labelNo
	}
	return ""
}

// Why a label that nobody withdrew is no longer in use.
const (
	gone    = "locations.csv no longer has a row for it"
	labelNo = "locations.csv says that it has no label (label = no)"
)

func (p *Place) tasks() (all []Task) {
	at := p.Assessment.Location
	t := Task{ID: at.ID, Area: at.Area, Equipment: at.Equipment}
	l := p.Printed
	switch {
	case l == nil && p.Refusal(false) != nil:
		return nil
	case l == nil:
		t.Do, t.First = PutOn, printLabel
		return []Task{t}
	case at.Unlabeled:
		return l.removal(t, NoteConfirm, Note{What: NoteUnlabeled})
	case l.Withdrawn != nil:
		return l.removal(t, NoteConfirm)
	}
	if l.Standing.TooLow {
		t.Urgent, t.Notes = true, []Note{{What: NoteTooLow}}
	}
	if l.Holds() {
		return p.toShow(t)
	}
	return p.toWarn(t)
}

// Holds reports whether a printed label holds, even if its study is soon due.
func (p *Printed) Holds() bool { return p.Standing.Status.Rank() >= standing.FallsDue.Rank() }

// toShow is what to do if the last printed label holds: people must be able to
// see it.
func (p *Place) toShow(t Task) (all []Task) {
	l := p.Printed
	// An overlay printed after a review found the study right says so, and may stay.
	review := l.Standing.Renewed()
	renews := review != nil && !l.Overlay.IsZero() && !l.Overlay.Before(review.Since)
	printable := p.Refusal(false) == nil
	switch {
	case l.Strip && printable: // the doubt is cleared, so do not mount the strip
		all = append(all, l.renew(t))
	case l.Waits():
		all = append(all, l.mount(t))
	case p.Differs() && !renews && printable:
		all = append(all, l.renew(t))
	}
	switch {
	case renews && !l.Stuck:
		all = append(all, l.over(t, Cover))
	case !renews && !l.Overlay.IsZero():
		all = append(all, l.over(t, Uncover))
	}
	return all
}

// toWarn is what there is to do where the label printed last does not hold: whoever
// is in front of it must be told.
func (p *Place) toWarn(t Task) (all []Task) {
	l := p.Printed
	renew := p.Differs() && p.Refusal(false) == nil // a label that holds can be printed
	interim := l.Strip && !l.Standing.TooLow        // the label itself says that it does not hold
	if l.Waits() && interim && !renew {
		all = append(all, l.mount(t))
	}
	switch {
	case !l.Overlay.IsZero() && !l.Stuck:
		t.Urgent = true
		all = append(all, l.over(t, Cover))
	case renew:
		all = append(all, l.renew(t))
	case interim, !l.Door.Covered.IsZero():
	default:
		t = l.over(t, Cover)
		if t.Urgent, t.First = true, printOverlay; l.Record == nil {
			t.First = byHand
		} else {
			t.Notes = append(t.Notes, Note{What: NoteOverlayFirst})
		}
		all = append(all, t)
	}
	return all
}

// mount puts the last printed label on the equipment, in place of what is there.
func (p *Printed) mount(t Task) Task {
	t.Do, t.There, t.Label = PutOn, p.there(), p.ID.Code()
	if t.There != "" {
		t.Do = Replace
	}
	switch {
	case p.Strip:
		t.Notes = []Note{{What: NoteStrip}}
	case t.There == t.Label:
		t.Notes = []Note{{What: NoteAgain}}
	}
	return t
}

// renew replaces the last printed label with one that must still be printed.
func (p *Printed) renew(t Task) Task {
	t.Do, t.There, t.First = Replace, p.onDoor(), printLabel
	return t
}

// over covers or uncovers the last printed label.
func (p *Printed) over(t Task, do Do) Task {
	t.Do, t.There, t.Label = do, p.onDoor(), p.ID.Code()
	return t
}

// removal removes the label of a location that needs none, unless it is gone.
// Before that a person has to check what check says. why says why the label is not
// needed if nobody withdrew it.
func (p *Printed) removal(t Task, check NoteKind, why ...Note) []Task {
	if !p.Gone.IsZero() {
		return nil
	}
	t.Do, t.There, t.Label, t.Notes = Remove, p.onDoor(), p.ID.Code(), why
	if w := p.Withdrawn; w != nil {
		t.Notes = []Note{{What: NoteWithdrawn, Date: w.Date, Reason: w.Reason}}
	}
	t.Notes = append(t.Notes, Note{What: check})
	return []Task{t}
}

// onDoor is the label on the equipment: the one noted, else the last printed one.
func (p *Printed) onDoor() record.Code {
	if p.Door.Label != (record.ID{}) {
		return p.Door.Label.Code()
	}
	return p.ID.Code()
}

// there is what the last printed label, which waits to be mounted, will replace:
// the label noted, else an earlier copy, else the label before it; "" for nothing.
func (p *Printed) there() record.Code {
	switch {
	case p.Door.Label != (record.ID{}):
		return p.Door.Label.Code()
	case p.Door.Bare:
		return ""
	case p.Again:
		return p.ID.Code()
	case len(p.Earlier) > 0:
		return p.Earlier[len(p.Earlier)-1].ID.Code()
	}
	return ""
}

// Differs reports whether a print would make another label than the one printed
// last, by the facts that it shows, or of one whose record is lost. A label that
// was never printed differs, and so does one that an error finding stops; a place
// that has no label does not.
func (p *Place) Differs() bool {
	if p.Assessment.Location.Unlabeled {
		return false
	}
	return p.Printed == nil || p.Printed.Record == nil || !p.Renews()
}

// Due reports whether a label should be printed: it differs from the last printed
// one, or that one holds and still carries an INTERIM strip or an overlay. A
// withdrawn label stays withdrawn.
func (p *Place) Due() bool {
	l := p.Printed
	if l == nil || l.Withdrawn != nil {
		return l == nil && p.Differs()
	}
	return p.Differs() || l.Holds() && (l.Strip || !l.Overlay.IsZero())
}
