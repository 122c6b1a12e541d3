package label

import (
	"vouchmark/assess"
	"vouchmark/label/record"
)

// Maintenance is what a record says about the maintenance switch, as on an English
// label, even if only the page of the label shows it. "" where it says nothing.
func Maintenance(r *record.Record) string {
	if r.Maintenance == nil || !r.Maintenance.Permits() {
		return ""
	}
	return maintenance(english, r)
}

// maintenance is that text in one language: a second line, which holds only with the
// switch on. On a DANGER label it names the switch, and says to check its light.
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
