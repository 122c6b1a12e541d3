package standing

import (
	"slices"

	"vouchmark/assess"
)

// byDevices puts in question the labels that rest on a device which failed its
// maintenance, from that day on: by the rows as they are, and by the label's
// own record. A later survey of the equipment does not clear it, only another
// result does: a device that does not work clears nothing in the time that a
// study gives it.
func byDevices(all []Standing, subjects []Subject, s *assess.Site, today assess.Date) {
	failed := map[string]*assess.Device{}
	grounds := map[*assess.Device]*Ground{}
	for i := range s.Devices {
		d := &s.Devices[i]
		if !d.FailedBy(today) {
			continue
		}
		failed[d.Key()] = d
		grounds[d] = &Ground{Cause: DeviceCause, Status: InQuestion, Detail: d.FailedWords() + "; it clears the arc here",
			Remedy: assess.Remedy{Words: assess.RepairDevice}}
	}
	if len(failed) == 0 {
		return
	}
	for i := range subjects {
		var clearing []*assess.Device
		if at := subjects[i].At; at >= 0 {
			clearing = s.Locations[at].Clearing(failed)
		}
		for _, key := range subjects[i].Devices {
			if d := failed[key]; d != nil && !slices.Contains(clearing, d) {
				clearing = append(clearing, d)
			}
		}
		for _, d := range clearing {
			all[i].add(Reason{Since: d.Maintained, Ground: grounds[d]})
		}
	}
}
