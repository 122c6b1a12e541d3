package overview

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"fmt"
	"html/template"
	"net/url"
	"path"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/basis/page"
	"vouchmark/label/basis/picture"
	"vouchmark/label/report"
)

//go:embed files
var files embed.FS

var templates = template.Must(template.New("").Funcs(template.FuncMap{
	"sign": page.Class, "changes": changes, "due": func(m report.DueMonth) string { return dueWords(&m) },
	"shape": func(sign string) template.HTML { // each is drawn once, since a page of many plants has many
		return template.HTML(`<svg class="shape" viewBox="0 0 24 24" aria-hidden="true"><use href="#shape-` + page.Class(sign) + `"/></svg>`)
	},
	"drawn": func(sign string) template.HTML {
		return template.HTML(`<symbol id="shape-` + page.Class(sign) + `" viewBox="0 0 24 24">` + picture.Shape(sign) + `</symbol>`)
	},
	"number": number9,
}).ParseFS(files, "files/*.html"))

// number9 is a rating or a cutoff without zeros at its end.
func number9(x float64) string { return assess.Number(x) }

// The files of an overview apart from those that it shares with other pages.
const (
	PageFile = "index.html" // written last
	DataFile = "overview.json"
)

// counted are the labels of a standing, as the pages of one plant word it.
type counted struct {
	Sign  string
	Count int
	Word  string
}

// standings lists the labels of a plant by standing, worst first, as far as there are any; or, if all, those of all
// plants, also where there are none.
func standings(c *report.StandingSum, all bool) []counted {
	list := []counted{{picture.Cover, c.Cover, standing.Cover}}
	word := func(sign string, n int, several string) {
		if n == 1 || several == "" {
			several = sign
		}
		list = append(list, counted{sign, n, several})
	}
	word(string(standing.InQuestion), c.InQuestion, "")
	word(string(standing.Lapsed), c.Lapsed, "")
	word(string(standing.FallsDue), c.FallsDue, "fall due")
	word(string(standing.Holds), c.Holds, "hold")
	word("ready to print", c.Ready, "")
	word("not printed", c.Refused, "")
	if all {
		return list
	}
	word(string(standing.Withdrawn), c.Withdrawn, "")
	var some []counted
	for _, one := range list {
		if one.Count > 0 {
			some = append(some, one)
		}
	}
	return some
}

// Standings are the labels of a plant, for the page.
func (p *Plant) Standings() []counted { return standings(&p.Summary.Labels, false) }

// Search is where the search of a plant is asked; "" where its pages have no address.
func (p *Plant) Search() string {
	if p.Link == "" || p.Problem != "" {
		return ""
	}
	return p.Pages()
}

// Pages is the address of the plant's start page; "" for none.
func (p *Plant) Pages() string {
	if p.Link == "" {
		return ""
	}
	u, err := url.Parse(p.Link)
	if err != nil || (u.Scheme != "" || u.Host != "") && u.Scheme != "http" && u.Scheme != "https" {
		return "" // neither an address of the web nor a path
	}
	return strings.TrimSuffix(p.Link, "/") + "/index.html"
}

// mostRows is how many plants the page lists: those that need attention most. A browser takes long for more.
const mostRows = 2000

// Rows are the plants that the page lists.
func (o *Overview) Rows() []Plant { return o.Plants[:min(len(o.Plants), mostRows)] }

// Unlisted is how many more there are.
func (o *Overview) Unlisted() int { return len(o.Plants) - len(o.Rows()) }

// nextMonths is how many of the months to come a row of the page has.
const nextMonths = 3

// Next are the next months in which something falls due.
func (p *Plant) Next() []report.DueMonth {
	return p.Summary.Due[:min(nextMonths, len(p.Summary.Due))]
}

// Later is how many months more there are.
func (p *Plant) Later() int { return len(p.Summary.Due) - len(p.Next()) }

// Standings are the labels of all plants, for the page.
func (o *Overview) Standings() []counted { return standings(&o.Totals.Labels, true) }

// Signs are those that the page shows.
func (o *Overview) Signs() (all []string) {
	for _, c := range standings(&report.StandingSum{}, true) {
		all = append(all, c.Sign)
	}
	return append(all, string(standing.Withdrawn))
}

// Months are the next months over all plants.
func (o *Overview) Months() []Month { return o.Totals.Due[:min(len(o.Totals.Due), 2*fewMonths)] }

// Later is how many months more there are.
func (o *Overview) Later() int { return len(o.Totals.Due) - len(o.Months()) }

// Searches reports whether any plant can be searched.
func (o *Overview) Searches() bool {
	for i := range o.Plants {
		if o.Plants[i].Search() != "" {
			return true
		}
	}
	return false
}

// Files are the page and all that it needs, in the order in which they are to be written: what the page asks
// for before the page.
func (o *Overview) Files() ([]page.File, error) {
	sheet, all, err := page.Style()
	if err != nil {
		return nil, err
	}
	var own [2]page.File
	for i, name := range []string{"overview.css", "overview.js"} {
		data, err := files.ReadFile("files/" + name)
		if err != nil {
			return nil, err
		}
		sum := sha256.Sum256(data) // other bytes have another name, so that a browser may keep it
		own[i] = page.File{Name: fmt.Sprintf("overview.%x%s", sum[:5], path.Ext(name)), Data: data}
	}
	names, err := o.namesFile()
	if err != nil {
		return nil, err
	}
	var data, html bytes.Buffer
	if err := report.WriteJSON(&data, o); err != nil {
		return nil, err
	}
	if err := templates.ExecuteTemplate(&html, "overview.html", struct {
		*Overview
		Sheets []string
		Script string
		Names  string
	}{o, []string{sheet, own[0].Name}, own[1].Name, map[bool]string{true: NamesFile}[names != nil]}); err != nil {
		return nil, err
	}
	all = append(all, own[0], own[1])
	if names != nil {
		all = append(all, page.File{Name: NamesFile, Data: names})
	}
	return append(all, page.File{Name: DataFile, Data: data.Bytes()},
		page.File{Name: PageFile, Data: html.Bytes()}), nil
}
