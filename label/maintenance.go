package label

import (
	"vouchmark/assess"
	"vouchmark/label/record"
)

// Maintenance words what a record says of the maintenance switch, as an English
// label does: also where its label leaves that to the page. "" where it says
// nothing.
func Maintenance(r *record.Record) string {
	if r.Maintenance == nil || !r.Maintenance.Permits() {
		return ""
	}
	return maintenance(english, r)
}

// maintenance words it: a second line, which holds with the switch on alone. On
// a DANGER label it names the switch, and asks for a look at its light.
func maintenance(t *wording, r *record.Record) string {
	m, units := r.Maintenance, r.Policy.Units
	text := t.MaintenanceKit
	if m.Status == assess.NotRequired {
		text = t.MaintenanceNoKit
	}
	then := fill(text, "energy", t.energy(m.Energy, units), "kit", m.Kit, "length", t.number(Distance(r.Location.Distance, units)),
		"boundary", t.number(Length(m.BoundaryToPrint, m.BoundaryToPrint, units)))
	if r.Signal != assess.Danger {
		return fill(t.Maintenance, "then", then)
	}
	name := t.MaintenanceSwitch
	if m.Device != "" {
		name += " " + m.Device
	}
	if m.DeviceAt != "" {
		name += " " + fill(t.MaintenanceAt, "place", m.DeviceAt)
	}
	return fill(t.MaintenanceDanger, "switch", name, "then", then)
}
