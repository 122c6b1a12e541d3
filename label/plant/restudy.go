package plant

import (
	"cmp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// Restudy is what the rows of a new study change about a site's labels. It
// compares the site with the rows as they were and with the rows as they would be,
// on the same day and with the same printed labels.
type Restudy struct {
	Today assess.Date
	// Stopped says why no label can be printed while the policy is the starter's;
	// "" for any other policy. The rows are judged regardless.
	Stopped string
	Rows    []RestudyRow // what matters first
}

// RestudyRow is one location of either site.
type RestudyRow struct {
	ID, Area, Equipment string // as the new rows have them, else as they were
	InStudy             bool   // the study has the location
	Row                 RowChange
	Effect              Effect

	// Before is what the last printed label says; if none was printed or its record
	// cannot be read, what the old row says, whether or not it could be printed; nil
	// if nothing is known.
	Before    *record.Record
	FromLabel bool // Before is the label's record
	// After is what the new row says, even if its label cannot be printed; nil if
	// the row is gone, has no label or cannot be read.
	After   *record.Record
	Code    record.Code // of the label that the new row makes; "" if an error stops it
	Refused *Refusal    // why that one cannot be printed; nil if it can, or the row is gone
	Clears  string      // what would clear that

	// Printed is the last printed label, with its standing under the new rows; nil
	// for none.
	Printed *Printed
	Low     []Low  // where that label says too little; worst first
	Hazard  Hazard // which way the hazard goes; "" if there is nothing to compare

	// Differences lists all differences between the two; if the label changes there
	// is at least one.
	Differences []standing.Difference
	DatesOnly   bool // they are only the study's name, its dates and REVIEW BY
	Already     bool // the effect was the same with the old rows
}

// RowChange is what happens to a row of locations.csv, as JSON writes it.
type RowChange string

// What happens to a row. A row that differs only in columns that neither decide a
// label nor appear on it is the same.
const (
	RowNew     RowChange = "new"
	RowGone    RowChange = "gone" // the study does not have it, and it is deleted
	RowKept    RowChange = "kept" // the study does not have it, and it stays unchanged
	RowChanged RowChange = "changed"
	RowSame    RowChange = "same"
)

// Effect is what this means for the location's label, as JSON writes it.
type Effect string

// The effects, in the order in which they are listed. Every row has one.
const (
	LabelTooLow  Effect = "too low"       // the mounted label says less than the new row: cover it
	LabelRefused Effect = "not printed"   // the new row cannot be printed
	LabelChanges Effect = "label changes" // the last printed label must be replaced
	LabelFirst   Effect = "never printed" // the row existed, and its first label can be printed
	LabelNew     Effect = "new"           // the location is new, whether or not its label can be printed
	LabelGone    Effect = "gone"
	LabelKept    Effect = "not in study" // and nothing changes about it
	LabelNone    Effect = "no label"     // the place has none (label = no)
	LabelStays   Effect = "label stays"
)

// Effects are all of them in their order.
var Effects = []Effect{LabelTooLow, LabelRefused, LabelChanges, LabelFirst, LabelNew, LabelGone, LabelKept,
	LabelNone, LabelStays}

// NewRestudy compares a site before and after a new study. inStudy names the
// locations of the study; nil for all. before is nil if there were no rows. Labels
// whose rows were already gone are not listed, unless there were no rows.
func NewRestudy(before, after *Plant, inStudy func(id string) bool) *Restudy {
	r := &Restudy{Today: after.Today, Stopped: after.Site.Policy.Stopped()}
	was, is := map[string]*Place{}, map[string]bool{}
	if before != nil {
		for i := range before.Places {
			was[before.Places[i].ID()] = &before.Places[i]
		}
	}
	for i := range after.Places {
		p := &after.Places[i]
		is[p.ID()] = true
		row := restudied(was[p.ID()], p, inStudy == nil || inStudy(p.ID()))
		if row.Refused != nil {
			row.Clears = after.Clears(row.Refused)
		}
		r.Rows = append(r.Rows, row)
	}
	labels := map[string]*Printed{}
	for i := range after.Unlisted {
		u := &after.Unlisted[i]
		labels[u.ID] = &u.Printed
		if len(was) == 0 && u.Withdrawn == nil {
			r.Rows = append(r.Rows, withoutRow(u.ID, nil, &u.Printed))
		}
	}
	for id, p := range was {
		if !is[id] {
			r.Rows = append(r.Rows, withoutRow(id, p, labels[id]))
		}
	}
	slices.SortFunc(r.Rows, func(a, b RestudyRow) int {
		return cmp.Or(cmp.Compare(slices.Index(Effects, a.Effect), slices.Index(Effects, b.Effect)),
			cmp.Compare(a.within(), b.within()), assess.Natural(a.ID, b.ID))
	})
	return r
}

// Count is how many rows have an effect.
func (r *Restudy) Count(e Effect) (n int) {
	for i := range r.Rows {
		if r.Rows[i].Effect == e {
			n++
		}
	}
	return n
}

// DatesOnly counts the labels that change only in the study's name and dates.
func (r *Restudy) DatesOnly() (n int) {
	for i := range r.Rows {
		if row := &r.Rows[i]; row.Effect == LabelChanges && row.DatesOnly {
			n++
		}
	}
	return n
}

// within orders the rows of one effect: labels that are too low by what is worst,
// labels that cannot be printed by whether one was, labels that change by which
// way the hazard goes.
func (r *RestudyRow) within() int {
	later := map[bool]int{true: 1}
	switch r.Effect {
	case LabelTooLow:
		return slices.Index(Lows, r.Low[0])
	case LabelRefused:
		return later[r.Already]
	case LabelChanges:
		return slices.Index(hazards, r.Hazard) + len(hazards)*later[r.DatesOnly]
	case LabelNew:
		return later[r.Refused == nil]
	}
	return 0
}

// OnDoor reports whether the last printed label may be mounted: it was not
// withdrawn.
func (r *RestudyRow) OnDoor() bool { return r.Printed != nil && r.Printed.Withdrawn == nil }

// withoutRow is a location that no longer has a row. p is its old row; nil if
// unknown.
func withoutRow(id string, p *Place, label *Printed) RestudyRow {
	r := RestudyRow{ID: id, Row: RowGone, Effect: LabelGone, Printed: label}
	r.before(p)
	switch {
	case p != nil:
		r.Area, r.Equipment = p.Assessment.Location.Area, p.Assessment.Location.Equipment
	case r.Before != nil:
		r.Area, r.Equipment = r.Before.Location.Area, r.Before.Location.Equipment
	}
	return r
}

// restudied is a location that has a row; was is its old row, nil for none.
func restudied(was, p *Place, inStudy bool) RestudyRow {
	l := p.Assessment.Location
	r := RestudyRow{ID: l.ID, Area: l.Area, Equipment: l.Equipment, InStudy: inStudy, Row: RowSame,
		After: p.says(), Code: p.Code(), Printed: p.Printed, Refused: p.refusedByRow()}
	switch {
	case was == nil:
		r.Row = RowNew
	case !inStudy:
		r.Row = RowKept
	case !sameRow(was, p):
		r.Row = RowChanged
	}
	r.before(was)
	if r.OnDoor() {
		r.Low = r.tooLow(r.After, r.Printed)
	}
	r.compare()
	r.judge(was)
	return r
}

// before adds what is known about the location as it was.
func (r *RestudyRow) before(was *Place) {
	switch {
	case r.Printed != nil && r.Printed.Record != nil:
		r.Before, r.FromLabel = r.Printed.Record, true
	case was != nil:
		r.Before = was.says()
	}
}

// says is what the row of a place says, whether or not its label can be printed;
// nil if it says nothing.
func (p *Place) says() *record.Record {
	l := p.Assessment.Location
	switch {
	case l.Unlabeled || len(l.Unreadable) > 0:
		return nil
	case p.Record != nil:
		return p.Record
	}
	return record.New(p.Assessment)
}

// refusedByRow says why the row's label cannot be printed, apart from a starter's
// policy, which stops all labels alike.
func (p *Place) refusedByRow() *Refusal { return p.PreviewRefusal(false) }

// sameRow reports whether two rows of a location make the same label, or neither
// makes one and both mean the same to other rows.
func sameRow(was, p *Place) bool {
	a, b := was.Assessment, p.Assessment
	return a.Location.Unlabeled == b.Location.Unlabeled &&
		slices.EqualFunc(a.Location.Unreadable, b.Location.Unreadable, func(x, y assess.Finding) bool {
			return x.Field == y.Field && foundIn(x) == foundIn(y)
		}) && record.New(a).Differences(record.New(b)) == nil
}

// foundIn is what was found in a cell that cannot be read; what was expected is said only of the
// first ones.
func foundIn(f assess.Finding) string {
	found, _, _ := strings.Cut(f.Message, ", expected ")
	return found
}

// toReplace reports whether the last printed label differs from the one of a code
// that can be printed.
func (r *RestudyRow) toReplace(code record.Code, refused *Refusal) bool {
	return r.OnDoor() && refused == nil && code != r.Printed.ID.Code()
}

// ToPrint reports whether a label of the new row should be printed: it can be, and
// the last printed one differs, or there is none.
func (r *RestudyRow) ToPrint() bool {
	return r.Row != RowGone && r.Refused == nil && (r.Printed == nil || r.toReplace(r.Code, nil))
}

// compare finds out how the label differs.
func (r *RestudyRow) compare() {
	if r.Before != nil && r.After != nil {
		r.Differences = r.Before.Differences(r.After)
		r.Hazard = hazard(r.Before, r.After)
	}
	if !r.FromLabel && r.toReplace(r.Code, r.Refused) {
		r.Differences = append(r.Differences, standing.Difference{Field: "code", Old: string(r.Printed.ID.Code()), New: string(r.Code)})
	}
	r.DatesOnly = len(r.Differences) > 0 && !slices.ContainsFunc(r.Differences, func(d standing.Difference) bool {
		return !d.OfStudy()
	})
}

// asWas lists the effects of an unchanged row if nothing else changes its label.
var asWas = []Effect{LabelFirst, LabelNone, LabelStays}

// judge decides the effect on the label, and whether the old rows had the same.
func (r *RestudyRow) judge(was *Place) {
	refused := r.Refused != nil
	switch {
	case r.Low != nil:
		r.Effect, r.Already = LabelTooLow, was != nil && was.Printed != nil && r.tooLow(was.says(), was.Printed) != nil
	case r.Row == RowNew && r.Printed == nil:
		r.Effect = LabelNew
	case refused && r.Refused.Unlabeled && !r.OnDoor():
		r.Effect = LabelNone
	case refused:
		r.Effect, r.Already = LabelRefused, was != nil && was.refusedByRow() != nil
	case r.toReplace(r.Code, r.Refused):
		r.Effect, r.Already = LabelChanges, was != nil && was.Code() == r.Code && was.refusedByRow() == nil
	case !r.OnDoor():
		r.Effect = LabelFirst
	default:
		r.Effect = LabelStays
	}
	if r.Row == RowKept && (r.Already && r.Effect == LabelRefused || slices.Contains(asWas, r.Effect)) {
		r.Effect, r.Already = LabelKept, false
	}
}
