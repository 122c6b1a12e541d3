package page

import (
	"html/template"

	"vouchmark/label/basis/picture"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// rowsPerDrawing keeps each drawing of the plant to a size that a phone can show.
const rowsPerDrawing = 400

type plantPage struct {
	Drawing template.HTML
	part
}

// plant is the feeds from the service down, on as many pages as needed.
func (b *Book) plant(all []entry) ([]File, error) {
	t := report.NewTree(b.Shelf.Site)
	paths := make(map[record.Code]string, len(all))
	for i := range all {
		paths[all[i].Code] = all[i].Path
	}
	link := func(c record.Code) string {
		if paths[c] == "" {
			return ""
		}
		return "../" + paths[c]
	}
	return inParts("plant/", "index.html", t.Rows, rowsPerDrawing, func(some []report.TreeRow, p part) ([]byte, error) {
		o := picture.TreeOptions{Title: "Feeds from the service down", Link: link}
		if p.Next == "" {
			o.States, o.Foot = t.States, t.Explained()
		}
		drawing := template.HTML(picture.Tree(some, o))
		return b.render("plant.html", "The plant, from the service down", "", 1, plantPage{drawing, p})
	})
}
