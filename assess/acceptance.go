package assess

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"iter"
	"slices"
)

// Acceptance records that a named person takes responsibility for a finding at a
// location, for rows prepared on or before its day.
type Acceptance struct {
	Finding Code   `json:"finding"`
	By      string `json:"by"`
	Date    Date   `json:"date"`
	Reason  string `json:"reason"`
	Until   Date   `json:"until,omitzero"` // the last day on which it counts; not given: REVIEW BY

	At   []string `json:"-"` // ids; those that site.toml names
	Line int      `json:"-"` // of site.toml
	// Numbers identifies the numbers that it was given for, see [Site.Numbers]; ""
	// if a person typed it by hand.
	Numbers string `json:"-"`
}

// accepted is the acceptance of findings of a code at the location, or nil; of
// several the one that ends last.
func (in *Inputs) accepted(c Code) *Acceptance {
	var last *Acceptance
	for i := range in.Accept {
		a := &in.Accept[i]
		if a.Finding == c && (last == nil || last.End(in.reviewBy()).Before(a.End(in.reviewBy()))) {
			last = a
		}
	}
	return last
}

// Accepting is the acceptance that counts for findings of a code at the location,
// and the last day on which it does; nil for none.
func (in *Inputs) Accepting(c Code) (by *Acceptance, end Date) {
	if by = in.accepted(c); by != nil {
		end = by.End(in.reviewBy())
	}
	return by, end
}

// accepting returns the acceptances that count for a location on a day.
func (s *Site) accepting(in *Inputs, index map[string]int, today Date) []Acceptance {
	var all []Acceptance
	for i := range s.Policy.Accept {
		a := &s.Policy.Accept[i]
		if a.counts(in.Location.ID, in.Location.latest(), in.reviewBy(), today) &&
			(a.Numbers == "" || a.Numbers == s.Numbers(in.Location, a.Finding, index)) {
			all = append(all, *a)
		}
	}
	return all
}

// Numbers is a digest of what an acceptance of a finding covers: the cells of the
// location's rows that decide its label, without their dates; if the finding also
// follows from other rows, the fault currents of those too. index is that of the
// site.
func (s *Site) Numbers(l *Location, code Code, index map[string]int) string {
	h := sha256.New()
	write := func(of *Location, keep func(*Column) bool) {
		for i := range of.Cases {
			for k := range Columns {
				if c := &Columns[k]; keep(c) {
					if text := c.Text(of.Row(i)); text != "" {
						fmt.Fprintf(h, "%q %q %s %q\n", of.ID, of.Cases[i].Name, c.Key(), text)
					}
				}
			}
			if c := s.Curves[of.Cases[i].Curve]; c != nil {
				fmt.Fprintln(h, c.TolerancePercent, c.Points)
			}
		}
	}
	write(l, func(c *Column) bool { return c.Weight == Decides && c.Kind != Day })
	if code == ApproachTooNear {
		fmt.Fprintln(h, s.Policy.Approach)
	}
	if code == OverInterrupting || code == FaultBeyondSource || code == DeviceNotUpstream {
		others := slices.Concat(l.FedFrom(), l.TiedTo(), l.all(func(c *Case) []string { return []string{c.DeviceAt} }))
		for _, id := range slices.Compact(sorted(others)) {
			if i, ok := index[id]; ok {
				write(&s.Locations[i], func(c *Column) bool { return c.Name == "fault" || c.Name == "voltage" })
			}
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:6])
}

// counts reports whether an acceptance counts today for rows with these prepared
// and REVIEW BY dates.
func (a *Acceptance) counts(id string, prepared, reviewBy, today Date) bool {
	return slices.Contains(a.At, id) && !today.Before(a.Date) && !a.Date.Before(prepared) && !a.End(reviewBy).Before(today)
}

// latest is the date of the newest study over the cases.
func (l *Location) latest() Date {
	var d Date
	for i := range l.Cases {
		if c := l.Cases[i].Prepared; d.Before(c) {
			d = c
		}
	}
	return d
}

// UnusedAcceptances returns cautions about the policy's acceptances that match no
// finding of a site's assessments, at one of their places or at any.
func (p *Policy) UnusedAcceptances(all iter.Seq[*Assessment], today Date) []Finding {
	if len(p.Accept) == 0 {
		return nil
	}
	met := map[string]bool{}
	for a := range all {
		for _, f := range a.Findings {
			if f.AcceptedBy != "" {
				met[a.Location.ID+" "+string(f.Code)] = true
			}
		}
	}
	var unused []Finding
	for i := range p.Accept {
		a := &p.Accept[i]
		if today.Before(a.Date) {
			unused = append(unused, Finding{Level: Caution, Code: EntryAhead, Field: "accept", Line: a.Line,
				Message: fmt.Sprintf("the acceptance of %s is dated %s, after today (%s), and does not count yet", a.Finding, a.Date, today)})
			continue
		}
		if a.Numbers == "" {
			unused = append(unused, Finding{Level: Caution, Code: AcceptUnbound, Field: "accept", Line: a.Line,
				Message: fmt.Sprintf("the acceptance of %s by %s is not tied to any numbers, so it would also cover changed ones; "+
					"write it with vouchmark accept, which ties it to the numbers", a.Finding, a.By)})
		}
		for _, id := range a.At {
			if !met[id+" "+string(a.Finding)] {
				unused = append(unused, Finding{Level: Caution, Code: AcceptUnused, Field: "accept", Line: a.Line,
					Message: fmt.Sprintf("%s at %s was accepted by %s on %s, but there is no such finding for it to cover: "+
						"the finding is gone, the study is newer, the numbers have changed, or the acceptance has ended; delete the entry, or accept again",
						a.Finding, id, a.By, a.Date)})
			}
		}
	}
	return unused
}

// Acceptable reports whether a named person may accept the finding: it is an error
// that still stops the label, of a code and kind that can be accepted.
func (f *Finding) Acceptable() bool { return f.Level == Error && !f.final && f.Code.Acceptable() }

// Lateness says why an acceptance would not count today, or never, for rows with
// these prepared and REVIEW BY dates; "" if it does.
func (a *Acceptance) Lateness(in *Inputs, today Date) (part, why string) {
	study, last := in.Location.latest(), a.End(in.reviewBy())
	switch {
	case a.Date.Before(study):
		return "date", fmt.Sprintf("%s is before the study of %s: an acceptance covers only rows prepared on or before its date",
			a.Date, study)
	case last.Before(a.Date):
		return "until", fmt.Sprintf("%s is before %s, the date of the acceptance", last, a.Date)
	case last.Before(today):
		return "until", fmt.Sprintf("%s has passed (today is %s)", last, today)
	}
	return "", ""
}
