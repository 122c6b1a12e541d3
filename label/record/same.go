package record

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
)

// sameLabel reports whether two records of a location show the same facts.
func (r *Record) sameLabel(next *Record) bool { return r == next || r.Differences(next) == nil }

// Differences name everything in which the labels of two records of a location
// differ: what decides the label or is on it, who accepted it and which of its
// findings, and whether its study is of an older edition; nil where they show the
// same facts. Columns without weight do not matter, nor how the program computed
// its numbers. One change in a row may be named several times: by its column, and
// by what follows from it.
func (r *Record) Differences(next *Record) []standing.Difference {
	data := dataDrift(r, next, assess.Stands)
	all := slices.Concat(data, policyDrift(r, next, data), resultDrift(r, next))
	add := func(same bool, field, was, is string) {
		if !same {
			all = append(all, standing.Difference{Field: field, Old: was, New: is})
		}
	}
	o, n := r.Outcome, next.Outcome
	for i := range min(len(r.Location.Cases), len(next.Location.Cases)) { // further cases are already named
		a, b := &r.Location.Cases[i], &next.Location.Cases[i]
		add(a.AcceptedBy == b.AcceptedBy, "accepted_by", a.AcceptedBy, b.AcceptedBy)
		older, olderNow := assess.OlderEdition(a.Edition, r.Policy.Edition), assess.OlderEdition(b.Edition, next.Policy.Edition)
		add(older == olderNow, "edition", a.Edition, b.Edition)
	}
	add(o.Signal == n.Signal, "signal word", string(o.Signal), string(n.Signal))
	add(o.Status == n.Status && o.Kit == n.Kit, "kit", kitWords(o.Status, o.Kit), kitWords(n.Status, n.Kit))
	add(o.Shock == n.Shock, "governing approach row", approachWords(&o.Shock), approachWords(&n.Shock))
	add(o.Glove == n.Glove, "governing glove class", gloveWords(o.Glove), gloveWords(n.Glove))
	add(assess.Same(o.BoundaryToPrint, n.BoundaryToPrint), "governing printed boundary_mm",
		assess.Number(o.BoundaryToPrint), assess.Number(n.BoundaryToPrint))
	add(assess.Same(o.Fault.Value, n.Fault.Value), "governing fault_ka", assess.Number(o.Fault.Value), assess.Number(n.Fault.Value))
	add(o.Prepared == n.Prepared, "governing prepared", o.Prepared.String(), n.Prepared.String())
	add(o.Surveyed == n.Surveyed, "governing surveyed", o.Surveyed.String(), n.Surveyed.String())
	add(o.ReviewBy == n.ReviewBy, "review_by", o.ReviewBy.String(), n.ReviewBy.String())
	add(slices.EqualFunc(o.Computed, n.Computed, (*assess.Computed).Same), "governing recomputed energy_cal_cm2",
		assess.Number(mostComputed(r)), assess.Number(mostComputed(next)))
	add(slices.Equal(answering(r), answering(next)), "accepted findings",
		strings.Join(answering(r), ", "), strings.Join(answering(next), ", "))
	if all == nil { // otherwise the rest follows from what is named, as the list of another kit does
		add(r.samePolicy(next), "policy", "", "")
	}
	return all
}

// gloveWords are a glove class and its maximum use voltage.
func gloveWords(g assess.Glove) string { return g.Class + " to " + assess.Number(g.Limit) + " V" }

// approachWords name the row in the table of approach boundaries, and the voltage
// that was looked up.
func approachWords(s *shock.Boundaries) string {
	return strings.TrimSpace(s.Row+" "+s.Owner) + ", " + assess.Number(s.Voltage) + " V"
}

// answering lists who accepted which finding of a label, in order.
func answering(r *Record) []string {
	var all []string
	for i := range r.Accept {
		all = append(all, string(r.Accept[i].Finding)+" "+r.Accept[i].By)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// samePolicy compares the parts of the owner's policy that decided two labels. The
// approach row shows in the boundaries; what only decides whether a label may be
// printed does not show at all.
func (r *Record) samePolicy(next *Record) bool {
	decided := func(r *Record) []byte {
		p := *r.Policy
		p.Approach, p.TolerancePercent, p.FrequencyHz = nil, 0, 0
		if !r.Capped() {
			p.TwoSecondReason = "" // kept for what the row might prove, but not shown
		}
		b, _ := encode(struct {
			*assess.Policy
			*assess.Review
		}{&p, r.Reviewed}, "") // nil after an error
		return b
	}
	a, b := decided(r), decided(next)
	return a != nil && bytes.Equal(a, b)
}

// differences describes the first few differences between the outcome of a record
// and the one that its inputs give; "" if every byte is the same.
func differences(r, again *Record) string {
	both := texts.Get().(*[]byte)
	defer texts.Put(both)
	var err error
	if *both, err = encodeTo((*both)[:0], r.Outcome, ""); err != nil {
		return err.Error()
	}
	first := len(*both)
	if *both, err = encodeTo(*both, again.Outcome, ""); err != nil {
		return err.Error()
	}
	if bytes.Equal((*both)[:first], (*both)[first:]) {
		return ""
	}
	var parts []string
	policy := policyDrift(r, again, dataDrift(r, again, assess.Stands))
	for _, list := range [][]standing.Difference{policy, resultDrift(r, again)} {
		for _, x := range list {
			parts = append(parts, fmt.Sprintf("%s: the record says %s, its inputs give %s", x.Field, x.Old, x.New))
		}
	}
	if parts == nil {
		return "a number in its steps"
	}
	return strings.Join(parts[:min(len(parts), 3)], "; ")
}
