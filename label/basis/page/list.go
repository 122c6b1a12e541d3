package page

import (
	"encoding/json"
	"html/template"
	"slices"
	"strconv"

	"vouchmark/assess"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// perPage is how many labels a page of the whole list has.
const perPage = 500

type listPage struct {
	Entries     []entry
	First, Last int
	All         int
	part
}

// lists are the pages with all labels, by area and id: for a reader without
// scripts, and for the browser's own search.
func (p planner) lists(all []entry) []Page {
	return inParts("list/", "1.html", sorted(all, byArea), perPage, func(name string, some []entry, at part) Page {
		before := (at.Number - 1) * perPage
		return planned(p, name, listPage{some, before + 1, before + len(some), len(all), at}, (*setting).list)
	})
}

func (s *setting) list(p listPage) ([]byte, error) {
	return s.render("list.html", "All labels", "", 1, p)
}

// rowsOf are the data of the search that works without a server. The last number is
// the place of the entry among the worst; behind it is what is to be done.
func rowsOf(all []entry) [][]string {
	type one struct {
		id   string
		code record.Code
	}
	rows, place := make([][]string, len(all)), make(map[one]string, len(all))
	for number, i := range worstFirst(all) {
		place[one{all[i].ID, all[i].Code}] = strconv.Itoa(number)
	}
	for i := range all {
		e := &all[i]
		low := map[bool]string{true: string(basis.Cover)}[e.tooLow]
		rows[i] = []string{e.ID, e.Area, e.Equipment, string(e.Code), e.Path, e.Word, string(e.Signal), e.Says,
			e.Kit, string(e.status), low, assess.Number(e.energy), place[one{e.ID, e.Code}], e.do()}
	}
	return rows
}

func (*setting) search(rows [][]string) ([]byte, error) {
	data, err := json.Marshal(rows) // it escapes what could end a script
	return slices.Concat([]byte("const labels = "), data, []byte(";\n")), err
}

type duePage struct {
	Now    []report.DueItem // what does not hold or must be changed
	More   int
	Months []dueMonth
	Log    []string // entries of the log that nothing proves, or that are gone
	Dates  bool     // there is a calendar
	Writes bool     // a server whose forms clear what is due

	Planned plannedLines
}

// dueMonth are the labels of a month that need the same thing.
type dueMonth struct {
	Month, What string
	IDs         []string
}

// newDuePage lists what must be done, by month.
func (b *Book) newDuePage() *duePage {
	v, writes := b.Shelf.Site, b.Live != nil && b.Live.Writes
	var due *report.Due
	if writes {
		v = v.Worded(Words)
		due = report.NewDue(v, nil)
	} else {
		due = b.due()
	}
	p := duePage{Writes: writes, Log: logOf(v), Dates: hasDates(due), Planned: plannedOf(b.Shelf)}
	for _, i := range due.Items { // what is due now, then month by month
		undate(&i)
		if i.Month == report.DueNow {
			p.Now = append(p.Now, i)
		} else {
			p.plan(i)
		}
	}
	p.Now, p.More = first(p.Now, 5*mostShown)
	return &p
}

// logOf are the findings about the log of changes, for whoever keeps the folder.
func logOf(v *plant.Plant) (all []string) {
	for _, f := range v.LogFindings() {
		all = append(all, report.LogWords(&f))
	}
	return all
}

func (s *setting) due(p *duePage) ([]byte, error) {
	return s.render("due.html", "What falls due", "", 1, p)
}

// Up is the way from the page to the start page.
func (*duePage) Up() string { return "../" }

// Clears is what clears an item: on a server that writes, in the words of its pages, which lead there.
func (p *duePage) Clears(i report.DueItem) template.HTML {
	text := i.Clears
	if p.Writes && i.Remedy.Words != "" {
		text = i.Remedy.Text(Words)
	}
	if !p.Writes {
		return template.HTML(template.HTMLEscapeString(text))
	}
	return Linked(text, "../", i.ID, string(i.Code))
}

// plan adds what is due in a later month.
func (p *duePage) plan(i report.DueItem) {
	what := "study review"
	if i.Device != "" {
		what = string(i.Cause)
	}
	for k := len(p.Months) - 1; k >= 0 && p.Months[k].Month == i.Month; k-- {
		if p.Months[k].What == what {
			p.Months[k].IDs = append(p.Months[k].IDs, i.ID)
			return
		}
	}
	p.Months = append(p.Months, dueMonth{i.Month, what, []string{i.ID}})
}
