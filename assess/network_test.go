package assess

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess/shock"
)

// doubleEnded is an invented plant with main-tie-main: two transformers of 1000
// kVA and 5.75 %, each with a switchboard, the tie between them open or closed.
// An infinite source gives 20.9 kA through each by the nameplate, 22.6 kA with
// the tolerance, and motors 4.8 kA beside; all numbers are as a study has them.
func doubleEnded() *Site {
	at := func(id string, v Volts, cases ...Case) Location {
		l := Location{ID: id, Equipment: "Panel", Supply: shock.AC3, Voltage: v, Distance: 457.2}
		if v > 1000 {
			l.Distance = 914.4
		}
		for _, c := range cases {
			c.Method, c.Energy, c.Boundary, c.Prepared = Stated, 5, 42*MMPerInch, Date{2026, 3, 14}
			if v > 1000 {
				c.Boundary = 84 * MMPerInch
			}
			l.Cases = append(l.Cases, c)
		}
		return l
	}
	main := func(n string, other string) []Location {
		up, tie := []string{"T-" + n}, []string{"SWB-" + other}
		swb, mcc := "SWB-"+n, []string{"SWB-" + n}
		return []Location{
			at("T-"+n, 480, Case{FedFrom: []string{"UTL-1"}, Fault: 20, DeviceAt: "UTL-1"}),
			at(swb, 480, Case{Name: "tie closed", FedFrom: up, TiedTo: tie, Fault: 37, DeviceAt: "UTL-1"},
				Case{Name: "tie open", FedFrom: up, Fault: 19.5, DeviceAt: "UTL-1"}),
			at("MCC-"+n, 480, Case{Name: "tie closed", FedFrom: mcc, Fault: 28, DeviceAt: swb},
				Case{Name: "tie open", FedFrom: mcc, Fault: 17, DeviceAt: swb}),
			at("P-"+n, 480, Case{FedFrom: []string{"MCC-" + n}, Fault: 14, DeviceAt: "MCC-" + n}),
		}
	}
	s := &Site{Policy: policy(40, 8, 40)}
	s.Locations = slices.Concat([]Location{at("UTL-1", 13800, Case{Fault: 10})}, main("1", "2"), main("2", "1"))
	s.Policy.Sources = []string{"UTL-1"}
	for _, id := range []string{"T-1", "T-2"} {
		s.Policy.Transformers = append(s.Policy.Transformers, Transformer{At: id, KVA: 1000, ImpedancePercent: 5.75, Secondary: 480})
	}
	line := 1
	for i := range s.Locations {
		for k := range s.Locations[i].Cases {
			line++
			s.Locations[i].Cases[k].Line = line
		}
	}
	return s
}

