// Package assess judges a location's study results by the owner's policy:
// signal word, kit, gloves, boundaries, review date, and what a person must
// look at. It is pure: no disk, no clock, no network.
package assess

import (
	"slices"

	"vouchmark/assess/shock"
)

// Signal is the signal word's meaning; a label words it in its languages.
type Signal string

// The signal words of ANSI Z535.4 that a label may carry.
const (
	Warning Signal = "WARNING"
	Danger  Signal = "DANGER"
)

// KitStatus says whether a kit is to be worn, as `check --json` spells it.
type KitStatus string

// The states of the kit.
const (
	KitChosen   KitStatus = "kit"
	NoneAllowed KitStatus = "none allowed" // above the owner's cutoff
	NotRequired KitStatus = "not required" // below a printed 1.2 cal/cm²
)

// Origin says where a governing number comes from.
type Origin string

// The origins.
const (
	FromStudy    Origin = "study"
	FromComputed Origin = "computed"
)

// Governing is a number that decided the label: its value, the case it comes
// from, and whether the study states it or the program computed it.
type Governing struct {
	Value float64
	Case  string
	From  Origin
}

// Assessment is what the policy makes of one location's results.
type Assessment struct {
	Location *Location

	Energy   Governing // cal/cm² at the working distance; Value 0: no number
	Boundary Governing // arc-flash boundary, mm; Value 0: no number
	Fault    Governing // largest available fault current, kA; Value 0: not given

	Signal Signal
	Status KitStatus // "" where there is no energy
	Rung   int       // index into the ladder, or -1

	Shock shock.Boundaries
	Glove shock.Glove // Class "" where no glove class covers the voltage

	Prepared Date
	Surveyed Date
	Reviewed *Review // the last that found the study right; nil for none
	ReviewBy Date

	// Computed and NotComputed stand beside the location's cases: what the
	// equations give, or the reason why they give nothing.
	Computed    []*Computed
	NotComputed []string

	Findings []Finding
}

// Kit is the name of the chosen rung, or "" for none.
func (a *Assessment) Kit(p *Policy) string {
	if a.Rung < 0 {
		return ""
	}
	return p.Ladder[a.Rung].Kit
}

// Worst is the recomputed result of the case with the most energy, or nil
// where nothing could be recomputed.
func (a *Assessment) Worst() *Computed {
	var worst *Computed
	for _, r := range a.Computed {
		if r != nil && (worst == nil || r.Energy > worst.Energy) {
			worst = r
		}
	}
	return worst
}

// BoundaryToPrint is the arc-flash boundary as the label needs it: from 1.2
// cal/cm² on it never ends inside the working distance.
func BoundaryToPrint(e CalCM2, boundary, distance MM) MM {
	if e >= Threshold || PrintedCal(e) > Threshold {
		return max(boundary, distance)
	}
	return boundary
}

// Judge assesses every location of a site, in the site's order. today decides
// only whether a study lies in the future, and which reviews have been.
func Judge(s *Site, today Date) []Assessment {
	net := newNetwork(s)
	reviewed := s.Log.ReviewedRight(today)
	all := make([]Assessment, len(s.Locations))
	for i := range s.Locations {
		a := &all[i]
		a.judge(&s.Locations[i], s, reviewed)
		a.checkDates(today)
		a.checkEdition(&s.Policy)
		a.checkResults()
		a.checkGeometry()
		a.checkFault()
		a.checkDeviceAt(&s.Policy)
		net.check(a)
		slices.SortStableFunc(a.Findings, func(x, y Finding) int { return levelOrder(x.Level) - levelOrder(y.Level) })
	}
	return all
}

func levelOrder(l Level) int {
	if l == Error {
		return 0
	}
	return 1
}

// judge fills in everything that the location and the policy alone decide.
func (a *Assessment) judge(l *Location, s *Site, reviewed func(id string, prepared, newer Date) *Review) {
	p := &s.Policy
	a.Location = l
	a.Prepared, a.Surveyed = l.Prepared(), l.Surveyed()
	from := a.Prepared
	if a.Reviewed = reviewed(l.ID, a.Prepared, Date{}); a.Reviewed != nil {
		from = a.Reviewed.Date
	}
	a.ReviewBy = from.AddMonths(p.ReviewMonths)
	a.compute(s)
	a.compare(p)
	a.Govern(p)
	a.Signal, a.Rung = Warning, -1
	if a.Energy.Value > 0 { // nothing is chosen for an energy that nobody knows
		a.Signal, a.Status, a.Rung = Choose(CalCM2(a.Energy.Value), p)
	}
	a.protectFromShock(p)
}

// Govern takes the largest energy and, on its own, the largest boundary and
// fault current over the cases. Which of the stated and the recomputed ones
// count is the owner's choice: both, unless somebody answers for another.
// Of equal ones the study's decides, then the first in the file.
func (a *Assessment) Govern(p *Policy) {
	for i := range a.Location.Cases {
		c, r := &a.Location.Cases[i], a.Computed[i]
		a.Fault.raise(float64(c.Fault), c, FromStudy)
		if p.Govern != GovernComputed || r == nil {
			a.Energy.raise(float64(c.Energy), c, FromStudy)
			a.Boundary.raise(float64(c.Boundary), c, FromStudy)
		}
		if r == nil {
			continue
		}
		if p.Govern != GovernStudy || c.Energy == 0 {
			a.Energy.raise(r.Energy, c, FromComputed)
		}
		if p.Govern != GovernStudy || c.Boundary == 0 {
			a.Boundary.raise(r.Boundary, c, FromComputed)
		}
	}
}

func (g *Governing) raise(v float64, c *Case, from Origin) {
	if v > g.Value {
		*g = Governing{v, c.Name, from}
	}
}

// Choose gives signal word and kit for an energy, by its printed number: the
// lowest rung rated at least that much, DANGER and no kit above the cutoff,
// none demanded below a printed 1.2 cal/cm².
func Choose(energy CalCM2, p *Policy) (Signal, KitStatus, int) {
	e := PrintedCal(energy)
	switch {
	case e > p.Cutoff:
		return Danger, NoneAllowed, -1
	case e >= Threshold:
		return Warning, KitChosen, slices.IndexFunc(p.Ladder, func(r Rung) bool { return r.Rating >= e })
	}
	return Warning, NotRequired, -1
}

func (a *Assessment) protectFromShock(p *Policy) {
	l := a.Location
	var err error
	if a.Shock, err = shock.Approach(l.Supply, float64(l.Voltage), l.Movable, p.Approach); err != nil {
		a.errorf(l.Cases[0].Line, "voltage_v", "%v", err)
	}
	// On one phase above 250 V the gloves too go by phase to phase: the safe
	// side where both phases may be met (29 CFR 1926.97 Table E-4, note).
	if a.Glove, err = shock.GloveFor(l.Supply, max(float64(l.Voltage), a.Shock.Voltage), p.MinimumGloveClass); err != nil {
		a.errorf(l.Cases[0].Line, "voltage_v", "%v", err)
	}
}
