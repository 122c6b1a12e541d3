package plant

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/testdata/suite"
)

// rowReason is the reason of a label by the rows upstream; nil for none.
func rowReason(s standing.Standing) *standing.Reason {
	if i := slices.IndexFunc(s.Reasons, func(r standing.Reason) bool { return r.Cause == standing.RowCause }); i >= 0 {
		return &s.Reasons[i]
	}
	return nil
}

// What of an upstream row puts the labels below it in question, and since when.
func TestRowUpstream(t *testing.T) {
	const today = "2026-08-01"
	newer := func(c *assess.Case, t *testing.T) { c.Prepared = day(t, "2026-06-01") }
	for _, c := range []struct {
		name   string
		change func(l *assess.Location, c *assess.Case)
		since  string // "" for no reason, "found" for today
		detail string
	}{
		{"nothing", func(*assess.Location, *assess.Case) {}, "", ""},
		{"a newer study alone", func(_ *assess.Location, c *assess.Case) { newer(c, t) }, "", ""},
		{"more current by a newer study", func(_ *assess.Location, c *assess.Case) { newer(c, t); c.Fault = 25 },
			"2026-06-01", "P1 fault_ka 12.25 → 25, after the study of this label"},
		{"less current by a newer study", func(_ *assess.Location, c *assess.Case) { newer(c, t); c.Fault = 8 },
			"2026-06-01", "P1 fault_ka 12.25 → 8"},
		{"another voltage by a newer study", func(l *assess.Location, c *assess.Case) { newer(c, t); l.Voltage = 600 },
			"2026-06-01", "P1 voltage_v 480 → 600"},
		{"a shorter duration by a newer study", func(_ *assess.Location, c *assess.Case) { newer(c, t); c.Clear = 50 },
			"2026-06-01", "P1 clear_ms 60 → 50"},
		{"a longer reduced duration by a newer study", func(_ *assess.Location, c *assess.Case) { newer(c, t); c.ClearReduced = 200 },
			"2026-06-01", "P1 clear_reduced_ms 80 → 200"},
		{"another energy by a newer study", func(_ *assess.Location, c *assess.Case) { newer(c, t); c.Energy = 6 }, "", ""},
		{"no longer a current", func(_ *assess.Location, c *assess.Case) { newer(c, t); c.Fault = 0 },
			"2026-06-01", "P1 fault_ka 12.25 → (empty)"},
		{"no current without a date", func(_ *assess.Location, c *assess.Case) { c.Fault = 0 }, "found", "P1 fault_ka 12.25 → (empty)"},
		{"more current without a date", func(_ *assess.Location, c *assess.Case) { c.Fault = 25 },
			"found", "P1 fault_ka 12.25 → 25, without a newer study"},
		{"less current without a date", func(_ *assess.Location, c *assess.Case) { c.Fault = 8 },
			"found", "P1 fault_ka 12.25 → 8, without a newer study"},
		{"more current, surveyed later", func(_ *assess.Location, c *assess.Case) { c.Fault, c.Surveyed = 25, day(t, "2026-03-01") },
			"found", "without a newer study"},
		{"more current by a study still to come", func(_ *assess.Location, c *assess.Case) { c.Fault, c.Prepared = 25, day(t, "2026-09-01") },
			"found", "without a newer study"},
		{"a case more, with more current", func(l *assess.Location, c *assess.Case) {
			more := *c
			more.Name, more.Fault, more.Prepared = "tie closed", 25, day(t, "2026-06-01")
			l.Cases = append(l.Cases, more)
		}, "2026-06-01", "P1 fault_ka of case tie closed 12.25 → 25"},
		{"the case has a name", func(_ *assess.Location, c *assess.Case) { newer(c, t); c.Name = "normal" }, "", ""},
		{"the cell cannot be read", func(l *assess.Location, c *assess.Case) {
			c.Fault = 0
			l.Unreadable = []assess.Finding{{Level: assess.Error, Code: assess.Unreadable, Field: "fault_ka"}}
		}, "found", "P1 fault_ka 12.25 → (unreadable)"},
		{"a case less, with more current", func(l *assess.Location, c *assess.Case) { c.Name, c.Fault = "tie open", 9 },
			"found", "P1 fault_ka"},
	} {
		p := newShop(t, works(t, 4))
		p.print("2026-04-02")
		l, k := p.row("P1")
		k.FedFrom = slices.Clone(k.FedFrom)
		c.change(l, k)
		for id, reached := range map[string]bool{"P0": false, "P1": false, "P2": true, "P3": true} {
			got := p.standing(id, today)
			r := rowReason(got)
			if (r != nil) != (reached && c.since != "") {
				t.Errorf("%s: %s: %+v", c.name, id, got)
			}
			if r == nil {
				continue
			}
			since := c.since
			if since == "found" {
				since = today
			}
			if got.Status != standing.InQuestion || r.Since.String() != since || r.Found != (c.since == "found") || !strings.Contains(r.Detail, c.detail) {
				t.Errorf("%s: %s since %s: %s, want %s: %s", c.name, id, r.Since, r.Detail, since, c.detail)
			}
			if place, _ := p.judge(today).Place(id); place.Refusal(false) == nil {
				t.Errorf("%s: %s prints", c.name, id)
			}
		}
		// A study of its own row, not older than the upstream one, clears it.
		if c.since != "" && c.since != "found" {
			_, below := p.row("P3")
			below.Prepared, below.Energy = day(t, "2026-06-01"), 5.5
			place, _ := p.judge(today).Place("P3")
			if got := causes(place.Printed.Standing); got != "upstream row, data drift" && got != "data drift, upstream row" || place.Refusal(false) != nil {
				t.Errorf("%s: with a newer study: %s, %+v", c.name, got, place.Refusal(false))
			}
			p.print(today, "P3")
			if got := p.standing("P3", today); got.Status != standing.Holds {
				t.Errorf("%s: printed by a newer study: %+v", c.name, got)
			}
		}
	}
}

