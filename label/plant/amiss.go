package plant

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Amiss is what was found on the equipment of a location and is not yet put right; nil for nothing.
func (p *Plant) Amiss(id string) *record.Seeing {
	s := p.History.Replay.Seen[id]
	var last *record.Label
	if l, printed := p.History.Last(id); printed {
		last = l.Label
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
		if l, printed := p.History.Last(id); printed {
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
	last, _ := p.History.Last(id)
	t.First, t.Copy = assess.Remedy{Words: "{}", Act: assess.ToReprint, On: id}, last.ID.Code()
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
