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
	Role    record.Role `json:"role,omitempty"` // of By, who signed in to accept it; "" where the name was typed
	Date    assess.Date `json:"date"`
	Until   assess.Date `json:"until,omitzero"` // the last day on which it counts; left out where no label says
	Reason  string      `json:"reason"`
	Code    record.Code `json:"code,omitempty"` // of the label whose record holds it
	Policy  bool        `json:"site_toml"`      // it is in site.toml
	Noted   bool        `json:"noted"`          // the ledger notes that a command added it to site.toml
}

// Where says where an acceptance is kept.
func (a *Accepted) Where() string {
	switch {
	case a.Code == "" && a.Noted:
		return "in site.toml; no label has been printed with it"
	case a.Code == "":
		return "in site.toml; no label has been printed with it; not noted in the ledger"
	case !a.Policy:
		return "in the record of " + string(a.Code) + ", no longer in site.toml"
	}
	if !a.Noted {
		return "in the record of " + string(a.Code) + " and in site.toml; not noted in the ledger"
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
	notes := a.ledger.Accepted()
	first := map[what]int{} // its place
	list := func(one Accepted) {
		key := what{one.ID, one.Finding, one.By, one.Reason, one.Date}
		k, known := first[key]
		if known && one.Policy {
			is := &a.Accepted[k]
			is.Policy, is.Noted, is.Role = true, one.Noted, cmp.Or(is.Role, one.Role)
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
			one := Accepted{ID: id, Finding: by.Finding, By: by.By, Date: by.Date,
				Until: by.End(r.reviewBy), Reason: by.Reason, Code: l.ID.Code()}
			for k := range notes { // the record has no numbers, so the newest note counts
				if n := &notes[k]; n.At == id && n.OfRecord(&by) && !n.Ended.Failed {
					one.Role = n.Role
				}
			}
			list(one)
		}
	}
	for i := range a.o.Accept {
		by := &a.o.Accept[i]
		for _, id := range by.At {
			one := Accepted{ID: id, Finding: by.Finding, By: by.By, Date: by.Date, Until: by.Until, Reason: by.Reason, Policy: true}
			for k := range notes {
				if n := &notes[k]; n.Is(by, id) && !n.Ended.Failed {
					one.Noted, one.Role = true, n.Role
				}
			}
			list(one)
		}
	}
	slices.SortStableFunc(a.Accepted, func(x, y Accepted) int {
		return cmp.Or(cmp.Compare(x.ID, y.ID), cmp.Compare(x.Finding, y.Finding), x.Date.Compare(y.Date),
			cmp.Compare(x.By, y.By))
	})
}

// Means says what was accepted.
func (a *Accepted) Means() string { return means(a.Finding) }

// Who is the person, with the role that the person had then.
func (a *Accepted) Who() string { return a.Role.With(a.By) }

// lost notes the acceptances that a command added to site.toml and that it no longer has as they were. The
// policy is the owner's to edit, so this is not a problem; but nobody may take responsibility in
// another's name.
func (a *audit) lost() {
	if a.o.Site == "" {
		return // no policy was read
	}
	notes := a.ledger.Accepted()
	for i := range notes {
		n := &notes[i]
		has := func(same func(*assess.Acceptance) bool) bool {
			return slices.ContainsFunc(a.o.Accept, func(by assess.Acceptance) bool { return slices.Contains(by.At, n.At) && same(&by) })
		}
		what := fmt.Sprintf("that %s accepted %s at %s on %s", n.Role.With(n.By), n.Finding, n.At, n.Date)
		switch {
		case n.Ended.Failed || has(func(by *assess.Acceptance) bool { return n.Is(by, n.At) }):
		case !n.Ended.Done:
			a.note("%s announces %s; the command was stopped, and %s does not have it", record.LineName(n.Number), what, assess.PolicyFile)
		case has(func(by *assess.Acceptance) bool { return by.Finding == n.Finding && by.By == n.By && by.Date == n.Date }):
			a.note("%s notes %s; %s has another text of it now", record.LineName(n.Number), what, assess.PolicyFile)
		default:
			a.note("%s notes %s; it was removed from %s since", record.LineName(n.Number), what, assess.PolicyFile)
		}
	}
}

// String is an acceptance in one line.
func (a *Accepted) String() string {
	return report.Printable(fmt.Sprintf("%s, by %s on %s until %s: %s [%s]; reason: %s (%s)",
		a.ID, a.Who(), a.Date, a.Lasts(), a.Means(), a.Finding, a.Reason, a.Where()))
}
