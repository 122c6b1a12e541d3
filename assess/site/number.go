package site

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// decimals says how a file writes numbers.
type decimals struct {
	comma bool // a decimal comma may occur: the delimiter is not a comma
	sure  bool // at least one cell can only be read with a decimal comma
	point bool // at least one cell can only be read with a decimal point
}

var (
	commaNumber = regexp.MustCompile(`^[+-]?(\d+,\d*|,\d+)([eE][+-]?\d+)?$`)
	// thousand matches what reads as thousands as well as decimals; thousands
	// what reads as thousands only.
	thousand  = regexp.MustCompile(`^[+-]?[1-9]\d{0,2}[.,]\d{3}$`)
	thousands = regexp.MustCompile(`^[+-]?\d{1,3}([ '’., ]\d{3})+([.,]\d+)?$`)
	inexact   = regexp.MustCompile(`(?i)^([<>≤≥=~≈±]|(above|below|over|under|about|approx|max|min|less|more|at least|at most|up to)\b)`)
)

// leading is the number with which a cell begins, behind the mark of a bound.
var leading = regexp.MustCompile(`^(?:[<>≤≥=~≈\s]+|\pL+\s+)?([+-]?[\d.,]+(?:[eE][+-]?\d+)?)(?:[^\d.,].*)?$`)

// settle looks at all number cells of a file: a cell such as 0,48 or 6,5 shows that the comma
// is the decimal sign, one such as 6.5 that the point is.
func (d *decimals) settle(cells []string) {
	if !d.comma { // then a point is the only decimal sign
		return
	}
	for _, c := range cells {
		if c = cleanText(c); isPlain(c) {
		} else if m := leading.FindStringSubmatch(c); m != nil {
			c = m[1]
		}
		if isThousand(c) {
			continue
		}
		d.sure = d.sure || d.comma && commaNumber.MatchString(c)
		d.point = d.point || isPlain(c) && strings.Contains(c, ".")
	}
}

// ambiguous reports whether a cell such as 13,800 or 13.800 can be read in two ways. In volts or
// amperes, where thousands are common and thousandths are not, it always can.
func (d decimals) ambiguous(s, unit string) bool {
	switch {
	case !isThousand(s):
		return false
	case unit == "v" || unit == "a":
		return true
	case strings.Contains(s, ","):
		return d.comma && (d.point || !d.sure)
	}
	return d.comma && (d.sure || !d.point)
}

// isPlain reports whether a text is a number without comma, blanks or unit, such as 480, -6.5 or
// 1.2e3. Nearly all numbers are so.
func isPlain(s string) bool {
	digits := func() (n int) {
		for n < len(s) && '0' <= s[n] && s[n] <= '9' {
			n++
		}
		s = s[n:]
		return n
	}
	sign := func() {
		if s != "" && (s[0] == '+' || s[0] == '-') {
			s = s[1:]
		}
	}
	sign()
	n := digits()
	if s != "" && s[0] == '.' {
		s = s[1:]
		n += digits()
	}
	if n > 0 && s != "" && (s[0] == 'e' || s[0] == 'E') {
		s = s[1:]
		sign()
		n = digits()
	}
	return n > 0 && s == ""
}

// isThousand reports whether a text matches thousand.
func isThousand(s string) bool {
	at := len(s) - len(".000")
	return at > 0 && (s[at] == '.' || s[at] == ',') && thousand.MatchString(s)
}

// withoutMarks removes decimal signs and thousands separators from a number.
var withoutMarks = strings.NewReplacer(",", "", ".", "", " ", "", "'", "", "’", "", "\u00a0", "")

// parse reads a number without its own unit, in a unit. If it fails, it says what was expected
// and what to do.
func (d decimals) parse(cell, unit string) (v float64, expected, do string) {
	s := strings.TrimSpace(cell)
	switch {
	case d.ambiguous(s, unit):
		mark := "."
		if d.sure {
			mark = ","
		}
		return 0, "a number that can be read in only one way", "write " + withoutMarks.Replace(s) + ", or " +
			strings.NewReplacer(",", mark, ".", mark).Replace(s) + "0 if that is the decimal sign"
	case isPlain(s):
	case commaNumber.MatchString(s) && d.comma:
		s = strings.Replace(s, ",", ".", 1)
	case commaNumber.MatchString(s) && isThousand(s):
		return 0, "a number without thousands separators",
			"write " + withoutMarks.Replace(s) + " if that is meant; the decimal sign in this file is a point"
	case commaNumber.MatchString(s):
		return 0, "a number such as " + strings.Replace(s, ",", ".", 1),
			"a decimal comma works only in a file whose columns are separated by semicolons"
	case thousands.MatchString(s):
		return 0, "a number without thousands separators", "write only digits and at most one decimal sign"
	case inexact.MatchString(s):
		return 0, "a number", "only an energy may be a limit; ask the engineer of the study for the number"
	default:
		return 0, "a number such as 480", ""
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, "a number of normal size", "check the exponent"
	}
	return v, "", ""
}