// Each finding that needs other rows, and its correct twin: want has everything that
// is found, as "id level code", "final" for what nobody can accept.
func TestNetworkFindings(t *testing.T) {
	row := func(s *Site, id, name string) *Case {
		l, ok := s.Location(id)
		if !ok {
			panic(id)
		}
		if c := l.CaseNamed(name); c != nil {
			return c
		}
		return &l.Cases[0]
	}
	for _, c := range []struct {
		name string
		edit func(*Site)
		want string
	}{
		{"main-tie-main", func(s *Site) {}, ""},
		{"the tie named on one side", func(s *Site) { row(s, "SWB-2", "tie closed").TiedTo = nil }, ""},
		{"the tie named in both cases", func(s *Site) { row(s, "SWB-1", "tie open").TiedTo = []string{"SWB-2"} }, ""},
		{"without a tie as much is too much", func(s *Site) {
			row(s, "SWB-1", "tie closed").TiedTo, row(s, "SWB-2", "tie closed").TiedTo = nil, nil
		}, "MCC-1 caution fault-beyond-source; MCC-2 caution fault-beyond-source; SWB-1 error fault-beyond-source; SWB-2 error fault-beyond-source"},
		{"the old way, one side fed from the other", func(s *Site) {
			for _, name := range []string{"tie closed", "tie open"} {
				row(s, "SWB-1", name).FedFrom, row(s, "SWB-1", name).TiedTo = []string{"T-1", "SWB-2"}, nil
				row(s, "SWB-2", name).TiedTo = nil
			}
		}, ""},
		{"each fed from the other", func(s *Site) {
			row(s, "SWB-1", "tie closed").FedFrom, row(s, "SWB-2", "tie closed").FedFrom = []string{"T-1", "SWB-2"}, []string{"T-2", "SWB-1"}
		}, "SWB-1 error feed-loop; SWB-2 error feed-loop"},
		{"each fed from the other, at different times", func(s *Site) {
			row(s, "SWB-1", "tie closed").FedFrom, row(s, "SWB-2", "tie open").FedFrom = []string{"SWB-2"}, []string{"SWB-1"}
			row(s, "SWB-1", "tie closed").DeviceAt, row(s, "SWB-2", "tie open").DeviceAt = "SWB-2", "SWB-1"
			row(s, "SWB-1", "tie closed").Fault, row(s, "SWB-2", "tie closed").Fault = 19, 19
			row(s, "MCC-1", "tie closed").Fault, row(s, "MCC-2", "tie closed").Fault = 17, 17
		}, ""},

		{"1.6 times what both transformers give", func(s *Site) { row(s, "SWB-1", "tie closed").Fault = 1.6 * 44.1 }, "SWB-1 error fault-beyond-source"},
		{"1.4 times", func(s *Site) { row(s, "SWB-1", "tie closed").Fault = 1.4 * 44.1 }, "SWB-1 caution fault-beyond-source"},
		{"as much as both give", func(s *Site) { row(s, "SWB-1", "tie closed").Fault = 43.9 }, ""},
		{"more than one gives, the tie open", func(s *Site) { row(s, "SWB-1", "tie open").Fault = 23 }, "SWB-1 caution fault-beyond-source"},
		{"more than its nameplate", func(s *Site) { // the tie brings more, so that must be gone
			row(s, "SWB-1", "tie closed").TiedTo, row(s, "SWB-2", "tie closed").TiedTo = nil, nil
			for _, id := range []string{"SWB-1", "SWB-2", "MCC-1", "MCC-2"} {
				row(s, id, "tie closed").Fault = 17
			}
			row(s, "T-1", "").Fault = 27.5
		}, "T-1 caution fault-beyond-source"},
		{"backfed by the tie", func(s *Site) { row(s, "T-1", "").Fault = 36 }, ""},
		{"more than upstream", func(s *Site) { row(s, "P-1", "").Fault = 31 }, "P-1 caution fault-beyond-source"},
		{"and 10 % for motors", func(s *Site) { row(s, "P-1", "").Fault = 30.7 }, ""},
		{"an unnamed row has the worst of the cases, a named one its own", func(s *Site) { row(s, "P-1", "").Name = "tie open"; row(s, "P-1", "").Fault = 30.7 }, "P-1 error fault-beyond-source"},
		{"two cases of its own", func(s *Site) {
			l, _ := s.Location("P-1")
			l.Cases = append(l.Cases, l.Cases[0])
			l.Cases[0].Name, l.Cases[1].Name = "tie closed", "tie open"
			l.Cases[0].Fault, l.Cases[1].Fault = 30.7, 30.7
		}, "P-1 error fault-beyond-source"},
		{"a source may state what it likes", func(s *Site) { row(s, "T-1", "").Fault, s.Policy.Sources = 90, append(s.Policy.Sources, "T-1") }, ""},
		{"DC is not held against AC", func(s *Site) { l, _ := s.Location("P-1"); l.Supply, l.Cases[0].Fault = shock.DC, 60 }, ""},
		{"another voltage", func(s *Site) { l, _ := s.Location("P-1"); l.Voltage, l.Cases[0].Fault = 240, 60 }, ""},

		{"a transformer with little current", func(s *Site) {
			row(s, "T-1", "").Fault, row(s, "SWB-1", "tie open").Fault, row(s, "MCC-1", "tie open").Fault = 14, 13, 12
		}, "T-1 caution fault-below-transformer"},
		{"and just enough", func(s *Site) {
			row(s, "T-1", "").Fault, row(s, "SWB-1", "tie open").Fault, row(s, "MCC-1", "tie open").Fault = 14.7, 13, 12
		}, ""},
		{"less than is stated below it", func(s *Site) { row(s, "T-1", "").Fault = 17 }, "SWB-1 caution fault-beyond-source"},

		{"a device downstream", func(s *Site) { row(s, "MCC-1", "tie open").DeviceAt = "P-1" }, "MCC-1 final device-not-upstream"},
		{"a device of the other side", func(s *Site) { row(s, "MCC-1", "tie open").DeviceAt = "T-2" }, "MCC-1 final device-not-upstream"},
		{"a device across the tie", func(s *Site) { row(s, "MCC-1", "tie closed").DeviceAt = "T-2" }, "MCC-1 error device-not-upstream"},
		{"one further up", func(s *Site) { row(s, "MCC-1", "tie open").DeviceAt = "T-1" }, ""},
		{"an unnamed row's device in one case", func(s *Site) { row(s, "SWB-1", "tie open").FedFrom = nil; row(s, "SWB-1", "tie open").DeviceAt = "" }, ""},
		{"a feed above it that is unknown", func(s *Site) {
			row(s, "MCC-1", "tie closed").FedFrom, row(s, "MCC-1", "tie open").FedFrom = []string{"X"}, []string{"X"}
			row(s, "MCC-1", "tie closed").DeviceAt, row(s, "MCC-1", "tie open").DeviceAt = "", ""
			row(s, "P-1", "").DeviceAt = "T-1"
		}, "MCC-1 error unknown-feed; P-1 caution device-not-upstream"},
		{"a device nowhere", func(s *Site) { row(s, "P-1", "").DeviceAt = "X" }, "P-1 error unknown-place"},

		{"a device too weak for its place", func(s *Site) { row(s, "P-1", "").DeviceRating = 25 }, "P-1 error over-interrupting"},
		{"and strong enough", func(s *Site) { row(s, "P-1", "").DeviceRating = 28 }, ""},
		{"by the case of the same name", func(s *Site) { row(s, "MCC-1", "tie open").DeviceRating = 19.5 }, ""},
		{"across a transformer its own side counts", func(s *Site) { row(s, "T-1", "").DeviceRating = 12 }, ""},
		{"the row's own current where none is stated there", func(s *Site) {
			row(s, "MCC-1", "tie closed").Fault, row(s, "MCC-1", "tie open").Fault = 0, 0
			row(s, "P-1", "").DeviceRating = 13
		}, "P-1 error over-interrupting"},
		{"but not at another voltage", func(s *Site) { row(s, "UTL-1", "").Fault, row(s, "T-1", "").DeviceRating = 0, 12 }, ""},

		{"nothing feeds it", func(s *Site) { row(s, "P-1", "").FedFrom, row(s, "P-1", "").DeviceAt = nil, "" }, "P-1 caution no-feeds"},
		{"nor is anything known upstream", func(s *Site) { row(s, "P-1", "").FedFrom = nil }, "P-1 caution device-not-upstream; P-1 caution no-feeds"},
		{"a place without a label", func(s *Site) {
			l, _ := s.Location("P-1")
			l.Unlabeled, l.Cases[0].FedFrom, l.Cases[0].DeviceAt = true, nil, ""
		}, ""},
		{"a tie is a way too", func(s *Site) {
			row(s, "P-1", "").FedFrom, row(s, "P-1", "").DeviceAt, row(s, "P-2", "").TiedTo = nil, "", []string{"P-1"}
		}, ""},
		{"a tie to nowhere", func(s *Site) {
			row(s, "SWB-1", "tie closed").TiedTo = []string{"X"}
			row(s, "SWB-2", "tie closed").TiedTo = nil
		}, "MCC-2 caution fault-beyond-source; SWB-1 error unknown-feed; SWB-2 error fault-beyond-source"},
		{"a tie to itself", func(s *Site) { row(s, "P-1", "").TiedTo = []string{"P-1"} }, "P-1 error feed-loop"},
		{"a feed to nowhere", func(s *Site) { row(s, "P-1", "").FedFrom = []string{"X", "MCC-1"} }, "P-1 error unknown-feed"},

		{"a generator that feeds the plant", func(s *Site) {
			l, _ := s.Location("UTL-1")
			l.Equipment = "Generator set 3"
			row(s, "P-1", "").Clear, row(s, "P-1", "").Device = 50, "breaker"
			row(s, "P-2", "").Clear, row(s, "P-2", "").Device = 2000, "breaker" // long enough
			row(s, "MCC-1", "tie open").Clear = 50                              // nothing clears it
		}, "P-1 caution source-limited"},
		{"the utility", func(s *Site) { row(s, "P-1", "").Clear, row(s, "P-1", "").Device = 50, "breaker" }, ""},
		{"an inverter upstream", func(s *Site) {
			l, _ := s.Location("MCC-1")
			l.Equipment = "UPS 2"
			row(s, "P-1", "").Clear, row(s, "P-1", "").Device = 50, "breaker"
		}, "P-1 caution source-limited"},
		{"a generator's pump upstream", func(s *Site) {
			l, _ := s.Location("MCC-1")
			l.Equipment = "Generator auxiliaries"
			row(s, "P-1", "").Clear, row(s, "P-1", "").Device = 50, "breaker"
		}, ""},
		{"its own note", func(s *Site) {
			row(s, "P-1", "").Note, row(s, "P-1", "").Clear, row(s, "P-1", "").Curve = "fed by a solar string by day", 50, "c.csv"
		}, "P-1 caution source-limited"},
		{"only a part of a word", func(s *Site) {
			row(s, "P-1", "").Note, row(s, "P-1", "").Clear, row(s, "P-1", "").Device = "groups of pumps, regenerators", 50, "breaker"
		}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := doubleEnded()
			c.edit(s)
			var got, messages []string
			for _, a := range s.Assess(Date{2026, 5, 1}) {
				for _, f := range a.Findings {
					level := string(f.Level)
					if f.final {
						level = "final"
					}
					got = append(got, fmt.Sprintf("%s %s %s", a.Location.ID, level, f.Code))
					messages = append(messages, a.Location.ID+": "+f.Message)
				}
			}
			slices.Sort(got)
			if g := strings.Join(got, "; "); g != c.want {
				t.Errorf("got  %q\nwant %q\n%s\n%s", g, c.want, strings.Join(messages, "\n"), sketch(s))
			}
		})
	}
}

