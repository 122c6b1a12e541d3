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

// Amiss is what was found on the equipment of a location and is not yet put right; nil for nothing.
func (p *Plant) Amiss(id string) *record.Seeing {
	s := p.History.Replay.Seen[id]
	var last *record.Label
	if l, printed := p.History.Labels[id]; printed {
		last = &l.Label
	}
	if !s.Amiss(last) || s.Found == record.FoundMissing && !p.Needs(id) {
		return nil
	}
	return s
}

// Strays are the other locations on whose equipment somebody found a label, where that is not yet put
// right; nil for none.
func (p *Plant) Strays(id record.ID) []string {
	return p.strays()[id.String()]
}

// strayed finds them, for all labels.
func (p *Plant) strayed() map[string][]string {
	all := map[string][]string{}
	for at, s := range p.History.Replay.Seen {
		if s.Found == record.FoundOther && s.There != "" && p.Amiss(at) != nil {
			all[s.There] = append(all[s.There], at)
		}
	}
	for _, at := range all {
		slices.Sort(at)
	}
	return all
}

// Needs reports whether a label that was printed must be on the equipment of a location.
func (p *Plant) Needs(id string) bool {
	at, known := p.Place(id)
	return known && at.Printed != nil && at.Printed.Withdrawn == nil && !at.Assessment.Location.Unlabeled
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

// amiss is what there is to do where something else is on the equipment than should be, in addition to
// what is already known to be done; what is there is then known better.
func (p *Plant) amiss(id string, all []Task, t Task) []Task {
	s := p.Amiss(id)
	if s == nil {
		return all
	}
	note, there := Note{What: NoteSeen, Date: s.Day, Found: s.Found}, record.Code("")
	if of := s.ThereID(); of != (record.ID{}) {
		there = of.Code()
	}
	// A label that says too little, or nothing about this equipment, is on it.
	urgent := s.Found == record.FoundOld || s.Found == record.FoundOther || s.Found == record.FoundForeign
	if i := slices.IndexFunc(all, func(t Task) bool { return t.Do == PutOn || t.Do == Replace || t.Do == Remove }); i >= 0 {
		all[i].There = there
		switch {
		case all[i].Do == PutOn && s.Found != record.FoundMissing:
			all[i].Do = Replace
		case all[i].Do == Replace && s.Found == record.FoundMissing:
			all[i].Do = PutOn
		}
		all[i].Urgent, all[i].Notes = all[i].Urgent || urgent, append(all[i].Notes, note)
		return all
	}
	if !p.Needs(id) {
		if l, printed := p.History.Labels[id]; printed {
			t.Label = l.ID.Code()
		}
		t.Do, t.There, t.Urgent, t.Notes = Remove, there, urgent, []Note{note}
		return append(all, t)
	}
	if at, _ := p.Place(id); !at.Printed.Holds() {
		return at.Printed.amissCovered(all, t, note, there)
	}
	t.Do, t.There, t.Urgent, t.Notes = Replace, there, urgent, []Note{note}
	if s.Found == record.FoundMissing {
		t.Do = PutOn
	}
	t.First = assess.Remedy{Words: "{}", Act: assess.ToReprint, On: id}
	return append(all, t)
}

// amissCovered is amiss where the label printed last does not hold: the overlay goes over whatever is there,
// or where a label should be.
func (p *Printed) amissCovered(all []Task, t Task, note Note, there record.Code) []Task {
	if i := slices.IndexFunc(all, func(t Task) bool { return t.Do == Cover }); i >= 0 {
		all[i].There, all[i].Notes = there, append(all[i].Notes, note)
		return all
	}
	if !p.Door.Covered.IsZero() {
		return all // since somebody looked
	}
	t = p.over(t, Cover)
	if t.Urgent, t.There, t.First, t.Notes = true, there, printOverlay, []Note{note, {What: NoteOverlayFirst}}; p.Record == nil {
		t.First, t.Notes = byHand, []Note{note}
	}
	return append(all, t)
}
