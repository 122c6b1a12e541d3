package label

import "vouchmark/label/record"

// Marking shows the available fault current on service equipment, switchboards,
// switchgear and panelboards (NEC 110.24, 408.6): the current and the date on which
// it was calculated. It is not a hazard label and has no signal word.
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
	Clearing string // of the service's own device (NEC 110.16(B)): "clearing time of the service device at this current: 50 ms"
	Rated    string // more than the equipment's rating: "fault current: RATED 18 kA, AVAILABLE 22 kA"
	Source   string // "LC-26-03 rev 1"
	Do       string // what to do after a change to the electrical system
	Scan     string
}

// ComposeMarking makes the fault current marking of a record, or nil where the record
// states no fault current. The date is that of the study whose case has the largest
// fault current.
func ComposeMarking(r *record.Record, code record.Code, p Presentation) *Marking {
	if r.Fault.Value == 0 {
		return nil
	}
	l, from := r.Location, r.RowOf(r.Fault.Case).Case
	m := &Marking{ID: l.ID, Area: l.Area, Code: string(code), QR: QR(p.Link, code, r)}
	for _, lang := range p.Languages {
		t := p.wording(lang)
		w := MarkingWords{
			Language: lang, Title: t.MarkingTitle, Current: t.number(Current(r.Fault.Value)),
			Supply: t.supply(l.Supply, l.Voltage), Where: where(t, l),
			Date:  fill(t.MarkingDate, "prepared", from.Prepared.String()),
			Rated: rated(t, r), Source: study(t, from), Do: t.MarkingDo, Scan: t.Scan,
		}
		if from.ServiceClearing > 0 {
			w.Clearing = fill(t.MarkingClear, "time", t.number(Duration(from.ServiceClearing)))
		}
		m.Words = append(m.Words, w)
	}
	return m
}
