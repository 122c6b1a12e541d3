package assess

import (
	"cmp"
	"strings"
)

// isolatedNote begins the note of a row that takes credit for the main device in
// its own enclosure.
const isolatedNote = "main isolated:"

// checkFault compares the fault current with the rating of the equipment, and with
// that of its protective device if nothing says where that is installed: otherwise
// the current there counts.
func (a *Assessment) checkFault() {
	l := a.Location
	for _, c := range l.Cases {
		if l.Rating > 0 && c.Fault > l.Rating {
			a.errorf(c.Line, OverRating, "rating_ka", "%.4g kA is available, but the equipment is rated %.4g kA: "+
				"it may fail violently during a fault (NEC 110.9, 110.10); ask the engineer of the study",
				c.Fault, l.Rating)
		}
		if c.DeviceAt == "" && c.DeviceRating > 0 && c.Fault > c.DeviceRating {
			a.errorf(c.Line, OverInterrupting, "device_rating_ka", "%.4g kA is available, but %s can interrupt only %.4g kA: "+
				"it may not clear the fault at all, so the stated clearing time is not valid (NEC 110.9); "+
				"for a series rating (NEC 240.86), have a named person accept this",
				c.Fault, c.deviceName(), c.DeviceRating)
		}
	}
}

// checkDeviceAt refuses credit for a device in the location's own enclosure: it
// does not clear an arc on its own line side (common practice). An owner whose
// mains are isolated from the rest says so in the policy and in the row.
func (a *Assessment) checkDeviceAt() {
	for _, c := range a.Location.Cases {
		if c.DeviceAt != a.Location.ID {
			continue
		}
		how, ok := strings.CutPrefix(c.Note, isolatedNote)
		switch {
		case !a.Policy.OwnMain:
			a.errorf(c.Line, OwnMain, "device_at", "%s is in the same enclosure and does not clear an arc on its own line side; "+
				"name the device upstream, or set own_main = true in site.toml and begin the row's note with %q",
				c.deviceName(), isolatedNote)
		case !ok || !Says(how):
			a.errorf(c.Line, OwnMain, "note", "%s is in the same enclosure: "+
				"the note must begin with %q and say how the main is isolated from the rest",
				c.deviceName(), isolatedNote)
		}
	}
}

// deviceName names the device of a case in a message.
func (c *Case) deviceName() string { return cmp.Or(c.Device, "the device") }
