package plant

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/record"
)

const restudyDay = "2027-05-03"

// apart is an invented site of panels that nothing joins, all of them printed.
func apart(t *testing.T, n int) *shop {
	s := works(t, n)
	for i := range s.Locations {
		s.Locations[i].Cases[0].FedFrom = nil
	}
	p := newShop(t, s)
	p.print("2026-04-02")
	return p
}

// copied is a site whose rows can be changed without the other's.
func copied(s *assess.Site) *assess.Site {
	c := *s
	c.Locations = slices.Clone(s.Locations)
	for i := range c.Locations {
		c.Locations[i].Cases = slices.Clone(c.Locations[i].Cases)
	}
	return &c
}

// restudy compares a shop's site with the same site after a change to its rows.
func (p *shop) restudy(change func(*assess.Site), outside ...string) *Restudy {
	p.Helper()
	s := copied(p.Site)
	change(s)
	after, err := New(s, p.h, day(p.T, restudyDay), nil)
	if err != nil {
		p.Fatal(err)
	}
	return NewRestudy(p.judge(restudyDay), after, func(id string) bool { return !slices.Contains(outside, id) })
}

func (r *Restudy) row(t *testing.T, id string) *RestudyRow {
	t.Helper()
	for i := range r.Rows {
		if r.Rows[i].ID == id {
			return &r.Rows[i]
		}
	}
	t.Fatalf("no row %s", id)
	return nil
}

func fields(r *RestudyRow) string {
	var names []string
	for _, d := range r.Differences {
		names = append(names, d.Field)
	}
	return strings.Join(names, ", ")
}

// sound asks of every restudy what is true of each.
func sound(t *testing.T, name string, r *Restudy) {
	t.Helper()
	sum := 0
	for _, e := range Effects {
		sum += r.Count(e)
	}
	if sum != len(r.Rows) {
		t.Errorf("%s: %d rows, %d of the known effects", name, len(r.Rows), sum)
	}
	seen := map[string]bool{}
	for i := range r.Rows {
		row := &r.Rows[i]
		if seen[row.ID] {
			t.Errorf("%s: %s twice", name, row.ID)
		}
		seen[row.ID] = true
		is := func(e Effect) bool { return row.Effect == e }
		switch {
		case is(LabelTooLow) != (len(row.Low) > 0),
			is(LabelTooLow) && !row.OnDoor(),
			is(LabelChanges) && (row.Differences == nil || !row.ToPrint() || !row.OnDoor()),
			is(LabelStays) && (row.Differences != nil || row.ToPrint() || !row.OnDoor() || row.Code != row.Printed.ID.Code()),
			is(LabelFirst) && (!row.ToPrint() || row.OnDoor()),
			is(LabelRefused) && row.Refused == nil,
			is(LabelGone) != (row.Row == RowGone),
			is(LabelKept) && row.Row != RowKept,
			row.DatesOnly && len(row.Differences) == 0,
			row.ToPrint() && row.Refused != nil:
			t.Errorf("%s: %s: %+v", name, row.ID, row)
		}
		if i > 0 && slices.Index(Effects, r.Rows[i-1].Effect) > slices.Index(Effects, row.Effect) {
			t.Errorf("%s: %s comes after %s", name, row.ID, r.Rows[i-1].ID)
		}
	}
}

