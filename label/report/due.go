package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// Due lists what has to be done about labels, and by when.
type Due struct {
	Site   string      `json:"site"`
	Today  assess.Date `json:"today"`
	Within *int        `json:"within_days"` // null: no end
	Items  []DueItem   `json:"due"`
	// Log are entries of changes.toml that the ledger does not note, or that are gone.
	Log []assess.Finding `json:"log"`
}

// DueItem is one label and one reason. For a label that holds, Due is the day by
// which its study must be reviewed; for one that does not, the day from which it
// no longer holds.
type DueItem struct {
	ID        string         `json:"id"`
	Area      string         `json:"area"`
	Equipment string         `json:"equipment"`
	Code      record.Code    `json:"code"`    // of the last printed label, else of the one that would be printed
	Printed   bool           `json:"printed"` // false: no label was printed for it yet
	Status    string         `json:"status"`  // of the last printed label, else "ready to print" or "not printed"
	Cause     standing.Cause `json:"cause"`
	Kind      string         `json:"kind,omitempty"`
	Device    string         `json:"device,omitempty"` // due for maintenance, with its place
	Due       assess.Date    `json:"due"`
	Month     string         `json:"month"` // of Due; "now" for what does not hold
	Detail    string         `json:"detail"`
	Clears    string         `json:"clears"`
	TooLow    bool           `json:"too_low,omitempty"` // more energy is possible than is printed: cover it

	Remedy assess.Remedy `json:"-"` // where Clears is the text of one
	Found  bool          `json:"-"` // Due is only the day on which it was found
	rank   int           // of the status, from bad to good
}

// Causes that a standing does not have.
const (
	neverPrinted standing.Cause = "never printed"         // a location without a label
	AmissCause   standing.Cause = "on the equipment"      // something else is there than should be
	LookCause    standing.Cause = "look at the equipment" // nobody has for so long as the policy says
)

// Doors is the rank of what is about the equipment: after the labels that do not hold.
const Doors = 100

// NewDue lists what falls due within a number of days, earliest first; nil means
// no limit. A label that does not hold is always due.
func NewDue(v *plant.Plant, within *int) *Due {
	d := &Due{Site: v.Site.Policy.Name, Today: v.Today, Within: within, Items: []DueItem{}, Log: OrEmpty(v.LogFindings())}
	for i := range v.Places {
		p := &v.Places[i]
		if p.State() == plant.NoLabel {
			continue
		}
		l := p.Assessment.Location
		item := DueItem{ID: l.ID, Area: l.Area, Equipment: l.Equipment}
		if p.Printed == nil {
			item.Code = p.Code()
			d.never(item, v, p)
			continue
		}
		item.Code, item.Printed = p.Printed.ID.Code(), true
		d.add(item, &p.Printed.Standing)
	}
	for i := range v.Unlisted {
		u := &v.Unlisted[i]
		item := DueItem{ID: u.ID, Code: u.Printed.ID.Code(), Printed: true}
		if r := u.Printed.Record; r != nil {
			item.Area, item.Equipment = r.Location.Area, r.Location.Equipment
		}
		d.add(item, &u.Standing)
	}
	d.devices(v)
	d.seen(v)
	slices.SortStableFunc(d.Items, func(a, b DueItem) int {
		// What is due now comes first. Within one day and state the order of the site stays.
		return cmp.Or(cmp.Compare(strings.TrimPrefix(a.Month, DueNow), strings.TrimPrefix(b.Month, DueNow)),
			cmp.Compare(a.rank, b.rank), a.Due.Compare(b.Due))
	})
	return d
}

// DueNow is the month of what already does not hold.
const DueNow = "now"

// never adds a location whose label was never printed: either print it, or clear
// what prevents that.
func (d *Due) never(item DueItem, v *plant.Plant, p *plant.Place) {
	item.Status, item.rank = p.State(), len(standing.States)
	item.Cause, item.Due, item.Month = neverPrinted, d.Today, DueNow
	if r := p.Refusal(false); r != nil {
		item.Detail, item.Clears = r.Why, v.Clears(r)
	} else {
		item.Detail = "no label has been printed for it yet"
		item.Clears = v.Text(assess.Remedy{Words: "{}", Act: assess.ToPrint, On: item.ID})
	}
	d.Items = append(d.Items, item)
}

