package serve

import (
	"fmt"

	"vouchmark/label/plant"
)

// leftOut says of which kinds the labels are that a print leaves out, since the start page counts as
// not printed only those that never were; "" where all of them are.
func leftOut(v *plant.Plant, all []NotPrinted) string {
	earlier := 0
	for i := range all {
		if printedOf(v, all[i].ID) != nil {
			earlier++
		}
	}
	if earlier == 0 {
		return ""
	}
	return fmt.Sprintf("%d never printed, %d with an earlier label, which the start page counts by its standing", len(all)-earlier, earlier)
}
