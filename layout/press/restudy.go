package press

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/report"
	"vouchmark/layout"
)

// RestudyPDF sets a restudy on paper, for the files. study names the study's
// file, p is the site's policy.
func RestudyPDF(r *plant.Restudy, study string, p *assess.Policy, paper layout.Paper) ([]byte, error) {
	out := &layout.Restudy{Site: p.Name, Date: r.Today.String(), Study: study, Paper: paper, Cautions: basis.Cautions}
	low := r.Count(plant.LabelTooLow)
	for i := range r.Rows {
		if r.Rows[i].OnDoor() {
			out.Verdict, out.Sound = "No printed label is too low.", low == 0
		}
	}
	switch {
	case low == 1:
		out.Verdict = "1 printed label is too low: cover it now."
	case low > 1:
		out.Verdict = fmt.Sprintf("%d printed labels are too low: cover them now.", low)
	}
	out.Notes = []string{"Before: what the label printed last says or, where none was printed, what the old row says. " +
		"Now: what the new row says, even where no label of it prints. Numbers are rounded as on labels; " +
		"what differs now is bold."}
	if r.Stopped != "" {
		out.Notes = append(out.Notes, "No label can be printed yet: "+r.Stopped)
	}
	for _, s := range report.RestudySections(r) {
		l := layout.RestudyList{Title: s.Title, Brief: s.Brief}
		out.Counts = append(out.Counts, layout.Count{What: s.Title, N: len(s.Lines)})
		for i := range s.Lines {
			l.Rows = append(l.Rows, restudyRow(&s.Lines[i]))
		}
		out.Lists = append(out.Lists, l)
	}
	document := layout.Document{Title: "Restudy", Language: "en", Date: r.Today.Time()}
	return layout.WritePages(document, layout.RestudyPages(out))
}

func restudyRow(l *report.RestudyLine) layout.RestudyRow {
	row := layout.RestudyRow{ID: l.ID, Equipment: l.Equipment, Area: l.Area,
		Before: layout.RestudySays{Energy: l.Energy.Before, Boundary: l.Boundary.Before, Label: l.Label.Before, Study: l.Study.Before},
		Now:    layout.RestudySays{Energy: l.Energy.Now, Boundary: l.Boundary.Now, Label: l.Label.Now, Study: l.Study.Now}}
	for _, note := range l.Notes(" to ", restudyMost) {
		text := strings.ToUpper(note.What[:1]) + note.What[1:] + ": " + strings.ReplaceAll(note.Text, " → ", " to ") // no arrow in the typeface
		if note.What == report.NoteTooLow {
			row.Alert = text
		} else {
			row.Notes = append(row.Notes, text)
		}
	}
	return row
}

// restudyMost is how many other differences of a location are spelled out; JSON and
// spreadsheet have all of them.
const restudyMost = 8
