package assess

import (
	"cmp"
	"runtime"
	"slices"

	"vouchmark/assess/arc"
	"vouchmark/assess/cores"
	"vouchmark/assess/shock"
)

// Rules is the number of the rules by which [Judge] judges. It is raised only when a
// printed value can change: when the same inputs would be judged or rounded
// differently. A record holds the number of its rules.
const Rules = 2

// Judge gives the outcome of a location's results by its owner's policy. It is the
// only way to an outcome: for a print, an audit, the comparison of a label with its
// row, screening, and the effect of a planned change.
func Judge(in *Inputs) Outcome { return outcomeOf(in, withSteps) }

// Explain is Judge with the words of each step, which no record keeps.
func Explain(in *Inputs) Outcome { return outcomeOf(in, withWords) }

// detail is how much of the equations' steps an outcome has. Nothing is judged by them, and
// they are most of its size.
type detail int

const (
	noSteps detail = iota
	withSteps
	withWords
)

// recorder records the steps of one evaluation.
func (d detail) recorder() *arc.Recorder {
	if d == noSteps {
		return nil
	}
	return &arc.Recorder{NoWords: d == withSteps}
}

func outcomeOf(in *Inputs, d detail) Outcome {
	a := &Assessment{Inputs: *in, detail: d}
	a.checkVoltage()
	a.checkCurrents()
	if in.Location.Unlabeled {
		a.settleUnlabeled()
	} else {
		a.compute()
		a.settle()
		a.compare()
		a.checkMaintenance()
		a.checkComputedVoltage()
		a.protectFromShock()
		a.checkDurations()
		a.checkDistance()
		a.checkEnclosure()
		a.checkDates()
		a.checkEdition()
		a.checkResults()
		a.checkGeometry()
		a.checkFault()
		a.checkDeviceAt()
	}
	a.noteCodes()
	return a.Outcome
}

// noteCodes notes which findings follow from the location's own rows and do not stop
// its label, without those that only the owner's tolerance decides: it is not a fact
// of the label.
func (a *Assessment) noteCodes() {
	for _, f := range a.Findings {
		if f.Level == Caution && f.Code != Overstated && f.Code != CurveSlower {
			a.Codes = append(a.Codes, f.Code)
		}
	}
	slices.Sort(a.Codes)
	a.Codes = slices.Compact(a.Codes)
}

// Settle is the outcome if each case's recomputed result is given instead of
// evaluated: what the label would say with these results.
func Settle(in *Inputs, computed []*Computed) Outcome {
	a := &Assessment{Inputs: *in}
	a.Computed = computed
	a.settle()
	return a.Outcome
}

// settle decides what the label says about the arc, and its dates.
func (a *Assessment) settle() {
	l, p := a.Location, a.Policy
	a.Prepared, a.Surveyed, a.ReviewBy = l.prepared(), l.surveyed(), a.reviewBy()
	a.Energy, a.Boundary = a.govern(false)
	a.governFault()
	a.BoundaryToPrint = boundaryToPrint(a.Energy, a.Boundary.Value, l.Distance)
	a.Signal = Warning
	if a.Energy.Value > 0 { // nothing can be chosen for an unknown energy
		a.Signal, a.Status, a.Kit = p.ChooseFor(a.Energy)
	}
	a.settleMaintenance()
}

// settleUnlabeled is the outcome of a place without a label: only what other
// places need from it.
func (a *Assessment) settleUnlabeled() {
	l := a.Location
	a.Prepared, a.Surveyed = l.prepared(), l.surveyed()
	a.governFault()
	a.Computed, a.NotComputed = make([]*Computed, len(l.Cases)), make([]string, len(l.Cases))
	for i := range a.NotComputed {
		a.NotComputed[i] = "this place has no label (label = no)"
	}
}

// Rung is the rung of the ladder with a name, or nil.
func (p *Policy) Rung(kit string) *Rung {
	return find(p.Ladder, func(r *Rung) bool { return r.Kit == kit })
}

