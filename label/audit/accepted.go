package audit

import (
	"cmp"
	"fmt"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Accepted is a finding that a named person takes responsibility for: in the
// record of a label that was printed last, in site.toml as it is now, or in both.
type Accepted struct {
	ID      string      `json:"id"`
	Finding assess.Code `json:"finding"`
	By      string      `json:"by"`
	Date    assess.Date `json:"date"`
	Until   assess.Date `json:"until,omitzero"` // the last day on which it counts; left out where no label says
	Reason  string      `json:"reason"`
	Code    record.Code `json:"code,omitempty"` // of the label whose record holds it
	Policy  bool        `json:"site_toml"`      // it is in site.toml
}

// Where says where an acceptance is kept.
func (a *Accepted) Where() string {
	switch {
	case a.Code == "":
		return "in site.toml; no label has been printed with it"
	case !a.Policy:
		return "in the record of " + string(a.Code) + ", no longer in site.toml"
	}
	return "in the record of " + string(a.Code) + " and in site.toml"
}

// Lasts is the last day on which it counts, in words.
func (a *Accepted) Lasts() string { return cmp.Or(a.Until.String(), "REVIEW BY") }

// accepted lists the acceptances that labels rest on, then those of site.toml
// that no label does.
func (a *audit) accepted() {
	type what struct {
		id         string
		finding    assess.Code
		by, reason string
		date       assess.Date
	}
	a.Accepted = []Accepted{}
	first := map[what]int{} // its place
	list := func(one Accepted) {
		key := what{one.ID, one.Finding, one.By, one.Reason, one.Date}
		k, known := first[key]
		if known && one.Policy {
			a.Accepted[k].Policy = true
			return
		}
		if !known {
			first[key] = len(a.Accepted)
		}
		a.Accepted = append(a.Accepted, one)
	}
	for id, l := range a.replay.Labels {
		r := a.newest[l.ID]
		if r == nil {
			continue
		}
		for _, by := range r.accept {
			list(Accepted{ID: id, Finding: by.Finding, By: by.By, Date: by.Date,
				Until: by.End(r.reviewBy), Reason: by.Reason, Code: l.ID.Code()})
		}
	}
	for i := range a.o.Accept {
		by := &a.o.Accept[i]
		for _, id := range by.At {
			list(Accepted{ID: id, Finding: by.Finding, By: by.By, Date: by.Date, Until: by.Until, Reason: by.Reason,
				Policy: true})
		}
	}
	slices.SortStableFunc(a.Accepted, func(x, y Accepted) int {
		return cmp.Or(cmp.Compare(x.ID, y.ID), cmp.Compare(x.Finding, y.Finding), x.Date.Compare(y.Date),
			cmp.Compare(x.By, y.By))
	})
}

// Means says what was accepted.
func (a *Accepted) Means() string { return means(a.Finding) }

// String is an acceptance in one line.
func (a *Accepted) String() string {
	return report.Printable(fmt.Sprintf("%s, by %s on %s until %s: %s [%s]; reason: %s (%s)",
		a.ID, a.By, a.Date, a.Lasts(), a.Means(), a.Finding, a.Reason, a.Where()))
}
