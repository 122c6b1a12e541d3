package page

import (
	"bytes"
	"slices"
	"strings"

	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Whole gives the pages of the site apart from those of the labels and what all share, in the
// order in which they are to be written: the start page comes last.
func (b *Book) Whole() []Page {
	p, v, all := b.set(), b.Shelf.Site, b.entries()
	texts := p.texts()
	var filed []Page // which a server makes on demand
	if b.Live == nil {
		filed = append(b.AuditPages(b.Audit), b.comparisons()...)
	}
	return slices.Concat(
		[]Page{planned(p, "labels.js", rowsOf(all), (*setting).search)},
		p.lists(all), p.walk(b.walk()), p.round(v, b.round()), b.plant(p, all), p.sheets(v, b.due(), all), p.findings(v, all), filed,
		[]Page{
			planned(p, "due/index.html", b.newDuePage(), (*setting).due),
			planned(p, "404.html", unknown{texts, rootOf(v.Site.Policy.Link)},
				func(_ *setting, u unknown) ([]byte, error) { return execute("404.html", u) }),
			planned(p, "checked.html", dated{v.Today.String(), texts},
				func(_ *setting, d dated) ([]byte, error) { return execute("checked.html", d) }),
			planned(p, "index.html", b.startPage(all, Asked{}), (*setting).start),
		})
}

// unknown is the page that a web server of files shows for an address that leads nowhere. Root is the way to the
// start page from any address, "" where the link of the labels is not known: that page may be shown anywhere.
type unknown struct {
	Texts []label.PageTexts
	Root  string
}

// rootOf is the path of the link of a site, with a slash at its end; "" for no link.
func rootOf(link string) string {
	if link == "" {
		return ""
	}
	_, after, _ := strings.Cut(link, "://")
	_, path, _ := strings.Cut(after, "/")
	return strings.TrimSuffix("/"+path, "/") + "/"
}

// Lost replaces a page that cannot be made: of a record that cannot be read, or
// that the ledger does not name. It is so many folders below the start page.
func (b *Book) Lost(code record.Code, why string, depth int) ([]byte, error) {
	return b.lost(code, why, false, depth)
}

// Unprinted is Lost for a code with which nothing was printed: it may be a typing error.
func (b *Book) Unprinted(code record.Code, depth int) ([]byte, error) {
	return b.lost(code, "no label with this code was printed at this site", true, depth)
}

func (b *Book) lost(code record.Code, why string, unprinted bool, depth int) ([]byte, error) {
	return b.set().render("lost.html", string(code), "", depth, struct {
		Code      record.Code
		Why, Root string
		Unprinted bool
		Texts     []label.PageTexts
	}{code, why, strings.Repeat("../", depth), unprinted, b.Texts()})
}

// Missing is the page for an address that leads nowhere.
func (b *Book) Missing(depth int) ([]byte, error) {
	texts := b.Texts()
	return b.set().render("missing.html", texts[0].Missing, texts[0].Language, depth, texts)
}

// Elsewhere is the page for the link of another site's label, such as one on the same host.
func (b *Book) Elsewhere(depth int) ([]byte, error) {
	texts := b.Texts()
	return b.set().render("elsewhere.html", texts[0].Elsewhere, texts[0].Language, depth, texts)
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
	html, err := b.set().render("gone.html", "No longer part of the list", "", strings.Count(name, "/"), nil)
	return []File{{name, html}}, err
}
