package site

import (
	"strings"
	"testing"

	"vouchmark/assess"
)

const fedRows = "id,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared,fed_from\n" +
	"S-1,Board,ac3,480,2.5,30,18,2026-03-14,\n" +
	"S-2,Board,ac3,480,2.5,30,18,2026-03-14,\n" +
	"P-1,Panel,ac3,480,2.5,30,18,2026-03-14,S-1\n" +
	"P-2,Panel,ac3,480,2.5,30,18,2026-03-14,S-1;S-2\n"

func TestFeeders(t *testing.T) {
	s, ps := read(goodPolicy+`
[[feeder]]
at = "P-1"
milliohm = 4.4

[[feeder]]
at = "P-2"
from = "S-2"
milliohm = 0
`, fedRows)
	if ps != nil {
		t.Fatal(ps)
	}
	if f, ok := s.Policy.Feeder("P-1", "S-1"); !ok || f.Milliohm != 4.4 {
		t.Errorf("the one feed needs no from: %+v", s.Policy.Feeders)
	}
	if f, ok := s.Policy.Feeder("P-2", "S-2"); !ok || f != (assess.Feeder{At: "P-2", From: "S-2"}) {
		t.Errorf("feeders: %+v", s.Policy.Feeders)
	}
	for _, bad := range []struct{ table, want string }{
		{`at = "P-9"` + "\nmilliohm = 1", `feeder[1].at: found "P-9", expected the id of a location`},
		{`at = "P-1"`, "feeder[1].milliohm: found no such key"},
		{`at = "P-1"` + "\nmilliohm = -1", "feeder[1].milliohm: found -1"},
		{`at = "P-1"` + "\nfrom = \"S-2\"\nmilliohm = 1", `feeder[1].from: found "S-2", expected a feed of P-1`},
		{`at = "P-2"` + "\nmilliohm = 1", "feeder[1].from: found no such key, expected one of S-1, S-2"},
		{`at = "S-1"` + "\nmilliohm = 1", `feeder[1].at: found "S-1", expected a location with a fed_from`},
		{`at = "P-1"` + "\nmilliohm = 1\n[[feeder]]\nat = \"P-1\"\nfrom = \"S-1\"\nmilliohm = 2", "expected one [[feeder]] for each pair"},
		{`at = "P-1"` + "\nmilliohm = 1\nlength = 2", "feeder[1].length: found an unknown key"},
	} {
		_, ps := read(goodPolicy+"\n[[feeder]]\n"+bad.table+"\n", fedRows)
		if len(ps) != 1 || !strings.Contains(ps[0].String(), bad.want) {
			t.Errorf("%s:\n%v\nwant %s", bad.table, ps, bad.want)
		}
	}
}
