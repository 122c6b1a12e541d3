package site

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
)

// cellUnits are the units that a cell may have itself, as spelled by [foldUnit]: the suffix of a
// heading, and how many of it one is. Symbols and factors are those of NIST SP 811 (2008), tables
// 1, 3 and 5, and B.8; the others are how American spreadsheets write them (common practice).
var cellUnits = map[string]struct {
	suffix string
	of     float64
}{
	"v": {"v", 1}, "volt": {"v", 1}, "volts": {"v", 1}, "vac": {"v", 1}, "vdc": {"v", 1},
	"kv": {"kv", 1}, "kvac": {"kv", 1}, "kvdc": {"kv", 1},
	"a": {"a", 1}, "amp": {"a", 1}, "amps": {"a", 1}, "aic": {"a", 1}, // AIC: amperes of interrupting capacity
	"ka": {"ka", 1}, "kaic": {"ka", 1},
	"cal_cm2": {"cal_cm2", 1}, "j_cm2": {"j_cm2", 1},
	"in": {"in", 1}, "inch": {"in", 1}, "inches": {"in", 1}, `"`: {"in", 1},
	"ft": {"ft", 1}, "foot": {"ft", 1}, "feet": {"ft", 1}, "'": {"ft", 1},
	"mm": {"mm", 1}, "cm": {"mm", 10}, "m": {"mm", 1000},
	"ms": {"ms", 1}, "msec": {"ms", 1},
	"s": {"s", 1}, "sec": {"s", 1}, "second": {"s", 1}, "seconds": {"s", 1},
	"cycle": {assess.Cycles, 1}, "cycles": {assess.Cycles, 1}, "cy": {assess.Cycles, 1}, "cyc": {assess.Cycles, 1},
	"hz": {"hz", 1}, "%": {"percent", 1}, "percent": {"percent", 1},
}

// unitSymbols is how messages write the suffixes of headings.
var unitSymbols = map[string]string{"v": "V", "kv": "kV", "a": "A", "ka": "kA", "hz": "Hz", "cal_cm2": "cal/cm²",
	"j_cm2": "J/cm²", "percent": "%"}

// symbols are the units of a column as a message writes them.
func symbols(c *assess.Column) string {
	var all []string
	for _, u := range c.Units {
		if u.Suffix != "" {
			all = append(all, symbol(u.Suffix))
		}
	}
	return strings.Join(all, ", ")
}

// symbol is a unit as a message writes it.
func symbol(suffix string) string { return cmp.Or(unitSymbols[suffix], suffix) }

// straight writes the marks of feet and inches in one way.
var straight = strings.NewReplacer("’", "'", "′", "'", "‘", "'", "”", `"`, "“", `"`, "″", `"`, "''", `"`,
	"’’", `"`, "′′", `"`)

// foldUnit makes the spellings of a unit comparable.
func foldUnit(s string) string { return plainUnit.Replace(strings.ToLower(straight.Replace(s))) }

var plainUnit = strings.NewReplacer(" ", "", ".", "", "^", "", "²", "2", "/", "_")

// numberAndUnit splits a cell that begins with a number and continues with something else.
var numberAndUnit = regexp.MustCompile(
	`^([+-]?(?:\d[\d.,]*(?:[ '’]\d{3}\b[\d.,]*)*|[.,]\d+)(?:[eE][+-]?\d+)?)\s*([^\d\s.,+-].*)$`)

// splitUnit splits a cell into its number and its own unit; "" for none.
func splitUnit(s string) (number, unit string) {
	if isPlain(s) || commaNumber.MatchString(s) || thousands.MatchString(s) {
		return s, ""
	}
	if m := numberAndUnit.FindStringSubmatch(s); m != nil {
		return m[1], m[2]
	}
	return s, ""
}

// feetInches matches 3'-4", 3' 4", 3 ft 4 in; voltages matches 480Y/277 and
// 120/240, with or without units.
var (
	feetInches = regexp.MustCompile(`(?i)^(\d+) ?(?:'|ft\.?|foot|feet) ?-? ?(\d+(?:[.,]\d+)?) ?(?:"|in\.?|inch|inches)$`)
	voltages   = regexp.MustCompile(`^([^/]*\d[^/]*?) ?[YyΔ]? ?/ ?([^/]*\d[^/]*)$`)
)

// unread says why a cell cannot be read: what was expected, and what to do. The zero value means
// that it can be read.
type unread struct{ expected, do string }

const maxNumber = 1e9

// What is almost an energy or a length.
var (
	nearEnergy = regexp.MustCompile(`(?i)^(.*\d) ?(cal|j)(?:ories|oules?|s)?\.?$`)
	nearFeet   = regexp.MustCompile(`(?i)^(\d+) ?(?:'|ft\.?|feet) ?-? ?(\d|1[01])$`)
	fraction   = regexp.MustCompile(`\d ?/ ?\d|[½¼¾⅓⅔⅛⅜⅝⅞]`)
)