// What a change of one row does to its label.
func TestRestudy(t *testing.T) {
	newer := func(c *assess.Case) { c.Surveyed, c.Prepared = day(t, "2027-03-01"), day(t, "2027-04-20") }
	both := func(c *assess.Case, e assess.CalCM2, b assess.MM) { newer(c); c.Energy, c.Boundary = e, b }
	for _, c := range []struct {
		name    string
		change  func(l *assess.Location, c *assess.Case)
		row     RowChange
		effect  Effect
		low     string
		hazard  Hazard
		dates   bool
		differs string // a field that is named
	}{
		{"nothing", func(*assess.Location, *assess.Case) {}, RowSame, LabelStays, "", HazardSame, false, ""},
		{"what has no weight", func(l *assess.Location, c *assess.Case) {
			c.Note, c.Source, c.Engineer, l.Class = "x", "R.xlsx 7", "Q. Example, PE", "mcc"
		}, RowSame, LabelStays, "", HazardSame, false, ""},
		{"another area", func(l *assess.Location, _ *assess.Case) { l.Area = "Roof" }, RowChanged, LabelChanges, "", HazardSame, false, "area"},
		{"who accepts it", func(_ *assess.Location, c *assess.Case) { c.AcceptedBy = "E. Sample, PE" },
			RowChanged, LabelChanges, "", HazardSame, false, "accepted_by"},
		{"dates", func(_ *assess.Location, c *assess.Case) { newer(c); c.Study, c.Revision = "R-27", "1" },
			RowChanged, LabelChanges, "", HazardSame, true, "prepared"},
		{"another edition of the study", func(_ *assess.Location, c *assess.Case) { newer(c); c.Edition = "NFPA 70E-2018" },
			RowChanged, LabelChanges, "", HazardSame, false, "edition"},

		{"more energy", func(_ *assess.Location, c *assess.Case) { both(c, 5.01, 1100) }, RowChanged, LabelTooLow, "energy", HazardUp, false, "energy_cal_cm2"},
		{"more energy, rounded off", func(_ *assess.Location, c *assess.Case) { both(c, 5+1e-12, 1100) }, RowChanged, LabelChanges, "", HazardSame, true, "prepared"},
		{"as much as the kit", func(_ *assess.Location, c *assess.Case) { both(c, 8, 1450) }, RowChanged, LabelTooLow, "energy, boundary", HazardUp, false, "energy_cal_cm2"},
		{"more than the kit", func(_ *assess.Location, c *assess.Case) { both(c, 8.01, 1450) }, RowChanged, LabelTooLow, "kit, energy, boundary", HazardUp, false, "kit"},
		{"as much as the cutoff", func(_ *assess.Location, c *assess.Case) { both(c, 40, 4000) }, RowChanged, LabelTooLow, "kit, energy, boundary", HazardUp, false, "kit"},
		{"above the cutoff", func(_ *assess.Location, c *assess.Case) { both(c, 40.01, 4000) },
			RowChanged, LabelTooLow, "signal word, energy, boundary", HazardUp, false, "signal word"},
		{"less energy", func(_ *assess.Location, c *assess.Case) { both(c, 4.9, 1100) }, RowChanged, LabelChanges, "", HazardDown, false, "energy_cal_cm2"},
		{"below 1.2", func(_ *assess.Location, c *assess.Case) { both(c, 1.1, 435) }, RowChanged, LabelChanges, "", HazardDown, false, "kit"},
		{"above a value", func(_ *assess.Location, c *assess.Case) { both(c, 40, 4000); c.Bound = assess.Above },
			RowChanged, LabelTooLow, "signal word, energy, boundary", HazardUp, false, "energy_bound"},
		{"below a value", func(_ *assess.Location, c *assess.Case) { both(c, 1.2, 0); c.Bound = assess.Under },
			RowChanged, LabelChanges, "", HazardDown, false, "energy_bound"},

		{"a boundary an inch farther", func(_ *assess.Location, c *assess.Case) { both(c, 5, 1100+assess.MMPerInch) },
			RowChanged, LabelTooLow, "boundary", HazardUp, false, "boundary_mm"},
		{"a boundary in the same inch", func(_ *assess.Location, c *assess.Case) { both(c, 5, 44*assess.MMPerInch) },
			RowChanged, LabelChanges, "", HazardUp, false, "boundary_mm"},
		{"a boundary an inch nearer", func(_ *assess.Location, c *assess.Case) { both(c, 5, 1100-assess.MMPerInch) },
			RowChanged, LabelChanges, "", HazardDown, false, "boundary_mm"},
		{"less energy, a farther boundary", func(_ *assess.Location, c *assess.Case) { both(c, 4.9, 1150) },
			RowChanged, LabelTooLow, "boundary", HazardUp, false, "boundary_mm"},
		{"a longer working distance", func(l *assess.Location, c *assess.Case) { both(c, 4, 1100); l.Distance = 508 },
			RowChanged, LabelTooLow, "working distance", HazardUp, false, "distance_mm"},
		{"a shorter working distance", func(l *assess.Location, c *assess.Case) { newer(c); l.Distance = 406.4 },
			RowChanged, LabelChanges, "", HazardDown, false, "distance_mm"},

		{"more voltage, the same gloves", func(l *assess.Location, c *assess.Case) { newer(c); l.Voltage = 500 },
			RowChanged, LabelTooLow, "voltage", HazardUp, false, "voltage_v"},
		{"more voltage, other gloves", func(l *assess.Location, c *assess.Case) { newer(c); l.Voltage = 600 },
			RowChanged, LabelTooLow, "gloves, voltage", HazardUp, false, "governing glove class"},
		{"more voltage, farther to approach", func(l *assess.Location, c *assess.Case) { newer(c); l.Voltage = 2400 },
			RowChanged, LabelTooLow, "approach boundary, gloves, voltage", HazardUp, false, "governing approach row"},
		{"a movable conductor", func(l *assess.Location, c *assess.Case) { newer(c); l.Movable = true },
			RowChanged, LabelTooLow, "approach boundary", HazardUp, false, "conductor"},
		{"less voltage", func(l *assess.Location, c *assess.Case) { newer(c); l.Voltage = 240 }, RowChanged, LabelChanges, "", HazardDown, false, "voltage_v"},
		{"another supply", func(l *assess.Location, c *assess.Case) { newer(c); l.Supply = shock.AC1 },
			RowChanged, LabelTooLow, "approach boundary, gloves", HazardUp, false, "supply"}, // 831 V is looked up
		{"more fault current", func(_ *assess.Location, c *assess.Case) { newer(c); c.Fault = 14 }, RowChanged, LabelChanges, "", HazardUp, false, "fault_ka"},
		{"less fault current", func(_ *assess.Location, c *assess.Case) { newer(c); c.Fault = 11 }, RowChanged, LabelChanges, "", HazardSame, false, "fault_ka"},
		{"another duration", func(_ *assess.Location, c *assess.Case) { newer(c); c.Clear = 61 }, RowChanged, LabelChanges, "", HazardSame, false, "clear_ms"},

		{"a feed that is not there", func(_ *assess.Location, c *assess.Case) { newer(c); c.FedFrom = []string{"X"} },
			RowChanged, LabelRefused, "", HazardSame, false, "fed_from"},
		{"likewise, and more energy", func(_ *assess.Location, c *assess.Case) { both(c, 9, 1500); c.FedFrom = []string{"X"} },
			RowChanged, LabelTooLow, "kit, energy, boundary", HazardUp, false, "fed_from"},
		{"no results", func(_ *assess.Location, c *assess.Case) { both(c, 0, 0) }, RowChanged, LabelRefused, "", "", false, "energy_cal_cm2"},
		{"a date that is to come", func(_ *assess.Location, c *assess.Case) { c.Prepared = day(t, "2027-05-04") },
			RowChanged, LabelRefused, "", HazardSame, true, "prepared"},
		{"a cell that cannot be read", func(l *assess.Location, _ *assess.Case) {
			l.Unreadable = []assess.Finding{{Level: assess.Error, Code: assess.Unreadable, Field: "energy_cal_cm2", Message: "found “x”"}}
		}, RowChanged, LabelRefused, "", "", false, ""},
		{"no label", func(l *assess.Location, _ *assess.Case) { l.Unlabeled = true }, RowChanged, LabelRefused, "", "", false, ""},
	} {
		p := apart(t, 2)
		r := p.restudy(func(s *assess.Site) { c.change(&s.Locations[0], &s.Locations[0].Cases[0]) })
		sound(t, c.name, r)
		row := r.row(t, "P0")
		var low []string
		for _, l := range row.Low {
			low = append(low, string(l))
		}
		refused := c.effect == LabelRefused || c.name == "likewise, and more energy"
		if row.Row != c.row || row.Effect != c.effect || strings.Join(low, ", ") != c.low || row.Hazard != c.hazard ||
			row.DatesOnly != c.dates || !strings.Contains(", "+fields(row)+",", ", "+c.differs+",") && c.differs != "" ||
			(row.Refused != nil) != refused || row.Already || !row.FromLabel || !row.InStudy {
			t.Errorf("%s: row %q, %q, low %q, hazard %q, dates %v, fields %q, refused %+v", c.name, row.Row, row.Effect, low, row.Hazard, row.DatesOnly, fields(row), row.Refused)
		}
		if other := r.row(t, "P1"); other.Effect != LabelStays || other.Row != RowSame {
			t.Errorf("%s: the other is %+v", c.name, other)
		}
		// The same rows once more are the same, and what is to be done of the label stays.
		c.change(&p.Locations[0], &p.Locations[0].Cases[0])
		again := p.restudy(func(*assess.Site) {})
		sound(t, c.name, again)
		if got := again.row(t, "P0"); got.Row != RowSame || got.Effect != c.effect || got.Already != (c.effect != LabelStays) {
			t.Errorf("%s, once more: %q, %q, already %v", c.name, got.Row, got.Effect, got.Already)
		}
	}
}

