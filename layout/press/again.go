package press

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
)

// fromRows is the remedy where a record is of no use.
var fromRows = assess.Remedy{Words: "{} makes a label from locations.csv", Act: assess.ToPrint}

// Again plans one label from its record alone. What does not hold is refused,
// and also what the folder as it is would print otherwise, what was replaced
// and what was withdrawn.
func Again(v *basis.View, look Look) *Plan {
	id, code := v.Record.Location.ID, v.ID.Code()
	refuse := func(why, do string) *Plan { return &Plan{Refused: []Refusal{{id, why, do}}} }
	starter := plant.Starter(&v.Plant.Site.Policy)
	switch {
	case starter != nil:
		return refuse(starter.Why, v.Plant.Text(starter.Do))
	case len(v.Differences) > 0:
		return refuse("the QR code is not that of the record: "+strings.Join(v.Differences, "; "),
			"take that label off; it was altered")
	case v.Unknown:
		return refuse(fmt.Sprintf("no print in the ledger made the record %s", code),
			"find out how the file came into records/; "+v.Plant.Text(fromRows))
	case v.Today.Before(v.Record.Prepared):
		return refuse(fmt.Sprintf("the study is dated %s, after today (%s)", v.Record.Prepared, v.Today),
			"print it when that day has come, or correct --today")
	case v.NewerCode != "":
		return refuse(fmt.Sprintf("%s was replaced by %s", code, v.NewerCode),
			v.Plant.Text(assess.Remedy{Words: "{} prints the present label", Act: assess.ToReprint, On: string(v.NewerCode)}))
	case !v.Newest:
		return refuse(fmt.Sprintf("no label of the record %s was printed, only a marking", code),
			v.Plant.Text(fromRows))
	}
	refusal := plant.ReprintRefusal(&v.Standing, v.Place)
	if refusal != nil && !look.overrides(refusal) {
		return refuse(refusal.Why, v.Plant.Do(refusal))
	}
	return &Plan{Items: []Item{{Record: v.Record, Code: code, Label: look.compose(v.Record, code, refusal)}}}
}
