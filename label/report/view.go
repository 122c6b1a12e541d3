package report

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// Place is one location as check shows it.
type Place struct {
	Number     int // of the location in the site
	Assessment *assess.Assessment
	Standing   standing.Standing // of the label printed last; where there is none, of the one that would be
	Row        standing.Standing // of the label that the row would print now
	Record     *record.Record    // of what print would print now; nil where an error stops it
	Code       record.Code       // of that record
	Printed    *record.Printing  // the label printed last; nil for none
	Worse      string            // what the row as it is would warn of and that label does not
	Headroom   standing.Headroom // of the label that Standing speaks of
}

// Unlisted is a label that was printed for a location which locations.csv no
// longer holds.
type Unlisted struct {
	ID       string
	Printed  record.Printing
	Standing standing.Standing
}

// View is a site as check shows it on a day.
type View struct {
	Site     *assess.Site
	Today    assess.Date
	Findings []assess.Finding // of the site as a whole
	Places   []Place
	Unlisted []Unlisted
	History  *record.History
	Keys     *seal.Keyring // that are trusted; nil for none

	subjects []standing.Subject // whose standing was judged
}

// New judges a site and gives what check shows of it. h is what was printed;
// nil for nothing.
func New(s *assess.Site, h *record.History, today assess.Date) (*View, error) {
	if h == nil {
		h = &record.History{Ledger: &record.Ledger{}}
	}
	all := s.Assess(today)
	v := &View{Site: s, Today: today, Findings: s.Findings(today), Places: make([]Place, len(all)), History: h}
	for i := range all {
		a := &all[i]
		p := &v.Places[i]
		p.Number, p.Assessment = i, a
		if printing, ok := h.Labels[a.Location.ID]; ok {
			p.Printed = &printing
		}
		if !a.Prints() {
			continue
		}
		p.Record = record.New(a)
		if p.Printed != nil {
			p.Record = record.Next(p.Printed.Record, a)
		}
		_, id, err := p.Record.Encode()
		if err != nil {
			return nil, err
		}
		p.Code = id.Code()
	}
	v.judgeStandings(h)
	v.checkLedger()
	return v, nil
}

// checkLedger says which lines of the ledger do not count yet: a label that was
// printed with another clock hangs all the same.
func (v *View) checkLedger() {
	first, n := 0, 0
	for i := range v.History.Ledger.Lines {
		if v.Today.Before(v.History.Ledger.Lines[i].Date) {
			if n++; n == 1 {
				first = i + 1
			}
		}
	}
	if n > 0 {
		v.Findings = append(v.Findings, assess.Finding{Level: assess.Caution, Field: "date", File: record.LedgerFile, Line: first,
			Message: fmt.Sprintf("%s of the ledger dated after today (%s), the first of %s: what they tell does not count yet, and labels that they printed hang all the same; compare --today and the clock", Plural(n, "line"), v.Today, v.History.Ledger.Lines[first-1].Date)})
	}
}

// IDs are the ids that a person names, repeated or parted by commas. What is an
// id as a whole is not taken apart.
func (v *View) IDs(words []string) []string {
	known := v.Site.Index()
	var ids []string
	for _, w := range words {
		if _, whole := known[w]; whole {
			ids = append(ids, w)
			continue
		}
		for _, part := range strings.Split(w, ",") {
			if part = strings.TrimSpace(part); part != "" {
				ids = append(ids, part)
			}
		}
	}
	return ids
}

// Place is the place of a location.
func (v *View) Place(id string) (*Place, bool) {
	for i := range v.Places {
		if v.Places[i].Assessment.Location.ID == id {
			return &v.Places[i], true
		}
	}
	return nil, false
}

// Refused reports whether an error finding stops any label.
func (v *View) Refused() bool {
	for _, p := range v.Places {
		if !p.Assessment.Prints() {
			return true
		}
	}
	return false
}

// printed are the numbers of a label as it words them.
func (p *Place) printed(u assess.Units) (energy, boundary, distance string) {
	a := p.Assessment
	if a.Energy.Value > 0 {
		energy = label.Energy(a.Energy.Value, u)
	}
	if b := a.BoundaryToPrint; b > 0 {
		boundary = label.Length(b, b, u)
	}
	return energy, boundary, label.Distance(a.Location.Distance, u)
}