func (a *Assessment) protectFromShock() {
	l, p := a.Location, a.Policy
	var err error
	if a.Shock, err = shock.Approach(l.Supply, float64(l.Voltage), l.Movable, p.Approach); err != nil {
		a.errorf(l.Cases[0].Line, ApproachMissing, "voltage_v", "%v", err)
	}
	// On one phase above 250 V the gloves also go by phase to phase: the safe side if
	// both phases may be touched (29 CFR 1926.97 Table E-4, note).
	v := max(float64(l.Voltage), a.Shock.Voltage)
	glove, err := shock.GloveFor(l.Supply, v, p.MinimumGloveClass)
	if err != nil {
		a.errorf(l.Cases[0].Line, NoGlove, "voltage_v", "%v", err)
	}
	a.Glove = Glove{glove.Class, Volts(glove.Limit(l.Supply))}
	a.Shock.Voltage = Round9(a.Shock.Voltage)
}

// Assessment is one location of a site, judged: its inputs, what follows from them,
// and the findings from its own rows, from other rows, and from the day.
type Assessment struct {
	Inputs
	Outcome
	detail detail
}

// Copy is a copy whose findings and acceptances can be changed without changing the
// original's.
func (a *Assessment) Copy() *Assessment {
	b := *a
	b.Findings, b.Accept = slices.Clone(a.Findings), slices.Clone(a.Accept)
	return &b
}

// Prints reports whether its label may be printed: no error finding stops it, and the
// place has a label.
func (a *Assessment) Prints() bool { return !a.Location.Unlabeled && a.Outcome.Prints() }

// Assess judges every location of a site, in the site's order. today only decides
// whether a study is dated in the future, and which reviews count. The results have no steps:
// [Judge] makes them.
func (s *Site) Assess(today Date) []Assessment { return s.AssessEach(today, nil) }

// AssessEach is Assess, on all cores. done, which may be nil, is called after each location
// with its number and its assessment, by several goroutines at a time.
func (s *Site) AssessEach(today Date, done func(i int, a *Assessment)) []Assessment {
	net := newNetwork(s)
	reviewed := s.Log.ReviewedRight(today)
	devices := s.DevicesByKey()
	up := newAbove(net)
	all := make([]Assessment, len(s.Locations))
	cores.Workers(runtime.GOMAXPROCS(0), len(all), s.Progress, func() func(int) {
		above := up.again()
		return func(i int) {
			a := &all[i]
			a.Inputs = s.Inputs(&s.Locations[i])
			a.Reviewed = reviewed(a.Location.ID, a.Location.prepared(), Date{})
			s.assess(a, net, above, devices, today)
			if done != nil {
				done(i, a)
			}
		}
	})
	return all
}

// assess judges one location, of which the inputs are known.
func (s *Site) assess(a *Assessment, net *network, above *above, devices map[string]*Device, today Date) {
	if len(a.Location.Unreadable) > 0 {
		a.unreadable()
		return
	}
	a.Accept = s.accepting(&a.Inputs, net.index, today)
	if !a.Location.Unlabeled {
		a.Feeds = above.of(net.index[a.Location.ID])
	}
	a.Outcome = outcomeOf(&a.Inputs, noSteps)
	a.checkPolicy()
	a.checkToday(today)
	net.check(a)
	a.checkDevices(devices, today)
	slices.SortStableFunc(a.Findings, func(x, y Finding) int { return cmp.Compare(y.Level, x.Level) }) // errors first
}

// reviewBy is when the study must be reviewed: the owner's interval after it, or
// after the last review that found it right.
func (in *Inputs) reviewBy() Date {
	from := in.Location.prepared()
	if in.Reviewed != nil {
		from = in.Reviewed.Date
	}
	if from.IsZero() {
		return from
	}
	return from.AddMonths(in.Policy.ReviewMonths)
}

// unreadable is the outcome of a location with a cell that could not be read: the
// rest is not judged.
func (a *Assessment) unreadable() {
	l := a.Location
	a.Findings = slices.Clip(l.Unreadable) // it does not grow there
	a.Prepared, a.Surveyed, a.ReviewBy = l.prepared(), l.surveyed(), a.reviewBy()
	a.Computed, a.NotComputed = make([]*Computed, len(l.Cases)), make([]string, len(l.Cases))
	for i := range a.NotComputed {
		a.NotComputed[i] = "a cell of the row cannot be read"
	}
}
