package assess

import (
	"fmt"
	"math"
)

// Percent is a percentage for a person: one decimal below 100 %, rounded down. A
// little is never shown as "0 %", which reads as nothing.
func Percent(p float64) string {
	const noise = 1e-9 // as for printed numbers, for binary noise
	switch {
	case p*(1+noise) < 0.1:
		return "<0.1 %"
	case p < 100:
		return fmt.Sprintf("%.9g %%", math.Floor(p*10*(1+noise))/10)
	}
	return fmt.Sprintf("%.0f %%", math.Floor(p*(1+noise)))
}
