package page

import (
	"html/template"

	"vouchmark/label/basis"
	"vouchmark/label/record"
)

// comparePage shows the label of a location next to the one that it replaced.
type comparePage struct {
	ID, Site string
	Old, New compared
	Alike    string      // that the two print the same; "" where they do not
	Differs  []differing // of the two records
	Why      string      // why they cannot be compared; "" where they are
}

// compared is one of two labels.
type compared struct {
	*labelPage
	Path string // of its page, from the start page
}

// half is one of two labels under its heading.
type half struct {
	Name  string
	Label compared
}

// Printed is the day on which it was first printed.
func (h half) Printed() string {
	for i := range h.Label.Prints {
		if p := &h.Label.Prints[i]; p.Thing == "" && (p.Kind == record.Print || p.Kind == record.Reprint) {
			return p.Date
		}
	}
	return ""
}

// underCompare is where the label of a record is compared with the one before it.
func underCompare(code record.Code) string { return "compare/" + string(code) + ".html" }

// Compare compares the label of a record with the one that it replaced at its location; nil
// where there is none.
func (b *Book) Compare(id record.ID) *Page {
	old, ok := b.Shelf.Before(id)
	if !ok {
		return nil
	}
	p := b.set()
	pair, why := [2]basis.Known{}, ""
	for i, one := range []record.ID{old, id} {
		k, _, err := b.Shelf.Known(one)
		if err != nil {
			k, why = basis.Known{ID: one}, err.Error()
		}
		if pair[i] = k; p.Live == nil {
			pair[i] = k.Undated()
		}
	}
	name := underCompare(id.Code())
	return &Page{Name: name, Digest: digest(p.sum, name, pair, why), Make: func() ([]byte, error) {
		d := comparePage{Why: why}
		if why != "" {
			return p.compare(&d)
		}
		var records [2]*record.Record
		for i := range records {
			r, err := b.Shelf.Load(pair[i].ID)
			if err != nil {
				return nil, err
			}
			records[i] = r
			to := &d.Old
			if i == 1 {
				to = &d.New
			}
			to.labelPage, to.Path = p.pictured(pair[i].View(r)), underCode(pair[i].ID.Code())
		}
		d.ID = records[1].Location.ID
		d.Alike, d.Differs = alike(records[0], records[1]), differ(records[0], records[1])
		return p.compare(&d)
	}}
}

// comparisons are the pages of all labels that replaced another one and are not replaced
// themselves.
func (b *Book) comparisons() (pages []Page) {
	for _, id := range b.Shelf.Printed() {
		if p := b.Compare(id); p != nil {
			pages = append(pages, *p)
		}
	}
	return pages
}

// pictured is a view with its picture, without what else its page shows.
func (s *setting) pictured(v *basis.View) *labelPage {
	p := &labelPage{shown: shown{v}, Said: s.said(v)}
	svg, err := s.Picture.Draw(v.Record, v.ID.Code())
	if err != nil {
		p.PictureWhy = err.Error()
	}
	p.Picture = template.HTML(p.overprint(svg))
	return p
}

func (s *setting) compare(p *comparePage) ([]byte, error) {
	p.Site = s.Site
	return s.render("compare.html", "Old and new label "+p.ID, "", 1, p)
}
