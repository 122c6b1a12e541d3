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
	Accepted int     // of them
	At       []place // where it was found
}

// mostPlaces are shown of a kind before anyone asks for more.
const mostPlaces = 12

// Some are the first places of a kind, Folded are the others.
func (k *findingKind) Some() []place   { return k.At[:min(len(k.At), mostPlaces)] }
func (k *findingKind) Folded() []place { return k.At[len(k.Some()):] }

// findingSubject is what findings are about: a location, or the site as a whole.
type findingSubject struct {
	ID, Equipment, Area string
	Anchor              string
	Path                string // of the label's page, from the start page; "" for none
	Found               []found
}

// siteFindings is the anchor of the findings about the site as a whole; no location has it.
const siteFindings = "site"

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

// findings are the pages of the findings; the first one has all kinds, which lead to each place.
func (p planner) findings(v *plant.Plant, labels []entry) []Page {
	paths := map[string]string{}
	for i := range labels { // replaced ones come last
		if e := &labels[i]; paths[e.ID] == "" {
			paths[e.ID] = e.Path
		}
	}
	var subjects []findingSubject
	foundOf := func(findings []assess.Finding, file string) []found { return foundOf(findings, file, p.undating(v)) }
	if some := foundOf(v.Findings, "site.toml"); some != nil {
		subjects = append(subjects, findingSubject{ID: "The site", Anchor: siteFindings, Found: some})
	}
	for i := range v.Places {
		a := v.Places[i].Assessment
		if some := foundOf(a.Findings, "locations.csv"); some != nil {
			l := a.Location
			subjects = append(subjects, findingSubject{l.ID, l.Equipment, l.Area, anchor(l.ID), paths[l.ID], some})
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

// LocateFindings is where the findings about a location are, from the start page: a page and the anchor on
// it. ok is false where nothing was found about it.
func (b *Book) LocateFindings(id string) (page, at string, ok bool) {
	v, before := b.Shelf.Site, btoi(len(b.Shelf.Site.Findings) > 0)
	for i := range v.Places {
		a := v.Places[i].Assessment
		if len(a.Findings) == 0 {
			continue
		}
		if a.Location.ID == id {
			return "findings/" + fileOf(before/subjectsPerPage), anchor(id), true
		}
		before++
	}
	return "", "", false
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
			href := "#" + s.Anchor
			if number := i/subjectsPerPage + 1; number > 1 {
				href = fmt.Sprintf("%d.html%s", number, href)
			}
			if n := len(kind.At); n == 0 || kind.At[n-1].Href != href {
				kind.At = append(kind.At, place{s.ID, href})
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
