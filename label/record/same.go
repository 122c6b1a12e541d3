package record

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// sameLabel reports whether two records of a location show the same facts: all
// that decides the label or stands on it, who accepted it and which of its
// findings, and whether its study is of an older edition. What else has no weight, and how the program
// came to its numbers, does not matter.
func (r *Record) sameLabel(next *Record) bool {
	o, n := &r.Outcome, &next.Outcome
	return len(dataDrift(r, next, assess.Stands)) == 0 && len(policyDrift(r, next)) == 0 && len(resultDrift(r, next)) == 0 &&
		slices.EqualFunc(r.Location.Cases, next.Location.Cases, func(a, b assess.Case) bool {
			return a.AcceptedBy == b.AcceptedBy &&
				assess.OlderEdition(a.Edition, r.Policy.Edition) == assess.OlderEdition(b.Edition, next.Policy.Edition)
		}) &&
		o.Signal == n.Signal && o.Status == n.Status && o.Kit == n.Kit &&
		o.Shock == n.Shock && o.Glove == n.Glove &&
		assess.Same(o.BoundaryToPrint, n.BoundaryToPrint) && assess.Same(o.Fault.Value, n.Fault.Value) &&
		o.Prepared == n.Prepared && o.Surveyed == n.Surveyed && o.ReviewBy == n.ReviewBy &&
		slices.EqualFunc(o.Computed, n.Computed, (*assess.Computed).Same) &&
		slices.Equal(answering(r), answering(next)) &&
		r.samePolicy(next)
}

// answering says who is responsible for which finding of a label, in order.
func answering(r *Record) []string {
	var all []string
	for i := range r.Accept {
		all = append(all, string(r.Accept[i].Finding)+" "+r.Accept[i].By)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// samePolicy compares what of the owner's policy decided two labels. The
// approach row shows in the boundaries; what only says whether a label may be
// printed does not show at all.
func (r *Record) samePolicy(next *Record) bool {
	decided := func(r *Record) []byte {
		p := *r.Policy
		p.Approach, p.TolerancePercent, p.FrequencyHz = nil, 0, 0
		if !r.Capped() {
			p.TwoSecondReason = "" // kept for what the row might prove, and not shown
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

// differences words the first few things in which the outcome of a record
// differs from that which its inputs give; "" where every byte is the same.
func differences(r, again *Record) string {
	was, err := encode(r.Outcome, "")
	if err != nil {
		return err.Error()
	}
	is, err := encode(again.Outcome, "")
	if err != nil {
		return err.Error()
	}
	if bytes.Equal(was, is) {
		return ""
	}
	var parts []string
	for _, list := range [][]standing.Difference{policyDrift(r, again), resultDrift(r, again)} {
		for _, x := range list {
			parts = append(parts, fmt.Sprintf("%s: the record says %s, its inputs give %s", x.Field, x.Old, x.New))
		}
	}
	if parts == nil {
		return "a number that stands in its steps"
	}
	return strings.Join(parts[:min(len(parts), 3)], "; ")
}
