package record

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"vouchmark/assess"
)

// Door is what is on the equipment of a location, as far as somebody noted it.
type Door struct {
	// Label is the label that was noted as mounted last; zero where none was, or
	// where it was removed since. A label that was printed after it may be there,
	// and nobody said so.
	Label ID
	// Bare is true where the label was removed, and none was noted as mounted since.
	Bare bool
	// Covered is since when an overlay is stuck over what is there; zero for none.
	Covered assess.Date
}

// Overlay is the thing of a line that tells of an overlay.
const Overlay = overlay

// door follows what a line says of the equipment of a location whose label was
// printed last: what is mounted there, stuck over it, or removed.
func (l *Label) door(e *Entry, id ID) {
	switch {
	case e.Kind == Mounted && e.Thing == overlay:
		l.Stuck, l.Door.Covered = true, e.Applied
	case e.Kind == Mounted:
		l.Mounted, l.Again, l.Gone = e.Applied, false, assess.Date{}
		l.Door.Label, l.Door.Bare = id, false
		if !l.Stuck { // what covered the label before it went with that label
			l.Door.Covered = assess.Date{}
		}
	case e.Thing == overlay:
		l.Overlay, l.Stuck, l.Door.Covered = assess.Date{}, false, assess.Date{}
	default:
		l.Gone, l.Mounted, l.Again = e.Applied, assess.Date{}, false
		l.Overlay, l.Stuck, l.Door = assess.Date{}, false, Door{Bare: true}
	}
}

// again follows another print of the label printed last. The new copy takes the
// place of the one before where that is damaged, bears another strip, is covered,
// or was taken out of use; of more copies of one that is fine nothing follows.
func (l *Label) again(e *Entry) {
	l.Again = l.Again || e.Kind == Reprint || e.Strip != l.Strip || l.Withdrawn != nil || !l.Overlay.IsZero()
	l.Withdrawn, l.Strip, l.Printed, l.Gone = nil, e.Strip, e.Date, assess.Date{}
	l.Overlay, l.Stuck = assess.Date{}, false
}

// Waits reports whether the copy that was printed last is not noted as mounted.
func (l *Label) Waits() bool { return l.Mounted.IsZero() || l.Again }

// Deed is what somebody did on the equipment of a location: mounted or removed
// the label printed last, or the overlay that was printed for it.
type Deed struct {
	Kind     Kind   // Mounted or Removed
	Thing    string // "" for the label, Overlay for an overlay
	Location string
	Code     Code // of the label that is meant; "" for whichever it is
	// Applied is the day. Where it is zero, it was done on the day of the note, or
	// when the ledger says already that it was.
	Applied assess.Date
	// Reason is why a label that is removed is out of use; "" where only one that
	// was withdrawn may be removed.
	Reason string
}

// DeedError says why something that was done cannot be noted: in a sentence, and
// as a report of bad input has it.
type DeedError struct {
	Number              int   // among those that were told of
	About               About // what of it is wrong
	Found, Expected, Do string
	Err                 error
}

// About is what of a deed is wrong.
type About string

// What can be wrong of a deed.
const (
	AboutPlace About = "place" // no label of it was printed
	AboutLabel About = "label" // it is not the one printed last
	AboutDeed  About = "deed"  // it cannot have been done
	AboutDay   About = "day"   // nor on that day
)

func (e *DeedError) Error() string { return e.Err.Error() }

func (e *DeedError) Unwrap() error { return e.Err }

// errNotPrinted is the error for a location whose label was never printed.
var errNotPrinted = errors.New("no label of it was printed")

// Tell notes what somebody did, all of it or nothing: the lines say on which day
// each was done. What is noted already is not noted again, nor what is told
// twice. An error joins a [DeedError] for each deed that cannot be noted.
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

// Wrongs are a [DeedError] for each deed that cannot be noted on a day, beside the
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

