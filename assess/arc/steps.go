package arc

import (
	"strconv"
	"strings"
)

// A Step is one line of an evaluation that a person with a calculator can follow.
type Step struct {
	Symbol string  `json:"symbol"`         // the publication's symbol, such as I_arc,600
	Value  float64 `json:"value"`          // in Unit, unrounded
	Unit   string  `json:"unit,omitempty"` // "" for a pure number
	Source string  `json:"source"`         // equation and table, or the document
	Words  string  `json:"-"`              // what it is and how it comes from the lines above
}

// A Recorder collects the steps of evaluations in the order in which they are computed.
// A nil *Recorder records nothing and costs nothing: it may be passed wherever one is asked
// for. The zero value is ready for use.
type Recorder struct {
	Steps []Step
}

// add records one step; callers have checked that r is not nil.
//
//go:noinline
func (r *Recorder) add(symbol string, value float64, unit, source, words string) {
	r.Steps = append(r.Steps, Step{symbol, value, unit, source, words})
}

// coefficients ends words with the numbers of a table's row, named letter and index from
// first on; those that are 0 are left out.
func coefficients(words, letter string, first int, k ...float64) string {
	var b strings.Builder
	b.WriteString(words)
	sep := "; "
	for i, x := range k {
		if x == 0 {
			continue
		}
		b.WriteString(sep + letter + strconv.Itoa(first+i) + " = " + strconv.FormatFloat(x, 'g', -1, 64))
		sep = ", "
	}
	return b.String()
}

// EvaluateSteps is [Evaluate] and returns the steps beside the result. On refusal the steps
// up to it are returned.
func EvaluateSteps(in *Input, clearMS, clearReducedMS float64) (Result, []Step, error) {
	var rec Recorder
	res, err := Evaluate(in, clearMS, clearReducedMS, &rec)
	return res, rec.Steps, err
}

// Symbols and sources by table (600, 2700, 14300 V) and, where two, by case (full, reduced).
var (
	stepExponent   = [3]string{"x_600", "x_2700", "x_14300"}
	stepPolynomial = [3]string{"p_600", "p_2700", "p_14300"}
	stepCurrent    = [3]string{"I_arc,600", "I_arc,2700", "I_arc,14300"}
	stepBasis      = [2][3]string{{"y_600", "y_2700", "y_14300"}, {"y_600,min", "y_2700,min", "y_14300,min"}}
	stepEnergy     = [2][3]string{{"E_600", "E_2700", "E_14300"}, {"E_600,min", "E_2700,min", "E_14300,min"}}
	stepBoundary   = [2][3]string{{"AFB_600", "AFB_2700", "AFB_14300"}, {"AFB_600,min", "AFB_2700,min", "AFB_14300,min"}}
	stepX          = [2][3]string{{"E_1", "E_2", "E_3"}, {"E_1,min", "E_2,min", "E_3,min"}}
	stepL          = [2][3]string{{"AFB_1", "AFB_2", "AFB_3"}, {"AFB_1,min", "AFB_2,min", "AFB_3,min"}}
	stepFinalE     = [2]string{"E", "E_min"}
	stepFinalL     = [2]string{"AFB", "AFB_min"}

	sourceEnergy   = [3]string{"IEEE 1584-2018 eq. 3, Table 3", "IEEE 1584-2018 eq. 4, Table 4", "IEEE 1584-2018 eq. 5, Table 5"}
	sourceBoundary = [3]string{"IEEE 1584-2018 eq. 7, Table 3", "IEEE 1584-2018 eq. 8, Table 4", "IEEE 1584-2018 eq. 9, Table 5"}
)
