package report

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// devices adds the maintenance of the devices that clear an arc: an item for
// each device and location, by the day on which it is due. A device that failed
// is already in the list as a reason of the labels.
func (d *Due) devices(v *plant.Plant) {
	devices := v.Site.DevicesByKey()
	for i := range v.Places {
		p := &v.Places[i]
		l := p.Assessment.Location
		if p.State() == plant.NoLabel || p.State() == string(standing.Withdrawn) {
			continue // no label there depends on the device
		}
		item := DueItem{ID: l.ID, Area: l.Area, Equipment: l.Equipment, Status: p.State(),
			Cause: standing.DeviceCause, Clears: assess.MaintainDevice, rank: len(standing.States)}
		if p.Printed == nil {
			item.Code = p.Code()
		} else {
			item.Code, item.Printed = p.Printed.ID.Code(), true
			item.rank = p.Printed.Standing.Status.Rank()
		}
		for _, device := range l.Clearing(devices) {
			by, due := device.Due(v.Today)
			overdue := device.Overdue(v.Today)
			switch {
			case !due, !overdue && d.Within != nil && v.Today.AddDays(*d.Within).Before(by):
				continue
			case overdue:
				item.Due, item.Month = by, DueNow
				if item.Found = by.IsZero(); item.Found { // no maintenance is known
					item.Due = v.Today
				}
			default:
				item.Due, item.Month, item.Found = by, by.String()[:7], false
			}
			item.Device, item.Detail = device.Where(), device.DueWords(v.Today)
			d.Items = append(d.Items, item)
		}
	}
}

// deviceLine is the cause of a device's items in the list for a person.
func (i *DueItem) deviceLine() string {
	if i.Month == DueNow {
		return string(i.Cause) + " overdue"
	}
	return string(i.Cause)
}

// deviceEntry is the calendar entry of a device. It keeps its name from when the
// maintenance is planned until it is done.
func (d *Due) deviceEntry(i *DueItem) entryKey {
	k := entryKey{day: i.Due, since: i.Due, what: "maintenance of " + i.Device, device: i.Device}
	if i.Month == DueNow {
		k.day = d.Today
		if i.Found {
			k.since = assess.Date{}
		}
	}
	return k
}

// deviceSummary is the heading of such an entry.
func deviceSummary(k entryKey, items []DueItem) string {
	text := "Maintain " + k.device
	if items[0].Month == DueNow {
		text += ", overdue" + After(" since ", k.since.String())
	}
	return fmt.Sprintf("%s (clears the arc at %s)", text, Plural(len(items), "location"))
}
