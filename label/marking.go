package label

import (
	"vouchmark/assess"
	"vouchmark/label/record"
)

// Marking is the marking of the available fault current on service equipment,
// switchboards, switchgear and panelboards (NEC 110.24, 408.6): the current,
// and the date on which it was calculated. It is no hazard label and has no
// signal word.
type Marking struct {
	ID, Area, Code, QR string
	Words              []MarkingWords // one or two languages, the first language first
}

// MarkingWords is a marking's text in one language.
type MarkingWords struct {
	Language string
	Title    string // "AVAILABLE FAULT CURRENT"
	Current  string // "18.4 kA"
	Supply   string // "480 V AC 3-phase"
	Where    string // "Switchboard · Main electrical room"
	Date     string // "calculated 2026-03-14"
	Source   string // "LC-26-03 rev 1"
	Do       string // "Calculate it anew after any change of the electrical system."
	Scan     string
}

// ComposeMarking words the fault current marking of a record, or nil where the
// record states no fault current. The date is that of the study whose case has
// the largest fault current.
func ComposeMarking(r *record.Record, code record.Code, p Presentation) *Marking {
	f := r.Results.Fault
	if f == nil {
		return nil
	}
	row := r.Row()
	from := r.RowOf(f.Case)
	m := &Marking{ID: row.ID, Area: row.Area, Code: string(code), QR: QR(p.Link, code, r)}
	for _, lang := range p.Languages {
		t := p.wording(lang)
		m.Words = append(m.Words, MarkingWords{
			Language: lang, Title: t.MarkingTitle, Current: Current(assess.KA(f.Value)),
			Supply: supply(t, r), Where: where(t, row), Date: fill(t.MarkingDate, "prepared", from.Prepared),
			Source: study(t, from), Do: t.MarkingDo, Scan: t.Scan,
		})
	}
	return m
}
