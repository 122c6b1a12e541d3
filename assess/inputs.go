package assess

import (
	"slices"

	"vouchmark/assess/shock"
)

// Inputs are all that one location's label follows from. A record stores them
// as they are, less what did not decide: see [Inputs.Deciding].
type Inputs struct {
	Location *Location         `json:"rows"`
	Curves   map[string]*Curve `json:"curves,omitempty"` // by file name
	Policy   *Policy           `json:"policy"`
	Reviewed *Review           `json:"reviewed,omitempty"` // the last that found the study right; nil for none
	Accept   []Acceptance      `json:"accept,omitempty"`   // that count, for findings of its own rows or others
}

// Inputs are those of one of the site's locations, without a review.
func (s *Site) Inputs(l *Location) Inputs {
	return Inputs{Location: l, Curves: s.Curves, Policy: &s.Policy}
}

// Deciding are the inputs without what did not decide the outcome and does not
// stand on its label: no other curve, rung's list, approach row or acceptance.
// They have the same outcome.
func (in *Inputs) Deciding(o *Outcome) Inputs {
	d := *in
	l := *in.Location
	l.Cases = slices.Clone(l.Cases)
	d.Location, d.Curves = &l, map[string]*Curve{}
	for i := range l.Cases {
		l.Cases[i].FedFrom = sorted(l.Cases[i].FedFrom) // in which order a row names its feeds is not a fact
		if c := in.Curves[l.Cases[i].Curve]; c != nil {
			d.Curves[l.Cases[i].Curve] = c
		}
	}
	d.Accept = slices.DeleteFunc(slices.Clone(in.Accept), func(by Acceptance) bool {
		return !slices.ContainsFunc(o.Findings, func(f Finding) bool { return f.Code == by.Finding && f.AcceptedBy != "" })
	})
	p := *in.Policy
	d.Policy = &p
	p.Ladder = slices.Clone(p.Ladder)
	for i := range p.Ladder {
		if p.Ladder[i].Kit != o.Kit {
			p.Ladder[i].Wear = nil
		}
	}
	if o.Status != NotRequired {
		p.BelowThresholdWear = nil
	}
	if p.Govern == Larger {
		p.GovernAcceptedBy, p.GovernReason, p.GovernDate = "", "", Date{}
	}
	if !slices.ContainsFunc(o.Computed, func(r *Computed) bool { return r != nil && r.capped() }) {
		p.TwoSecondReason = ""
	}
	p.Approach = slices.DeleteFunc(slices.Clone(p.Approach), func(r shock.Row) bool {
		return o.Shock.Owner == "" || r.Name != o.Shock.Row
	})
	return d
}
