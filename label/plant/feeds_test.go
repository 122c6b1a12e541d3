package plant

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// An upstream row of which no label was ever printed: what fed a label when it
// was printed is in its record.
func TestUnprintedRowUpstream(t *testing.T) {
	const today = "2026-08-01"
	newer := func(c *assess.Case, t *testing.T) { c.Prepared = day(t, "2026-06-01") }
	for _, c := range []struct {
		name   string
		change func(s *assess.Site, l *assess.Location, c *assess.Case)
		since  string // "" for no reason, "found" for today
		detail string
	}{
		{"nothing", func(*assess.Site, *assess.Location, *assess.Case) {}, "", ""},
		{"a newer study alone", func(_ *assess.Site, _ *assess.Location, c *assess.Case) { newer(c, t) }, "", ""},
		{"another energy", func(_ *assess.Site, _ *assess.Location, c *assess.Case) { c.Energy = 9 }, "", ""},
		{"more current", func(_ *assess.Site, _ *assess.Location, c *assess.Case) { c.Fault = 25 }, "found", "P0 fault_ka 12.25 → 25, without a newer study"},
		{"more current by a newer study", func(_ *assess.Site, _ *assess.Location, c *assess.Case) { newer(c, t); c.Fault = 25 },
			"2026-06-01", "P0 fault_ka 12.25 → 25, after the study"},
		{"less current", func(_ *assess.Site, _ *assess.Location, c *assess.Case) { c.Fault = 8 }, "found", "P0 fault_ka 12.25 → 8"},
		{"no current", func(_ *assess.Site, _ *assess.Location, c *assess.Case) { c.Fault = 0 }, "found", "P0 fault_ka 12.25 → (empty)"},
		{"another voltage", func(_ *assess.Site, l *assess.Location, _ *assess.Case) { l.Voltage = 600 }, "found", "P0 voltage_v 480 → 600"},
		{"a longer duration", func(_ *assess.Site, _ *assess.Location, c *assess.Case) { c.Clear = 200 }, "found", "P0 clear_ms 60 → 200"},
		{"another nameplate", func(s *assess.Site, _ *assess.Location, _ *assess.Case) { s.Policy.Transformers[0].KVA = 1500 },
			"found", "P0 transformer kva 1000 → 1500"},
		{"a nameplate with less impedance", func(s *assess.Site, _ *assess.Location, _ *assess.Case) {
			s.Policy.Transformers[0].ImpedancePercent = 4
		}, "found", "P0 transformer impedance_percent 5.75 → 4"},
	} {
		s := works(t, 3)
		s.Locations[0].Unlabeled = true
		s.Policy.Transformers = []assess.Transformer{{At: "P0", KVA: 1000, ImpedancePercent: 5.75, Secondary: 480}}
		p := newShop(t, s)
		if got := p.print("2026-04-02"); !slices.Equal(got, []string{"P1", "P2"}) {
			t.Fatalf("printed %v", got)
		}
		l, k := p.row("P0")
		c.change(s, l, k)
		for _, id := range []string{"P1", "P2"} {
			got := p.standing(id, today)
			r := rowReason(got)
			since := map[string]string{"found": today}[c.since]
			if since == "" {
				since = c.since
			}
			if (r == nil) != (c.since == "") || r != nil && (got.Status != standing.InQuestion || r.Count != 1 ||
				r.Since.String() != since || r.Found != (c.since == "found") || !strings.Contains(r.Detail, c.detail)) {
				t.Errorf("%s: %s: %+v", c.name, id, got)
			}
			place, _ := p.judge(today).Place(id)
			if (place.Refusal(false) == nil) != (c.since == "") {
				t.Errorf("%s: %s: refused %+v", c.name, id, place.Refusal(false))
			}
		}
		if c.since == "" {
			continue
		}
		// Another area makes another label, and not another study: the strip does
		// not wash the doubt off.
		below, _ := p.row("P1")
		below.Area = "Roof"
		place, _ := p.judge(today).Place("P1")
		p.take(place.Record, day(t, today))
		if got := p.standing("P1", today); rowReason(got) == nil {
			t.Errorf("%s: printed with another area: %+v", c.name, got)
		}
		if c.since == "found" {
			continue
		}
		_, row := p.row("P1")
		row.Prepared, row.Energy = day(t, "2026-05-20"), 5.5 // newer, and not new enough
		place, _ = p.judge(today).Place("P1")
		p.take(place.Record, day(t, today))
		if got := p.standing("P1", today); rowReason(got) == nil {
			t.Errorf("%s: printed by a study that is not new enough: %+v", c.name, got)
		}
		row.Prepared, row.Energy = day(t, "2026-06-01"), 5.6
		p.print(today, "P1")
		if got := p.standing("P1", today); got.Status != standing.Holds {
			t.Errorf("%s: printed by a newer study: %+v", c.name, got)
		}
	}
}

// A row that was printed only after the label that it feeds.
func TestRowUpstreamPrintedLater(t *testing.T) {
	p := newShop(t, works(t, 2))
	p.print("2026-04-02", "P1")
	_, c := p.row("P0")
	c.Fault = 60
	if r := rowReason(p.standing("P1", "2026-04-10")); r == nil || !r.Found {
		t.Errorf("before its print: %+v", r)
	}
	p.print("2026-04-20", "P0")
	if r := rowReason(p.standing("P1", "2026-05-01")); r == nil || r.Found || r.Since != day(t, "2026-04-20") {
		t.Errorf("after its print: %+v", r)
	}
	// Corrected again, all is as the label knew it.
	c.Fault = 12.25
	if got := p.standing("P1", "2026-05-01"); got.Status != standing.Holds {
		t.Errorf("corrected: %+v", got)
	}
}

// What feeds a label makes no other label of it, and stays as it was when a
// label of its study was printed first.
func TestFeedsOfARecord(t *testing.T) {
	s := works(t, 4)
	s.Locations[3].Cases[0].DeviceAt = "P1"
	s.Locations[3].Cases[0].FedFrom = nil
	s.Locations[1].Cases[0].TiedTo = []string{"P2"}
	p := newShop(t, s)
	p.print("2026-04-02")
	var ids []string
	r := p.h.Labels["P3"].Record
	for _, f := range r.Feeds {
		ids = append(ids, fmt.Sprint(f.ID, " ", f.Fault))
	}
	if got := strings.Join(ids, ", "); got != "P0 12.25, P1 12.25, P2 12.25" {
		t.Errorf("feeds: %s", got)
	}
	if len(p.h.Labels["P0"].Record.Feeds) != 0 {
		t.Errorf("a source has feeds: %+v", p.h.Labels["P0"].Record.Feeds)
	}
	if what, judged := r.Differs(); what != "" || !judged {
		t.Errorf("judged again: %q, %v", what, judged)
	}
	_, c := p.row("P0")
	c.Fault, c.Clear = 25, 61
	place, _ := p.judge("2026-05-01").Place("P3")
	if place.Record != r {
		t.Error("what feeds it makes another label of it")
	}
	l, _ := p.row("P3")
	l.Area = "Roof"
	place, _ = p.judge("2026-05-01").Place("P3")
	if !slices.Equal(place.Record.Feeds, r.Feeds) {
		t.Errorf("%+v, was %+v", place.Record.Feeds, r.Feeds)
	}
}
