package page

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/record"
)

// differing is something in which two records differ, in the words of the trade.
type differing struct {
	Name     string
	Why      string // the column that says it; "" for none
	Old, New string // with the unit
}

// trade are the names of what two records may differ in, where no column has one.
var trade = map[string]string{
	"governing energy_cal_cm2": "Incident energy, governing", "governing recomputed energy_cal_cm2": "Incident energy, recomputed",
	"governing boundary_mm": "Arc-flash boundary, governing",
	"governing fault_ka":    "Available fault current, as printed", "governing prepared": "Study date, as printed",
	"governing surveyed": "Day of the survey that counts", "governing approach row": "Row of the approach boundaries",
	"governing glove class": "Rubber insulating gloves, class and maximum use voltage", "glove class": "Rubber insulating gloves, class",
	"limited_mm": "Limited approach boundary", "restricted": "Restricted approach boundary",
	"signal word": "Signal word", "kit": "Kit", "ladder": "Ladder, in cal/cm²", "cutoff_cal_cm2": "Cutoff", "units": "Units on the label",
	"review_by": "Review by", "review_months": "Review interval, in months", "with the maintenance switch on": "With the maintenance switch on",
	"wear": "What to wear", "below_threshold_wear": "What to wear below 1.2 cal/cm²", "danger_test": "Absence-of-voltage test",
	"maintenance_line": "Where the line on the maintenance switch is", "show_clearing_time": "Clearing time on the label",
	"accepted findings": "Findings that a named person accepted", "policy": "The owner’s policy", "case": "Operating condition (case)",
	"curve": "Clearing curve", "id": "Location", "supply": "Supply", "mode": "Operating mode", "class": "Class of equipment",
	"conductor": "Conductor, fixed or movable", "method": "Method", "multiplier": "Multiplier",
}

// differ puts into words in what two records differ.
func differ(old, now *record.Record) (all []differing) {
	all = printed(old, now)
	for _, d := range old.Differences(now) {
		if d.Field != "governing printed boundary_mm" { // it is not rounded: see printed
			all = append(all, wordsOf(d, now.Policy.Units))
		}
	}
	return all
}

// printed are the energy and the boundary as each label shows them, where these differ.
func printed(old, now *record.Record) (all []differing) {
	for _, one := range []struct {
		name string
		of   func(*record.Record) string
	}{
		{"Incident energy, as printed", func(r *record.Record) string { return label.EnergyOf(r.Energy, r.Policy.Units) }},
		{"Arc-flash boundary, as printed", func(r *record.Record) string {
			return label.Boundary(r.BoundaryToPrint, r.BoundaryToPrint, r.Policy.Units)
		}},
	} {
		if was, is := one.of(old), one.of(now); was != is {
			all = append(all, differing{Name: one.name, Old: was, New: is})
		}
	}
	return all
}

func wordsOf(d standing.Difference, u assess.Units) differing {
	field, of, _ := strings.Cut(d.Field, " of ")
	one := differing{Name: trade[field], Old: d.Old, New: d.New}
	key := strings.TrimPrefix(strings.TrimPrefix(field, "governing "), "recomputed ")
	if at := slices.IndexFunc(assess.Columns, func(c assess.Column) bool { return c.Key() == field }); at >= 0 {
		c := &assess.Columns[at]
		one.Why = "column " + c.Name
		if one.Name == "" {
			meaning, _, _ := strings.Cut(c.Meaning, ";")
			one.Name = strings.ToUpper(meaning[:1]) + meaning[1:]
		}
	}
	for name, words := range trade { // a list in another language, such as wear_es
		if rest, ok := strings.CutPrefix(field, name+"_"); ok && one.Name == "" && len(rest) == 2 {
			one.Name = words + ", " + rest
		}
	}
	one.Name = cmp.Or(one.Name, field)
	if of != "" {
		one.Name += ", " + of
	}
	if field == "restricted" {
		one.Old, one.New = restricted(d.Old, u), restricted(d.New, u)
	}
	if spell := speller(key, u); spell != nil {
		one.Old, one.New = spelled(d.Old, d.New, spell)
	}
	return one
}

// restricted is a rule and a length in mm, of which one says all.
func restricted(text string, u assess.Units) string {
	at := strings.LastIndex(text, " ") + 1
	x, err := strconv.ParseFloat(text[at:], 64)
	switch {
	case err != nil:
		return text
	case x > 0:
		return u.Length(assess.MM(x), leastDigits)
	}
	return strings.TrimSpace(text[:at])
}

// speller writes a number of a field with its unit and so many significant digits; nil for
// a field that is not a number.
func speller(key string, u assess.Units) func(float64, int) string {
	at := func(suffix string) bool { return strings.HasSuffix(key, suffix) }
	switch {
	case at("_mm"):
		return func(x float64, n int) string { return u.Length(assess.MM(x), n) }
	case at("_cal_cm2"):
		return func(x float64, n int) string { return u.Energy(assess.CalCM2(x), n) }
	}
	for suffix, unit := range map[string]string{"_ka": "kA", "_v": "V", "_ms": "ms", "_hz": "Hz"} {
		if at(suffix) {
			return func(x float64, n int) string { return assess.Digits(x, n) + " " + unit }
		}
	}
	return nil
}

// The digits of two numbers that differ: as few as show the difference.
const leastDigits, mostDigits = 4, 9

func spelled(old, now string, spell func(float64, int) string) (was, is string) {
	write := func(text string, digits int) string {
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return text
		}
		return spell(x, digits)
	}
	for n := leastDigits; n <= mostDigits; n++ {
		if was, is = write(old, n), write(now, n); was != is {
			break
		}
	}
	return was, is
}

// alike says that two labels print the same; "" where a value differs.
func alike(old, now *record.Record) string {
	was, is := basis.Items(old), basis.Items(now)
	text := "Both labels print the same values."
	if len(was) != len(is) {
		return ""
	}
	for i := range is {
		switch {
		case was[i].Name == is[i].Name && was[i].Value == is[i].Value:
		case was[i].Name == is[i].Name && slices.Contains([]string{"Study", "Review by"}, is[i].Name):
			text = "Both labels print the same values. Only their dates differ."
		default:
			return ""
		}
	}
	return text
}
