package report

import (
	"vouchmark/label"
	"vouchmark/label/plant"
)

// TaskNotes words the notes of a task.
func TaskNotes(w *label.WalkWords, all []plant.Note) []string {
	texts := make([]string, len(all))
	for i, n := range all {
		texts[i] = map[plant.NoteKind]string{
			plant.NoteTooLow: w.WalkTooLow, plant.NoteStrip: w.WalkStrip, plant.NoteAgain: w.WalkAgain,
			plant.NoteGone: w.WalkGone, plant.NoteIfGone: w.WalkIfGone, plant.NoteUnlabeled: w.WalkUnlabeled,
			plant.NoteConfirm: w.WalkConfirm, plant.NoteOverlayFirst: w.WalkOverlayFirst,
			plant.NoteWithdrawn: w.Withdrawn(n.Date, n.Reason), plant.NoteSeen: w.Seen(n.Date, n.Found),
		}[n.What]
	}
	return texts
}
