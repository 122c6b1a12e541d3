// Package suppose says what a planned change of the power system would do to the labels.
// It does not judge labels: it lists what a study would have to confirm, each with an upper
// bound, or with the reason why there is none.
//
//	asked.go    a hypothesis in a person's words
//	suppose.go  every label that it reaches
//	network.go  what is between the changed place and a location
//	fault.go    the range of a fault current
//	change.go   what each kind of hypothesis does to a case
//	bound.go    the largest energy and boundary over that range
package suppose

import (
	"cmp"
	"fmt"
	"slices"

	"vouchmark/assess"
)

// Label is what a label says: the energy in cal/cm² and the boundary in mm, both before
// rounding for print.
type Label struct {
	Energy   assess.CalCM2
	Bound    assess.Bound // whether it says above or below Energy
	Boundary assess.MM
	Signal   assess.Signal
	Status   assess.KitStatus
	Kit      string // "" for none
}

// Effect is what a hypothesis would do to a label.
type Effect string

// The effects, in the order in which a person should look at them.
const (
	NoBound Effect = "no bound" // what the label would have to say is not known
	More    Effect = "more"     // it may understate
	Less    Effect = "less"     // it would overstate
	Same    Effect = "same"     // at most what is printed now
)

// Effects are all of them, in that order.
var Effects = []Effect{NoBound, More, Less, Same}

// Outcome is what a hypothesis would do to one location's label.
type Outcome struct {
	ID     string
	Effect Effect

	FaultNow              assess.KA // the largest over the cases; 0 if none is stated
	FaultLeast, FaultMost assess.KA // its range after the change; 0 if not known

	Now  Label // the zero Label if an error stops it
	Then Label // at most; the zero Label if there is no bound

	Changes []string // which of signal word, kit, energy, boundary would change
	WhyNot  string   // why there is no bound
	Danger  bool     // the device may not clear the arc at all
	Says    []string // of ratings
	Notes   []string // how its bound was found
}

// Result is what a hypothesis would do to a site.
type Result struct {
	Hypothesis  Hypothesis
	Words       string    // the hypothesis in a sentence
	Outcomes    []Outcome // of every location that it reaches, worst first, then in the order of the site
	Outside     []string  // ids of those that it does not reach
	WhyOutside  string
	Assumptions []string
}

// Of says what a hypothesis would do to the labels that a site prints now; all are its
// assessments. The error says why the hypothesis cannot be applied at all.
func Of(s *assess.Site, all []assess.Assessment, h Hypothesis) (*Result, error) {
	c, err := newChange(s, &h)
	if err != nil {
		return nil, err
	}
	r := &Result{Hypothesis: h, Words: h.words(), WhyOutside: c.outside(), Assumptions: c.assumptions()}
	ratings := s.Ratings()
	for i := range all {
		a := &all[i]
		if a.Location.Unlabeled {
			continue // label = no
		}
		own := *a
		own.Inputs = *ratings.Own(&a.Inputs)
		if o, reached := outcome(&own, i, c); reached {
			r.Outcomes = append(r.Outcomes, o)
		} else {
			r.Outside = append(r.Outside, a.Location.ID)
		}
	}
	slices.SortStableFunc(r.Outcomes, func(a, b Outcome) int { return cmp.Compare(a.urgency(), b.urgency()) })
	return r, nil
}

// urgency puts first what may not clear, then the effects in their order, and within each a
// changed signal word, then a changed kit.
func (o *Outcome) urgency() int {
	u := 3*slices.Index(Effects, o.Effect) + 2
	switch {
	case o.Danger:
		return -1
	case slices.Contains(o.Changes, "signal word"):
		return u - 2
	case slices.Contains(o.Changes, "kit"):
		return u - 1
	}
	return u
}

// Stopped says why there is no bound for a label that cannot be printed now.
const Stopped = "an error finding stops its label now"

// onPage is added if a case with a maintenance switch on was left out.
const onPage = "what the label says about the maintenance switch was not checked"

