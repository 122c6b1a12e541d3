package assess

import "testing"

// A relay at 13.8 kV never sees the fault current of the 480 V terminals that it
// clears (NEC 110.9 is about the current at the device).
func TestRatingsOfDevicesElsewhere(t *testing.T) {
	at := func(id string, v Volts) Location {
		l := panel(5, 42, 18)
		l.ID, l.Voltage, l.Cases[0].DeviceRating = id, v, 25
		return l
	}
	for _, c := range []struct {
		deviceAt string
		want     KA
	}{{"", 25}, {"SWB", 25}, {"MVS", 0}, {"gone", 0}, {"P", 25}} {
		s := &Site{Locations: []Location{at("MVS", 13800), at("SWB", 480), at("P", 480)}}
		l := &s.Locations[2]
		l.Cases[0].DeviceAt = c.deviceAt
		in := s.Inputs(l)
		if got := s.Ratings().Own(&in).Location.Cases[0].DeviceRating; got != c.want || l.Cases[0].DeviceRating != 25 {
			t.Errorf("device at %q: %v kA, want %v; the row keeps %v", c.deviceAt, got, c.want, l.Cases[0].DeviceRating)
		}
	}
}
