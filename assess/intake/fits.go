package intake

import (
	"regexp"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// plausible is from where to where the values of a quantity lie on plants, in the
// program's own unit. It serves one purpose: to find out in which units a file's
// numbers can be at all, where neither a heading nor a row of units says so. The
// limits are house choices from common practice, wide enough that a unit is
// excluded only where its values would be absurd.
var plausible = map[string][2]float64{
	"voltage":          {24, 100000}, // V
	"fault":            {0.1, 300},   // kA
	"rating":           {1, 300},     // kA
	"device_rating":    {1, 300},     // kA
	"energy":           {0.01, 5000}, // cal/cm²
	"boundary":         {50, 60000},  // mm
	"distance":         {300, 1900},  // mm
	"gap":              {3, 300},     // mm
	"height":           {80, 4000},   // mm
	"width":            {80, 4000},   // mm
	"depth":            {50, 4000},   // mm
	"clear":            {4, 60000},   // ms
	"clear_reduced":    {4, 60000},   // ms
	"service_clearing": {4, 60000},   // ms
	"frequency":        {10, 500},    // Hz
	"multiplier":       {1, 3},       //
	limited:            {300, 12000}, // mm
	restricted:         {25, 12000},  // mm
}

// extraUnits are units in which a study may give lengths beside those of the
// columns: a number without a unit may be in them too.
var extraUnits = []string{"cm", "m"}

// unitsOf are all units in which the numbers of a column may be.
func unitsOf(c *assess.Column) []site.NamedUnit {
	var all []site.NamedUnit
	words := []string{}
	for _, u := range c.Units {
		words = append(words, u.Suffix)
	}
	if _, ok := site.UnitIn(c, "mm"); ok {
		words = append(words, extraUnits...)
	}
	for _, w := range words {
		if u, ok := site.UnitIn(c, w); ok {
			all = append(all, u)
		}
	}
	return all
}

// fits reports how many of the cells that are numbers without a unit of their own
// could be in a unit, and how many such cells there are.
func (f *file) fits(c *assess.Column, unit site.NamedUnit, cells []string) (fit, all int) {
	limits, known := plausible[c.Name]
	if !known {
		return 0, 0
	}
	for _, cell := range cells {
		_, cell = site.SplitBound(cell)
		if carriesUnit(c, cell) {
			continue
		}
		v, ok := f.numbers.Value(c, unit, cell, f.hertz)
		if !ok {
			continue
		}
		all++
		if v >= limits[0] && v <= limits[1] {
			fit++
		}
	}
	return fit, all
}

// carriesUnit reports whether a cell says itself in which unit it is.
func carriesUnit(c *assess.Column, cell string) bool {
	_, own := site.SplitUnit(cell)
	if _, ok := site.UnitIn(c, own); own != "" && ok || site.FeetAndInches(cell) {
		return true
	}
	return c.Name == "voltage" && behindVolts.MatchString(cell)
}

// behindVolts matches a pair of voltages with a unit, such as 480Y/277 V.
var behindVolts = regexp.MustCompile(`(?i)/.*\d ?k?v(ac|dc)?$`)
