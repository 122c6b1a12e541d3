package assess

import (
	"slices"

	"vouchmark/assess/shock"
)

// Inputs is everything that one location's label follows from. A record stores it as
// it is, without what did not decide: see [Inputs.Deciding].
type Inputs struct {
	Location *Location         `json:"rows"`
	Curves   map[string]*Curve `json:"curves,omitempty"` // by file name
	Policy   *Policy           `json:"policy"`
	Reviewed *Review           `json:"reviewed,omitempty"` // the last that found the study right; nil for none
	Accept   []Acceptance      `json:"accept,omitempty"`   // that count, for findings of its own rows or others
	Feeds    []Feed            `json:"feeds,omitempty"`    // upstream, by id and case; they decide nothing
}

// Inputs returns those of one of the site's locations, without a review.
func (s *Site) Inputs(l *Location) Inputs {
	return Inputs{Location: l, Curves: s.Curves, Policy: &s.Policy}
}

// Deciding is the inputs without what did not decide the outcome and is not on the
// label: other curves, lists of other rungs, approach rows and acceptances. The
// outcome is the same.
func (in *Inputs) Deciding(o *Outcome) Inputs {
	d := *in
	d.Location, d.Curves = in.Location.inOrder(), nil
	l := d.Location
	for i := range l.Cases {
		if c := in.Curves[l.Cases[i].Curve]; c != nil {
			if d.Curves == nil {
				d.Curves = map[string]*Curve{}
			}
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
		if kit := p.Ladder[i].Kit; kit != o.Kit && (o.Maintenance == nil || kit != o.Maintenance.Kit) {
			p.Ladder[i].Wear = nil
		}
	}
	if o.Status != NotRequired {
		p.BelowThresholdWear = nil
	}
	if o.Signal != Danger {
		p.DangerTest = nil
	}
	if !slices.ContainsFunc(l.Cases, func(c Case) bool { return c.ServiceClearing > 0 }) {
		p.ShowClearingTime = false
	}
	if p.Govern == Larger {
		p.GovernAcceptedBy, p.GovernReason, p.GovernDate = "", "", Date{}
	}
	if !in.mayCap() {
		p.TwoSecondReason = ""
	}
	if !in.toleranceDecides(o) {
		p.TolerancePercent = 0
	}
	if p.FrequencyHz == 50 || p.FrequencyHz == 60 {
		p.FrequencyHz = 0 // the equations treat them alike
	}
	p.Approach = slices.DeleteFunc(slices.Clone(p.Approach), func(r shock.Row) bool {
		return o.Shock.Owner == "" || r.Name != o.Shock.Row
	})
	return d
}

// inOrder is the location with the feeds and ties of its rows in alphabetical order, since
// the order in which a row names them does not matter: nearly always the location itself.
func (l *Location) inOrder() *Location {
	disorder := func(c Case) bool { return !slices.IsSorted(c.FedFrom) || !slices.IsSorted(c.TiedTo) }
	if !slices.ContainsFunc(l.Cases, disorder) {
		return l
	}
	o := *l
	o.Cases = slices.Clone(l.Cases)
	for i := range o.Cases {
		o.Cases[i].FedFrom, o.Cases[i].TiedTo = sorted(o.Cases[i].FedFrom), sorted(o.Cases[i].TiedTo)
	}
	return &o
}

// mayCap reports whether the site's reason may limit the arc of a case to two
// seconds.
func (in *Inputs) mayCap() bool {
	return slices.ContainsFunc(in.Location.Cases, func(c Case) bool {
		return c.TwoSecondReason == "" && (c.Curve != "" || max(c.Clear, c.ClearReduced) > TwoSeconds)
	})
}

// toleranceDecides reports whether the tolerance decides what governs: the study
// alone, or what its row proves beyond it. Otherwise it only decides whether a label
// may be printed.
func (in *Inputs) toleranceDecides(o *Outcome) bool {
	for i := range in.Location.Cases {
		c := &in.Location.Cases[i]
		r, _ := in.prove(c, o.Computed[i], noSteps)
		if r != nil && (More(c.Energy, r.Energy) || More(c.Boundary, r.Boundary)) {
			return true
		}
	}
	return in.Policy.Govern == GovernStudy
}
