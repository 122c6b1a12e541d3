package page

import (
	"html/template"

	"vouchmark/label/basis"
	"vouchmark/label/basis/picture"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// rowsPerDrawing keeps each drawing of the plant to a size that a phone can show.
const rowsPerDrawing = 400

// plantPart is a part of the plant as data.
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

// plant is the feeds from the service down, on as many pages as needed.
func (p planner) plant(v *plant.Plant, all []entry) []Page {
	t := report.NewTree(v)
	paths := make(map[record.Code]string, len(all))
	for i := range all {
		paths[all[i].Code] = all[i].Path
	}
	return inParts("plant/", "index.html", t.Rows, rowsPerDrawing, func(name string, some []report.TreeRow, at part) Page {
		d := plantPart{Rows: some, Paths: map[record.Code]string{}, part: at}
		for i := range some {
			r := &some[i]
			d.Paths[r.Code] = paths[r.Code]
			if r.Standing != nil {
				undated := basis.Undated(*r.Standing)
				r.Standing = &undated
			}
		}
		if at.Next == "" {
			d.States, d.Foot = t.States, t.Explained()
		}
		return planned(p, name, d, (*setting).plant)
	})
}

func (s *setting) plant(d plantPart) ([]byte, error) {
	link := func(c record.Code) string {
		if d.Paths[c] == "" {
			return ""
		}
		return "../" + d.Paths[c]
	}
	drawing := template.HTML(picture.Tree(d.Rows, picture.TreeOptions{
		Title: "Feeds from the service down", States: d.States, Foot: d.Foot, Link: link}))
	return s.render("plant.html", "The plant, from the service down", "", 1, plantPage{drawing, d.part})
}
