package report

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"

	ics "github.com/arran4/golang-ical"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// ErrNothingDue says that there is no calendar: it needs an entry (RFC 5545, 3.6).
type ErrNothingDue struct{ Until string }

func (e *ErrNothingDue) Error() string {
	return "nothing is due" + e.Until + ", so no calendar was written"
}

// Calendar writes the list as an iCalendar (RFC 5545): an entry for each day on
// which studies are due for review, with a reminder when the labels fall due,
// and an entry today for each cause why labels do not hold. The same entry has
// the same name in every calendar of a site.
func (d *Due) Calendar(w io.Writer, noticeDays int) error {
	var entries groups[entryKey, DueItem]
	for _, i := range d.Items {
		if i.Device != "" {
			entries.add(d.deviceEntry(&i), i)
			continue
		}
		if i.atDoor() {
			k := entryKey{day: i.Due, what: i.doorLine(), door: true}
			if i.Month == DueNow {
				k.day, k.since = d.Today, i.Due
			}
			entries.add(k, i)
			continue
		}
		if !i.Printed {
			continue // no label was printed yet that could fall due
		}
		k := entryKey{day: i.Due}
		if i.Month == DueNow {
			k = entryKey{day: d.Today, what: cmp.Or(i.Kind, string(i.Cause)), since: i.Due, tooLow: i.TooLow}
			if i.Found {
				k.since = assess.Date{} // it differs each time
			}
		}
		entries.add(k, i)
	}
	if entries.keys == nil {
		return &ErrNothingDue{d.until()}
	}
	c := ics.NewCalendar()
	c.SetProductId("-//vouchmark//due//EN")
	c.SetMethod(ics.MethodPublish)
	c.SetName("Arc-flash labels, " + d.Site)
	for _, k := range entries.keys {
		d.event(c, k, entries.of[k], noticeDays)
	}
	return c.SerializeTo(w, ics.WithNewLineWindows)
}

// entryKey is what the labels of one calendar entry share.
type entryKey struct {
	day, since assess.Date
	what       string // "" for a coming review
	device     string // due for maintenance; "" for none
	tooLow     bool
	door       bool // what is on the equipment
}

func (d *Due) event(c *ics.Calendar, k entryKey, items []DueItem, noticeDays int) {
	e := c.AddEvent(uid(d.Site, k))
	e.SetDtStampTime(d.Today.Time())
	e.SetAllDayStartAt(k.day.Time())
	e.SetAllDayEndAt(k.day.AddDays(1).Time()) // DTEND is the first day after it (RFC 5545, 3.6.1)
	e.SetTimeTransparency(ics.TransparencyTransparent)
	var text strings.Builder
	say := fmt.Sprintf(": review the study by %s", k.day)
	switch {
	case k.device != "", k.door:
	case k.what == "":
	case items[0].rank >= standing.FallsDue.Rank(): // the label holds, but what is mounted must be changed
		say = fmt.Sprintf(" %s on %s", map[standing.Cause]string{
			standing.ReviewCause:  "to replace: the study was reviewed",
			standing.StripCause:   "to replace with one without the INTERIM strip, which was printed",
			standing.OverlayCause: "with an overlay to remove, printed",
		}[items[0].Cause], k.since)
	default:
		say = " not to be used: " + strings.TrimSuffix(items[0].why()+" since "+k.since.String(), " since ")
		if k.tooLow {
			say = ": " + standing.Cover + strings.TrimPrefix(say, " not to be used")
		}
	}
	summary, ahead, reminder := Plural(len(items), "arc-flash label")+say, k.what == "", "Arc-flash labels fall due"
	if k.device != "" {
		summary, ahead, reminder = deviceSummary(k, items), items[0].Month != DueNow, "Device maintenance falls due"
	}
	if k.door {
		summary, ahead, reminder = doorSummary(items), items[0].Month != DueNow, "Arc-flash labels must be looked at"
	}
	e.SetSummary(Printable(summary))
	for _, i := range items {
		fmt.Fprintf(&text, "%s: %s\n", Printable(i.ID), Printable(i.Detail))
	}
	e.SetDescription(strings.TrimSpace(text.String()))
	if ahead && noticeDays > 0 {
		a := e.AddAlarm()
		a.SetAction(ics.ActionDisplay)
		a.SetDescription(reminder)
		a.SetTrigger(fmt.Sprintf("-P%dD", noticeDays))
	}
}

// uid names an entry by what it is about, not by its content.
func uid(site string, k entryKey) string {
	name := "review\x00" + k.day.String()
	if k.door && k.since.IsZero() {
		name = k.what + "\x00" + k.day.String()
	} else if k.what != "" {
		name = k.what + "\x00" + k.since.String()
	}
	if k.tooLow {
		name += "\x00too low"
	}
	sum := sha256.Sum256([]byte(site + "\x00" + name))
	return hex.EncodeToString(sum[:12]) + "@vouchmark.invalid"
}