// nearly says what to write instead of a cell that cannot be read, if that is clear.
func (c *column) nearly(s string) (bad unread, plain bool) {
	length := c.unitOf("ft") != nil
	if m := nearEnergy.FindStringSubmatch(s); m != nil && c.unitOf("cal_cm2") != nil {
		per := map[bool]string{true: " J/cm²", false: " cal/cm²"}[strings.EqualFold(m[2], "j")]
		return unread{"an energy per area", "write " + strings.TrimSpace(m[1]) + per}, true
	}
	if m := nearFeet.FindStringSubmatch(straight.Replace(s)); m != nil && length {
		return unread{"feet and inches with both marks", "write " + m[1] + "'-" + m[2] + `"`}, true
	}
	if length && fraction.MatchString(s) {
		return unread{`a length such as 3'-4" or 40.5 in`, "write a fraction as a decimal"}, true
	}
	return unread{}, false
}

// quantity reads a cleaned cell of a column: in its own unit, else in the heading's. The value is
// in the program's unit, rounded as stored. cycles reports that it was given in cycles, at hertz.
func (c *column) quantity(s string, d decimals, hertz float64) (v float64, cycles bool, bad unread) {
	has := func(suffix string) bool { return c.unitOf(suffix) != nil }
	if isPlain(s) {
		return inUnit(s, c.unit, 1, d, hertz)
	}
	if m := feetInches.FindStringSubmatch(straight.Replace(s)); m != nil && has("ft") {
		v, bad = c.feetAndInches(m[1], m[2], d)
		return v, false, bad
	}
	if m := voltages.FindStringSubmatch(s); m != nil && has("v") {
		return c.larger(m[1], m[2], d, hertz)
	}
	number, own := splitUnit(s)
	unit, of := c.unit, 1.0
	if own != "" {
		u, known := cellUnits[foldUnit(own)]
		if !known || !has(u.suffix) {
			if len(c.Units) == 1 && c.Units[0].Suffix == "" {
				return 0, false, unread{"a number without a unit", ""}
			}
			return 0, false, unread{"a number, or a number with its own unit: " + symbols(c.Column),
				"the unit in a cell takes precedence over the one in the heading"}
		}
		unit, of = *c.unitOf(u.suffix), u.of
	}
	return inUnit(number, unit, of, d, hertz)
}

// inUnit reads a number in a multiple of a unit.
func inUnit(number string, unit assess.Unit, of float64, d decimals, hertz float64) (v float64, cycles bool, bad unread) {
	v, expected, do := d.parse(number, unit.Suffix)
	if expected != "" {
		return 0, false, unread{expected, do}
	}
	if v <= 0 || v > maxNumber {
		return 0, false, unread{"a number above 0 and at most 1000000000", ""}
	}
	v *= of
	if cycles = unit.Suffix == assess.Cycles; cycles {
		v *= 1000 / hertz
	}
	if v = assess.Round9(v * unit.Factor); v < 1/maxNumber {
		return 0, false, unread{"a number of ordinary size", "check the exponent"}
	}
	return v, cycles, unread{}
}

// feetAndInches is a length such as 3'-4". Either of the two may be 0.
func (c *column) feetAndInches(feet, inches string, d decimals) (mm float64, bad unread) {
	for _, part := range []struct{ number, unit string }{{feet, "ft"}, {inches, "in"}} {
		if strings.Trim(part.number, "0") == "" {
			continue
		}
		v, _, wrong := inUnit(part.number, *c.unitOf(part.unit), 1, d, 0)
		if wrong == (unread{}) && part.unit == "in" && v >= assess.MMPerFoot {
			wrong = unread{"less than 12 in after the feet, such as 3'-4\"", "correct the feet or the inches"}
		}
		if wrong != (unread{}) {
			return 0, wrong
		}
		mm += v
	}
	if mm == 0 {
		return 0, unread{"a length above 0", ""}
	}
	return assess.Round9(mm), unread{}
}

// larger is the larger of two voltages of a system, such as 480Y/277: phase to phase on three
// phases, between the outer conductors on one (written like this in ANSI C84.1; from memory). One
// without its own unit has the other's.
func (c *column) larger(one, other string, d decimals, hertz float64) (float64, bool, unread) {
	_, unit := splitUnit(one)
	_, last := splitUnit(other)
	if unit == "" && last != "" {
		one += " " + last
	}
	if last == "" && unit != "" {
		other += " " + unit
	}
	a, _, bad := c.quantity(one, d, hertz)
	b, _, also := c.quantity(other, d, hertz)
	if bad == (unread{}) {
		bad = also
	}
	return max(a, b), false, bad
}

// unitOf is the column's unit with a suffix, or nil.
func (c *column) unitOf(suffix string) *assess.Unit {
	if i := slices.IndexFunc(c.Units, func(u assess.Unit) bool { return u.Suffix == suffix }); i >= 0 {
		return &c.Units[i]
	}
	return nil
}
