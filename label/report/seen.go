package report

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// FoundWords say what somebody found on the equipment.
func FoundWords(f record.Found) string {
	return map[record.Found]string{record.FoundRight: "the right label", record.FoundOld: "a label that is no longer in use",
		record.FoundOther: "the label of other equipment", record.FoundForeign: "a label that is not of this site, or was altered",
		record.FoundMissing: "no label", record.FoundDamaged: "a damaged label"}[f]
}

// Sighted says what somebody found at a location, and when.
func Sighted(v *plant.Plant, s *record.Seeing) string {
	what := FoundWords(s.Found)
	if id := s.ThereID(); s.There != "" && id != (record.ID{}) {
		code := id.Code()
		if what += " (" + string(code) + ")"; s.Found == record.FoundOther {
			what = "the label of " + v.History.Ledger.LocationOf(code) + " (" + string(code) + ")"
		}
	}
	return "found on the equipment on " + s.Day.String() + ": " + what
}

// AmissRemedy is what clears what was found on the equipment of a location.
func AmissRemedy(v *plant.Plant, at *plant.Door) assess.Remedy {
	label, printed := v.History.Last(at.ID)
	p, _ := v.Place(at.ID)
	missing := at.Seen.Found == record.FoundMissing
	switch {
	case !printed:
		return assess.Remedy{Words: "remove it, and note that: {}", Act: assess.ToSeeNone, On: at.ID}
	case !at.Due:
		return assess.Remedy{Words: "remove it, and note that: {}", Act: assess.ToRemove, On: at.ID}
	case !p.Printed.Holds() && !label.Door.Covered.IsZero():
		return assess.Remedy{Words: "it is covered; mount the next label that holds, and note that"}
	case !p.Printed.Holds() && label.Overlay.IsZero():
		return assess.Remedy{Words: "its own label does not hold: mount the overlay, and note that: {}", Act: assess.ToPrintOverlay, On: at.ID}
	case !p.Printed.Holds():
		return assess.Remedy{Words: "its own label does not hold: mount the overlay that is printed, and note that"}
	}
	do := fmt.Sprintf("replace it with label %s, and note that", at.Label)
	if missing {
		do = fmt.Sprintf("mount label %s, and note that", at.Label)
	}
	if label.Waits() {
		return assess.Remedy{Words: do}
	}
	return assess.Remedy{Words: do + "; if you do not have it: {}", Act: assess.ToReprint, On: at.ID}
}

// seen adds what was found on the equipment and is not yet put right, and the labels at which somebody
// must look again.
func (d *Due) seen(v *plant.Plant) {
	for _, at := range v.Round().Doors {
		item := DueItem{ID: at.ID, Area: at.Area, Equipment: at.Equipment, Code: at.Label, Printed: at.Label != "", rank: Doors}
		if p, ok := v.Place(at.ID); ok {
			if item.Status = p.State(); item.Code == "" {
				item.Code = p.Code()
			}
		}
		if at.Amiss {
			s, more := at.Seen, item
			more.Cause, more.Kind, more.Due, more.Month = AmissCause, FoundWords(s.Found), s.Day, DueNow
			more.Detail, more.Remedy = Sighted(v, s), AmissRemedy(v, &at)
			more.Clears = v.Text(more.Remedy)
			d.Items = append(d.Items, more)
		}
		if at.Look.IsZero() || !at.Late(d.Today) && d.beyond(at.Look) {
			continue
		}
		item.Cause, item.Due, item.Month = LookCause, at.Look, at.Look.String()[:7]
		if at.Late(d.Today) {
			item.Month = DueNow
		}
		item.Detail = "nobody has looked at it on the equipment yet"
		if at.Looked {
			item.Detail = "last looked at on the equipment on " + at.Seen.Day.String()
		}
		item.Remedy = assess.Remedy{Words: "look at it on the equipment, and note what is there: {}", Act: assess.ToSee, On: at.ID}
		item.Clears = v.Text(item.Remedy)
		d.Items = append(d.Items, item)
	}
}

// atDoor reports whether the item is about what is on the equipment.
func (i *DueItem) atDoor() bool { return i.Cause == AmissCause || i.Cause == LookCause }

// doorLine is the cause of such an item in the list for a person.
func (i *DueItem) doorLine() string {
	if i.Cause == AmissCause {
		return "on the equipment: " + i.Kind
	}
	return string(LookCause)
}

// doorSummary is the heading of such items in a calendar.
func doorSummary(items []DueItem) string {
	if i := &items[0]; i.Cause == AmissCause {
		return fmt.Sprintf("Found on the equipment of %s: %s", Plural(len(items), "location"), i.Kind)
	}
	return Plural(len(items), "arc-flash label") + ": look at the equipment"
}