func (d *Due) add(item DueItem, s *standing.Standing) {
	if s.Status == standing.Withdrawn {
		return // nothing is due
	}
	item.Status, item.rank, item.TooLow = string(s.Status), s.Urgency(), s.TooLow
	doubtful := item.rank < standing.FallsDue.Rank()
	for i := range s.Reasons {
		r := &s.Reasons[i]
		due := r.Status.Rank() < standing.FallsDue.Rank()
		if !doubtful { // the label holds, but what is mounted must be changed
			due = r.Status == standing.Holds && r.Clears != ""
		}
		if due {
			todo := item
			todo.Cause, todo.Kind, todo.Due, todo.Month = r.Cause, r.Kind, r.Since, DueNow
			todo.Detail, todo.Clears, todo.Found = r.Words(), r.Clears, r.Found
			todo.Remedy = r.Remedy
			if s.TooLow {
				todo.Detail = standing.Cover + "; " + todo.Detail + "; " + s.Screening.Words()
			}
			d.Items = append(d.Items, todo)
		}
	}
	if doubtful {
		return
	}
	if by := s.Ends; by != nil && !d.beyond(s.Until) {
		ends := item
		ends.Cause, ends.Due, ends.Month = standing.AcceptCause, s.Until, s.Until.String()[:7]
		ends.Detail = fmt.Sprintf("%s is responsible for %s until %s", by.By, by.Finding, s.Until)
		ends.Clears = "correct what the finding is about, or accept it again"
		d.Items = append(d.Items, ends)
	}
	if s.Status == standing.Holds && d.beyond(s.ReviewBy) {
		return
	}
	item.Cause, item.Due, item.Month = standing.ByAgeCause, s.ReviewBy, s.ReviewBy.String()[:7]
	item.Detail = fmt.Sprintf("the study must be reviewed by %s", s.ReviewBy)
	item.Clears = standing.Renews
	d.Items = append(d.Items, item)
}

// beyond reports whether a day is after the requested period.
func (d *Due) beyond(day assess.Date) bool {
	return d.Within != nil && d.Today.AddDays(*d.Within).Before(day)
}

// toChange says what to do if a label holds but what is mounted does not show it.
var toChange = map[standing.Cause]string{
	standing.ReviewCause:  "new label with the new REVIEW BY",
	standing.StripCause:   "label without the INTERIM strip",
	standing.OverlayCause: "overlay to remove",
}

// why is the cause for a person; for a change it is the kind.
func (i *DueItem) why() string { return cmp.Or(i.Kind, i.Cause.Words()) }

// doubtful reports whether the item is a reason why a printed label does not hold.
func (i *DueItem) doubtful() bool {
	return i.Device == "" && !i.atDoor() && i.Printed && i.rank < standing.FallsDue.Rank()
}

// cause is the cause in the list for a person.
func (i *DueItem) cause() string {
	switch {
	case i.Device != "":
		return i.deviceLine()
	case i.atDoor():
		return i.doorLine()
	case i.Cause == standing.AcceptCause:
		return "acceptance ends"
	case i.Cause == standing.ByAgeCause && i.Status == string(standing.Holds):
		return "study review"
	case i.Cause == standing.ByAgeCause, i.Cause == neverPrinted:
		return i.Status
	case i.rank >= standing.FallsDue.Rank() && i.Month == DueNow:
		return toChange[i.Cause]
	}
	return i.why()
}

// LogWords are a finding about the log of changes, with its place.
func LogWords(f *assess.Finding) string { return placed(f.File, f.Line) + ": " + f.Message }

// until says how far the list goes; "" for no limit.
func (d *Due) until() string {
	if d.Within == nil {
		return ""
	}
	return " until " + d.Today.AddDays(*d.Within).String()
}

// Text writes the list for a person: a line for each month and cause. A label that does
// not hold for several reasons is in one line, with all of them.
func (d *Due) Text(w io.Writer, width int) error {
	type line struct{ month, cause string }
	causes := map[string][]string{} // of the labels that do not hold
	for i := range d.Items {
		if t := &d.Items[i]; t.doubtful() && !slices.Contains(causes[t.ID], t.cause()) {
			causes[t.ID] = append(causes[t.ID], t.cause())
		}
	}
	var ids groups[line, string]
	for i := range d.Items {
		t := &d.Items[i]
		k := line{t.Month, t.cause()}
		if t.doubtful() {
			if k.cause = strings.Join(causes[t.ID], ", "); causes[t.ID] == nil {
				continue // it is in the list already
			}
			if causes[t.ID] = nil; t.TooLow {
				k.cause = standing.Cover + ", " + k.cause
			}
		}
		ids.add(k, t.ID)
	}
	var b strings.Builder
	table := grid{of: []column{{head: "DUE"}, {head: "LABELS"}, {head: "CAUSE", least: 20}, {head: "LOCATIONS", least: 20}}}
	for _, k := range ids.keys {
		table.add(k.month, fmt.Sprint(len(ids.of[k])), k.cause, Few(ids.of[k]))
	}
	if table.write(&b, width); ids.keys == nil {
		b.Reset()
		b.WriteString("nothing is due" + d.until() + "\n")
	}
	if len(d.Log) > 0 {
		b.WriteString("\nThe log of changes:\n")
	}
	for _, f := range d.Log {
		b.WriteString(Wrap(LogWords(&f), "  ", "    ", width))
	}
	_, err := io.WriteString(w, b.String())
	return err
}
