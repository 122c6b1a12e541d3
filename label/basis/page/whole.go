package page

import (
	"slices"

	"vouchmark/label/record"
)

// Whole gives the files of the site beside those of the labels, in the order
// in which they are to be written: the start page comes last.
func (b *Book) Whole() ([]File, error) {
	all := b.entries()
	out := assets()
	data, err := found(all)
	if err != nil {
		return nil, err
	}
	out = append(out, data)
	for _, some := range []func([]entry) ([]File, error){b.lists, b.plant} {
		files, err := some(all)
		if err != nil {
			return nil, err
		}
		out = slices.Concat(out, files)
	}
	due, err := b.due()
	if err != nil {
		return nil, err
	}
	missing, err := execute("404.html", nil)
	if err != nil {
		return nil, err
	}
	checked, err := execute("checked.html", b.Shelf.Site.Today.String())
	if err != nil {
		return nil, err
	}
	start, err := b.start(all, "")
	if err != nil {
		return nil, err
	}
	return append(out, due, File{"404.html", missing}, File{"checked.html", checked}, File{"index.html", start}), nil
}

// Lost stands in the place of a page that cannot be made: of a record that
// cannot be read, or of which the ledger does not know. It stands so many
// folders below the start page.
func (b *Book) Lost(code record.Code, why string, depth int) ([]byte, error) {
	return b.render("lost.html", string(code), depth, struct {
		Code record.Code
		Why  string
	}{code, why})
}

// Gone stands in the place of a part of a list that is none any more.
func (b *Book) Gone(depth int) ([]byte, error) {
	return b.render("gone.html", "No part of the list any more", depth, nil)
}
