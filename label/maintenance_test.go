package label

import (
	"reflect"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// maintained adds a case with the maintenance switch on, with a given energy.
func maintained(e assess.CalCM2, status assess.KitStatus, kit string) func(*record.Record) {
	return func(r *record.Record) {
		const boundary = 28 * assess.MMPerInch
		r.Maintenance = &assess.Maintenance{
			Energy:   assess.Governing[assess.CalCM2]{Value: e, From: assess.FromStudy},
			Boundary: assess.Governing[assess.MM]{Value: boundary, From: assess.FromStudy}, BoundaryToPrint: boundary,
			Signal: assess.Warning, Status: status, Kit: kit, Device: "52-M", DeviceAt: "SWG-1",
		}
		if status == assess.NoneAllowed {
			r.Maintenance.Signal = assess.Danger
		}
	}
}

func and(changes ...func(*record.Record)) func(*record.Record) {
	return func(r *record.Record) {
		for _, c := range changes {
			c(r)
		}
	}
}

func TestMaintenanceWords(t *testing.T) {
	kitA := maintained(3.06, assess.KitChosen, "Kit A")
	for _, c := range []struct {
		name   string
		change func(*record.Record)
		units  assess.Units
		want   [3]string
	}{
		{"a kit", kitA, assess.US, [3]string{
			"ONLY with the maintenance switch ON: 3.1 cal/cm², Kit A, boundary 28 in",
			"SOLO con el selector de mantenimiento en ON: 3.1 cal/cm², Kit A, límite 28 in",
			"SEULEMENT avec le commutateur de maintenance sur ON : 3,1 cal/cm², Kit A, périmètre 28 in"}},
		{"a kit", kitA, assess.SI, [3]string{
			"ONLY with the maintenance switch ON: 12.9 J/cm² (3.1 cal/cm²), Kit A, boundary 720 mm",
			"SOLO con el selector de mantenimiento en ON: 12.9 J/cm² (3.1 cal/cm²), Kit A, límite 720 mm",
			"SEULEMENT avec le commutateur de maintenance sur ON : 12,9 J/cm² (3,1 cal/cm²), Kit A, périmètre 720 mm"}},
		{"on a DANGER label", and(above, kitA), assess.US, [3]string{
			"NO ENERGIZED WORK unless the maintenance switch 52-M at SWG-1 is ON and its light checked: " +
				"then 3.1 cal/cm², Kit A, boundary 28 in",
			"PROHIBIDO EL TRABAJO ENERGIZADO, salvo con el selector de mantenimiento 52-M en SWG-1 en ON y su luz verificada: " +
				"entonces 3.1 cal/cm², Kit A, límite 28 in",
			"AUCUN TRAVAIL SOUS TENSION, sauf avec le commutateur de maintenance 52-M à SWG-1 sur ON et son voyant vérifié : " +
				"alors 3,1 cal/cm², Kit A, périmètre 28 in"}},
		{"without a device", and(above, kitA, func(r *record.Record) { r.Maintenance.Device, r.Maintenance.DeviceAt = "", "" }), assess.Both,
			[3]string{
				"NO ENERGIZED WORK unless the maintenance switch is ON and its light checked: " +
					"then 3.1 cal/cm² (12.9 J/cm²), Kit A, boundary 28 in (720 mm)",
				"PROHIBIDO EL TRABAJO ENERGIZADO, salvo con el selector de mantenimiento en ON y su luz verificada: " +
					"entonces 3.1 cal/cm² (12.9 J/cm²), Kit A, límite 28 in (720 mm)",
				"AUCUN TRAVAIL SOUS TENSION, sauf avec le commutateur de maintenance sur ON et son voyant vérifié : " +
					"alors 3,1 cal/cm² (12,9 J/cm²), Kit A, périmètre 28 in (720 mm)"}},
		{"without a kit", maintained(0.9, assess.NotRequired, ""), assess.US, [3]string{
			"ONLY with the maintenance switch ON: 0.9 cal/cm², arc-rated clothing not required at 18 in or more, boundary 28 in",
			"SOLO con el selector de mantenimiento en ON: 0.9 cal/cm², no se requiere ropa resistente al arco a 18 in o más, límite 28 in",
			"SEULEMENT avec le commutateur de maintenance sur ON : 0,9 cal/cm², vêtements résistants à l’arc non requis à 18 in ou plus, " +
				"périmètre 28 in"}},
		{"DANGER with it too", and(above, maintained(45, assess.NoneAllowed, "")), assess.US, [3]string{}},
		{"kept for the page", and(kitA, func(r *record.Record) { r.Policy.MaintenanceOnPage = true }), assess.US, [3]string{}},
		{"no such case", func(*record.Record) {}, assess.US, [3]string{}},
	} {
		for i, w := range inAll(noted(t, c.units, c.change)) {
			if w.Maintenance != c.want[i] {
				t.Errorf("%s, %s, %s:\n%s, want\n%s", c.name, w.Language, c.units, w.Maintenance, c.want[i])
			}
		}
	}
}

// The line is in addition to the label's own numbers: it changes none of them, nor
// the facts in the code.
func TestMaintenanceGovernsNothing(t *testing.T) {
	without := noted(t, assess.US, func(*record.Record) {})
	with := noted(t, assess.US, maintained(3.06, assess.KitChosen, "Kit A"))
	if a, b := Facts(without), Facts(with); a != b || strings.Contains(b, "3.1") {
		t.Errorf("facts %s and %s", a, b)
	}
	a, b := inAll(without), inAll(with)
	for i := range b {
		if b[i].Maintenance == "" {
			t.Error("there is no line")
		}
		b[i].Maintenance = ""
	}
	if !reflect.DeepEqual(a, b) {
		t.Errorf("%+v\n%+v", a, b)
	}
}
