package page

import (
	"bytes"
	"cmp"
	"strings"

	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Whole gives the files of the site apart from those of the labels, in the order
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
	one("404.html")(execute("404.html", b.Texts()))
	one("checked.html")(execute("checked.html", dated{b.Shelf.Site.Today.String(), b.Texts()}))
	one("index.html")(b.start(all, ""))
	return out, failed
}

// Lost replaces a page that cannot be made: of a record that cannot be read, or
// that the ledger does not name. It is so many folders below the start page.
func (b *Book) Lost(code record.Code, why string, depth int) ([]byte, error) {
	return b.render("lost.html", string(code), "", depth, struct {
		Code  record.Code
		Why   string
		Texts []label.PageTexts
	}{code, why, b.Texts()})
}

// Missing is the page for an address that leads nowhere.
func (b *Book) Missing(depth int) ([]byte, error) {
	texts := b.Texts()
	return b.render("missing.html", texts[0].Missing, texts[0].Language, depth, texts)
}

// LostFiles are Lost as the files of a folder under V: of a code, or of a code
// and facts, where they include the JSON for programs.
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

// Gone replaces a page of a list that has become shorter.
func (b *Book) Gone(name string) ([]File, error) {
	html, err := b.render("gone.html", "No longer part of the list", "", strings.Count(name, "/"), nil)
	return []File{{name, html}}, err
}