// Rows that come, go, or are not in the study.
func TestRestudyRows(t *testing.T) {
	add := func(s *assess.Site, id string, change func(*assess.Case)) {
		l := s.Locations[0]
		l.ID, l.Cases = id, slices.Clone(l.Cases)
		change(&l.Cases[0])
		s.Locations = append(s.Locations, l)
	}
	p := apart(t, 14)
	for _, id := range []string{"P4", "P5", "P6", "P7", "P12"} { // no label was printed for them
		delete(p.h.Labels, id)
	}
	p.Locations[7].Unlabeled = true
	gone := p.h.Labels["P8"]
	gone.Withdrawn = &record.Line{Date: day(t, "2026-06-01"), Reason: "rebuilt", By: "x"}
	p.h.Labels["P8"] = gone
	lost := p.h.Labels["P9"]
	lost.Record, lost.Err = nil, errors.New("it is not there")
	p.h.Labels["P9"] = lost
	p.Locations[11].Cases[0].Energy = 4.8 // as nobody printed it
	p.Locations[12].Cases[0].FedFrom = []string{"X"}
	r := p.restudy(func(s *assess.Site) {
		s.Locations[6].Cases[0].Energy = 5.5
		s.Locations[9].Cases[0].Energy = 5.5
		s.Locations[13].Cases[0].Energy = 7
		add(s, "N1", func(*assess.Case) {})
		add(s, "N2", func(c *assess.Case) { c.FedFrom = []string{"X"} })
		add(s, "N10", func(*assess.Case) {})
		s.Locations = slices.DeleteFunc(s.Locations, func(l assess.Location) bool { return l.ID == "P2" || l.ID == "P5" })
	}, "P3", "P4", "P7", "P11", "P12", "P13")
	sound(t, "rows", r)
	for id, want := range map[string]string{
		"P0": "same, label stays", "P2": "gone, gone, label", "P5": "gone, gone", "P3": "kept, not in study", "P4": "kept, not in study, to print",
		"P6": "changed, never printed, to print", "P7": "kept, not in study", "P8": "same, not printed, already",
		"P9": "changed, too low, to print", "P11": "kept, label changes, to print, already", "P12": "kept, not in study",
		"P13": "kept, too low, to print", "N1": "new, new, to print", "N2": "new, new", "N10": "new, new, to print",
	} {
		row := r.row(t, id)
		got := fmt.Sprintf("%s, %s", row.Row, row.Effect)
		if row.Row == RowGone && row.OnDoor() {
			got += ", label"
		}
		if row.ToPrint() {
			got += ", to print"
		}
		if row.Already {
			got += ", already"
		}
		if got != want {
			t.Errorf("%s: %s, want %s", id, got, want)
		}
	}
	if row := r.row(t, "P9"); row.FromLabel || row.Before == nil || row.Before.Energy.Value != 5 || !strings.Contains(fields(row), "code") {
		t.Errorf("without its record: %+v", row)
	}
	if row := r.row(t, "P2"); row.InStudy || row.Before == nil || row.After != nil || row.Equipment != "Panel" || row.Hazard != "" {
		t.Errorf("gone: %+v", row)
	}
	if row := r.row(t, "P8"); row.OnDoor() || row.Printed == nil || !strings.HasPrefix(row.Refused.Why, "withdrawn") {
		t.Errorf("withdrawn: %+v", row)
	}
	var order []string
	for i := range r.Rows {
		order = append(order, r.Rows[i].ID)
	}
	if got, want := strings.Join(order, " "), "P9 P13 P8 P11 P6 N2 N1 N10 P2 P5 P3 P4 P7 P12 P0 P1 P10"; got != want {
		t.Errorf("order %s, want %s", got, want)
	}
}

