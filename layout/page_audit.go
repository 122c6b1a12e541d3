package layout

import (
	"fmt"
	"strconv"
)

// Audit is the report of an audit.
type Audit struct {
	Site, Date, Tool string       // Tool is the program and its version
	Verdict          string       // the outcome in a sentence
	Limits           string       // what the outcome does not cover; "" for nothing
	Sound            bool         // there is no problem
	Policy           []Fact       // what of the owner's policy decides the labels
	Standing         []Count      // labels by standing, from bad to good
	Problems         []Problem    // may be empty, or hundreds
	Notes            []string     // worth noting; not problems
	Round            []string     // the last round, in sentences; nil where it is not known
	Head             string       // the chain head, 64 hex digits; "" where there is no ledger
	Chain            []Fact       // what the chain holds: lines, records, prints, days
	Proves           []string     // what a head noted elsewhere proves, and what it cannot
	Acceptance       string       // what an acceptance does and does not do
	Findings         []string     // of the program, with which labels were printed
	Labels           []AuditLabel // in the order given
	Signatures       []Signature  // of records and of the chain
	Accepted         []AuditAccepted
	Decided          []string // who settled changes and reviewed studies
	Cautions         []string // set at the end
	Paper            Paper
}

// Fact is a name and its value.
type Fact struct{ Name, Value string }

// Problem is something that is wrong.
type Problem struct {
	Where string // a file and line, a label
	What  string // what is wrong
	Do    string // how to fix it
}

// AuditLabel is a label that was printed.
type AuditLabel struct {
	ID, Equipment, Area string // Equipment and Area may be ""
	Code                string
	Printed             string // the day on which it was printed
	Mounted             string // installation date, or ""
	Review              string // REVIEW BY
	Standing            string
	PrintedBy           string // who printed it, or ""
	MountedBy           string // who noted that it was mounted, or ""
	Seen                string // what somebody found on the equipment, when and who, or ""
	Doubt               bool   // it does not hold: its standing is set bold
	Signed              string // who signed its record, or ""
}

// Signature is one signature and the result of verifying it.
type Signature struct {
	Who, What, When string
	Verified        string // "by the key in keys/example.pub", "not: its key is unknown"
	Doubt           bool   // it did not verify: this is set bold
}

// AuditPages sets the report, on as many pages as it takes.
func AuditPages(a *Audit) []Page {
	s := newSheet(a.Paper)
	s.flow(s.left(), s.width(), paperTitle, "Audit of labels and records")
	s.flow(s.left(), s.width(), paperHead, a.Site)
	s.y += 1
	s.flow(s.left(), s.width(), paperBody, joined(" · ", a.Date, a.Tool))
	s.y += 7
	s.verdict(a.Verdict, a.Sound)
	if a.Limits != "" {
		s.y += 6
		s.flow(s.left(), s.width(), paperBody, a.Limits)
	}
	s.y += sectionGap
	var counts []Fact
	for _, c := range a.Standing {
		counts = append(counts, Fact{strconv.Itoa(c.N), c.What})
	}
	s.beside(facts(s, "Policy", column{}, a.Policy), facts(s, "Labels, and whether they hold", column{right: true}, counts))
	s.y += sectionGap
	a.chain(s)

	a.list(a.problems(s), len(a.Problems))
	s.texts("Notes", a.Notes)
	s.texts("What a chain head kept outside the folder proves", a.Proves)
	s.texts("The last round", a.Round)
	a.list(a.labels(s), len(a.Labels))
	if len(a.Findings) > 0 {
		s.texts("Findings of the program when these labels were printed", a.Findings)
	}
	a.list(a.accepted(s), len(a.Accepted))
	if len(a.Accepted) > 0 {
		s.flow(s.left(), s.width(), paperBody, a.Acceptance)
	}
	s.texts("Who settled changes and reviewed studies", a.Decided)
	a.list(a.signatures(s), len(a.Signatures))
	s.texts("Cautions", a.Cautions)
	about := joined(" · ", printable(a.Date), "audit")
	site := paperBody.cut(printable(a.Site), s.width()-paperBody.width(about)-MM(20)) // from the number of the page
	return s.numbered(joined(" · ", site, about))
}

// facts is a table of names and values, or of numbers and what they count.
func facts(s *sheetOf, title string, name column, facts []Fact) *table {
	t := newTable(s, title, name, column{})
	t.pad = factPad
	for _, f := range facts {
		t.add(strong(f.Name), plain(f.Value))
	}
	return t.orNone()
}

// orNone says "None." where a table has no rows: an empty space could also be a
// printing error.
func (t *table) orNone() *table {
	if len(t.rows) == 0 {
		t.columns, t.pad = []column{{}}, factPad
		t.add(plain("None."))
	}
	return t
}

// list sets a table with its row count in the title.
func (a *Audit) list(t *table, n int) {
	if n > 0 {
		t.title = fmt.Sprintf("%s · %d", t.title, n)
	}
	t.y += sectionGap
	t.orNone().share(t.left(), t.width()).set()
}

// section is a heading across the page, kept together with what must stay below
// it.
func (s *sheetOf) section(title string, below float64) {
	s.room(paperHead.lead() + titlePad + below)
	s.sectionAt(s.left(), s.width(), sectionRule, title)
}

// texts is a section of running text, or nothing.
func (s *sheetOf) texts(title string, texts []string) {
	if len(texts) == 0 {
		return
	}
	s.y += sectionGap
	s.section(title, 2*paperLead)
	s.items(texts)
}

// problems are numbered, so that two people can refer to the same one.
func (a *Audit) problems(s *sheetOf) *table {
	t := newTable(s, "Problems", column{whole: true, right: true}, column{name: "Where", most: 0.25},
		column{name: "What is wrong"}, column{name: "What to do"})
	for i, p := range a.Problems {
		t.add(strong(strconv.Itoa(i+1)), strong(p.Where), plain(p.What), plain(p.Do))
	}
	return t
}

func (a *Audit) labels(s *sheetOf) *table {
	t := newTable(s, "Labels", column{name: "Location"}, column{name: "Code", whole: true},
		column{name: "Printed", whole: true}, column{name: "Mounted", whole: true}, column{name: "Review by", whole: true},
		column{name: "Standing"}, column{name: "Signed by"})
	for _, l := range a.Labels {
		t.add(strong(l.ID), plain(l.Code), plain(l.Printed), plain(orDash(l.Mounted)), plain(orDash(l.Review)),
			doubtful(l.Standing, l.Doubt), plain(orDash(l.Signed)))
		t.rows[len(t.rows)-1].below = joined(" · ", l.Equipment, l.Area, by("printed", l.PrintedBy), by("mounting noted", l.MountedBy), l.Seen)
	}
	return t
}

// by is what somebody did; "" for nobody.
func by(did, name string) string {
	if name == "" {
		return ""
	}
	return did + " by " + name
}

func (a *Audit) signatures(s *sheetOf) *table {
	t := newTable(s, "Signatures", column{name: "Who"}, column{name: "What was signed"},
		column{name: "When"}, column{name: "Verified"})
	for _, g := range a.Signatures {
		t.add(strong(g.Who), plain(g.What), plain(orDash(g.When)), doubtful(g.Verified, g.Doubt))
	}
	return t
}

// doubtful is a cell, bold where something is in doubt.
func doubtful(text string, doubt bool) cell {
	if doubt {
		return strong(text)
	}
	return plain(text)
}
