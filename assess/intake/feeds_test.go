package intake

import (
	"fmt"
	"strings"
	"testing"
)

// Which location an upstream text or a device's text names: one alone, or several
// where it says nothing else.
func TestFeeds(t *testing.T) {
	for _, c := range []struct{ upstream, device, fed, at string }{
		{"SWB-1", "", "SWB-1", ""}, {"swb 1", "", "SWB-1", ""}, {"Panel SWB-1", "", "SWB-1", ""},
		{"SWB-1; SWB-2", "", "SWB-1; SWB-2", ""}, {"SWB-1 / SWB-2", "", "SWB-1; SWB-2", ""}, {"SWB-1 and SWB-2", "", "SWB-1; SWB-2", ""},
		{"SWB-1 through SWB-2", "", "", ""}, {"Utility", "", "", ""}, {"PNL-9", "", "", ""}, // its own id
		{"101", "", "101", ""}, {"panel 101", "", "", ""}, // 101 may be a room
		{"", "SWB-1 feeder 3", "", "SWB-1"}, {"", "breaker 3 of SWB-2", "", "SWB-2"}, {"", "SWB-1 tie to SWB-2", "", ""},
		{"", "PNL-9 main", "", ""}, {"", "SWB-1 to PNL-9", "", "SWB-1"}, {"", "400 A fuse", "", ""}, {"", "400 breaker 2", "", "400"},
		{"", "007 breaker", "", "007"}, {"", "breaker 101", "", ""}, {"", "101 feeder", "", "101"},
	} {
		text := "Bus ID,Description,Voltage (V),Fed From,Device\nPNL-9,Panel,480," + c.upstream + "," + c.device + "\n"
		for i, id := range []string{"SWB-1", "SWB-2", "101", "400", "007"} {
			text += fmt.Sprintf("%s,Board,480,x,SWB-1 feeder %d\n", id, i)
		}
		s := take(t, text, Answers{}, Context{})
		if r := s.Rows[0].Cells; r["fed_from"] != c.fed || r["device_at"] != c.at {
			t.Errorf("%q, %q: fed_from %q, device_at %q, want %q, %q", c.upstream, c.device, r["fed_from"], r["device_at"], c.fed, c.at)
		}
	}
	// If the texts of devices do not start with ids, a number in front is not an id.
	s := take(t, "Bus ID,Description,Voltage (V),Device\nPNL-9,Panel,480,101 feeder\n101,Board,480,fuse\n102,Board,480,fuse\n", Answers{}, Context{})
	if s.Rows[0].Cells["device_at"] != "" || !strings.Contains(fmt.Sprint(s.Feeds.Unnamed), "101 feeder") {
		t.Errorf("%v", s.Rows[0].Cells)
	}
}