// Where a location has several cases a finding says in which; a loop of one
// condition names it.
func TestFindingsNameTheirCase(t *testing.T) {
	s := doubleEnded()
	l, _ := s.Location("SWB-1")
	l.Cases[0].Fault = 80
	l, _ = s.Location("MCC-2")
	l.Cases[1].FedFrom = []string{"P-2"}
	all := s.Assess(Date{2026, 5, 1})
	said := map[string]string{}
	for _, a := range all {
		for _, f := range a.Findings {
			said[a.Location.ID] += f.Message + "\n"
		}
	}
	for id, want := range map[string][]string{
		"SWB-1": {"in case tie closed: 80 kA is stated, but at most 44 kA can come from T-1 and T-2"},
		"MCC-2": {"in case tie open: circular feed: MCC-2 is fed from P-2 is fed from MCC-2"},
		"P-2":   {"in case tie open: circular feed: P-2 is fed from MCC-2 is fed from P-2"},
	} {
		for _, w := range want {
			if !strings.Contains(said[id], w) {
				t.Errorf("%s: %q does not say %q", id, said[id], w)
			}
		}
	}
}

// A named person takes responsibility for what can be accepted, for a device across a tie
// and too much fault current among it; for a device that is not upstream at all
// nobody can.
func TestNetworkFindingsAccepted(t *testing.T) {
	s := doubleEnded()
	edit := func(id string, k int, edit func(*Case)) {
		l, _ := s.Location(id)
		edit(&l.Cases[k])
	}
	edit("SWB-1", 0, func(c *Case) { c.Fault = 80 })
	edit("MCC-1", 0, func(c *Case) { c.DeviceAt = "T-2" })
	edit("MCC-2", 1, func(c *Case) { c.DeviceAt = "P-2" })
	edit("P-1", 0, func(c *Case) { c.DeviceRating = 20 })
	for _, code := range []Code{FaultBeyondSource, DeviceNotUpstream, OverInterrupting} {
		s.Policy.Accept = append(s.Policy.Accept, Acceptance{Finding: code, By: "Q. Example, PE", Date: Date{2026, 3, 20}, Reason: "invented",
			At: []string{"SWB-1", "MCC-1", "MCC-2", "P-1"}})
	}
	for _, a := range s.Assess(Date{2026, 5, 1}) {
		if want := a.Location.ID != "MCC-2"; a.Prints() != want {
			t.Errorf("%s prints: %v; %+v", a.Location.ID, a.Prints(), a.Findings)
		}
	}
}

// A chain of 20,000 locations, each in three cases and with a device at the far
// end: no walk may begin again at each of them.
func TestNetworkOfManyLocations(t *testing.T) {
	const many = 20_000
	s := &Site{Policy: policy(40, 8, 40)}
	id := func(i int) string { return fmt.Sprintf("L%d", i) }
	for i := range many {
		l := Location{ID: id(i), Supply: shock.AC3, Voltage: 480}
		for _, name := range []string{"a", "b", "c"} {
			c := Case{Name: name, Fault: 20, DeviceAt: id(many - 1)}
			if i > 0 {
				c.FedFrom = []string{id(i - 1)}
			}
			l.Cases = append(l.Cases, c)
		}
		l.Cases[1].Fault = 30
		s.Locations = append(s.Locations, l)
	}
	s.Policy.Sources = []string{id(0)}
	f := newNetwork(s)
	for i := range many - 1 {
		for k, r := range f.rows[i] {
			if r.device != elsewhere || i > 0 && math.Abs(r.most-1.1*float64(s.Locations[i].Cases[k].Fault)) > 1e-9 {
				t.Fatalf("%s: %+v", id(i), r)
			}
		}
	}
}
