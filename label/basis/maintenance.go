package basis

import (
	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/record"
)

// maintenanceItems say what holds only with the maintenance switch on; none
// where the study has no such case.
func maintenanceItems(r *record.Record) []Item {
	m := r.Maintenance
	if m == nil {
		return nil
	}
	u := r.Policy.Units
	value := label.Maintenance(r)
	why := "the worst case with the switch on; the rest of the label does not depend on it: "
	if value == "" {
		value = "NO ENERGIZED WORK, even with the maintenance switch ON: " + label.EnergyOf(m.Energy, u) + ", boundary " +
			label.Length(m.BoundaryToPrint, m.BoundaryToPrint, u)
		why = "so the label does not name the switch: "
	}
	why += energyWhy(r, m.Energy) + "; boundary " + boundaryWhy(r, m.Boundary, m.BoundaryToPrint)
	if m.Permits() && r.Policy.MaintenanceOnPage {
		why += "; the owner leaves this line off the label (maintenance_line)"
	}
	return []Item{{"With the maintenance switch on", value, why + " (arc energy reduction, NEC 240.87)"}}
}

// longestArc says why an arc is taken to last two seconds at most: the row's
// own reason, else the owner's for the whole site.
func longestArc(r *record.Record) []Item {
	if !r.Capped() {
		return nil
	}
	var items []Item
	site := false
	for i := range r.Location.Cases {
		c := &r.Location.Cases[i]
		result := computedBy(r, c.Name)
		switch capped := max(result.Clear, result.ClearReduced) >= assess.TwoSeconds; {
		case capped && c.TwoSecondReason == "":
			site = true
		case capped:
			name := "Longest arc"
			if c.Name != "" {
				name += ", case " + c.Name
			}
			items = append(items, Item{name, "2 s", c.TwoSecondReason + " (two_second_reason of its row)"})
		}
	}
	if site && r.Policy.TwoSecondReason != "" {
		items = append(items, Item{"Longest arc", "2 s", r.Policy.TwoSecondReason})
	}
	return items
}