// Of rows that make no label it is told too whether they change.
func TestRestudyRowsWithoutLabels(t *testing.T) {
	unreadable := func(field, message string) []assess.Finding {
		return []assess.Finding{{Level: assess.Error, Code: assess.Unreadable, Field: field, Message: message, Line: 3}}
	}
	for _, c := range []struct {
		name   string
		change func(l *assess.Location)
		p0, p1 RowChange // one with label = no, one that cannot be read
	}{
		{"nothing", func(*assess.Location) {}, RowSame, RowSame},
		{"a note", func(l *assess.Location) { l.Cases[0].Note = "x" }, RowSame, RowSame},
		{"another fault current", func(l *assess.Location) { l.Cases[0].Fault = 14 }, RowChanged, RowChanged},
		{"another line", func(l *assess.Location) {
			if l.Unreadable != nil {
				l.Unreadable = unreadable("voltage_v", "found “x”")
				l.Unreadable[0].Line = 9
			}
		}, RowSame, RowSame},
		{"another cell", func(l *assess.Location) { l.Unreadable = unreadable("distance_in", "found “x”") }, RowChanged, RowChanged},
		{"another word", func(l *assess.Location) { l.Unreadable = unreadable("voltage_v", "found “y”") }, RowChanged, RowChanged},
		{"read, and labeled", func(l *assess.Location) { l.Unlabeled, l.Unreadable = false, nil }, RowChanged, RowChanged},
	} {
		p := apart(t, 2)
		p.h.Labels = map[string]record.Printing{}
		p.Locations[0].Unlabeled = true
		p.Locations[1].Unreadable = unreadable("voltage_v", "found “x”")
		r := p.restudy(func(s *assess.Site) {
			for i := range s.Locations {
				c.change(&s.Locations[i])
			}
		})
		sound(t, c.name, r)
		if p0, p1 := r.row(t, "P0"), r.row(t, "P1"); p0.Row != c.p0 || p1.Row != c.p1 {
			t.Errorf("%s: %q and %q", c.name, p0.Row, p1.Row)
		}
	}
}

