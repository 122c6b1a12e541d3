package report

import (
	"fmt"
	"io"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// Round is the last round, as a program reads it.
type Round struct {
	RoundSummary
	Doors []RoundDoor `json:"locations"`
}

// RoundSummary is what was seen in the last round, by area.
type RoundSummary struct {
	Site   string      `json:"site"`
	Today  assess.Date `json:"today"`
	Months int         `json:"seen_months"` // 0: no interval
	From   assess.Date `json:"from,omitzero"`
	To     assess.Date `json:"to,omitzero"`
	Open   bool        `json:"open"` // what is seen today belongs to it
	By     []string    `json:"by"`
	RoundCount
	Areas []RoundCount `json:"areas"`
}

// RoundCount counts the labels of an area.
type RoundCount struct {
	Area   *string `json:"area,omitempty"`
	Labels int     `json:"labels"`
	Seen   int     `json:"seen"`
	Never  int     `json:"never_seen"`
	Late   int     `json:"not_seen_for_seen_months"`
	Amiss  int     `json:"not_right"`
}

// RoundDoor is one location.
type RoundDoor struct {
	ID        string       `json:"id"`
	Area      string       `json:"area"`
	Equipment string       `json:"equipment"`
	Label     record.Code  `json:"label"` // that should be there; "" for none
	InRound   bool         `json:"in_round"`
	Found     record.Found `json:"found,omitempty"` // what was found there last
	Seen      assess.Date  `json:"seen,omitzero"`
	By        string       `json:"by,omitempty"`
	Amiss     bool         `json:"not_right"` // and it is not yet put right
	LookBy    assess.Date  `json:"look_by,omitzero"`
	Says      string       `json:"says,omitempty"`
}

// Name is the area for a person.
func (c *RoundCount) Name() string {
	if c.Area == nil || *c.Area == "" {
		return "no area"
	}
	return *c.Area
}

func roundCount(a *plant.AreaRound, area bool) RoundCount {
	c := RoundCount{Labels: a.Labels, Seen: a.Seen, Never: a.Never, Late: a.Late, Amiss: a.Amiss}
	if area {
		c.Area = &a.Area
	}
	return c
}

// SumUpRound counts what was seen in the last round of a site.
func SumUpRound(v *plant.Plant, of *plant.Round) RoundSummary {
	r := RoundSummary{Site: v.Site.Policy.Name, Today: v.Today, Months: v.Site.Policy.SeenMonths, Open: of.Open, By: OrEmpty(of.By),
		RoundCount: roundCount(&of.AreaRound, false), Areas: []RoundCount{}}
	if !of.To.IsZero() {
		r.From, r.To = of.From, of.To
	}
	for i := range of.Areas {
		r.Areas = append(r.Areas, roundCount(&of.Areas[i], true))
	}
	return r
}

// NewRound is the last round of a site.
func NewRound(v *plant.Plant) *Round {
	of := v.Round()
	r := &Round{SumUpRound(v, of), []RoundDoor{}}
	for i := range of.Doors {
		d := &of.Doors[i]
		one := RoundDoor{ID: d.ID, Area: d.Area, Equipment: d.Equipment, Amiss: d.Amiss, LookBy: d.Look, InRound: d.Now}
		if d.Due {
			one.Label = d.Label
		}
		if s := d.Seen; s != nil {
			one.Found, one.Seen, one.By, one.Says = s.Found, s.Day, s.By, Sighted(v, s)
		}
		r.Doors = append(r.Doors, one)
	}
	return r
}

// Any reports whether rounds are made at the site: somebody has looked, or the policy says when.
func (r *RoundSummary) Any() bool { return r != nil && (r.Months > 0 || !r.To.IsZero()) }

// Says is when the round was and who looked, in a sentence; areas are counted without it.
func (r *RoundSummary) Says() string {
	if r.To.IsZero() {
		return "Nobody has noted what is on the equipment yet."
	}
	when := "on " + r.To.String()
	if r.From != r.To {
		when = "from " + r.From.String() + " to " + r.To.String()
	}
	return fmt.Sprintf("Last round %s%s: %d of %s seen.", when, After(", by ", strings.Join(r.By, ", ")), r.Seen, Plural(r.Labels, "label"))
}

// Text writes it for a person: the areas, then what is not right.
func (r *Round) Text(w io.Writer, width int) error {
	var b strings.Builder
	b.WriteString(Wrap(r.Says(), "", "  ", width) + "\n")
	r.areas(&b, width)
	if r.Months == 0 {
		b.WriteString(Wrap("Without seen_months in site.toml no label is late.", "", "  ", width))
	}
	first := true
	for i := range r.Doors {
		d := &r.Doors[i]
		if !d.Amiss {
			continue
		}
		if first {
			b.WriteString("\nNot right on the equipment:\n")
			first = false
		}
		b.WriteString(Wrap(d.ID+": "+d.Says, "  ", "    ", width))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// areas is a table of the areas; nothing without one.
func (r *RoundSummary) areas(b *strings.Builder, width int) {
	if len(r.Areas) == 0 {
		return
	}
	table := grid{of: []column{{head: "AREA", least: 12}, {head: "LABELS"}, {head: "SEEN"}, {head: "NEVER"}, {head: "LATE"}, {head: "NOT RIGHT"}}}
	for i := range r.Areas {
		a := &r.Areas[i]
		table.add(a.Name(), fmt.Sprint(a.Labels), fmt.Sprint(a.Seen), fmt.Sprint(a.Never), fmt.Sprint(a.Late), fmt.Sprint(a.Amiss))
	}
	table.write(b, width)
}
