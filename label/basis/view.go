package basis

import (
	"fmt"
	"math"
	"slices"

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

func evaluations(r *record.Record) ([]Evaluation, error) {
	s, err := r.Rebuild()
	if err != nil {
		return nil, err
	}
	l := &s.Locations[0]
	var all []Evaluation
	for i := range l.Cases {
		c := &l.Cases[i]
		result, reason, _ := assess.Compute(l, c, s)
		all = append(all, Evaluation{c.Name, c.Method, result, reason, differs(&r.Results.Computed[i], result)})
	}
	return all, nil
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

// New is the view of a record of a site on a day.
func New(v *report.View, id record.ID, r *record.Record) (*View, error) {
	b := &View{ID: id, Record: r, Today: v.Today, Prints: prints(v.History.Ledger, id), Signatures: seal.OfRecord(v.History.Ledger, id, v.Keys)}
	b.Unknown = !slices.ContainsFunc(b.Prints, func(p Print) bool { return !p.Failed && p.Kind.Prints() })
	b.judge(v)
	return b, b.compute()
}

// judge takes the standing of the label from the site: of the one printed
// last, or of one that was replaced. A record by which no label hangs, such as
// that of a fault current marking alone, is judged as if one did.
func (b *View) judge(v *report.View) {
	location := b.Record.Row().ID
	b.Place, _ = v.Place(location)
	printing, printed := v.History.Labels[location]
	if printed && printing.ID != b.ID {
		for _, e := range printing.Earlier {
			if e.ID == b.ID {
				b.NewerCode = printing.ID.Code()
				b.Standing = report.ReplacedStanding(e)
				return
			}
		}
	}
	if !printed || printing.ID != b.ID {
		b.Standing = v.StandingOf(b.Record)
		return
	}
	b.Hangs = true
	if b.Place != nil {
		b.Standing = b.Place.Standing
		return
	}
	for _, u := range v.Unlisted {
		if u.ID == location {
			b.Standing = u.Standing
		}
	}
}

// compute follows the equations anew, and measures the headroom.
func (b *View) compute() error {
	var err error
	if b.Evaluations, err = evaluations(b.Record); err != nil {
		return err
	}
	b.Headroom, err = report.HeadroomOf(b.Record)
	return err
}

func prints(l *record.Ledger, id record.ID) []Print {
	done, failed := l.Done(), l.Failed()
	var out []Print
	for _, line := range l.Lines {
		for _, p := range line.Labels {
			if p.Record == id.String() {
				one := Print{line.Date.String(), line.Kind, line.Thing, p.Copy, line.By, line.Reason, "", failed[line.Hash], done[line.Hash] || !line.Kind.Prints()}
				if p.Strip {
					one.Interim = line.Interim
				}
				out = append(out, one)
			}
		}
	}
	return out
}
