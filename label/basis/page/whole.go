package page

import (
	"bytes"
	"cmp"
	"strings"

	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Whole gives the files of the site beside those of the labels, in the order
// in which they are to be written: the start page comes last.
func (b *Book) Whole() ([]File, error) {
	all := b.entries()
	out := assets()
	var failed error
	add := func(files []File, err error) { out, failed = append(out, files...), cmp.Or(failed, err) }
	one := func(name string) func([]byte, error) {
		return func(data []byte, err error) { add([]File{{name, data}}, err) }
	}
	one("labels.js")(found(all))
	add(b.lists(all))
	add(b.plant(all))
	one("due/index.html")(b.due())
	one("404.html")(execute("404.html", nil))
	one("checked.html")(execute("checked.html", b.Shelf.Site.Today.String()))
	one("index.html")(b.start(all, ""))
	return out, failed
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

// LostFiles are Lost as the files of a folder under V: of a code, or of a code
// and facts, where a program finds the same.
func (b *Book) LostFiles(code record.Code, why, dir string) ([]File, error) {
	depth := strings.Count(dir, "/") + 1
	html, err := b.Lost(code, why, depth)
	files := []File{{dir + "/index.html", html}}
	if depth > 2 && err == nil {
		var data bytes.Buffer
		err = report.WriteJSON(&data, map[string]any{"code": code, "problems": []string{why}})
		files = append(files, File{dir + "/basis.json", data.Bytes()})
	}
	return files, err
}

// Gone stands in the place of a part of a list that is no longer one.
func (b *Book) Gone(name string) ([]File, error) {
	html, err := b.render("gone.html", "No part of the list any more", strings.Count(name, "/"), nil)
	return []File{{name, html}}, err
}
