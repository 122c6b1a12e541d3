package page

import (
	"fmt"
	"html/template"

	"vouchmark/label/basis/picture"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// rowsPerDrawing keeps each drawing of the plant a size that a phone can show.
const rowsPerDrawing = 400

type plantPage struct {
	Drawing template.HTML
	part
}

// plant is the feeds from the service down, on as many pages as it takes.
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
	n := parts(len(t.Rows), rowsPerDrawing)
	name := func(i int) string {
		if i == 0 {
			return "index.html"
		}
		return fmt.Sprintf("%d.html", i+1)
	}
	var out []File
	for i := range n {
		o := picture.TreeOptions{Title: "The feeds from the service down", Link: link}
		if i == n-1 {
			o.States, o.Foot = t.States, t.Explained()
		}
		p := plantPage{template.HTML(picture.Tree(slice(t.Rows, i, rowsPerDrawing), o)), newPart(i, n, name)}
		html, err := b.render("plant.html", "The plant from the service down", 1, &p)
		if err != nil {
			return nil, err
		}
		out = append(out, File{"plant/" + name(i), html})
	}
	return out, nil
}