// To print the upstream label by its new row does not tell those below of it.
func TestRowUpstreamIsPrinted(t *testing.T) {
	p := newShop(t, works(t, 3))
	p.print("2026-04-02")
	_, c := p.row("P0")
	c.Prepared, c.Fault = day(t, "2026-06-01"), 25
	p.print("2026-06-10", "P0")
	if got := p.standing("P0", "2026-08-01"); got.Status != standing.Holds {
		t.Errorf("P0: %+v", got)
	}
	for _, id := range []string{"P1", "P2"} {
		if r := rowReason(p.standing(id, "2026-08-01")); r == nil || r.Since != day(t, "2026-06-01") || r.Found {
			t.Errorf("%s: %+v", id, r)
		}
	}
	// Nor where the row had no newer study: it counts from that print on.
	p = newShop(t, works(t, 3))
	p.print("2026-04-02")
	_, c = p.row("P0")
	c.Fault = 25
	if got := p.print("2026-06-10", "P0"); len(got) != 1 {
		t.Fatal("the upstream label does not print")
	}
	for _, id := range []string{"P1", "P2"} {
		if r := rowReason(p.standing(id, "2026-08-01")); r == nil || r.Since != day(t, "2026-06-10") || r.Found {
			t.Errorf("%s: %+v", id, r)
		}
	}
	// Nor where no label was printed of it: the record of what it feeds notes it.
	delete(p.h.Labels, "P0")
	if r := rowReason(p.standing("P1", "2026-08-01")); r == nil || !r.Found {
		t.Errorf("without a label: %+v", r)
	}
	// An older record that notes nothing knows nothing.
	for id, printing := range p.h.Labels {
		r := *printing.Record
		r.Feeds, printing.Record = nil, &r
		p.h.Labels[id] = printing
	}
	if r := rowReason(p.standing("P1", "2026-08-01")); r != nil {
		t.Errorf("without a label or a note: %+v", r)
	}
}

