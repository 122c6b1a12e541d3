package site

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// decimals says how a file writes its numbers.
type decimals struct {
	comma bool // a decimal comma may occur: the delimiter is not a comma
	sure  bool // at least one cell can only be read with a decimal comma
}

var (
	plainNumber = regexp.MustCompile(`^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$`)
	commaNumber = regexp.MustCompile(`^[+-]?(\d+,\d*|,\d+)([eE][+-]?\d+)?$`)
	// thousand matches what reads as thousands as well as decimals.
	thousand = regexp.MustCompile(`^[+-]?[1-9]\d{0,2}[.,]\d{3}$`)
)

// settle looks at all number cells of a file and decides whether its comma
// is a decimal one: one cell such as 0,48 or 6,5 settles it.
func (d *decimals) settle(cells []string) {
	for _, c := range cells {
		c = strings.TrimSpace(c)
		if d.comma && commaNumber.MatchString(c) && !thousand.MatchString(c) {
			d.sure = true
			return
		}
	}
}

// parse reads one number. Where it fails, it says what was expected and what
// to do.
func (d decimals) parse(cell string) (v float64, expected, do string) {
	s := strings.TrimSpace(cell)
	switch {
	case thousand.MatchString(s) && strings.Contains(s, ",") && d.comma && !d.sure,
		thousand.MatchString(s) && strings.Contains(s, ".") && d.sure:
		bare := strings.NewReplacer(",", "", ".", "").Replace(s)
		return 0, "a number that reads one way only", "write " + bare + ", or " + strings.NewReplacer(",", d.mark(), ".", d.mark()).Replace(s) + "0 if that is a decimal sign"
	case plainNumber.MatchString(s):
	case commaNumber.MatchString(s):
		if !d.comma {
			return 0, "a number such as " + strings.Replace(s, ",", ".", 1), "a decimal comma needs a file whose columns are parted by semicolons; thousands take no sign"
		}
		s = strings.Replace(s, ",", ".", 1)
	default:
		if m := regexp.MustCompile(`^[+-]?\d+([.,]\d+)?`).FindString(s); m != "" && m != s {
			return 0, "a number such as " + m, "the unit stands in the heading"
		}
		return 0, "a number such as 480", "leave the cell empty where the study says nothing"
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, "a number of ordinary size", "check the exponent"
	}
	return v, "", ""
}

// mark is the decimal sign of the file.
func (d decimals) mark() string {
	if d.sure {
		return ","
	}
	return "."
}
