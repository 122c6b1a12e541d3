package standing

import (
	"slices"

	"vouchmark/assess"
)

// byDevices puts in question the labels that depend on a device that failed its
// maintenance, from that day on: by the rows as they are, and by the label's own
// record. A later survey of the equipment does not clear this, only a new result
// does: a failed device does not clear within the study's time. A label whose device
// is overdue holds, with a note.
func byDevices(all []*Standing, subjects []Subject, s *assess.Site, today assess.Date) {
	doubtful := map[string]*assess.Device{}
	reasons := map[*assess.Device]Reason{}
	for i := range s.Devices {
		d := &s.Devices[i]
		r := Reason{Since: d.Maintained, Ground: &Ground{Cause: DeviceCause}}
		switch {
		case d.FailedBy(today):
			r.Status, r.Detail = InQuestion, d.FailedWords()+"; it clears the arc here"
			r.Remedy = assess.Remedy{Words: assess.RepairDevice}
		case d.Overdue(today):
			r.Status, r.Detail = Holds, "device maintenance overdue: "+d.OverdueWords(today)
			by, _ := d.Due(today)
			if r.Since = by.AddDays(1); by.IsZero() {
				r.Since, r.Found = today, true
			}
		default:
			continue
		}
		doubtful[d.Key()], reasons[d] = d, r
	}
	if len(doubtful) == 0 {
		return
	}
	for i := range subjects {
		var clearing []*assess.Device
		if at := subjects[i].At; at >= 0 {
			clearing = s.Locations[at].Clearing(doubtful)
		}
		for _, key := range subjects[i].Devices {
			if d := doubtful[key]; d != nil && !slices.Contains(clearing, d) {
				clearing = append(clearing, d)
			}
		}
		for _, d := range clearing {
			all[i].add(reasons[d])
		}
	}
}
