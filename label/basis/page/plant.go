package page

import (
	"html/template"

	"vouchmark/label/basis/picture"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// rowsPerDrawing keeps each drawing of the plant to a size that a phone can show.
const rowsPerDrawing = 400

// plantPart is a part of the plant as data, for the drawing.
type plantPart struct {
	Rows   []report.TreeRow
	Paths  map[record.Code]string // of the pages of their labels
	States []report.StateCount    // below the last part
	Foot   []string
	part
}

type plantPage struct {
	Drawing template.HTML
	part
}

// plant is the feeds from the service down: as a tree that opens branch by branch, the
// branches with trouble alone, and as a drawing for print.
func (b *Book) plant(p planner, all []entry) []Page {
	k := b.treePlan()
	return append(k.pages(p), p.drawing(k.tree, all)...)
}

// drawing is the drawing of the plant, on as many pages as needed.
func (p planner) drawing(t *report.Tree, all []entry) []Page {
	paths := make(map[record.Code]string, len(all))
	for i := range all {
		paths[all[i].Code] = all[i].Path
	}
	return inParts("plant/drawing/", "index.html", t.Rows, rowsPerDrawing, func(name string, some []report.TreeRow, at part) Page {
		d := plantPart{Rows: some, Paths: map[record.Code]string{}, part: at}
		for i := range some {
			d.Paths[some[i].Code] = paths[some[i].Code]
		}
		if at.Next == "" {
			d.States, d.Foot = t.States, t.Explained()
		}
		return planned(p, name, d, (*setting).drawn)
	})
}

func (s *setting) drawn(d plantPart) ([]byte, error) {
	link := func(c record.Code) string {
		if d.Paths[c] == "" {
			return ""
		}
		return "../../" + d.Paths[c]
	}
	drawing := template.HTML(picture.Tree(d.Rows, picture.TreeOptions{
		Title: "Feeds from the service down", States: d.States, Foot: d.Foot, Link: link}))
	return s.render("drawing.html", "The plant as a drawing", "", 2, plantPage{drawing, d.part})
}