// The feed that only the label's record knows, and the place of its device.
func TestRowUpstreamByTheRecord(t *testing.T) {
	s := works(t, 4)
	s.Locations[2].Cases[0].FedFrom, s.Locations[2].Cases[0].DeviceAt = []string{"P3"}, "P0"
	s.Locations[3].Cases[0].FedFrom = nil
	s.Policy.Sources = append(s.Policy.Sources, "P3")
	p := newShop(t, s)
	for i := range s.Locations {
		p.force(s.Locations[i].ID, day(t, "2026-04-02"))
	}
	_, up := p.row("P3")
	up.Prepared, up.Fault = day(t, "2026-06-01"), 25
	_, c := p.row("P2")
	c.FedFrom = []string{"P1"}
	if r := rowReason(p.standing("P2", "2026-08-01")); r == nil || !strings.Contains(r.Detail, "P3 is no longer upstream of it") || r.Count != 2 {
		t.Errorf("fed from P3, from its record: %+v", r)
	}
	up.Fault, up.Prepared = 12.25, day(t, "2026-03-14")
	_, at := p.row("P0")
	at.Prepared, at.Fault = day(t, "2026-06-01"), 25
	c.FedFrom = []string{"P3"}
	if r := rowReason(p.standing("P2", "2026-08-01")); r == nil || !strings.Contains(r.Detail, "P0 fault_ka") {
		t.Errorf("its device is at P0: %+v", r)
	}
}

// version is a row as it was printed, or as it is.
type version struct {
	fault    assess.KA
	prepared assess.Date
	printed  assess.Date // zero: the row
}

// mounted is a label, and what its record notes of the rows above it.
type mounted struct {
	study, since assess.Date
	notes        map[string]version
}

// doubts are the rows above a label of a study that it does not know.
func doubts(study assess.Date, l *mounted, above map[string]bool, history map[string][]version, row func(string) version,
	today assess.Date) string {
	text := ""
	judge := func(id string, all []version, undated, noted bool) {
		was, is := all[0], all[len(all)-1]
		if was.fault == is.fault {
			return
		}
		later := slices.IndexFunc(all[1:], func(x version) bool { return was.prepared.Before(x.prepared) })
		same := slices.IndexFunc(all[1:], func(x version) bool { return x.fault == is.fault })
		switch {
		case later >= 0:
			d := all[1+later].prepared
			known := d
			if next := l.study.AddDays(1); noted && d.Before(next) {
				known = next // else the label would note it
			}
			if study.Before(known) || today.Before(d) {
				text += fmt.Sprintf(" %s by the study of %s", id, d)
			}
		case undated && (all[1+same].printed.IsZero() || study.Before(all[1+same].printed) ||
			noted && study.Before(l.study.AddDays(1))): // else the label would note it
			text += fmt.Sprintf(" %s without a study", id)
		}
	}
	for id := range above {
		noted, known := l.notes[id]
		all := append(slices.Clone(history[id]), row(id))
		for k := range all[:len(all)-1] {
			judge(id, all[k:], !known, false)
		}
		if !known {
			continue
		}
		chain := []version{noted}
		for k, v := range all {
			if k == len(all)-1 || !v.printed.Before(l.since) && (k > 0 || len(all) == 2) {
				chain = append(chain, v)
			}
		}
		judge(id, chain, true, true)
	}
	return text
}

