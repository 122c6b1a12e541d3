package record

import (
	"bytes"
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
)

// Reproduce judges a record's rows anew by the policy that it holds, and says
// in what the outcome differs; "" where every byte is the same.
func (r *Record) Reproduce() (string, error) {
	s, err := r.Rebuild()
	if err != nil {
		return "", err
	}
	p := &s.Policy
	p.Edition, p.Units, p.ReviewMonths = r.Policy.Edition, assess.Units(r.Policy.Units), r.Policy.ReviewMonths
	p.MinimumGloveClass, p.BelowThresholdWear = r.Policy.MinimumGloveClass, r.Policy.BelowThresholdWear
	p.GovernAcceptedBy, p.GovernReason = r.Policy.GovernAcceptedBy, r.Policy.GovernReason
	p.GovernDate = r.Day(r.Policy.GovernDate)
	for i := range p.Ladder {
		if p.Ladder[i].Kit == r.Assessment.Kit {
			p.Ladder[i].Wear = r.Policy.Wear
		}
	}
	l := &s.Locations[0]
	for _, column := range r.Row().Assumed {
		l.Assumed = append(l.Assumed, assess.Assumption{Column: column})
	}
	if r.Assessment.Shock.Owner != "" {
		p.Approach = []shock.Row{r.ownerRow()}
	}
	if r.Policy.Reviewed != "" {
		s.Log.Reviews = []assess.Review{{Date: r.Day(r.Policy.Reviewed), By: r.Policy.ReviewedBy, Finding: assess.FoundRight, Scope: assess.Scope{All: true}}}
	}
	today := r.Day(r.Assessment.Prepared)
	if day := r.Day(r.Policy.Reviewed); today.Before(day) {
		today = day
	}
	again := New(&assess.Judge(s, today)[0], s)
	was, _, err := r.Encode()
	if err != nil {
		return "", err
	}
	is, _, err := again.Encode()
	if err != nil || bytes.Equal(was, is) {
		return "", err
	}
	return r.outcome(again), nil
}

// ownerRow is the owner's row for the approach boundaries, as far as the
// record tells of it: for its own voltage.
func (r *Record) ownerRow() shock.Row {
	h := &r.Assessment.Shock
	row := shock.Row{Supply: r.Supply(), Above: h.LookedUp * (1 - 1e-6), Upto: h.LookedUp * (1 + 1e-6), Rule: shock.Rule(h.Rule), Limit: h.Restricted, Name: h.Row, Source: h.Owner}
	row.Fixed, row.Movable = h.Limited, h.Limited
	row.FixedM, row.MovableM, row.LimitM = h.LimitedPrint/1000, h.LimitedPrint/1000, h.RestrictedPrint/1000
	return row
}

// outcome words the first few things in which a record and another differ.
func (r *Record) outcome(again *Record) string {
	d := Drift(r, again)
	var parts []string
	for _, list := range [][]standing.Difference{d.Data, d.Policy, resultDrift(r, again)} {
		for _, x := range list {
			parts = append(parts, fmt.Sprintf("%s: the record says %s, its inputs give %s", x.Field, x.Old, x.New))
		}
	}
	if parts == nil {
		return "a number that stands in its steps"
	}
	return strings.Join(parts[:min(len(parts), 3)], "; ")
}
