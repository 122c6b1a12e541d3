package page

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/report"
)

// findingsPage are the findings of check about the site as it is now: by kind, then by
// location.
type findingsPage struct {
	Errors, Cautions int // an accepted error is a caution
	Accepted         int // of the cautions
	Kinds            []findingKind
	Subjects         []findingSubject
	Writes           bool   // a server takes acceptances
	Up               string // the way to its forms
	part
}

// findingKind is a code at one level, with where it was found: errors of a kind that a
// named person accepted are cautions.
type findingKind struct {
	Code     assess.Code
	Level    assess.Level
	Meaning  string
	Count    int
	Accepted int // of them
	IDs      []string
}

// findingSubject is what findings are about: a location, or the site as a whole.
type findingSubject struct {
	ID, Equipment, Area string
	Found               []found
}

type found struct {
	Level         assess.Level
	Code          assess.Code
	Field, Text   string
	Where         string // file and line
	Acceptable    bool   // a named person may take responsibility for it
	AcceptedByWho string
}

// subjectsPerPage keeps each page of findings to a size that a phone can show.
const subjectsPerPage = 200

// findings are the pages of the findings; the first one has all kinds.
func (p planner) findings(v *plant.Plant) []Page {
	var subjects []findingSubject
	foundOf := func(findings []assess.Finding, file string) []found { return foundOf(findings, file, p.undating(v)) }
	if some := foundOf(v.Findings, "site.toml"); some != nil {
		subjects = append(subjects, findingSubject{ID: "The site", Found: some})
	}
	for i := range v.Places {
		a := v.Places[i].Assessment
		if some := foundOf(a.Findings, "locations.csv"); some != nil {
			l := a.Location
			subjects = append(subjects, findingSubject{l.ID, l.Equipment, l.Area, some})
		}
	}
	all := findingsPage{Kinds: kindsOf(subjects), Writes: p.Live != nil && p.Live.Writes, Up: "../"}
	for i := range subjects {
		for k := range subjects[i].Found {
			all.Accepted += btoi(subjects[i].Found[k].AcceptedByWho != "")
			all.Errors += btoi(subjects[i].Found[k].Level == assess.Error)
			all.Cautions += btoi(subjects[i].Found[k].Level == assess.Caution)
		}
	}
	return inParts("findings/", "index.html", subjects, subjectsPerPage, func(name string, some []findingSubject, at part) Page {
		d := all
		d.Subjects, d.part = some, at
		if at.Number > 1 {
			d.Kinds = nil
		}
		return planned(p, name, d, (*setting).findings)
	})
}

// undating takes today's date out of a message, where it is only an aside: files do not
// name the day on which they were made.
func (p planner) undating(v *plant.Plant) func(string) string {
	if p.Live != nil {
		return func(text string) string { return text }
	}
	day := v.Today.String()
	return strings.NewReplacer(" (today is "+day+")", "", " ("+day+")", "").Replace
}

// foundOf are findings as a page shows them, the errors first.
func foundOf(findings []assess.Finding, file string, undated func(string) string) (all []found) {
	for i := range findings {
		f := &findings[i]
		one := found{Level: f.Level, Code: f.Code, Field: f.Field, Text: undated(f.Message), Where: cmp.Or(f.File, file),
			Acceptable: f.Acceptable(), AcceptedByWho: f.AcceptedBy}
		if f.Line > 0 {
			one.Where += fmt.Sprintf(", line %d", f.Line)
		}
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, b found) int {
		return cmp.Compare(btoi(b.Level == assess.Error), btoi(a.Level == assess.Error))
	})
	return all
}

// kindsOf has the kinds that stop labels first, of those the most common.
func kindsOf(subjects []findingSubject) []findingKind {
	var kinds []findingKind
	for i := range subjects {
		s := &subjects[i]
		for k := range s.Found {
			f := &s.Found[k]
			at := slices.IndexFunc(kinds, func(kind findingKind) bool { return kind.Code == f.Code && kind.Level == f.Level })
			if at < 0 {
				at = len(kinds)
				kinds = append(kinds, findingKind{Code: f.Code, Level: f.Level, Meaning: string(f.Code)})
				if info := f.Code.Info(); info != nil {
					kinds[at].Meaning = info.Meaning
				}
			}
			kind := &kinds[at]
			kind.Count++
			kind.Accepted += btoi(f.AcceptedByWho != "")
			if n := len(kind.IDs); n == 0 || kind.IDs[n-1] != s.ID {
				kind.IDs = append(kind.IDs, s.ID)
			}
		}
	}
	slices.SortStableFunc(kinds, func(a, b findingKind) int {
		return cmp.Or(cmp.Compare(btoi(b.Level == assess.Error), btoi(a.Level == assess.Error)), cmp.Compare(b.Count, a.Count))
	})
	return kinds
}

// Total says how many there are.
func (p *findingsPage) Total() string {
	text := report.Plural(p.Errors, "error") + ", " + report.Plural(p.Cautions, "caution")
	if p.Accepted > 0 {
		text += fmt.Sprintf(" (%d accepted)", p.Accepted)
	}
	return text
}

func (s *setting) findings(p findingsPage) ([]byte, error) {
	return s.render("findings.html", "Findings", "", 1, &p)
}
