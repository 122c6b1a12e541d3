package report

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/emersion/go-ical"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// maintained is a site of three printed labels that one breaker clears, and
// one that a fuse clears.
func maintained(t *testing.T, today string, breaker assess.Device) *plant.Plant {
	t.Helper()
	s := &assess.Site{Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40,
		ReviewMonths: 60, NoticeDays: 90, Govern: assess.Larger, Sources: []string{"A"},
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}}}
	for _, id := range []string{"A", "B", "C", "D"} {
		l := assess.Location{ID: id, Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2,
			Cases: []assess.Case{{Method: assess.Stated, Energy: 5, Boundary: 42 * assess.MMPerInch, Prepared: day(t, "2026-03-14"),
				Device: "=breaker", DeviceAt: "A"}}}
		if id != "A" {
			l.Cases[0].FedFrom = []string{"A"}
		} else {
			l.Cases[0].Device = "fuse"
		}
		s.Locations = append(s.Locations, l)
	}
	breaker.Name, breaker.At = "=breaker", "A"
	s.Devices = []assess.Device{breaker}
	h := mounted(t, s)
	gone := h.Labels["D"]
	gone.Withdrawn = &record.Line{Date: day(t, "2026-04-01")}
	h.Labels["D"] = gone
	v, err := plant.New(s, h, day(t, today), nil)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// What is due of a device: by its day, and now from the day after it. A label
// that was withdrawn rests on no device.
func TestDueDevices(t *testing.T) {
	known := assess.Device{Maintained: day(t, "2025-06-10"), IntervalMonths: 24}
	failed := known
	failed.Failed = true
	week := 7
	for _, c := range []struct {
		name, today string
		d           assess.Device
		within      *int
		month, due  string // "" for nothing
	}{
		{"planned", "2026-05-01", known, nil, "2027-06", "2027-06-10"},
		{"beyond the limit", "2026-05-01", known, &week, "", ""},
		{"within the limit", "2027-06-03", known, &week, "2027-06", "2027-06-10"},
		{"on the day", "2027-06-10", known, nil, "2027-06", "2027-06-10"},
		{"overdue", "2027-06-11", known, &week, DueNow, "2027-06-10"},
		{"never maintained", "2026-05-01", assess.Device{IntervalMonths: 24}, &week, DueNow, "2026-05-01"},
		{"no interval", "2026-05-01", assess.Device{Maintained: day(t, "2025-06-10")}, nil, "", ""},
		{"failed", "2026-05-01", failed, nil, "", ""}, // a reason of the labels, not a plan
	} {
		v := maintained(t, c.today, c.d)
		var ids []string
		for _, i := range NewDue(v, c.within).Items {
			if i.Device == "" {
				continue
			}
			ids = append(ids, i.ID)
			if i.Month != c.month || i.Due.String() != c.due || !strings.Contains(i.Detail, "=breaker at A") {
				t.Errorf("%s: %+v", c.name, i)
			}
		}
		if want := []string{"B", "C"}; c.due != "" && !slices.Equal(ids, want) || c.due == "" && ids != nil {
			t.Errorf("%s: %v", c.name, ids)
		}
	}
	if now := NewDue(maintained(t, "2026-05-01", failed), nil).Items[0]; now.Cause != "device maintenance" || now.Month != DueNow {
		t.Errorf("a failed device: %+v", now)
	}
}

// In a calendar a device has one entry, which keeps its name from the plan
// until it is done; a planned one has a reminder.
func TestCalendarOfDevices(t *testing.T) {
	uids := map[string]bool{}
	for _, c := range []struct {
		today, summary string
		reminded       bool
	}{
		{"2026-05-01", "Maintain =breaker at A (clears the arc at 2 locations)", true},
		{"2027-06-11", "Maintain =breaker at A, overdue since 2027-06-10 (clears the arc at 2 locations)", false},
		{"2027-07-11", "Maintain =breaker at A, overdue since 2027-06-10 (clears the arc at 2 locations)", false},
	} {
		v := maintained(t, c.today, assess.Device{Maintained: day(t, "2025-06-10"), IntervalMonths: 24})
		var b bytes.Buffer
		if err := NewDue(v, nil).Calendar(&b, 90); err != nil {
			t.Fatal(err)
		}
		calendar, err := ical.NewDecoder(&b).Decode()
		if err != nil {
			t.Fatal(err)
		}
		found := 0
		for _, e := range calendar.Events() {
			if summary, _ := e.Props.Text(ical.PropSummary); summary == c.summary {
				found++
				uid, _ := e.Props.Text(ical.PropUID)
				uids[uid] = true
				if (len(e.Children) > 0) != c.reminded {
					t.Errorf("%s: reminders %v", c.today, e.Children)
				}
			}
		}
		if found != 1 {
			t.Errorf("%s: %d entries %q", c.today, found, c.summary)
		}
	}
	if len(uids) != 1 {
		t.Errorf("names %v", uids)
	}
}