// Where there were no rows, all are new, and labels of former ids are gone.
func TestRestudyFirst(t *testing.T) {
	p := apart(t, 4)
	after := p.judge(restudyDay)
	empty := copied(p.Site)
	empty.Locations = nil
	none, err := New(empty, p.h, day(t, restudyDay), nil)
	if err != nil {
		t.Fatal(err)
	}
	for name, before := range map[string]*Plant{"none": nil, "without rows": none} {
		r := NewRestudy(before, after, nil)
		sound(t, name, r)
		if len(r.Rows) != 4 || r.Rows[0].Row != RowNew || r.Count(LabelStays) != 4 || !r.Rows[0].InStudy {
			t.Errorf("%s: %+v", name, r.Rows)
		}
	}
	s := copied(p.Site)
	s.Locations = s.Locations[:2]
	fewer, err := New(s, p.h, day(t, restudyDay), nil)
	if err != nil {
		t.Fatal(err)
	}
	r := NewRestudy(nil, fewer, nil)
	sound(t, "fewer", r)
	if row := r.row(t, "P3"); row.Effect != LabelGone || row.Equipment != "Panel" || !row.OnDoor() {
		t.Errorf("a label without a row: %+v", row)
	}
	// What was gone before is not listed again.
	if r := NewRestudy(fewer, fewer, nil); len(r.Rows) != 2 {
		t.Errorf("%d rows", len(r.Rows))
	}
	if r := NewRestudy(fewer, after, nil); r.row(t, "P3").Row != RowNew || r.row(t, "P3").Effect != LabelStays {
		t.Errorf("its row is back: %+v", r.row(t, "P3"))
	}
	// And a withdrawn one belongs to nobody.
	l := p.h.Labels["P3"]
	l.Withdrawn = &record.Line{Date: day(t, "2026-06-01"), Reason: "x", By: "x"}
	p.h.Labels["P3"] = l
	if fewer, err = New(s, p.h, day(t, restudyDay), nil); err != nil {
		t.Fatal(err)
	}
	if r := NewRestudy(nil, fewer, nil); len(r.Rows) != 3 {
		t.Errorf("%d rows", len(r.Rows))
	}
}

