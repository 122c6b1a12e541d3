package intake

import (
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// A number with thousands separators can be read in only one way if it has both signs, more than one
// group, or an apostrophe as the separator. With one comma it can if the comma is the delimiter of the
// file, if its decimal signs are points and not commas, and in a unit in which thousands are usual. A
// blank may be between two numbers, so it is not a thousands separator.

var (
	grouped     = regexp.MustCompile(`^([<>≤≥=]*\s*[+-]?)([1-9]\d{0,2}(?:[,.'’]\d{3})+)([.,]\d+)?(\D.*)?$`)
	decimalSign = regexp.MustCompile(`^[<>≤≥=]*\s*[+-]?\d*([.,])(\d+)(?:\D.*)?$`)
)

// signs tells which decimal signs the numbers of a file have: those that can be nothing else.
type signs struct{ comma, point bool }

func (s *signs) see(text string) {
	m := decimalSign.FindStringSubmatch(text)
	if m == nil || len(m[2]) == 3 && !strings.HasPrefix(strings.TrimLeft(text, "<>≤≥= +-"), "0") {
		return
	}
	s.comma = s.comma || m[1] == ","
	s.point = s.point || m[1] == "."
}

// ofThousands are the units in which numbers of four digits and more are usual.
var ofThousands = []string{"v", "a", "mm", "ms"}

// ungroup writes a number of a column, in a unit if it has none of its own, without thousands
// separators if it can be read in only one way; else unchanged.
func (f *file) ungroup(c *assess.Column, unit site.NamedUnit, text string) string {
	m := grouped.FindStringSubmatch(text)
	if m == nil {
		return text
	}
	if own, ok := site.UnitIn(c, strings.TrimSpace(m[4])); ok {
		unit = own
	}
	bare := strings.NewReplacer(",", "", ".", "", "'", "", "’", "").Replace(m[2])
	sign := strings.Trim(m[2], "0123456789")
	if i := strings.IndexAny(sign, "0123456789"); i >= 0 {
		if first := sign[:i]; strings.Trim(m[2], "0123456789"+first) != "" {
			return text // two signs
		}
		sign = sign[:i]
	}
	switch decimals := m[3]; {
	case decimals != "" && decimals[:1] == sign:
		return text
	case decimals != "", len(bare) > 6, sign == "'", sign == "’":
	case sign == "," && f.study.Book.Delimiter == ',' && f.signs.point && !f.signs.comma && slices.Contains(ofThousands, unit.Suffix):
	default:
		return text
	}
	return m[1] + bare + strings.Replace(m[3], ",", ".", 1) + m[4]
}

// value is what a cell of a column says, in the program's own unit, if its numbers are in a unit; false
// if it cannot be read reliably.
func (f *file) value(c *assess.Column, unit site.NamedUnit, cell string) (float64, bool) {
	return f.numbers.Value(c, unit, f.ungroup(c, unit, cell), f.hertz)
}

var wholeNumber = regexp.MustCompile(`^[<>≤≥=]*\s*[1-9]\d*(?:[^\d.,'’].*)?$`)

var likeThousands = regexp.MustCompile(`^[<>≤≥=]*\s*[1-9]\d{0,2}([.,])\d{3}(?:\D.*)?$`)

// maybeThousands reports whether the point or comma in a cell's number, read as a decimal sign, may
// separate thousands: other cells of its column have the other sign for decimals, or none has any, or
// the value would be absurd and a thousand times it would not.
func (f *file) maybeThousands(c *Column, m *Meaning, text string) bool {
	found := likeThousands.FindStringSubmatch(text)
	if found == nil || f.ungroup(m.Column, m.Unit.NamedUnit, text) != text {
		return false
	}
	var own signs
	whole := 0
	for _, cell := range f.cells(c.At) {
		own.see(cell)
		if wholeNumber.MatchString(cell) {
			whole++
		}
	}
	if found[1] == "." && own.comma || found[1] == "," && own.point || whole > 0 && own == (signs{}) {
		return true
	}
	_, number := site.SplitBound(text)
	v, ok := f.value(m.Column, m.Unit.NamedUnit, number)
	return ok && !isPlausible(m.Column, v) && isPlausible(m.Column, v*1000)
}
