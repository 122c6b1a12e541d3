package audit

import (
	"fmt"

	"vouchmark/label/report"
)

// limits notes what an audit that finds nothing has not shown, so that the outcome does not
// say more than was checked.
func (a *audit) limits() {
	a.Limits = []string{}
	if c := a.o.Mirror; a.mirrored() && c.Waiting > 0 {
		a.Limits = append(a.Limits, fmt.Sprintf("The mirror proves nothing about the %s that it does not have yet.", report.Plural(c.Waiting, "line")))
	}
	switch {
	case a.Headless:
		a.Limits = append(a.Limits, "Removal of the newest lines of the ledger could not be ruled out.")
	case a.later > 0:
		a.Limits = append(a.Limits, fmt.Sprintf("The given chain head proves nothing about the %s added after it.", report.Plural(a.later, "line")))
	}
	switch {
	case a.Names:
		a.Limits = append(a.Limits, "Records were checked by hash and ledger; results were not computed again.")
	case a.older > 0:
		a.Limits = append(a.Limits, fmt.Sprintf("The results of %s, judged by older rules, were not computed again.", report.Plural(a.older, "record")))
	}
}