// Whatever is edited, dated and printed in which order, a label is in question
// where a row upstream is not as a study of its day could know it, or not as
// its record notes it.
func TestRowsUpstreamAgainstSlow(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 3))
	rounds := 300
	if suite.Exhaustive {
		rounds = 10_000
	}
	faults := []assess.KA{10, 12.25, 25}
	doubted, held, unprinted := 0, 0, 0
	for round := range rounds {
		n := 2 + r.IntN(5)
		s := works(t, n)
		for i := range n {
			c := &s.Locations[i].Cases[0]
			c.Prepared, c.Surveyed, c.FedFrom = day(t, "2026-01-01").AddDays(r.IntN(30)), assess.Date{}, nil
			for k := range i {
				if r.IntN(i) == 0 {
					c.FedFrom = append(c.FedFrom, s.Locations[k].ID)
				}
			}
		}
		s.Policy.Sources = nil
		above := map[string]map[string]bool{}
		for i := range n { // what feeds comes first
			l := &s.Locations[i]
			above[l.ID] = map[string]bool{}
			for _, id := range l.FedFrom() {
				above[l.ID][id] = true
				for far := range above[id] {
					above[l.ID][far] = true
				}
			}
		}
		never := r.IntN(n) // of it no label is printed
		p := newShop(t, s)
		row := func(id string) version {
			_, c := p.row(id)
			return version{c.Fault, c.Prepared, assess.Date{}}
		}
		history, labels := map[string][]version{}, map[string]*mounted{}
		print := func(id string, on assess.Date) {
			now, last := row(id), labels[id]
			known := mounted{}
			if last != nil {
				known = *last
			}
			doubt := doubts(now.prepared, &known, above[id], history, row, on)
			p.force(id, on)
			if h := history[id]; len(h) > 0 && h[len(h)-1].fault == now.fault && h[len(h)-1].prepared == now.prepared {
				return // it is the label that is there
			}
			now.printed = on
			history[id] = append(history[id], now)
			l := &mounted{now.prepared, on, map[string]version{}}
			if last != nil && (doubt != "" || !last.study.Before(l.study)) {
				maps.Copy(l.notes, last.notes)
			}
			for up := range above[id] {
				if _, noted := l.notes[up]; !noted && doubt == "" {
					l.notes[up] = row(up)
				}
			}
			labels[id] = l
		}
		on := day(t, "2026-02-01")
		for range 1 + r.IntN(5) {
			for i := range n {
				if r.IntN(3) > 0 {
					continue
				}
				c := &s.Locations[i].Cases[0]
				c.Fault = faults[r.IntN(3)]
				if r.IntN(3) > 0 {
					c.Prepared = c.Prepared.AddDays(r.IntN(40))
				}
			}
			on = on.AddDays(1 + r.IntN(20))
			for i := range n { // whatever would refuse it: the press is not asked here
				if r.IntN(2) == 0 && i != never {
					print(s.Locations[i].ID, on)
				}
			}
		}
		today := on.AddDays(r.IntN(60))
		v := p.judge(today.String())
		for i := range n {
			id := s.Locations[i].ID
			place, _ := v.Place(id)
			if place.Printed == nil {
				continue
			}
			l := labels[id]
			want := doubts(l.study, l, above[id], history, row, today)
			got := rowReason(place.Printed.Standing)
			if (got != nil) != (want != "") || got != nil && place.Printed.Standing.Status != standing.InQuestion {
				t.Fatalf("round %d, %s of %s on %s: %+v, want %q\n%+v\n%+v", round, id, l.study, today, place.Printed.Standing, want, history, l)
			}
			switch {
			case got == nil:
				held++
			case len(history[s.Locations[never].ID]) == 0 && strings.Contains(want, s.Locations[never].ID) && got.Count == 1:
				unprinted++
			default:
				doubted++
			}
		}
	}
	if doubted < rounds/4 || held < rounds/4 || unprinted < rounds/20 {
		t.Errorf("%d doubted, %d by what was never printed, %d not", doubted, unprinted, held)
	}
}

