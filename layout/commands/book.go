package commands

import (
	"vouchmark/label/basis"
	pages "vouchmark/label/basis/page"
	"vouchmark/label/record"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// book is the pages of the site, with the labels as they would be drawn on a
// stock; "" is the site's usual one.
func (e *Env) book(stock string, live *pages.Live) (*pages.Book, error) {
	v, f, err := e.view()
	if err != nil {
		return nil, err
	}
	on, err := layout.Choose(stock, v.Site.Policy.Stocks)
	if err != nil {
		return nil, wrongFlag("stock", err)
	}
	look := f.look(&v.Site.Policy)
	return &pages.Book{
		Shelf:   basis.NewShelf(v, record.Open(e.site)),
		Picture: func(r *record.Record, c record.Code) ([]byte, error) { return press.Picture(r, c, on, look) },
		Live:    live,
	}, nil
}
