package assess

import (
	"fmt"
	"slices"
)

// Acceptance is that a named person answers for a finding at a location, for
// rows prepared on or before its day.
type Acceptance struct {
	Finding Code   `json:"finding"`
	By      string `json:"by"`
	Date    Date   `json:"date"`
	Reason  string `json:"reason"`
	Until   Date   `json:"until,omitzero"` // the last day on which it counts; not given: REVIEW BY

	At   []string `json:"-"` // ids; those that site.toml names
	Line int      `json:"-"` // of site.toml
}

// accepted is who answers for findings of a code at the location, or nil.
func (in *Inputs) accepted(c Code) *Acceptance {
	return find(in.Accept, func(a *Acceptance) bool { return a.Finding == c })
}

// accepting are the acceptances of a policy that count for a location on a day.
func (p *Policy) accepting(in *Inputs, today Date) []Acceptance {
	var all []Acceptance
	for i := range p.Accept {
		if a := &p.Accept[i]; a.counts(in.Location.ID, in.Location.latest(), in.reviewBy(), today) {
			all = append(all, *a)
		}
	}
	return all
}

// counts reports whether an acceptance counts on a day for rows prepared on
// another, whose REVIEW BY is a third.
func (a *Acceptance) counts(id string, prepared, reviewBy, today Date) bool {
	return slices.Contains(a.At, id) && !today.Before(a.Date) && !a.Date.Before(prepared) && !a.End(reviewBy).Before(today)
}

// latest is the date of the newest study over the cases.
func (l *Location) latest() Date {
	var d Date
	for i := range l.Cases {
		if c := l.Cases[i].Prepared; d.Before(c) {
			d = c
		}
	}
	return d
}

// UnusedAcceptances are cautions for the policy's acceptances that meet no
// finding of a site's assessments, at one of their places or at any.
func (p *Policy) UnusedAcceptances(all []Assessment, today Date) []Finding {
	met := map[string]bool{}
	for i := range all {
		for _, f := range all[i].Findings {
			if f.AcceptedBy != "" {
				met[all[i].Location.ID+" "+string(f.Code)] = true
			}
		}
	}
	var unused []Finding
	for i := range p.Accept {
		a := &p.Accept[i]
		if today.Before(a.Date) {
			unused = append(unused, Finding{Level: Caution, Code: EntryAhead, Field: "accept", Line: a.Line,
				Message: fmt.Sprintf("the acceptance of %s is dated %s, after today (%s), and does not count yet", a.Finding, a.Date, today)})
			continue
		}
		for _, id := range a.At {
			if !met[id+" "+string(a.Finding)] {
				unused = append(unused, Finding{Level: Caution, Code: AcceptUnused, Field: "accept", Line: a.Line,
					Message: fmt.Sprintf("%s at %s was accepted by %s on %s, and that meets no finding there now: "+
						"it is gone, the study is newer, or the acceptance has ended; take the entry out, or accept again",
						a.Finding, id, a.By, a.Date)})
			}
		}
	}
	return unused
}
