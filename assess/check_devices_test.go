package assess

import (
	"strings"
	"testing"
)

// When a device is due, overdue or failed, on the days around.
func TestDeviceDue(t *testing.T) {
	last := date(t, "2023-03-31")
	for _, c := range []struct {
		name            string
		d               Device
		today           string
		due             string // "" where it is not to be maintained; "at once" where no day is known
		overdue, failed bool
	}{
		{"in order", Device{Maintained: last, IntervalMonths: 36}, "2026-03-30", "2026-03-31", false, false},
		{"on the day", Device{Maintained: last, IntervalMonths: 36}, "2026-03-31", "2026-03-31", false, false},
		{"a day late", Device{Maintained: last, IntervalMonths: 36}, "2026-04-01", "2026-03-31", true, false},
		{"end of month", Device{Maintained: last, IntervalMonths: 35}, "2026-02-28", "2026-02-28", false, false},
		{"no interval", Device{Maintained: last}, "2026-04-01", "", false, false},
		{"never maintained", Device{IntervalMonths: 36}, "2026-04-01", "at once", true, false},
		{"never, no interval", Device{}, "2026-04-01", "", false, false},
		{"dated ahead", Device{Maintained: last, IntervalMonths: 36}, "2023-03-30", "at once", true, false},
		{"failed", Device{Maintained: last, IntervalMonths: 36, Failed: true}, "2023-03-31", "", false, true},
		{"failed, long overdue", Device{Maintained: last, IntervalMonths: 36, Failed: true}, "2030-01-01", "", false, true},
		{"failed tomorrow", Device{Maintained: last, IntervalMonths: 36, Failed: true}, "2023-03-30", "at once", true, false},
	} {
		today := date(t, c.today)
		by, due := c.d.Due(today)
		got := by.String()
		if due && by.IsZero() {
			got = "at once"
		}
		if got != c.due || due != (c.due != "") || c.d.Overdue(today) != c.overdue || c.d.FailedBy(today) != c.failed {
			t.Errorf("%s: due %q %v, overdue %v, failed %v", c.name, got, due, c.d.Overdue(today), c.d.FailedBy(today))
		}
	}
}

// A device is a row's where name and place are the same; capitals in the name
// do not matter. Each with a device that is like it and not the same.
func TestDeviceFindings(t *testing.T) {
	today := date(t, "2026-05-01")
	late := Device{Name: "breaker 2", At: "A", Maintained: date(t, "2020-01-01"), IntervalMonths: 36, Line: 2}
	failed := late
	failed.Failed = true
	fresh := late
	fresh.Maintained = date(t, "2026-01-01")
	elsewhere, another, capitals := late, late, late
	elsewhere.At, another.Name, capitals.Name = "B", "breaker 22", "Breaker 2"
	for _, c := range []struct {
		name string
		d    Device
		code Code // of B, whose arc the device clears in its second case; "" for none
		loss bool // no row names it
	}{
		{"late", late, DeviceOverdue, false}, {"failed", failed, DeviceFailed, false}, {"fresh", fresh, "", false},
		{"elsewhere", elsewhere, "", true}, {"another", another, "", true}, {"capitals", capitals, DeviceOverdue, false},
	} {
		s := Site{Policy: policy(40, 40), Locations: []Location{panel(5, 42, 18), panel(5, 42, 18)}, Devices: []Device{c.d}}
		s.Locations[0].ID, s.Locations[1].ID = "A", "B"
		b := &s.Locations[1]
		b.Cases = append(b.Cases, b.Cases[0])
		b.Cases[1].Name, b.Cases[1].Device, b.Cases[1].DeviceAt = "tie", "breaker 2", "A"
		all := s.Assess(today)
		var codes []Code
		for _, f := range all[1].Findings {
			if f.Code == DeviceOverdue || f.Code == DeviceFailed {
				codes = append(codes, f.Code)
				if f.Level != Caution || f.File != DevicesFile || f.Line != 2 || !strings.Contains(f.Message, c.d.Where()) {
					t.Errorf("%s: %+v", c.name, f)
				}
			}
		}
		if want := []Code{c.code}; c.code == "" && codes != nil || c.code != "" && (len(codes) != 1 || codes[0] != want[0]) {
			t.Errorf("%s: %v, want %s", c.name, codes, c.code)
		}
		for _, f := range all[0].Findings {
			if f.Code == DeviceOverdue || f.Code == DeviceFailed {
				t.Errorf("%s: it clears nothing at A: %+v", c.name, f)
			}
		}
		loss := find(s.Findings(today), func(f *Finding) bool { return f.Code == DeviceUnnamed })
		if (loss != nil) != c.loss {
			t.Errorf("%s: %+v", c.name, loss)
		}
	}
}

// A row that does not say where its device is means one at its own place or at
// what feeds it in that case, and no other.
func TestDeviceWithoutPlace(t *testing.T) {
	for _, c := range []struct {
		at, deviceAt string
		meant        bool
	}{
		{"B", "", true}, {"A", "", true}, {"C", "", false}, {"D", "", false},
		{"A", "A", true}, {"B", "A", false}, {"A", "B", false}, {"D", "D", true},
	} {
		s := Site{Policy: policy(40, 40), Locations: []Location{panel(5, 42, 18), panel(5, 42, 18), panel(5, 42, 18), panel(5, 42, 18)},
			Devices: []Device{{Name: "battery fuse", At: c.at, Maintained: date(t, "2026-01-01"), Failed: true}}}
		for i, id := range []string{"A", "B", "C", "D"} {
			s.Locations[i].ID = id
		}
		b := &s.Locations[1]
		b.Cases = append(b.Cases, b.Cases[0])
		b.Cases[0].FedFrom = []string{"C"} // another case, with another device
		b.Cases[1].Name, b.Cases[1].Device, b.Cases[1].DeviceAt, b.Cases[1].FedFrom = "tie", "Battery fuse", c.deviceAt, []string{"A"}
		all, today := s.Assess(date(t, "2026-05-01")), date(t, "2026-05-01")
		unnamed := find(s.Findings(today), func(f *Finding) bool { return f.Code == DeviceUnnamed }) != nil
		if all[1].found(DeviceFailed) != c.meant || unnamed == c.meant {
			t.Errorf("device at %s, row says %q: %v, unnamed %v", c.at, c.deviceAt, all[1].Findings, unnamed)
		}
		for _, i := range []int{0, 2, 3} {
			if all[i].found(DeviceFailed) {
				t.Errorf("device at %s: it clears nothing at %s", c.at, s.Locations[i].ID)
			}
		}
	}
}
