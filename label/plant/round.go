package plant

import (
	"cmp"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// A round is a walk on which people look what is on the equipment. Nobody opens or closes one: what
// was seen belongs to the round before it as long as no more than RoundGap days lie between.
const RoundGap = 30

// Door is a location whose equipment must have a label, or has one that it must not have.
type Door struct {
	ID, Area, Equipment string

	Label record.Code    // that was printed last; "" for none
	Due   bool           // a label must be there
	Seen  *record.Seeing // what was found there last; nil where nobody looked
	// Looked is true where somebody has looked since this label was printed.
	Looked bool
	Amiss  bool        // what was found there is not yet put right
	Look   assess.Date // when somebody must look again; zero where the policy has no interval
	Now    bool        // it is in the last round
}

// Round is the last round, and the labels on the equipment as far as anybody looked.
type Round struct {
	From, To assess.Date // zero where nobody has looked yet
	Open     bool        // what is seen today belongs to it
	By       []string    // in the order of their names
	Areas    []AreaRound // in the order of the site
	AreaRound
	Doors []Door // in the order of the site
}

// AreaRound counts the labels of an area.
type AreaRound struct {
	Area   string
	Labels int // that must be on the equipment
	Seen   int // of those, in the round
	Never  int // of those, at any time
	Late   int // of those, longer ago than the policy says, or never in that time
	Amiss  int // where something else was found, and is not yet put right
}

// looked is what was found since the label was printed; nil where nobody has looked since.
func (p *Printed) looked() *record.Seeing {
	if s := p.Seen; s != nil && s.Label == p.ID && !s.Day.Before(p.Since) {
		return s
	}
	return nil
}

// lookBy is the day by which somebody must look again at the label of a location: so long after it was
// seen, mounted or, where neither was noted, printed. It is zero without an interval.
func (p *Plant) lookBy(l *Printed) assess.Date {
	months := p.Site.Policy.SeenMonths
	if months == 0 {
		return assess.Date{}
	}
	from := l.Mounted
	if s := l.looked(); s != nil && from.Before(s.Day) {
		from = s.Day
	}
	return cmp.Or(from, l.Printed).AddMonths(months)
}

// Round is the last round.
func (p *Plant) Round() *Round {
	r := &Round{}
	r.days(p)
	areas := map[string]int{}
	add := func(d Door) {
		if d.Amiss = p.Amiss(d.ID) != nil; !d.Due && !d.Amiss {
			return
		}
		d.Seen = p.History.Replay.Seen[d.ID]
		d.Now = d.Looked && !d.Seen.Day.Before(r.From)
		i, known := areas[d.Area]
		if !known {
			i = len(r.Areas)
			areas[d.Area], r.Areas = i, append(r.Areas, AreaRound{Area: d.Area})
		}
		for _, a := range []*AreaRound{&r.Areas[i], &r.AreaRound} {
			if d.Amiss {
				a.Amiss++
			}
			if !d.Due {
				continue
			}
			a.Labels++
			if d.Now {
				a.Seen++
			}
			if !d.Looked {
				a.Never++
			}
			if d.Late(p.Today) {
				a.Late++
			}
		}
		r.Doors = append(r.Doors, d)
	}
	for i := range p.Places {
		at := &p.Places[i]
		d := Door{ID: at.ID(), Area: at.Assessment.Location.Area, Equipment: at.Assessment.Location.Equipment}
		if l := at.Printed; l != nil {
			if d.Label, d.Due = l.ID.Code(), p.Needs(d.ID); d.Due {
				d.Look, d.Looked = p.lookBy(l), l.looked() != nil
			}
		}
		add(d)
	}
	for i := range p.Unlisted {
		u := &p.Unlisted[i]
		d := Door{ID: u.ID, Area: u.Area(), Label: u.Printed.ID.Code()}
		if u.Record != nil {
			d.Equipment = u.Record.Location.Equipment
		}
		add(d)
	}
	return r
}

// Late reports whether somebody must look at the label by now.
func (d *Door) Late(today assess.Date) bool { return !d.Look.IsZero() && d.Look.Before(today) }

// days finds when the last round was, and who looked.
func (r *Round) days(p *Plant) {
	var lines []*record.Line
	for i := range p.History.Ledger.Lines {
		if l := &p.History.Ledger.Lines[i]; l.Kind == record.Seen && !p.Today.Before(l.Date) {
			lines = append(lines, l)
		}
	}
	slices.SortStableFunc(lines, func(a, b *record.Line) int { return b.Applied.Compare(a.Applied) })
	for _, l := range lines {
		if !r.From.IsZero() && l.Applied.AddDays(RoundGap).Before(r.From) {
			break
		}
		if r.To.IsZero() {
			r.To = l.Applied
		}
		r.From = l.Applied
		if who := l.Who(); who != "" && !slices.Contains(r.By, who) {
			r.By = append(r.By, who)
		}
	}
	slices.Sort(r.By)
	if r.To.IsZero() {
		r.From = p.Today // nothing is in it yet
		return
	}
	r.Open = !r.To.AddDays(RoundGap).Before(p.Today)
}
