package intake

import (
	"regexp"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// plausible is the range of values of a quantity in plants, in the program's own unit. It has one
// purpose: to find the units that a file's numbers can have at all, if neither a heading nor a row
// of units says so. The limits are house choices from common practice, wide enough that a unit is
// excluded only if its values would be absurd.
var plausible = map[string][2]float64{
	"voltage":          {24, 800000},  // V; see voltageLevels
	"fault":            {0.1, 300},    // kA
	"rating":           {5, 300},      // kA
	"device_rating":    {5, 300},      // kA
	"energy":           {0.0001, 1e6}, // cal/cm²: values never show whether they are in joules
	"boundary":         {10, 100000},  // mm
	"distance":         {250, 2500},   // mm
	"gap":              {3, 300},      // mm
	"height":           {80, 4000},    // mm
	"width":            {80, 4000},    // mm
	"depth":            {50, 4000},    // mm
	"clear":            {1, 1e6},      // ms
	"clear_reduced":    {1, 1e6},      // ms
	"service_clearing": {1, 1e6},      // ms
	"frequency":        {10, 500},     // Hz
	"multiplier":       {1, 3},        //
	limited:            {300, 12000},  // mm
	restricted:         {25, 12000},   // mm
}

// voltageLevels are nominal voltages above 100 kV, in kV (common practice; those of
// ANSI C84.1 and IEC 60038, from memory). 480 is not one of them, so it is in volts;
// 230 may be either.
var voltageLevels = []float64{110, 115, 120, 132, 138, 145, 150, 161, 220, 230, 275, 287, 315, 330, 345, 360, 380, 400, 420, 500, 525, 735, 765}

// mostAmperes is the largest continuous current of devices and buses, in kA: a value up to this may
// be one if a heading only says rating (common practice).
const mostAmperes = 6.5

// isPlausible reports whether a column can have a value, in the program's own unit.
func isPlausible(c *assess.Column, v float64) bool {
	limits, known := plausible[c.Name]
	if !known || v < limits[0] || v > limits[1] {
		return false
	}
	return c.Name != "voltage" || v <= 100000 || slices.Contains(voltageLevels, v/1000)
}

// extraUnits are units of lengths in studies besides those of the columns: a number without a unit
// may be in them too.
var extraUnits = []string{"cm", "m"}

// unitsOf returns all units that the numbers of a column may have.
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

// fits reports how many of the cells with a number without its own unit could be in a unit, and how
// many such cells there are.
func (f *file) fits(c *assess.Column, unit site.NamedUnit, cells []string) (fit, all int) {
	for _, cell := range cells {
		_, cell = site.SplitBound(cell)
		if carriesUnit(c, cell) {
			continue
		}
		v, ok := f.value(c, unit, cell)
		if !ok {
			continue
		}
		all++
		if isPlausible(c, v) {
			fit++
		}
	}
	return fit, all
}

// carriesUnit reports whether a cell has its own unit.
func carriesUnit(c *assess.Column, cell string) bool {
	_, own := site.SplitUnit(cell)
	if _, ok := site.UnitIn(c, own); own != "" && ok || site.FeetAndInches(cell) {
		return true
	}
	return c.Name == "voltage" && behindVolts.MatchString(cell)
}

// behindVolts matches a pair of voltages with a unit, such as 480Y/277 V.
var behindVolts = regexp.MustCompile(`(?i)/.*\d ?k?v(ac|dc)?$`)
