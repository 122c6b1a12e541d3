package logbook

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Look is what somebody found on equipment, as it is entered: at the equipment of a location, or by the
// label that was read where it should be.
type Look struct {
	At    string       `json:"at"`    // the location whose equipment it is; "" where the label that was read should be
	Read  string       `json:"read"`  // the text of a QR code, a code, or ""
	Found record.Found `json:"found"` // what the person says; "" where it follows from what was read
	Day   assess.Date  `json:"day,omitzero"`
	Tick  string       `json:"tick,omitempty"` // see [record.Sight]
}

// longestRead is the longest text that is read from a label, in characters.
const longestRead = 300

// Seen is what became of a look.
type Seen struct {
	At      string       `json:"at"`
	Tick    string       `json:"tick,omitempty"`
	Found   record.Found `json:"found,omitempty"`
	Label   record.Code  `json:"label,omitempty"` // that should be there
	There   record.Code  `json:"there,omitempty"` // that is there, where it is known
	Of      string       `json:"of,omitempty"`    // the location of that label
	Already bool         `json:"noted_already,omitempty"`
	Says    string       `json:"says"` // it, or why it was not noted, in a sentence
	Do      string       `json:"do,omitempty"`
	Err     error        `json:"-"` // why it was not noted; nil where it was
}

// Taken reports whether its tick was noted before with other content.
func (s *Seen) Taken() bool {
	var e *record.LookError
	return errors.As(s.Err, &e) && e.Taken
}

// See notes what somebody found. Each look is noted or refused by itself; with whole, nothing is noted where
// one is refused.
func See(v *plant.Plant, store *record.Store, all []Look, whole bool, by, tool string) ([]Seen, error) {
	seen, looks, at := make([]Seen, len(all)), make([]record.Look, 0, len(all)), make([]int, 0, len(all))
	refused := false
	for i := range all {
		look, err := all[i].look(v)
		seen[i] = Seen{At: look.Location, Tick: look.Tick, Err: err}
		if err == nil {
			looks, at = append(looks, look), append(at, i)
		}
		refused = refused || err != nil
	}
	if len(looks) > 0 && !(refused && whole) {
		noted, err := store.See(looks, whole, v.Today, by, tool)
		if err != nil {
			return nil, err
		}
		for k := range noted {
			n, s := &noted[k], &seen[at[k]]
			s.Found, s.Label, s.There, s.Already, s.Err = n.Found, n.Label, n.There, n.Already, n.Err
		}
	}
	for i := range seen {
		seen[i].say(v)
	}
	return seen, nil
}

// look is the look as the ledger takes it.
func (k *Look) look(v *plant.Plant) (record.Look, error) {
	look := record.Look{Location: strings.TrimSpace(k.At), Found: k.Found, Day: k.Day, Tick: k.Tick}
	read, err := record.OneLine(k.Read, longestRead)
	if err != nil {
		return look, err
	}
	if read != "" {
		if look.Code, look.Text, err = readLabel(v, read); err != nil {
			return look, err
		}
	}
	if look.Location == "" && look.Code != "" {
		look.Location = v.History.Ledger.LocationOf(look.Code)
	}
	if look.Location == "" {
		return look, fmt.Errorf("%q is not the text of a label of this site: say on which equipment it is", cmp.Or(read, "nothing"))
	}
	if known := v.Known(); !slices.Contains(known, look.Location) {
		return look, &near.UnknownID{What: "location or printed label", IDs: []string{look.Location}, Known: known}
	}
	return look, nil
}