// A row that the study lacks and that stays as it is may print no more, since a
// row above it has other numbers.
func TestRestudyBelow(t *testing.T) {
	p := newShop(t, works(t, 3))
	p.print("2026-04-02")
	r := p.restudy(func(s *assess.Site) {
		c := &s.Locations[0].Cases[0]
		c.Surveyed, c.Prepared, c.Fault = day(t, "2027-03-01"), day(t, "2027-04-20"), 14
	}, "P1", "P2")
	sound(t, "below", r)
	for _, id := range []string{"P1", "P2"} {
		if row := r.row(t, id); row.Row != RowKept || row.Effect != LabelRefused || row.Already ||
			!strings.Contains(row.Refused.Why, "the row upstream changed: P0 fault_ka") || row.Clears == "" {
			t.Errorf("%s: %+v", id, row)
		}
	}
}

// What changes reported about a label is here too: it is printed too low, whatever the
// new row says.
func TestRestudyTold(t *testing.T) {
	s := recomputed(t)
	p := newShop(t, s)
	p.print("2026-04-02")
	s.Log.Changes = []assess.Change{{ID: "2026-05-06/P0", Date: day(t, "2026-05-06"), At: "P0", Kind: assess.ChangeKinds[1],
		By: "x", New: map[string]assess.NewValues{"P1": {Clear: 350, ClearReduced: 350}}}}
	r := p.restudy(func(*assess.Site) {})
	sound(t, "told", r)
	if row := r.row(t, "P1"); row.Effect != LabelTooLow || !slices.Equal(row.Low, []Low{LowTold}) || !row.Already || row.Refused == nil {
		t.Errorf("%+v", row)
	}
}

