package press

import (
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
)

// fromRows is the remedy if a record cannot be used.
var fromRows = assess.Remedy{Words: "{} makes a label from locations.csv", Act: assess.ToPrint}

// Again plans one label from its record alone. It refuses a label that does not
// hold, that the folder would now print differently, or that was replaced or
// withdrawn.
func Again(v *basis.View, look Look) *Plan {
	id, code := v.Record.Location.ID, v.ID.Code()
	refuse := func(why, do string) *Plan { return &Plan{Refused: []Refusal{{ID: id, Why: why, Do: do}}} }
	starter := plant.Starter(&v.Plant.Site.Policy)
	switch {
	case starter != nil:
		return refuse(starter.Why, v.Plant.Text(starter.Do))
	case len(v.Differences) > 0:
		return refuse("the QR code does not match the record: "+strings.Join(v.Differences, "; "),
			"remove that label; it was altered")
	case v.Unknown:
		return refuse(fmt.Sprintf("the ledger has no print that made the record %s", code),
			"find out how the file got into records/; "+v.Plant.Text(fromRows))
	case v.Today.Before(v.Record.Prepared):
		return refuse(fmt.Sprintf("the study is dated %s, after today (%s)", v.Record.Prepared, v.Today),
			"print it on that day, or correct --today")
	case v.NewerCode != "":
		return refuse(fmt.Sprintf("%s was replaced by %s", code, v.NewerCode),
			v.Plant.Text(assess.Remedy{Words: "{} prints the current label", Act: assess.ToReprint, On: string(v.NewerCode)}))
	case !v.Newest:
		return refuse(fmt.Sprintf("the record %s was only printed as a fault current marking, not as a label", code),
			v.Plant.Text(fromRows))
	}
	refusal := plant.ReprintRefusal(&v.Standing, v.Place)
	if refusal != nil && !look.overrides(refusal) {
		return refuse(refusal.Why, v.Plant.Do(refusal))
	}
	return &Plan{Items: []Item{{Record: v.Record, Code: code, look: &look, refused: refusal}}}
}
