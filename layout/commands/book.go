package commands

import (
	"vouchmark/label"
	"vouchmark/label/basis"
	pages "vouchmark/label/basis/page"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// book is the pages of a site, with the labels as they would be drawn on a
// stock; "" is the site's usual one.
func (e *Env) book(v *report.View, f folder, stock string, live *pages.Live) (*pages.Book, error) {
	p := &v.Site.Policy
	on, err := layout.Choose(stock, p.Stocks)
	if err != nil {
		return nil, &usageError{"--stock: " + err.Error()}
	}
	look := press.Look{Presentation: label.Presentation{Link: p.Link, Catalogue: f.catalogue, Languages: p.Languages}, Ask: p.Ask}
	return &pages.Book{
		Shelf:   basis.NewShelf(v, record.Open(e.site)),
		Picture: func(r *record.Record, c record.Code) ([]byte, error) { return press.Picture(r, c, on, look) },
		Live:    live,
	}, nil
}