// What a label says of the maintenance switch.
func TestRestudySwitch(t *testing.T) {
	for _, c := range []struct {
		name   string
		danger bool
		change func(s *assess.Site, on *assess.Case)
		low    bool
	}{
		{"nothing", false, func(*assess.Site, *assess.Case) {}, false},
		{"more energy", false, func(_ *assess.Site, on *assess.Case) { on.Energy = 2.01 }, true},
		{"more energy, rounded off", false, func(_ *assess.Site, on *assess.Case) { on.Energy = 2 + 1e-12 }, false},
		{"less energy", false, func(_ *assess.Site, on *assess.Case) { on.Energy = 1.9 }, false},
		{"a farther boundary", false, func(_ *assess.Site, on *assess.Case) { on.Boundary = 670 }, true},
		{"a lower rated kit", false, func(s *assess.Site, _ *assess.Case) { s.Policy.Ladder[0].Rating = 1.9 }, true},
		{"another device", false, func(_ *assess.Site, on *assess.Case) { on.Device = "52-2" }, false},
		{"another device, which the label names", true, func(_ *assess.Site, on *assess.Case) { on.Device = "52-2" }, true},
		{"another place, which the label names", true, func(_ *assess.Site, on *assess.Case) { on.DeviceAt = "P2" }, true},
		{"no longer there", false, func(s *assess.Site, _ *assess.Case) { s.Locations[1].Cases = s.Locations[1].Cases[:1] }, true},
		{"none on the label", false, func(s *assess.Site, on *assess.Case) { on.Energy = 2.01 }, false},
	} {
		s := works(t, 3)
		s.Policy.MaintenanceOnPage = c.name == "none on the label"
		off := s.Locations[1].Cases[0]
		off.Name = "off"
		if c.danger {
			off.Energy, off.Boundary = 45, 4300
		}
		on := off
		on.Name, on.Maintenance, on.Energy, on.Boundary, on.Device, on.DeviceAt = "on", true, 2, 650, "52-1", "P0"
		s.Locations[1].Cases = []assess.Case{off, on}
		p := newShop(t, s)
		if got := p.print("2026-04-02"); !slices.Contains(got, "P1") {
			v := p.judge("2026-04-02")
			place, _ := v.Place("P1")
			t.Fatalf("%s: printed %v: %+v", c.name, got, place.Refusal(true))
		}
		r := p.restudy(func(s *assess.Site) { c.change(s, &s.Locations[1].Cases[1]) })
		sound(t, c.name, r)
		if row := r.row(t, "P1"); slices.Contains(row.Low, LowSwitch) != c.low {
			t.Errorf("%s: low %q, refused %+v", c.name, row.Low, row.Refused)
		}
	}
}

// A label counts in the units that it shows, by what it prints.
func TestRestudyUnits(t *testing.T) {
	for _, c := range []struct {
		units  assess.Units
		energy assess.CalCM2
		mm     assess.MM
		low    string
	}{
		// 6.5 cal/cm² is 27.2 J/cm² (NIST SP 811: 4.184 J), 6.45 is 26.99: printed 28 and 27.
		{assess.US, 6.5, 1100, ""}, {assess.SI, 6.5, 1100, "energy"}, {assess.Both, 6.5, 1100, "energy"},
		// 1100 mm and 1101 mm are both 44 in up, and 1100 mm and 1110 mm.
		{assess.US, 6.45, 1101, ""}, {assess.SI, 6.45, 1101, "boundary"}, {assess.Both, 6.45, 1101, "boundary"},
		// 1117.6 mm are 44 in, 1118 mm 45 in.
		{assess.US, 6.45, 1118, "boundary"},
	} {
		s := works(t, 1)
		s.Policy.Units = c.units
		s.Locations[0].Cases[0].Energy = 6.45
		p := newShop(t, s)
		p.print("2026-04-02")
		r := p.restudy(func(s *assess.Site) {
			k := &s.Locations[0].Cases[0]
			k.Energy, k.Boundary = c.energy, c.mm
		})
		sound(t, string(c.units), r)
		if got := r.Rows[0].Low; fmt.Sprint(got) != "["+c.low+"]" {
			t.Errorf("%s, %v cal/cm², %v mm: %q, want %q", c.units, c.energy, c.mm, got, c.low)
		}
		// The site's current units do not matter for what is mounted.
		r = p.restudy(func(s *assess.Site) {
			k := &s.Locations[0].Cases[0]
			k.Energy, k.Boundary = c.energy, c.mm
			s.Policy.Units = assess.SI
		})
		if got := r.Rows[0].Low; fmt.Sprint(got) != "["+c.low+"]" {
			t.Errorf("%s, the site in SI: %q, want %q", c.units, got, c.low)
		}
	}
}

