package assess

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// A clearing time is valid only for a maintained device: one without maintenance may
// open later than the study says, and the arc then releases more energy (NFPA
// 70E-2024 130.5, from memory, with 205.4 and 210.5 on maintenance and its records;
// common practice). The intervals are the owner's.

// DeviceKey identifies a device by its place and name, for comparing. Letter case
// does not matter in the device's own name: a failed device must not be missed
// because of it.
func DeviceKey(name, at string) string { return at + "\x00" + strings.ToLower(name) }

// Key names the device; see [DeviceKey].
func (d *Device) Key() string { return DeviceKey(d.Name, d.At) }

// DeviceKeys identifies the device that clears the arc in a case. If the row does
// not say where it is installed, the location itself and what feeds it both count: a
// failed device must not be missed because of an empty cell.
func (l *Location) DeviceKeys(i int) []string {
	c := &l.Cases[i]
	if c.DeviceAt != "" {
		return []string{DeviceKey(c.Device, c.DeviceAt)}
	}
	keys := []string{DeviceKey(c.Device, l.ID)}
	for _, id := range c.FedFrom {
		keys = append(keys, DeviceKey(c.Device, id))
	}
	return keys
}

// Where names the device and its place for a person.
func (d *Device) Where() string { return d.Name + " at " + d.At }

// last is the maintenance that counts on a day; one dated later does not count.
func (d *Device) last(today Date) Date {
	if today.Before(d.Maintained) {
		return Date{}
	}
	return d.Maintained
}

// FailedBy reports whether the device failed its last maintenance up to a day.
func (d *Device) FailedBy(today Date) bool { return d.Failed && !d.last(today).IsZero() }

// Due is when the device's next maintenance is due, as known on a day, and whether
// any is. A zero day means at once: no maintenance is known. A device that failed
// is not due: it must be repaired or replaced.
func (d *Device) Due(today Date) (Date, bool) {
	last := d.last(today)
	switch {
	case d.IntervalMonths == 0 || d.FailedBy(today):
		return Date{}, false
	case last.IsZero():
		return Date{}, true
	}
	return last.AddMonths(d.IntervalMonths), true
}

// Overdue reports whether the device's maintenance was due before a day.
func (d *Device) Overdue(today Date) bool {
	by, due := d.Due(today)
	return due && by.Before(today)
}

// DueWords says when the device's maintenance is or was due.
func (d *Device) DueWords(today Date) string {
	by, _ := d.Due(today)
	if by.IsZero() {
		return fmt.Sprintf("maintenance of %s is due every %d months, and none is on record",
			d.Where(), d.IntervalMonths)
	}
	verb := "is"
	if by.Before(today) {
		verb = "was"
	}
	return fmt.Sprintf("maintenance of %s %s due by %s (last maintained %s, interval %d months)",
		d.Where(), verb, by, d.Maintained, d.IntervalMonths)
}

// OverdueWords says that the device is overdue, why that matters if it clears the
// arc, and what to do.
func (d *Device) OverdueWords(today Date) string {
	return d.DueWords(today) + "; it clears the arc here, and without maintenance it may clear later than the study says " +
		"(NFPA 70E 130.5): " + MaintainDevice
}

// FailedWords says that the device failed, and who reported it.
func (d *Device) FailedWords() string {
	text := fmt.Sprintf("%s failed its maintenance test on %s", d.Where(), d.Maintained)
	if d.By != "" {
		text += ", reported by " + d.By
	}
	if d.Note != "" {
		text += " (" + d.Note + ")"
	}
	return text
}

// What to do about a device that is overdue, and about one that failed.
const (
	MaintainDevice = "maintain it, then enter the date and the result in " + DevicesFile
	RepairDevice   = "repair or replace the device, then enter its new result in " + DevicesFile +
		"; a different device also requires a new study"
)

// DevicesByKey indexes the devices of devices.csv.
func (s *Site) DevicesByKey() map[string]*Device {
	all := make(map[string]*Device, len(s.Devices))
	for i := range s.Devices {
		all[s.Devices[i].Key()] = &s.Devices[i]
	}
	return all
}

// Clearing returns those of the devices that clear the location's arc in any case,
// each once.
func (l *Location) Clearing(devices map[string]*Device) []*Device {
	var all []*Device
	for i := range l.Cases {
		for _, key := range l.DeviceKeys(i) {
			if d := devices[key]; d != nil && !slices.Contains(all, d) {
				all = append(all, d)
			}
		}
	}
	return all
}

// checkDevices finds devices that are overdue or failed. That follows from
// devices.csv and the day, so no record contains it.
func (a *Assessment) checkDevices(devices map[string]*Device, today Date) {
	for _, d := range a.Location.Clearing(devices) {
		f := Finding{Level: Caution, Field: "device", File: DevicesFile, Line: d.Line}
		switch {
		case d.FailedBy(today):
			f.Code = DeviceFailed
			f.Message = d.FailedWords() + "; it clears the arc here, so the label is in question: " + RepairDevice
		case d.Overdue(today):
			f.Code = DeviceOverdue
			f.Message = d.OverdueWords(today)
		default:
			continue
		}
		a.Findings = append(a.Findings, f)
	}
}

// deviceFindings returns cautions about devices.csv itself: results that do not
// count yet, and devices that no row names, so that their failure would reach no
// label.
func (s *Site) deviceFindings(today Date) []Finding {
	named := map[string]bool{}
	for i := range s.Locations {
		for k := range s.Locations[i].Cases {
			for _, key := range s.Locations[i].DeviceKeys(k) {
				named[key] = true
			}
		}
	}
	var all []Finding
	var unnamed []*Device
	for i := range s.Devices {
		d := &s.Devices[i]
		if today.Before(d.Maintained) {
			all = append(all, Finding{Level: Caution, Code: EntryAhead, Field: "maintained", File: DevicesFile, Line: d.Line,
				Message: fmt.Sprintf("maintenance of %s is dated %s, after today (%s), and does not count yet; "+
					"correct the date, or wait until then", d.Where(), d.Maintained, today)})
		}
		if !named[d.Key()] {
			unnamed = append(unnamed, d)
		}
	}
	if len(unnamed) > 0 {
		all = append(all, Finding{Level: Caution, Code: DeviceUnnamed, Field: "device", File: DevicesFile, Line: unnamed[0].Line,
			Message: "no row of locations.csv names " + few(unnamed) + " under device and device_at: " +
				"if one of them is overdue or fails, no label shows it; spell the names alike in both files, or delete these devices"})
	}
	slices.SortStableFunc(all, func(a, b Finding) int { return cmp.Compare(a.Line, b.Line) })
	return all
}

// few names some devices and says how many more there are.
func few(devices []*Device) string {
	const most = 5
	var names []string
	for i, d := range devices {
		if i == most {
			return fmt.Sprintf("%s and %d more", strings.Join(names, ", "), len(devices)-most)
		}
		names = append(names, d.Where())
	}
	return strings.Join(names, ", ")
}
