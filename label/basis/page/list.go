package page

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"

	"vouchmark/assess/standing"
	"vouchmark/label/basis"
	"vouchmark/label/report"
)

// perPage is how many labels stand on a page of the whole list.
const perPage = 500

type listPage struct {
	Entries     []entry
	First, Last int
	All         int
	part
}

// lists are the pages with all labels, by area and id, so that they can be read
// and searched by the browser alone.
func (b *Book) lists(all []entry) ([]File, error) {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(x, y entry) int {
		return cmp.Or(cmp.Compare(x.Area, y.Area), cmp.Compare(x.ID, y.ID))
	})
	name := func(i int) string { return fmt.Sprintf("%d.html", i+1) }
	n := parts(len(sorted), perPage)
	var out []File
	for i := range n {
		some := slice(sorted, i, perPage)
		p := listPage{Entries: some, First: i*perPage + 1, Last: i*perPage + len(some), All: len(sorted),
			part: newPart(i, n, name)}
		html, err := b.render("list.html", "All labels", 1, &p)
		if err != nil {
			return nil, err
		}
		out = append(out, File{"list/" + name(i), html})
	}
	return out, nil
}

// found is the data of the search that works without a server.
func found(all []entry) (File, error) {
	rows := make([][]string, len(all))
	for i := range all {
		e := &all[i]
		rows[i] = []string{e.ID, e.Area, e.Equipment, string(e.Code), e.Path, e.Word, string(e.Signal), e.Says}
	}
	data, err := json.Marshal(rows) // which escapes what could end a script
	return File{"labels.js", slices.Concat([]byte("const labels = "), data, []byte(";\n"))}, err
}

type duePage struct {
	Now    []report.DueItem // what does not hold, or is to be changed
	More   int
	Months []dueMonth
}

type dueMonth struct {
	Month string
	Count int
	IDs   string
}

// due is the list of what has to be done, by month.
func (b *Book) due() (File, error) {
	d := report.NewDue(b.Shelf.Site, nil)
	var p duePage
	ids := map[string][]string{}
	for _, i := range d.Items {
		if i.Month == report.DueNow {
			if len(p.Now) < 5*mostShown {
				p.Now = append(p.Now, i)
			} else {
				p.More++
			}
			continue
		}
		if ids[i.Month] == nil {
			p.Months = append(p.Months, dueMonth{Month: i.Month})
		}
		ids[i.Month] = append(ids[i.Month], i.ID)
	}
	for i := range p.Months {
		m := &p.Months[i]
		m.Count, m.IDs = len(ids[m.Month]), report.Few(ids[m.Month])
	}
	html, err := b.render("due.html", "What falls due", 1, &p)
	return File{"due/index.html", html}, err
}

// Sign is the sign of what is due.
func (*duePage) Sign(i report.DueItem) basis.Sign {
	return basis.Sign(i.Status)
}

// Since is the day since which it is due; "" where it is only known to be.
func (*duePage) Since(i report.DueItem) string {
	if !i.Printed || i.Cause == standing.DataCause || i.Cause == standing.PolicyCause {
		return ""
	}
	return i.Due.String()
}
