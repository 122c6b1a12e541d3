package arc

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
)

// A Step is one line of an evaluation that a person with a calculator can follow.
type Step struct {
	Symbol string `json:"symbol"`         // the publication's symbol, such as I_arc,600
	Value  Value  `json:"value"`          // in Unit
	Unit   string `json:"unit,omitempty"` // "" for a pure number
	Source string `json:"source"`         // equation and table, or the document
	Words  string `json:"-"`              // what it is and how it comes from the lines above
}

// A Value is the number of a step, unrounded; JSON has it at 9 significant digits, as all
// that is stored.
type Value float64

// MarshalJSON writes the number as [Round9] has it.
func (v Value) MarshalJSON() ([]byte, error) { return AppendJSON(nil, Round9(float64(v))) }

// AppendJSON appends a number as encoding/json writes it.
func AppendJSON(b []byte, x float64) ([]byte, error) {
	if size := math.Abs(x); size != 0 && (size < 1e-6 || size >= 1e21) || math.IsNaN(x) {
		text, err := json.Marshal(x)
		return append(b, text...), err
	}
	return strconv.AppendFloat(b, x, 'f', -1, 64), nil
}

// Round9 rounds x to 9 significant digits, the precision of everything that is stored. It
// goes through decimal text, which is the same on every processor.
func Round9(x float64) float64 {
	if math.Abs(x) < 1e9 && x == math.Trunc(x) { // a whole number of at most nine digits is its own text
		return x
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 8, 64), 64)
	if err != nil { // only for an infinity, which no reader lets through
		return x
	}
	return r
}

// A Recorder collects the steps of evaluations in the order in which they are computed.
// A nil *Recorder records nothing and costs nothing: it may be passed wherever a
// recorder is expected. The zero value is ready for use.
type Recorder struct {
	Steps   []Step
	NoWords bool // nobody reads the words, and it takes time to make them
}

// add records one step; callers have checked that r is not nil.
//
//go:noinline
func (r *Recorder) add(symbol string, value float64, unit, source, words string) {
	if r.Steps == nil {
		r.Steps = make([]Step, 0, usualSteps)
	}
	if r.NoWords {
		words = ""
	}
	r.Steps = append(r.Steps, Step{symbol, Value(value), unit, source, words})
}

// usualSteps is how many steps most evaluations have at most.
const usualSteps = 16

// coefficients ends words with the numbers of a table's row, named letter and index from
// first on; those that are 0 are left out.
func (r *Recorder) coefficients(words, letter string, first int, k ...float64) string {
	if r.NoWords {
		return ""
	}
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

// What the symbols of steps end in, by table and by case (full, reduced), and the sources by table.
var (
	volts     = [3]string{"600", "2700", "14300"}
	lineEnd   = [2]string{"", ",min"} // after another index
	resultEnd = [2]string{"", "_min"}

	sourceEnergy = [3]string{"IEEE 1584-2018 eq. 3, Table 3", "IEEE 1584-2018 eq. 4, Table 4",
		"IEEE 1584-2018 eq. 5, Table 5"}
	sourceBoundary = [3]string{"IEEE 1584-2018 eq. 7, Table 3", "IEEE 1584-2018 eq. 8, Table 4",
		"IEEE 1584-2018 eq. 9, Table 5"}
)

// UnitWords is the unit as a person writes it; records keep Unit.
func (s Step) UnitWords() string { return strings.ReplaceAll(s.Unit, "cm2", "cm²") }
