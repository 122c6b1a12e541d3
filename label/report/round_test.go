package report

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/emersion/go-ical"

	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// entries are the headings of a calendar by the names of its entries, without those about the study.
func entries(t *testing.T, v *plant.Plant) map[string]string {
	t.Helper()
	var b bytes.Buffer
	if err := NewDue(v, nil).Calendar(&b, 90); err != nil {
		t.Fatal(err)
	}
	c, err := ical.NewDecoder(&b).Decode()
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range c.Events() {
		uid, _ := e.Props.Text(ical.PropUID)
		if summary, _ := e.Props.Text(ical.PropSummary); !strings.Contains(summary, "review") && !strings.Contains(summary, "not to be used") {
			if all[uid] != "" {
				t.Errorf("two entries of one name: %q, %q", all[uid], summary)
			}
			all[uid] = summary
		}
	}
	return all
}

// What was found, and the days by which somebody must look, are on the list of what is due and in the calendar,
// where each keeps its name from day to day.
func TestDueOnTheEquipment(t *testing.T) {
	v := invented(t)
	at := func(today string) *plant.Plant {
		later, err := plant.New(v.Site, v.History, day(t, today), nil)
		if err != nil {
			t.Fatal(err)
		}
		return later
	}
	v.Site.Policy.SeenMonths = 6
	seen := map[string]*record.Seeing{}
	for id, found := range map[string]record.Found{"P-1": record.FoundRight, "P-2": record.FoundMissing, "P-3": record.FoundMissing, "P-5": record.FoundForeign} {
		l := v.History.Labels[id]
		seen[id] = &record.Seeing{Sight: &record.Sight{Found: found}, Day: day(t, "2026-04-20"), By: "B. Sample", Label: l.ID}
		l.Seen = seen[id]
		v.History.Labels[id] = l
	}
	v.History.Replay.Seen = seen
	days := 0
	var got []string
	for _, i := range NewDue(at("2026-05-01"), &days).Items {
		if i.Cause == AmissCause || i.Cause == LookCause {
			got = append(got, i.ID+" "+i.Due.String()+" "+i.cause())
		}
	}
	slices.Sort(got)
	want := []string{"P-2 2026-04-20 on the equipment: no label", "P-3 2026-04-20 on the equipment: no label",
		"P-5 2026-04-20 on the equipment: a label that is not of this site, or was altered"}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	before := entries(t, at("2026-05-01"))
	headings := func(all map[string]string) (texts []string) {
		for _, text := range all {
			texts = append(texts, text)
		}
		slices.Sort(texts)
		return texts
	}
	// P-0 and P-4 were printed on 2026-03-20 and never seen; the others were seen on 2026-04-20.
	if got := headings(before); !slices.Equal(got, []string{"2 arc-flash labels: look at the equipment", "4 arc-flash labels: look at the equipment",
		"Found on the equipment of 1 location: a label that is not of this site, or was altered", "Found on the equipment of 2 locations: no label"}) {
		t.Errorf("%q", got)
	}
	for _, today := range []string{"2026-05-09", "2026-09-20", "2026-09-21", "2026-12-01"} {
		after := entries(t, at(today))
		for uid, text := range before {
			if after[uid] != text {
				t.Errorf("%s on %s: %q", text, today, after[uid])
			}
		}
		if len(after) != len(before) {
			t.Errorf("on %s: %q", today, after)
		}
	}
}

// A round is told by area, and nothing is late where the policy has no interval.
func TestRoundText(t *testing.T) {
	v := invented(t)
	text := func() string {
		var b strings.Builder
		if err := NewRound(v).Text(&b, 80); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	if got := text(); !strings.HasPrefix(got, "Nobody has noted what is on the equipment yet.\n\nAREA") || !strings.Contains(got, "Without seen_months") {
		t.Error(got)
	}
	l := v.History.Labels["P-3"]
	line := record.Line{Kind: record.Seen, Date: v.Today, Applied: v.Today, By: "B. Sample", Labels: []record.Printed{{ID: "P-3", Record: l.ID.String(), Sight: &record.Sight{Found: record.FoundMissing}}}}
	v.History.Ledger.Lines = append(v.History.Ledger.Lines, line)
	s := &record.Seeing{Sight: line.Labels[0].Sight, Day: v.Today, By: "B. Sample", Label: l.ID}
	v.History.Replay.Seen, l.Seen = map[string]*record.Seeing{"P-3": s}, s
	v.History.Labels["P-3"] = l
	v.Site.Policy.SeenMonths = 12
	var err error
	if v, err = plant.New(v.Site, v.History, v.Today, nil); err != nil {
		t.Fatal(err)
	}
	if got := text(); !strings.HasPrefix(got, "Last round on 2026-05-01, by B. Sample: 1 of 6 labels seen.\n") || strings.Contains(got, "Without seen_months") ||
		!strings.HasSuffix(got, "\nNot right on the equipment:\n  P-3: found on the equipment on 2026-05-01: no label\n") {
		t.Error(got)
	}
}