// wrong says why a deed cannot be noted; nil where it can, or is already.
func (d *Deed) wrong(last *Label, date assess.Date) *DeedError {
	because := func(about About, found, expected, do, why string, args ...any) *DeedError {
		return &DeedError{About: about, Found: found, Expected: expected, Do: do, Err: fmt.Errorf(why, args...)}
	}
	if last == nil {
		return because(AboutPlace, fmt.Sprintf("%q", d.Location), "a location whose label was printed", "",
			"%q: %w", d.Location, errNotPrinted)
	}
	earlier := d.Kind == Removed && d.Thing == "" && last.Door.Label != (ID{}) && last.Door.Label != last.ID // it was there
	if code := last.ID.Code(); d.Code != "" && d.Code != code && (!earlier || d.Code != last.Door.Label.Code()) {
		return because(AboutLabel, string(d.Code), string(code)+", the label that was printed last",
			"make a new list, and walk again", "the label of %s that was printed last is %s, not %s", d.Location, code, d.Code)
	}
	what, printed := "the label", last.Since
	switch {
	case d.noted(last):
		if d.Code == "" && d.Kind == Removed && d.Thing == overlay {
			return because(AboutDeed, "an overlay as removed", "one that was printed", "",
				"no overlay was printed for the label of %s since it was printed, or it was removed already", d.Location)
		}
		return nil
	case d.Kind == Removed && d.Thing == overlay:
		what, printed = "the overlay", last.Overlay
	case d.Kind == Removed && last.Withdrawn == nil && d.Reason == "":
		return because(AboutDeed, "a label in use as removed", "one that is out of use",
			"withdraw the label before it is removed", "the label of %s is in use: withdraw it before it is removed", d.Location)
	case d.Kind == Removed && earlier:
		return nil
	case d.Kind == Removed:
	case d.Thing == overlay && last.Overlay.IsZero():
		return because(AboutDeed, "an overlay as mounted", "one that was printed", "none was since the label was printed",
			"no overlay was printed for the label of %s since it was printed", d.Location)
	case d.Thing == overlay:
		what, printed = "the overlay", last.Overlay
	case last.Withdrawn != nil:
		return because(AboutDeed, "a withdrawn label as mounted", "one that is in use",
			fmt.Sprintf("it was withdrawn on %s", last.Withdrawn.Date), "the label of %s was withdrawn on %s", d.Location, last.Withdrawn.Date)
	case last.Again:
		printed = last.Printed
	}
	if done := cmp.Or(d.Applied, date); done.Before(printed) {
		return because(AboutDay, done.String(), fmt.Sprintf("a day from %s on", printed), what+" was printed on that day",
			"%s of %s was printed on %s, after %s", what, d.Location, printed, done)
	}
	return nil
}

// noted reports whether the ledger says already that a deed was done, on its day
// where it has one.
func (d *Deed) noted(last *Label) bool {
	var is bool
	var on assess.Date // zero: the ledger no longer tells
	switch {
	case d.Kind == Mounted && d.Thing == overlay:
		is, on = last.Stuck, last.Door.Covered
	case d.Kind == Mounted:
		is, on = !last.Waits() && last.Withdrawn == nil, last.Mounted
	case d.Thing == overlay:
		is = last.Overlay.IsZero() && last.Door.Covered.IsZero()
	default:
		is, on = !last.Gone.IsZero(), last.Gone
	}
	return is && (d.Applied.IsZero() || on.IsZero() || d.Applied == on)
}

// lines are what the ledger is told of a deed, a line for each label. One that is
// removed while it is in use is out of use from then on.
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

// together puts what was done on one day into one line, but for withdrawals, of
// which each has its reason. Labels are withdrawn before they are removed, and
// mounted before they are covered.
func together(all []Line) []Line {
	turn := []Kind{Withdrawn, Removed, Mounted}
	order := func(a, b *Line) int {
		return cmp.Or(slices.Index(turn, a.Kind)-slices.Index(turn, b.Kind), cmp.Compare(a.Thing, b.Thing),
			a.Applied.Compare(b.Applied))
	}
	slices.SortFunc(all, func(a, b Line) int {
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

// Mount notes that the labels of locations, which were printed last, are
// mounted on the equipment since a day.
func (s *Store) Mount(locations []string, date, applied assess.Date, by, tool string) ([]Line, error) {
	deeds := make([]Deed, len(locations))
	for i, id := range locations {
		deeds[i] = Deed{Kind: Mounted, Location: id, Applied: applied}
	}
	return s.Tell(deeds, date, by, tool)
}
