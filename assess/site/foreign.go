package site

import (
	"fmt"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
)

// Whatever reads a study's file reads its cells by the same rules as this package reads those of
// locations.csv: units, numbers and dates are known in one place.

// NamedUnit is a unit that a text names: Word, which is Of of the unit of Suffix.
type NamedUnit struct {
	Word, Suffix string
	Of           float64 // 10 for cm, which are read as mm
}

// UnitWords lists the words and signs of units that [UnitIn] knows.
func UnitWords() []string {
	words := slices.Collect(maps.Keys(cellUnits))
	words = slices.AppendSeq(words, maps.Keys(headingUnits))
	slices.Sort(words)
	return slices.Compact(words)
}

// UnitIn is the unit of a column that a word or symbol means.
func UnitIn(c *assess.Column, word string) (NamedUnit, bool) {
	word = strings.TrimSpace(straight.Replace(word))
	if m := perArea.FindStringSubmatch(word); m != nil && m[0] == word {
		word = m[1]
	}
	u, ok := (&column{Column: c}).named(word)
	return NamedUnit{u.word, u.suffix, u.of}, ok
}

// Symbol is how a message writes a unit.
func (u NamedUnit) Symbol() string {
	if u.Of != 0 && u.Of != 1 {
		return strings.ToLower(u.Word)
	}
	return symbol(u.Suffix)
}

// EmptyWord reports whether a cell contains a word for "empty".
func EmptyWord(cell string) bool { return isEmptyWord(cell) }

// SpreadsheetError reports whether a cell is what a spreadsheet shows for a value that it could
// not calculate.
func SpreadsheetError(cell string) bool { return spreadsheetError.MatchString(cell) }

// bound is the mark of a bound before an energy.
var bound = regexp.MustCompile(`(?i)^((?:>=|<=|[<>≤≥]|above |over |more than |below |under |less than ) ?)(.*)$`)

// SplitBound splits the mark of a bound from a cell.
func SplitBound(cell string) (mark, rest string) {
	if m := bound.FindStringSubmatch(cell); m != nil {
		return m[1], m[2]
	}
	return "", cell
}

// SplitUnit splits a cell into its number and its own unit; "" for none. A length such as 3'-4"
// and a voltage such as 480Y/277 are not split.
func SplitUnit(cell string) (number, unit string) { return splitUnit(cell) }

// FeetAndInches reports whether a cell is a length such as 3'-4".
func FeetAndInches(cell string) bool { return feetInches.MatchString(straight.Replace(cell)) }

// Numbers is how a file writes numbers.
type Numbers struct{ d decimals }

// NumbersOf finds out how a file writes numbers, from all of its number cells. A decimal comma
// is possible if the delimiter is not a comma.
func NumbersOf(cells []string, decimalComma bool) Numbers {
	n := Numbers{decimals{comma: decimalComma}}
	n.d.settle(cells)
	return n
}

// Value is the value of a cell in the program's own unit, if the numbers of its column are in Of
// of the unit of a suffix; false if it cannot be read. A cell's own unit takes precedence.
func (n Numbers) Value(c *assess.Column, unit NamedUnit, cell string, hertz float64) (float64, bool) {
	col := column{Column: c}
	u := col.unitOf(unit.Suffix)
	if u == nil {
		return 0, false
	}
	col.unit = *u
	v, _, bad := col.quantity(cell, n.d, hertz)
	if _, own := splitUnit(cell); own == "" && !FeetAndInches(cell) && unit.Of != 0 {
		v *= unit.Of
	}
	return v, bad == (unread{})
}

// Canonical is the column and unit of a canonical spelling such as energy_cal_cm2, ignoring
// letter case and blanks.
func Canonical(spelling string) (*assess.Column, NamedUnit, bool) {
	c, ok := columnOf(assess.Columns, fold(spelling))
	if !ok {
		return nil, NamedUnit{}, false
	}
	return c.Column, NamedUnit{c.unit.Suffix, c.unit.Suffix, 1}, true
}

// Nearest is the known name that is spelled most like s.
func Nearest(s string, known []string) string { return nearest(s, known) }

// DateForms are the forms of dates by their names: iso, m/d/y, d/m/y.
func DateForms() []string {
	names := make([]string, len(dateForms))
	for i, f := range dateForms {
		names[i] = f.name
	}
	return names
}

// ReadDate reads a date in a form; the ISO form and one with the month as a word are always
// read.
func ReadDate(form, cell string) (assess.Date, bool) {
	i := slices.IndexFunc(dateForms, func(f dateForm) bool { return f.name == form })
	return dateForms[max(i, 0)].read(cleanText(cell))
}

// Table is locations.csv as written: texts, and what its headings mean.
type Table struct {
	Columns []TableColumn
	Rows    [][]string // as many cells as columns
	Numbers Numbers
}

// TableColumn is one column of a Table.
type TableColumn struct {
	Heading        string
	*assess.Column           // nil for a column of the owner's own
	Unit           NamedUnit // of a quantity
}

// ReadTable reads locations.csv as written. Its error is a Problems; a bad cell is not an error.
func ReadTable(folder fs.FS, o Options) (*Table, error) {
	r := newReader(folder, o)
	r.readPolicy()
	t := r.readTable(locationsFile, nil)
	if t == nil || r.err() != nil {
		return nil, r.err()
	}
	t.matchColumns()
	if err := r.err(); err != nil {
		return nil, err
	}
	out := &Table{Numbers: Numbers{t.decimals}}
	for i, c := range t.columns {
		out.Columns = append(out.Columns, TableColumn{cleanText(t.heading.cell(i)), c.Column,
			NamedUnit{c.unit.Suffix, c.unit.Suffix, 1}})
	}
	for _, row := range t.rows {
		if row.cells() > len(t.columns) {
			return nil, Problems{{File: locationsFile, Line: row.line, Found: fmt.Sprintf("%d cells", row.cells()),
				Expected: fmt.Sprintf("%d, as in the heading line", len(t.columns))}}
		}
		cells := make([]string, len(t.columns))
		for i := range cells {
			cells[i] = strings.TrimSpace(row.cell(i))
		}
		out.Rows = append(out.Rows, cells)
	}
	return out, nil
}

// IsStarter reports whether a locations.csv is the starter's, whose rows are
// invented.
func IsStarter(locations []byte) bool {
	own, err := starter.ReadFile("starter/" + locationsFile)
	return err == nil && string(own) == string(locations)
}

// CheckTOML refuses a TOML file that is not text, or is larger or nested deeper than any that a
// person writes. Its error is a Problems.
func CheckTOML(file string, data []byte) error {
	r := newReader(nil, Options{})
	if most := SizeLimit(file); int64(len(data)) > most {
		r.report(file, 0, "", "a file of more than "+infile.Size(most), "at most "+infile.Size(most), "")
	} else if text, ok := r.decodeUTF8(file, data); ok {
		r.beyondLimits(file, text)
	}
	return r.err()
}
