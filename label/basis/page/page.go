// Package page makes the pages of a site: one for each stored calculation, and
// those that lead to them. Published files and the server show the same.
//
//	page.go      the pages of a site, and the frame around each
//	setting.go   what all pages of a site share, and how one is made
//	digest.go    what a page is made of, as a number
//	label.go     the pages of one stored calculation
//	actions.go   what a server can do about a label; acts.go: links to it in texts
//	said.go      what is said in each language of the site
//	find.go      the search: what leads straight to a label, filters, order
//	start.go     the start page: counts, labels that need attention, search
//	list.go      all labels, and what is due
//	planned.go   changes that are dated after today
//	walk.go      what there is to do on the equipment
//	round.go     what was found on the equipment, and where that is noted
//	plant.go     the plant, from the service down, and as a drawing
//	tree.go      the plant as a tree to open
//	cut.go       a tree cut into pages
//	compare.go   a label next to the one that it replaced
//	differing.go what differs between two labels, in words
//	audit.go     what an auditor asks for
//	findings.go  what check finds, by kind and by location
//	sheets.go    the lists as spreadsheets, and a calendar
//	part.go      lists and drawings on several pages
//	entry.go     one label in a list
//	whole.go     all other files of a site; what replaces a lost page
//	sent.go      content types and cache lifetimes
//	assets.go    style sheet, scripts, typefaces; style.go: for a page that is not of one site
package page

import (
	"bytes"
	"html/template"
	"sync"

	"vouchmark/label"
	"vouchmark/label/audit"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Book is the pages of a site on a day. Many may read it at once. Its fields are
// set before the first page is asked for.
type Book struct {
	Shelf     *basis.Shelf
	Catalogue *label.Catalogue // of the languages; nil for the program's own
	// Picture draws the labels.
	Picture Drawer
	// Live is how a server shows the pages; nil for files.
	Live *Live
	// Audit is shown in files. A server gives one to AuditPages.
	Audit Audit

	// What several pages are made of is made once, by the functions of these names.
	shared once[planner]
	all    once[[]entry]
	tree   once[*treePlan]
	knows  once[*audit.Report]
	doors  once[*plant.Round]
	dues   once[*report.Due]
	walks  once[*walkList]
}

// due is all that falls due, as files word it.
func (b *Book) due() *report.Due {
	return b.dues.of(func() *report.Due { return report.NewDue(b.Shelf.Site, nil) })
}

// round is the last round.
func (b *Book) round() *plant.Round { return b.doors.of(b.Shelf.Site.Round) }

// Summary sums up the site for an overview of many.
func (b *Book) Summary() *report.Summary { return report.SumUp(b.Shelf.Site, b.due(), b.round()) }

// once is a value that is made when it is first asked for. Whoever has it leaves it as it is.
type once[T any] struct {
	made  sync.Once
	value T
}

func (o *once[T]) of(makes func() T) T {
	o.made.Do(func() { o.value = makes() })
	return o.value
}

// Drawer draws the label of a record as SVG; its error says what does not fit on
// it. Apart from the record and the program, a drawing may depend only on what is in
// the drawer's fields: the digest of a page covers those, and refuses a function.
// Many may be drawn at the same time.
type Drawer interface {
	Draw(*record.Record, record.Code) ([]byte, error)
}

// Live is what a server can do and files cannot.
type Live struct {
	Writes bool // it offers the forms that print and note
	Audits bool // make an audit
	// How people say who they are where it writes: by a passphrase that all know, or each by signing in;
	// both false where only this machine reaches the server.
	Passphrase, People bool
}

// Page is one file of the pages, before it is made.
type Page struct {
	Name   string // with slashes
	Digest Digest
	Make   func() ([]byte, error)
	Fixed  bool // its name holds a digest of its bytes
}

// File is one file of the pages. Its name has slashes.
type File struct {
	Name string
	Data []byte
}

// frame is what is around every page.
type frame struct {
	Title    string
	Language string // of the title; "" for English
	Site     string
	Body     template.HTML
	Sheet    string // names the page on each sheet of paper; "" for nothing
	Banded   bool   // the day of the last check is in the band of the verdict, else above the body
	// StaleDays is after how many days a published page is out of date.
	StaleDays int
	day
}

// day is the day of the last check as a page shows it.
type day struct {
	Root string // the way up to the start page, such as "../../"; "" on it
	Live *Live
	dated
}

// Frame makes a whole page of a body, for a page so many folders below the start
// page. The language is that of the title, "" for English.
func (b *Book) Frame(title, language string, depth int, body template.HTML) ([]byte, error) {
	return b.set().frame(title, language, depth, body)
}

func execute(name string, data any) ([]byte, error) {
	var out bytes.Buffer
	err := templates().ExecuteTemplate(&out, name, data)
	return out.Bytes(), err
}
