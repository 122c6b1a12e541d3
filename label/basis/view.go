package basis

import (
	"fmt"
	"math"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/label/seal"
)

// View is a record with what stands around it.
type View struct {
	ID          record.ID
	Record      *record.Record
	Today       assess.Date
	Standing    standing.Standing
	NewerCode   record.Code // the label printed after this one for the same location; "" for none
	Prints      []Print
	Unknown     bool // no print in the ledger made it
	Hangs       bool // it is the label of its location that was printed last
	Draft       bool // not printed: what a print would store now
	Evaluations []Evaluation
	Headroom    standing.Headroom
	Signatures  []seal.Signature
	Changes     []Change // that reach its location, newest first
	MoreChanges int      // so many older ones are left out
	Reviews     []Review
	touched     standing.Touched
	Place       *report.Place // of its location; nil where locations.csv has none
	Differences []string      // what a scanned link says and the record does not
}

// Evaluation is what the equations make of one row, followed anew for its
// words.
type Evaluation struct {
	Case   string
	Method assess.Method
	Result *assess.Computed // nil where nothing could be computed
	Reason string           // why not
	// Differs says where the record keeps another result than this version of
	// the program gives: the label rests on the kept one.
	Differs string
}

func evaluations(r *record.Record, s *assess.Site) []Evaluation {
	l := &s.Locations[0]
	var all []Evaluation
	for i := range l.Cases {
		c := &l.Cases[i]
		result, reason, _ := assess.Compute(l, c, s)
		all = append(all, Evaluation{c.Name, c.Method, result, reason, differs(&r.Results.Computed[i], result)})
	}
	return all
}

// differs compares a kept result with one that was computed anew. The last of
// the nine digits may differ between processors.
func differs(kept *record.Computed, anew *assess.Computed) string {
	e, b := 0.0, 0.0
	if anew != nil {
		e, b = anew.Energy, anew.Boundary
	}
	same := func(x, y float64) bool { return math.Abs(x-y) <= 1e-8*max(x, y) }
	if same(kept.Energy, e) && same(kept.Boundary, b) {
		return ""
	}
	return fmt.Sprintf("the record keeps %s cal/cm² and %s mm, on which the label rests; this version of the program gives %s and %s",
		number(kept.Energy), number(kept.Boundary), number(e), number(b))
}

// Print is one print of the label.
type Print struct {
	Date   string      `json:"date"`
	Kind   record.Kind `json:"kind"`
	Thing  string      `json:"thing,omitempty"` // where it was no label: "fault", "overlay"
	Copy   int         `json:"copy,omitempty"`
	By     string      `json:"by,omitempty"`
	Reason string      `json:"reason,omitempty"`
	// Interim is why it was printed though it did not hold.
	Interim string `json:"interim,omitempty"`
	Failed  bool   `json:"failed,omitempty"` // it could not be written: nothing came of it
	Done    bool   `json:"done"`             // false: announced, then the program was stopped
}

// things are what the ledger calls otherwise than a label.
var things = map[string]string{"fault": "a fault current marking", "overlay": "an overlay"}

// Words tell of a print without its day.
func (p *Print) Words() string {
	copies, end := "", ""
	if p.Copy > 0 {
		copies = fmt.Sprintf(", copy %d", p.Copy)
	}
	switch {
	case p.Failed:
		end = " (could not be written)"
	case !p.Done:
		end = " (announced, not known to be finished)"
	}
	return string(p.Kind) + after(" of ", things[p.Thing]) + copies + after(" by ", p.By) + after(": ", p.Reason) + after(", INTERIM: ", p.Interim) + end
}

// prints are what lines of the ledger tell of a record, in their order.
func prints(n *record.Named) (all []Print) {
	for _, e := range n.Entries {
		one := Print{e.Date.String(), e.Kind, e.Thing, e.Copy, e.By, e.Reason, "", e.Failed, e.Done || !e.Kind.Prints()}
		if e.Strip {
			one.Interim = e.Interim
		}
		all = append(all, one)
	}
	return all
}