// outcome is what a change does to one location, if it reaches any of its cases.
func outcome(a *assess.Assessment, i int, c change) (o Outcome, reached bool) {
	l := a.Location
	o = Outcome{ID: l.ID, FaultNow: a.Fault.Value}
	if a.Prints() {
		o.Now = label(&a.Outcome)
	} else {
		o.WhyNot = Stopped
	}
	// The policy decides by the largest numbers, as it does now.
	in, changed := a.Inputs, *l
	changed.Cases = slices.Clone(l.Cases)
	in.Location = &changed
	computed := slices.Clone(a.Computed)
	unknownFault := false
	normal := slices.ContainsFunc(l.Cases, func(c assess.Case) bool { return !c.Maintenance })
	for k := range changed.Cases {
		v, is := c.of(i, &l.Cases[k])
		if !is {
			o.FaultLeast = max(o.FaultLeast, l.Cases[k].Fault)
			continue
		}
		reached = true
		for _, note := range v.notes {
			o.Notes = once(o.Notes, note)
		}
		unknownFault = unknownFault || v.high == 0
		o.FaultLeast = max(o.FaultLeast, v.low)
		if v.whyNot == "" && l.Rating > 0 && v.high > l.Rating && v.high > l.Cases[k].Fault {
			o.Says = once(o.Says, fmt.Sprintf("up to %.4g kA, but the equipment is rated %.4g kA (NEC 110.9, 110.10)",
				assess.PrintedKA(v.high), l.Rating))
		}
		if changed.Cases[k].Fault = v.high; l.Cases[k].Maintenance && normal { // it only decides a fault current
			o.Notes = once(o.Notes, onPage)
			continue
		}
		most, whyNot, danger := v.most(a, k)
		if whyNot != "" && (o.WhyNot == "" || danger && !o.Danger) {
			o.WhyNot, o.Danger = whyNot, danger
		}
		most.raise(&changed.Cases[k], &computed[k])
	}
	if !reached {
		return o, false
	}
	then := assess.Settle(&in, computed)
	if o.FaultMost = then.Fault.Value; unknownFault {
		o.FaultLeast, o.FaultMost = 0, 0
	}
	if o.WhyNot != "" {
		o.Effect = NoBound
		return o, true
	}
	o.Then = label(&then)
	o.compare(a.Policy.Units)
	return o, true
}

// once adds a text to a list unless the list has it.
func once(list []string, text string) []string {
	if slices.Contains(list, text) {
		return list
	}
	return append(list, text)
}

// label is what an outcome prints.
func label(o *assess.Outcome) Label {
	return Label{Energy: o.Energy.Value, Bound: o.Energy.Bound, Boundary: o.BoundaryToPrint, Signal: o.Signal, Status: o.Status, Kit: o.Kit}
}

// compare says which printed words and numbers would change.
func (o *Outcome) compare(u assess.Units) {
	if o.Now.Signal != o.Then.Signal {
		o.Changes = append(o.Changes, "signal word")
	}
	if o.Now.Status != o.Then.Status || o.Now.Kit != o.Then.Kit {
		o.Changes = append(o.Changes, "kit")
	}
	energy := cmp.Compare(assess.PrintedCal(o.Then.Energy), assess.PrintedCal(o.Now.Energy))
	if energy != 0 {
		o.Changes = append(o.Changes, "energy")
	}
	boundary := 0
	if u != assess.SI {
		boundary = cmp.Compare(assess.PrintedInches(o.Then.Boundary), assess.PrintedInches(o.Now.Boundary))
	}
	if u != assess.US {
		boundary = cmp.Or(boundary, cmp.Compare(assess.PrintedMM(o.Then.Boundary), assess.PrintedMM(o.Now.Boundary)))
	}
	if boundary != 0 {
		o.Changes = append(o.Changes, "boundary")
	}
	switch {
	case energy > 0 || boundary > 0:
		o.Effect = More
	case energy < 0 || boundary < 0:
		o.Effect = Less
	default:
		o.Effect = Same
	}
}
