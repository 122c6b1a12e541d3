package basis

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// View is a record with all that belongs to it.
type View struct {
	Known
	Record      *record.Record
	Evaluations []Evaluation
	Headroom    standing.Headroom
	Plant       *plant.Plant // nil for a view of what is known alone
	Place       *plant.Place // of its location; nil where locations.csv has none
}

// Rows are the inputs of the record, a row for each case.
func (v *View) Rows() []assess.Row {
	rows := make([]assess.Row, len(v.Record.Location.Cases))
	for i := range rows {
		rows[i] = v.Record.Location.Row(i)
	}
	return rows
}

// Evaluation is what the equations give for one row, computed again to show the
// steps.
type Evaluation struct {
	Case   string
	Method assess.Method
	Result *assess.Computed // nil where nothing could be computed
	Reason string           // why not
	Proven *assess.Computed // what the row's own inputs prove even then; nil for nothing
	units  asStored         // of the label
	// Differs says where this version of the program gives a result that differs
	// from the record's. The label is based on the record's.
	Differs string
}

func evaluations(r *record.Record) []Evaluation {
	again := assess.Explain(&r.Inputs)
	all := make([]Evaluation, len(r.Location.Cases))
	for i := range all {
		c := &r.Location.Cases[i]
		all[i] = Evaluation{Case: c.Name, Method: c.Method, Result: again.Computed[i], Reason: again.NotComputed[i],
			Differs: stored(r).differs(r.Computed[i], again.Computed[i]), Proven: r.ProvenOf(c.Name), units: stored(r)}
	}
	return all
}

// ProvenWords say what the row's own inputs prove where its method gives no
// result.
func (e *Evaluation) ProvenWords() string {
	return fmt.Sprintf("the row's own inputs prove at least %s and a boundary of %s by %s",
		e.units.energy(e.Proven.Energy, ""), e.units.length(e.Proven.Boundary, ""), e.Proven.Method.Standard())
}

// differs compares a stored result, nil for none, with one computed again.
func (u asStored) differs(kept, again *assess.Computed) string {
	if kept.Same(again) {
		return ""
	}
	numbers := func(r *assess.Computed) string {
		if r == nil {
			return "none"
		}
		return u.energy(r.Energy, "") + " and " + u.length(r.Boundary, "")
	}
	return fmt.Sprintf("the record has %s, on which the label is based; this version of the program gives %s",
		numbers(kept), numbers(again))
}

// Print is one print of the label.
type Print struct {
	Date   string      `json:"date"`
	Kind   record.Kind `json:"kind"`
	Thing  string      `json:"thing,omitempty"` // where it was not a label: "fault", "overlay"
	Copy   int         `json:"copy,omitempty"`
	By     string      `json:"by,omitempty"`
	Role   record.Role `json:"role,omitempty"` // of who signed in; "" where the name was typed
	Reason string      `json:"reason,omitempty"`
	// Applied is the day on which it was mounted or removed: By noted that on Date.
	Applied assess.Date `json:"applied,omitzero"`
	// Interim is why it was printed though it did not hold.
	Interim string `json:"interim,omitempty"`
	// Found is what somebody found on the equipment on Applied.
	Found  record.Found `json:"found,omitempty"`
	At     string       `json:"at,omitempty"`     // the location of that equipment, where the label belongs elsewhere
	Failed bool         `json:"failed,omitempty"` // it could not be written: there is no file
	Done   bool         `json:"done"`             // false: announced, then the program was stopped
}

// things are what a line is about, under the ledger's names.
var things = map[string]string{"": "label", "fault": "fault current marking", "overlay": "overlay"}

// Words describe a line about a record, without the line's date.
func (p *Print) Words() string {
	who := p.Role.With(p.By)
	what, by := things[p.Thing]+" ", report.After(" by ", who)
	switch p.Kind {
	case record.Mounted, record.Removed:
		// Who did it may be another person than who noted it, on a later day.
		what += string(p.Kind) + report.After(" on ", p.Applied.String()) + report.After(", noted by ", who)
	case record.Seen:
		what = "looked at on the equipment" + report.After(" of ", p.At) + report.After(" on ", p.Applied.String()) + ": " + report.FoundWords(p.Found) + report.After(", noted by ", who)
	case record.Print, record.Reprint:
		what += string(p.Kind) + "ed" + by + fmt.Sprintf(" (copy %d)", p.Copy)
	case record.Signed:
		what = "record signed" + by
	default:
		what += string(p.Kind) + by
	}
	what += report.After(": ", p.Reason) + report.After(", INTERIM: ", p.Interim)
	switch {
	case p.Failed:
		what += " (could not be written)"
	case !p.Done:
		what += " (started; not known to be finished)"
	}
	return what
}

// prints are what the lines of the ledger say about a record, in their order.
func prints(n *record.Named) (all []Print) {
	for _, e := range n.Entries {
		one := Print{Date: e.Date.String(), Kind: e.Kind, Thing: e.Thing, Copy: e.Copy, By: e.By, Role: e.Role, Reason: e.Reason,
			Applied: e.Applied, Failed: e.Failed, Done: e.Done || !e.Kind.Prints()}
		if e.Sight != nil {
			if one.Found = e.Sight.Found; e.ID != n.Entries[0].ID {
				one.At = e.ID
			}
		}
		if e.Strip {
			one.Interim = e.Interim
		}
		all = append(all, one)
	}
	return all
}
