package standing

import (
	"strings"
	"testing"

	"vouchmark/assess"
)

// A failed device puts in question what rests on it by the row as it is or by
// the label's own record, whatever the survey's date; nothing else does.
func TestFailedDevices(t *testing.T) {
	failed := assess.Device{Name: "breaker 2", At: "A", Maintained: day(t, "2026-06-01"), Failed: true, By: "maintenance"}
	passed, ahead, another := failed, failed, failed
	passed.Failed = false
	ahead.Maintained = day(t, "2026-08-02")
	another.Name = "breaker 3"
	none := Subject{ID: "B", At: 1}
	recorded := Subject{ID: "B", At: 1, Devices: []string{assess.DeviceKey("breaker 2", "A")}}
	gone := recorded
	gone.At = -1
	surveyed := none
	surveyed.Base, surveyed.Prepared = day(t, "2026-07-01"), day(t, "2026-07-02")
	for _, c := range []struct {
		name   string
		d      assess.Device
		row    string // the device that the row names at A
		label  Subject
		doubts int
	}{
		{"by the row", failed, "breaker 2", none, 1},
		{"from the record", failed, "", recorded, 1},
		{"by both, once", failed, "Breaker 2", recorded, 1},
		{"surveyed after it", failed, "breaker 2", surveyed, 1},
		{"its row is gone", failed, "", gone, 1},
		{"neither", failed, "", none, 0},
		{"passed", passed, "breaker 2", recorded, 0},
		{"after today", ahead, "breaker 2", recorded, 0},
		{"another device", another, "breaker 2", recorded, 0},
	} {
		s := &assess.Site{Locations: []assess.Location{{ID: "A", Cases: []assess.Case{{}}},
			{ID: "B", Cases: []assess.Case{{}, {Name: "tie", Device: c.row, DeviceAt: "A"}}}}, Devices: []assess.Device{c.d}}
		c.label.ReviewBy = day(t, "2031-03-14")
		got := Of([]Subject{{ID: "A", At: 0, ReviewBy: c.label.ReviewBy}, c.label}, s, day(t, "2026-08-01"))
		n := 0
		for _, r := range got[1].Reasons {
			if r.Cause == DeviceCause {
				n++
				if r.Since != failed.Maintained || got[1].Status != InQuestion || r.Remedy.Words == "" {
					t.Errorf("%s: %s %+v %+v", c.name, got[1].Status, r, r.Ground)
				}
			}
		}
		if n != c.doubts || got[0].Status != Holds {
			t.Errorf("%s: %d reasons, want %d; %s", c.name, n, c.doubts, got[0].Status)
		}
	}
}

// A label whose device is overdue holds, and says so once; from the day after
// the last one on which it was to be maintained.
func TestOverdueDevices(t *testing.T) {
	late := assess.Device{Name: "fuse", At: "A", Maintained: day(t, "2023-05-01"), IntervalMonths: 36}
	never := assess.Device{Name: "fuse", At: "A", IntervalMonths: 36}
	fresh := assess.Device{Name: "fuse", At: "A", Maintained: day(t, "2026-05-01"), IntervalMonths: 36}
	for _, c := range []struct {
		name  string
		d     assess.Device
		today string
		since string // "" for no note
	}{
		{"late", late, "2026-05-02", "2026-05-02"}, {"on the day", late, "2026-05-01", ""},
		{"never", never, "2026-05-01", "2026-05-01"}, {"fresh", fresh, "2026-05-02", ""},
	} {
		s := &assess.Site{Devices: []assess.Device{c.d}, Locations: []assess.Location{
			{ID: "A", Cases: []assess.Case{{}}}, {ID: "B", Cases: []assess.Case{{Device: "Fuse", FedFrom: []string{"A"}}}}}}
		labels := []Subject{{ID: "A", ReviewBy: day(t, "2031-03-14")},
			{ID: "B", At: 1, ReviewBy: day(t, "2031-03-14"), Devices: []string{assess.DeviceKey("fuse", "A")}}}
		got := Of(labels, s, day(t, c.today))
		if got[0].Status != Holds || len(got[0].Reasons) > 0 || got[1].Status != Holds || got[1].Worst() != nil ||
			(len(got[1].Reasons) == 1) != (c.since != "") {
			t.Fatalf("%s: %+v", c.name, got)
		}
		if c.since != "" {
			if r := got[1].Reasons[0]; r.Cause != DeviceCause || r.Since != day(t, c.since) || r.Found != (c.d == never) ||
				!strings.HasPrefix(r.Words(), "device maintenance overdue: ") || r.Remedy.Words != "" {
				t.Errorf("%s: %+v %+v", c.name, r, r.Ground)
			}
		}
	}
}