// readLabel is the code that was read, or the text where that is not of a label of this site. It is both where
// the plant does not know the label: it may have been printed since the plant was read.
func readLabel(v *plant.Plant, read string) (code record.Code, text string, err error) {
	scanned, err := label.ParseQR(read)
	if err != nil {
		return "", read, nil
	}
	id, at := v.History.Ledger.RecordOf(scanned.Code)
	switch {
	case !scanned.Of(v.Site.Policy.Links()):
		return "", read, nil
	case at == "":
		return scanned.Code, read, nil
	}
	if scanned.Facts == "" || v.History.Load == nil {
		return scanned.Code, "", nil
	}
	r, err := v.History.Load(id)
	if err != nil {
		return "", "", fmt.Errorf("the record of label %s cannot be read, so its text cannot be compared: %w", scanned.Code, err)
	}
	if scanned.Facts != label.Facts(r) {
		return "", read, nil // a true code with other facts
	}
	return scanned.Code, "", nil
}

// say says what was found, and what to do.
func (s *Seen) say(v *plant.Plant) {
	if s.Err != nil {
		s.Says = s.Err.Error()
		return
	}
	what := report.FoundWords(s.Found)
	switch {
	case s.Found == record.FoundOther && s.There != "":
		s.Of = v.History.Ledger.LocationOf(s.There)
		what = "the label of " + s.Of
	case s.Found == record.FoundOld && s.There == s.Label && s.Label != "":
		what = "a label that was withdrawn"
	}
	s.Says = s.At + ": " + what
	s.Do = s.todo(v)
}

// todo is what to do where something was found; "" for nothing.
func (s *Seen) todo(v *plant.Plant) string {
	right, missing := s.Found == record.FoundRight, s.Found == record.FoundMissing
	p, known := v.Place(s.At)
	switch {
	case !v.Needs(s.At) && missing:
		return ""
	case !known && right:
		return "locations.csv no longer has it: if the equipment is gone, remove the label"
	case known && p.Printed == nil && !p.Assessment.Location.Unlabeled:
		return "remove it; the label of " + s.At + " is not printed yet"
	case !v.Needs(s.At):
		return "no label belongs there: remove it"
	case !p.Printed.Holds() && right && (p.Printed.Strip || !p.Printed.Door.Covered.IsZero()):
		return ""
	case !p.Printed.Holds():
		does := fmt.Sprintf("label %s does not hold (%s): ", s.Label, p.Printed.Standing.Status)
		if missing {
			return does + "mount its overlay"
		}
		return does + "cover what is there with its overlay"
	case right && p.Printed.Again && !p.Printed.Door.Bare:
		return "if it is the new copy, note that it is mounted"
	case right:
		return ""
	case missing:
		return "mount label " + string(s.Label)
	}
	return "replace it with label " + string(s.Label)
}

// Looks are what became of several looks.
type Looks struct {
	Noted   int    `json:"noted"`
	Already int    `json:"noted_already"`
	Refused int    `json:"refused"`
	Left    int    `json:"not_ticked"`
	Looks   []Seen `json:"looks"`
}

// NewLooks counts them.
func NewLooks(all []Seen, left int) *Looks {
	l := &Looks{Looks: all, Left: left}
	for i := range all {
		switch {
		case all[i].Err != nil:
			l.Refused++
		case all[i].Already:
			l.Already++
		default:
			l.Noted++
		}
	}
	return l
}

// Text says it to a person.
func (l *Looks) Text(w io.Writer, width int) error {
	var b strings.Builder
	right := 0
	for i := range l.Looks {
		s := &l.Looks[i]
		if s.Found == record.FoundRight {
			right++
			if len(l.Looks) > 1 {
				continue
			}
		}
		b.WriteString(report.Wrap(s.Says+report.After("; ", s.Do), "", "  ", width))
	}
	if right > 0 && len(l.Looks) > 1 {
		fmt.Fprintf(&b, "%s: the right label\n", report.Plural(right, "location"))
	}
	if l.Already > 0 {
		fmt.Fprintf(&b, "%d already noted\n", l.Already)
	}
	if l.Left > 0 {
		fmt.Fprintf(&b, "%s not ticked\n", report.Plural(l.Left, "row"))
	}
	_, err := io.WriteString(w, cmp.Or(b.String(), "nothing to note\n"))
	return err
}
