package basis

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// AcceptanceMeans is what an acceptance does and does not do.
const AcceptanceMeans = "An acceptance does not make the equipment safe: it names who is responsible for printing the label."

// Accepted is a finding for which a named person takes responsibility, as the
// record keeps it.
type Accepted struct {
	assess.Acceptance
	Role    record.Role `json:"role,omitempty"` // of By, who signed in to accept it; "" where the name was typed
	Meaning string      `json:"meaning"`
	Last    assess.Date `json:"last_day"` // on which it counts
}

// Accepted are the findings that were accepted for the label.
func (v *View) Accepted() []Accepted {
	all := []Accepted{}
	for _, a := range v.Record.Accept {
		one := Accepted{Acceptance: a, Last: a.End(v.Record.ReviewBy)}
		for k := range v.Acceptors {
			if n := &v.Acceptors[k]; n.OfRecord(&a) {
				one.Role = n.Role
			}
		}
		if info := a.Finding.Info(); info != nil {
			one.Meaning = info.Meaning
		}
		all = append(all, one)
	}
	return all
}

// Words say who is responsible for it.
func (a *Accepted) Words() string {
	return fmt.Sprintf("accepted by %s on %s until %s: %s", a.Role.With(a.By), a.Date, a.Last, a.Reason)
}

// accepted writes the findings that were accepted, and by whom.
func (b *textWriter) accepted(v *View) {
	all := v.Accepted()
	if len(all) > 0 {
		b.heading("Findings that a named person accepted")
		b.wrap(AcceptanceMeans, "  ")
	}
	for i := range all {
		b.wrap(fmt.Sprintf("%s [%s]: %s", all[i].Meaning, all[i].Finding, all[i].Words()), "  ")
	}
}