// Bounds, and a kit that the ladder of today rates lower or does not have.
func TestRestudyBoundsAndLadder(t *testing.T) {
	type of struct {
		e assess.CalCM2
		b assess.Bound
	}
	for _, c := range []struct {
		was, is of
		low     bool
	}{
		{of{40, assess.Above}, of{60, ""}, false},
		{of{40, assess.Above}, of{50, assess.Above}, false},
		{of{45, ""}, of{40, assess.Above}, true},
		{of{1.2, assess.Under}, of{1.1, ""}, false},
		{of{1.2, assess.Under}, of{1.2, assess.Under}, false},
		{of{1.2, assess.Under}, of{1.11, ""}, true}, // printed 1.2
		{of{1.2, assess.Under}, of{3, assess.Under}, true},
		{of{1.2, ""}, of{1.2, assess.Under}, false},
		{of{1.2, ""}, of{1.2, ""}, false},
		{of{3, assess.Under}, of{2.9, ""}, false},
		{of{3, ""}, of{3.1, assess.Under}, true},
		{of{0, ""}, of{3.1, ""}, false},
		{of{3, ""}, of{0, ""}, false},
	} {
		g := func(x of) assess.Governing[assess.CalCM2] {
			return assess.Governing[assess.CalCM2]{Value: x.e, Bound: x.b}
		}
		if got := moreEnergy(g(c.was), g(c.is), assess.US); got != c.low {
			t.Errorf("%v → %v: %v", c.was, c.is, got)
		}
	}
	for _, c := range []struct {
		name   string
		change func(p *assess.Policy)
		low    string
	}{
		{"rated lower", func(p *assess.Policy) { p.Ladder[0].Rating = 4.9 }, "[kit]"},
		{"rated as much", func(p *assess.Policy) { p.Ladder[0].Rating = 5 }, "[]"},
		{"by another name", func(p *assess.Policy) { p.Ladder[0].Kit = "Kit X" }, "[]"},
		{"a lower cutoff", func(p *assess.Policy) { p.Cutoff = 4 }, "[signal word]"},
	} {
		p := apart(t, 1)
		r := p.restudy(func(s *assess.Site) {
			s.Policy.Ladder = slices.Clone(s.Policy.Ladder)
			c.change(&s.Policy)
		})
		sound(t, c.name, r)
		if got := fmt.Sprint(r.Rows[0].Low); got != c.low {
			t.Errorf("%s: %s, want %s", c.name, got, c.low)
		}
	}
}

// The worst of what is too low comes first, then what changes for the worse,
// what changes in dates alone last; of equals in the order in which a person sorts.
func TestRestudyOrder(t *testing.T) {
	p := apart(t, 12)
	set := func(s *assess.Site, i int, e assess.CalCM2, b assess.MM) {
		c := &s.Locations[i].Cases[0]
		c.Energy, c.Boundary = e, b
	}
	r := p.restudy(func(s *assess.Site) {
		set(s, 1, 5, 1150)
		set(s, 2, 5.1, 1100)
		set(s, 11, 5.1, 1100)
		set(s, 3, 9, 1500)
		set(s, 4, 45, 4300)
		set(s, 0, 4.9, 1100)
		s.Locations[10].Cases[0].Fault = 14
		s.Locations[5].Cases[0].Prepared = day(t, "2027-04-20")
		s.Locations[6].Area = "Roof"
	})
	sound(t, "order", r)
	var order []string
	for i := range r.Rows {
		order = append(order, r.Rows[i].ID)
	}
	if got, want := strings.Join(order, " "), "P4 P3 P2 P11 P1 P10 P0 P6 P5 P7 P8 P9"; got != want {
		t.Errorf("order %s, want %s", got, want)
	}
}

// A starter's policy stops all labels alike, and is said once.
func TestRestudyStarter(t *testing.T) {
	p := apart(t, 2)
	p.Policy.Findings = []assess.Finding{{Level: assess.Error, Code: assess.StarterPolicy, Message: "the starter's invented policy"}}
	r := p.restudy(func(s *assess.Site) { s.Locations[0].Area = "Roof" })
	sound(t, "starter", r)
	if r.Stopped == "" || r.Count(LabelChanges) != 1 || r.Count(LabelStays) != 1 {
		t.Errorf("%+v", r)
	}
}