// A value that differs from the one that a label notes counts, whatever day the
// row gives it: a study dated earlier may be entered late.
func TestRowUpstreamEnteredLate(t *testing.T) {
	const today = "2026-08-01"
	for name, c := range map[string]struct{ was, is string }{
		"no day, then an earlier one": {"", "2026-02-02"},
		"two earlier ones":            {"2026-01-01", "2026-02-02"},
		"that of the label":           {"2026-01-01", "2026-03-14"},
	} {
		p := newShop(t, works(t, 3))
		p.Locations[0].Unlabeled = true
		_, up := p.row("P0")
		up.Surveyed, up.Prepared, up.Fault = assess.Date{}, assess.Date{}, 60
		if c.was != "" {
			up.Prepared = day(t, c.was)
		}
		p.print("2026-04-02")
		up.Fault, up.Prepared = 100, day(t, c.is)
		for _, id := range []string{"P1", "P2"} {
			got := p.standing(id, today)
			if r := rowReason(got); r == nil || !r.Found || r.Since != day(t, today) || r.Count != 1 ||
				!strings.Contains(r.Detail, "P0 fault_ka 60 → 100, after this label was printed") {
				t.Errorf("%s: %s: %+v", name, id, got)
			}
		}
		if got := p.print(today, "P2"); got != nil {
			t.Errorf("%s: it prints", name)
		}
		// A newer study of the label's own row knows it.
		_, below := p.row("P2")
		below.Prepared, below.Energy = day(t, "2026-07-01"), 5.5
		if got := p.print(today, "P2"); got == nil {
			t.Errorf("%s: a newer study does not print", name)
		}
		if got := p.standing("P2", today); got.Status != standing.Holds {
			t.Errorf("%s: a newer study: %+v", name, got)
		}
		// That another label of the upstream place was printed by the value does not tell it.
		if got := p.standing("P1", today); got.Status != standing.InQuestion {
			t.Errorf("%s: P1: %+v", name, got)
		}
	}
}

// What feeds a label is what its study rests on, too: another way, or a
// nameplate that is gone, is in question until a newer study.
func TestUpstreamRewired(t *testing.T) {
	const today = "2026-08-01"
	for name, c := range map[string]struct {
		change func(p *shop)
		want   string // of P2; "" for none
	}{
		"nothing": {func(*shop) {}, ""},
		"another source": {func(p *shop) { _, c := p.row("P1"); c.FedFrom = []string{"P3"} },
			"P0 is no longer upstream of it, but its study relies on it and 1 more"},
		"a second source": {func(p *shop) { _, c := p.row("P1"); c.FedFrom = []string{"P0", "P3"} }, "P3 is now upstream of it"},
		"a tie":           {func(p *shop) { _, c := p.row("P1"); c.TiedTo = []string{"P3"} }, "P3 is now upstream of it"},
		"another name": {func(p *shop) {
			p.Locations[0].ID = "P9"
			_, c := p.row("P1")
			c.FedFrom = []string{"P9"}
		}, "P0 is no longer upstream of it, but its study relies on it and 1 more"},
		"a place below": {func(p *shop) { _, c := p.row("P3"); c.FedFrom = []string{"P2"} }, ""},
		"no nameplate":  {func(p *shop) { p.Policy.Transformers = nil }, "P1 transformer kva 500 → (empty)"},
	} {
		s := works(t, 4)
		s.Locations[3].Cases[0].FedFrom, s.Locations[1].Unlabeled = nil, true
		s.Policy.Sources = append(s.Policy.Sources, "P3")
		s.Policy.Transformers = []assess.Transformer{{At: "P1", KVA: 500, ImpedancePercent: 5.75, Secondary: 480}}
		p := newShop(t, s)
		p.print("2026-04-02")
		before := p.h.Labels["P2"].Record
		c.change(p)
		got := p.standing("P2", today)
		r := rowReason(got)
		if (r == nil) != (c.want == "") || r != nil && (got.Status != standing.InQuestion || !strings.Contains(r.Words(), c.want)) {
			t.Errorf("%s: %+v, want %q", name, got, c.want)
			if r != nil {
				t.Error(r.Words())
			}
		}
		if c.want == "" {
			continue
		}
		if p.print(today, "P2") != nil {
			t.Errorf("%s: it prints", name)
		}
		_, k := p.row("P2")
		k.Prepared, k.Energy = day(t, "2026-07-01"), 5.5
		if p.print(today, "P2"); p.standing("P2", today).Status != standing.Holds {
			t.Errorf("%s: a newer study: %+v", name, p.standing("P2", today))
		}
		// A record that notes nothing is asked nothing.
		old := *before
		old.Feeds = nil
		printing := p.h.Labels["P2"]
		printing.Record = &old
		p.h.Labels["P2"] = printing
		if r := rowReason(p.standing("P2", today)); r != nil {
			t.Errorf("%s: without a note: %+v", name, r)
		}
	}
}
