package press

import (
	"fmt"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/basis"
)

// Again plans one label from its record alone. What was replaced or has
// lapsed is refused.
func Again(v *basis.View, look label.Presentation) *Plan {
	id := v.Record.Row().ID
	switch {
	case len(v.Differences) > 0:
		return &Plan{Refused: []Refusal{{id, "the QR code is not that of the record: " + strings.Join(v.Differences, "; "), "take that label off; it was altered"}}}
	case v.Unknown:
		return &Plan{Refused: []Refusal{{id, fmt.Sprintf("no print in the ledger made the record %s", v.ID.Code()), "find out how the file came into records/; vouchmark print makes a label from locations.csv"}}}
	case v.Today.String() < v.Record.Assessment.Prepared:
		return &Plan{Refused: []Refusal{{id, fmt.Sprintf("the study is dated %s, after today (%s)", v.Record.Assessment.Prepared, v.Today), "print it when that day has come, or correct --today"}}}
	case v.NewerCode != "":
		return &Plan{Refused: []Refusal{{id, fmt.Sprintf("%s was replaced by %s", v.ID.Code(), v.NewerCode), fmt.Sprintf("vouchmark reprint %s prints the present label", v.NewerCode)}}}
	case v.Standing.Status == standing.Lapsed:
		return &Plan{Refused: []Refusal{Lapsed(id, v.Standing)}}
	}
	return &Plan{Items: []Item{{Record: v.Record, Code: v.ID.Code(), Label: label.Compose(v.Record, v.ID.Code(), look)}}}
}
