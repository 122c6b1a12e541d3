package audit

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Decided is a settlement or a review as the ledger notes it: a named person decided which labels hold.
type Decided struct {
	Date   assess.Date `json:"date"` // of the entry
	What   string      `json:"what"`
	By     string      `json:"by"`
	Role   record.Role `json:"role,omitempty"` // of By, who signed in to decide it; "" where the name was typed
	Reason string      `json:"reason,omitempty"`
	// Labels are those that it is about, for the pages: ids, or "all labels".
	Labels string `json:"-"`
	// Noted is who vouched for an entry that was typed into changes.toml by hand; "" for none.
	Noted string `json:"noted_by,omitempty"`
	Line  int    `json:"line"` // of the ledger, from 1
}

// decided lists the settlements and reviews that the ledger notes, in its order.
func (a *audit) decided() {
	a.Decided = []Decided{}
	notes := a.ledger.Notes()
	for i := range notes.All {
		n := &notes.All[i]
		if n.Table == assess.ChangeEntry || !n.Sure() {
			continue
		}
		text := func(key string) string {
			s, _ := n.Values[key].(string)
			return s
		}
		one := Decided{What: strings.TrimPrefix(n.Words(), "the "), By: by(&n.Entry), Role: n.Role, Reason: text("reason"), Labels: labelsOf(n.Values["scope"]), Line: n.Number}
		if one.Date, _ = assess.ParseDate(text("date")); one.Date.IsZero() {
			one.Date = n.Date
		}
		if finding := text("finding"); finding != "" {
			one.What += ", found " + finding
		}
		if n.Kind == record.Noted {
			one.Noted, one.Role = n.Role.With(n.By), ""
		}
		a.Decided = append(a.Decided, one)
	}
}

// mostLabels is how many labels of a decision are named.
const mostLabels = 100

// labelsOf names the labels of a scope, which is a list of ids or "all".
func labelsOf(scope any) string {
	if s, ok := scope.(string); ok && s != "" {
		return s + " labels"
	}
	list, _ := scope.([]any)
	var ids []string
	for i, id := range list {
		if i == mostLabels {
			ids = append(ids, fmt.Sprintf("and %d more", len(list)-i))
			break
		}
		ids = append(ids, fmt.Sprint(id))
	}
	return strings.Join(ids, ", ")
}

// Who is the person, with the role that the person had then.
func (d *Decided) Who() string { return d.Role.With(orUnknown(d.By)) }

// String is a decision in one line.
func (d *Decided) String() string {
	return report.Printable(fmt.Sprintf("%s: %s, by %s%s%s (%s)", d.Date, d.What, d.Who(), report.After(", noted by ", d.Noted),
		report.After(": ", d.Reason), InWords(record.LineName(d.Line))))
}
