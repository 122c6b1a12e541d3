package record

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"vouchmark/assess"
)

// Door is what is on the equipment of a location, as far as it was noted.
type Door struct {
	// Label is the label that was noted as mounted last; zero where none was, or
	// where it was removed since. A label printed later may be there without a note.
	Label ID
	// Bare is true where the label was removed and none was noted as mounted since.
	Bare bool
	// Covered is since when an overlay covers what is there; zero for none.
	Covered assess.Date
}

// Overlay is the Thing of a line about an overlay.
const Overlay = overlay

// door applies a line about what is on the equipment of a location: what was
// mounted there, covered or removed. The label is the one printed last.
func (l *Label) door(e *Entry, id ID) {
	switch {
	case e.Kind == Mounted && e.Thing == overlay:
		l.Stuck, l.Door.Covered = true, e.Applied
	case e.Kind == Mounted:
		l.Mounted, l.Again, l.Gone = e.Applied, false, assess.Date{}
		l.Door.Label, l.Door.Bare = id, false
		if !l.Stuck { // an overlay of the label before it went with that label
			l.Door.Covered = assess.Date{}
		}
	case e.Thing == overlay:
		l.Overlay, l.Stuck, l.Door.Covered = assess.Date{}, false, assess.Date{}
	default:
		l.Gone, l.Mounted, l.Again = e.Applied, assess.Date{}, false
		l.Overlay, l.Stuck, l.Door = assess.Date{}, false, Door{Bare: true}
	}
}

// again applies another print of the label printed last. The new copy replaces the
// one before where that is damaged, has another strip, is covered or was withdrawn;
// more copies of a sound label change nothing, unless something else than that was found on the
// equipment (lacks).
func (l *Label) again(e *Entry, lacks bool) {
	l.Again = l.Again || lacks || e.Kind == Reprint || e.Strip != l.Strip || l.Withdrawn != nil || !l.Overlay.IsZero()
	l.Withdrawn, l.Strip, l.Printed, l.Gone = nil, e.Strip, e.Date, assess.Date{}
	l.Overlay, l.Stuck = assess.Date{}, false
}

// Waits reports whether the copy printed last is not yet noted as mounted.
func (l *Label) Waits() bool { return l.Mounted.IsZero() || l.Again }

// Deed is what somebody did at the equipment of a location: mounted or removed
// the label printed last, or the overlay printed for it.
type Deed struct {
	Kind     Kind   // Mounted or Removed
	Thing    string // "" for the label, Overlay for an overlay
	Location string
	Code     Code // of the label, where the person named it; else ""
	// Applied is the day. Where it is zero, the day is that of the note, or the one
	// that the ledger already has.
	Applied assess.Date
	// Reason is why a removed label is withdrawn at the same time; "" where only a
	// label that was withdrawn before may be removed.
	Reason string
}

// DeedError says why a deed cannot be noted: in a sentence, and in the parts of a
// report of bad input.
type DeedError struct {
	Number              int   // of the deed, from 0
	About               About // what is wrong with it
	Found, Expected, Do string
	Err                 error
}

// About is what is wrong with a deed.
type About string

// What can be wrong with a deed.
const (
	AboutPlace About = "place" // no label was printed for it
	AboutLabel About = "label" // not the one printed last
	AboutDeed  About = "deed"  // it cannot have been done
	AboutDay   About = "day"   // it cannot have been done on that day
)

func (e *DeedError) Error() string { return e.Err.Error() }

func (e *DeedError) Unwrap() error { return e.Err }

// errNotPrinted is the error for a location whose label was never printed.
var errNotPrinted = errors.New("no label was printed for it")

// Tell notes what somebody did, all of it or nothing. The lines have the day of
// each deed. A deed that is already noted, or listed twice, is not noted again. An
// error joins a [DeedError] for each deed that cannot be noted.
func (s *Store) Tell(deeds []Deed, date assess.Date, by, tool string) (lines []Line, err error) {
	err = s.NoteAll(func(l *Ledger) ([]Line, error) {
		names := make([]string, len(deeds))
		for i := range deeds {
			names[i] = deeds[i].Location
		}
		labels := s.Replay(l, date, Locations(names...)).Labels
		var wrong []error
		for _, e := range Wrongs(deeds, date, func(location string) *Label { return labels[location] }) {
			wrong = append(wrong, e)
		}
		if wrong != nil {
			return nil, errors.Join(wrong...)
		}
		told := map[Deed]bool{}
		for _, d := range deeds {
			last, same := labels[d.Location], Deed{Kind: d.Kind, Thing: d.Thing, Location: d.Location}
			if !told[same] && !d.noted(last) {
				d.Applied = cmp.Or(d.Applied, date)
				lines = append(lines, d.lines(last)...)
			}
			told[same] = true
		}
		lines = together(lines)
		for i := range lines {
			lines[i].Date, lines[i].By, lines[i].Tool = date, by, tool
		}
		return lines, nil
	})
	if err != nil {
		lines = nil
	}
	return lines, err
}

// Wrongs are a [DeedError] for each deed that cannot be noted on a day, given the
// labels printed last; nil for none.
func Wrongs(deeds []Deed, date assess.Date, last func(location string) *Label) (all []*DeedError) {
	for i := range deeds {
		if e := deeds[i].wrong(last(deeds[i].Location), date); e != nil {
			e.Number = i
			all = append(all, e)
		}
	}
	return all
}

// wrong says why a deed cannot be noted; nil where it can be, or already is.
func (d *Deed) wrong(last *Label, date assess.Date) *DeedError {
	because := func(about About, found, expected, do, why string, args ...any) *DeedError {
		return &DeedError{About: about, Found: found, Expected: expected, Do: do, Err: fmt.Errorf(why, args...)}
	}
	if last == nil {
		return because(AboutPlace, fmt.Sprintf("%q", d.Location), "a location with a printed label", "",
			"%q: %w", d.Location, errNotPrinted)
	}
	earlier := d.Kind == Removed && d.Thing == "" && last.Door.Label != (ID{}) && last.Door.Label != last.ID // it was there
	if code := last.ID.Code(); d.Code != "" && d.Code != code && (!earlier || d.Code != last.Door.Label.Code()) {
		return because(AboutLabel, string(d.Code), string(code)+", the label printed last",
			"make a new list, and walk again", "the label printed last for %s is %s, not %s", d.Location, code, d.Code)
	}
	what, printed := "the label", last.Since
	switch {
	case d.noted(last):
		if d.Code == "" && d.Kind == Removed && d.Thing == overlay {
			return because(AboutDeed, "an overlay as removed", "one that was printed", "",
				"the label of %s has no overlay: none was printed for it, or it was already removed", d.Location)
		}
		return nil
	case d.Kind == Removed && d.Thing == overlay:
		what, printed = "the overlay", last.Overlay
	case d.Kind == Removed && last.Withdrawn == nil && d.Reason == "":
		return because(AboutDeed, "a label in use as removed", "one that was withdrawn",
			"withdraw the label before it is removed", "the label of %s is in use: withdraw it before it is removed", d.Location)
	case d.Kind == Removed && earlier:
		return nil
	case d.Kind == Removed:
	case d.Thing == overlay && last.Overlay.IsZero():
		return because(AboutDeed, "an overlay as mounted", "one that was printed", "print it first",
			"no overlay was printed for the label of %s", d.Location)
	case d.Thing == overlay:
		what, printed = "the overlay", last.Overlay
	case last.Withdrawn != nil:
		return because(AboutDeed, "a withdrawn label as mounted", "one that is in use",
			fmt.Sprintf("it was withdrawn on %s", last.Withdrawn.Date), "the label of %s was withdrawn on %s", d.Location, last.Withdrawn.Date)
	case last.Again:
		printed = last.Printed
	}
	if done := cmp.Or(d.Applied, date); done.Before(printed) {
		return because(AboutDay, done.String(), fmt.Sprintf("%s or later", printed), what+" was printed on that day",
			"%s of %s was printed on %s, after %s", what, d.Location, printed, done)
	}
	return nil
}

// noted reports whether the ledger already says that a deed was done, on its day
// where it has one.
func (d *Deed) noted(last *Label) bool {
	var is bool
	var on assess.Date // zero: the ledger no longer says
	switch {
	case d.Kind == Mounted && d.Thing == overlay:
		is, on = last.Stuck, last.Door.Covered
	case d.Kind == Mounted:
		is, on = !last.Waits() && last.Withdrawn == nil && !last.Seen.Amiss(last), last.Mounted
	case d.Thing == overlay:
		is = last.Overlay.IsZero() && last.Door.Covered.IsZero()
	default:
		is, on = !last.Gone.IsZero(), last.Gone
	}
	return is && (d.Applied.IsZero() || on.IsZero() || d.Applied == on)
}

// lines are what the ledger notes of a deed, a line for each label. Removing a
// label that is in use also withdraws it.
func (d *Deed) lines(last *Label) []Line {
	id := last.ID
	if d.Kind == Removed && d.Thing == "" && last.Door.Label != (ID{}) {
		id = last.Door.Label // what was there
	}
	of := func(id ID) []Printed { return []Printed{{ID: d.Location, Record: id.String()}} }
	all := []Line{{Kind: d.Kind, Thing: d.Thing, Applied: d.Applied, Labels: of(id)}}
	if d.Kind == Removed && d.Thing == "" && last.Withdrawn == nil {
		all = append(all, Line{Kind: Withdrawn, Reason: d.Reason, Labels: of(last.ID)})
	}
	return all
}

// together puts deeds of one kind and day into one line. Withdrawals stay separate,
// since each has its own reason. Labels are withdrawn before they are removed,
// mounted before they are covered, and what was found on the equipment comes last: it is what is there.
func together(all []Line) []Line {
	turn := []Kind{Withdrawn, Removed, Mounted, Seen}
	order := func(a, b *Line) int {
		return cmp.Or(slices.Index(turn, a.Kind)-slices.Index(turn, b.Kind), cmp.Compare(a.Thing, b.Thing),
			a.Applied.Compare(b.Applied))
	}
	slices.SortStableFunc(all, func(a, b Line) int { // what is said last of a location counts
		return cmp.Or(order(&a, &b), cmp.Compare(a.Labels[0].ID, b.Labels[0].ID))
	})
	var lines []Line
	for i := range all {
		n := len(lines) - 1
		if n < 0 || all[i].Kind == Withdrawn || order(&lines[n], &all[i]) != 0 {
			lines = append(lines, all[i])
		} else {
			lines[n].Labels = append(lines[n].Labels, all[i].Labels...)
		}
	}
	return lines
}

// Mount notes that the labels printed last for some locations were mounted on the
// equipment on a day.
func (s *Store) Mount(locations []string, date, applied assess.Date, by, tool string) ([]Line, error) {
	deeds := make([]Deed, len(locations))
	for i, id := range locations {
		deeds[i] = Deed{Kind: Mounted, Location: id, Applied: applied}
	}
	return s.Tell(deeds, date, by, tool)
}
