package intake

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"unicode"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// ofOneStudy lists the columns that a study calculates or that name it. If a new study does not have
// them, the cells of the earlier study are not kept: they would look like its own.
var ofOneStudy = []string{"fault", "energy", "boundary", "distance", "clear", "clear_reduced", "service_clearing",
	"study", "revision", "edition", "prepared", "engineer"}

func restated(name string) bool { return slices.Contains(ofOneStudy, name) }

// Locations is a locations.csv that includes a study.
type Locations struct {
	CSV     []byte
	Lines   map[int]int // rows of the study, by the line of the file that they became
	New     []string    // ids that the study has and the site did not have
	Stay    []string    // ids that the study does not have; their rows stay unchanged
	Dropped []string    // ids that it does not have; their rows were deleted
	Kept    []string    // columns that it does not have; their cells are kept
	Emptied []string    // columns that it does not have; their cells are emptied, since they belong to the earlier study
	// Unmatched lists ids whose cases have other names in the study: values of single cases in
	// the old rows are not kept.
	Unmatched []string
}

// outColumn is a column of the file that is written.
type outColumn struct {
	heading string
	col     *assess.Column // nil for a column of the owner's own
	unit    site.NamedUnit
	old     int // position in the old table; -1 if it was not there
}

// Locations writes the study as a locations.csv. before is the site's present one, nil for none; file
// is the study's name in studies/, which each row gives as its source. Ids that the study does not
// have stay, or are dropped.
func (s *Study) Locations(before *site.Table, file string, drop bool) (*Locations, error) {
	if before == nil {
		before = &site.Table{}
	}
	out := &Locations{Lines: map[int]int{}}
	columns := s.outColumns(before, out)
	id, caseAt := place(before, "id"), place(before, "case")
	oldID := func(r []string) string { return at(r, id) }

	rows := map[string][]*Row{}
	var order []string
	for i := range s.Rows {
		r := &s.Rows[i]
		if rows[r.Cells["id"]] == nil {
			order = append(order, r.Cells["id"])
		}
		rows[r.Cells["id"]] = append(rows[r.Cells["id"]], r)
	}
	olds := map[string][][]string{}
	var oldOrder []string
	for _, r := range before.Rows {
		if olds[oldID(r)] == nil {
			oldOrder = append(oldOrder, oldID(r))
		}
		olds[oldID(r)] = append(olds[oldID(r)], r)
	}
	var lines [][]string
	line := 2 // of the file, below its headings
	next := func(cells []string, row int) {
		lines = append(lines, cells)
		if row > 0 {
			out.Lines[line] = row
		}
		line += 1 + strings.Count(strings.Join(cells, ""), "\n")
	}
	put := func(id string) {
		cases := olds[id]
		for _, r := range rows[id] {
			next(s.line(columns, before, r, oldRow(cases, caseAt, r, len(rows[id])), first(cases), file), r.Number)
			if len(cases) > 0 && oldRow(cases, caseAt, r, len(rows[id])) == nil && !slices.Contains(out.Unmatched, id) {
				out.Unmatched = append(out.Unmatched, id)
			}
		}
	}
	for _, id := range oldOrder {
		switch {
		case rows[id] != nil:
			put(id)
		case drop:
			out.Dropped = append(out.Dropped, id)
		default:
			out.Stay = append(out.Stay, id)
			for _, old := range olds[id] {
				next(s.stays(columns, before, old), 0)
			}
		}
	}
	for _, id := range order {
		if olds[id] == nil {
			out.New = append(out.New, id)
			put(id)
		}
	}
	var err error
	out.CSV, err = write(columns, lines)
	return out, err
}

func write(columns []outColumn, lines [][]string) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	headings := make([]string, len(columns))
	for i, c := range columns {
		headings[i] = c.heading
	}
	if err := w.Write(headings); err != nil {
		return nil, err
	}
	if err := w.WriteAll(lines); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func place(t *site.Table, name string) int {
	return slices.IndexFunc(t.Columns, func(c site.TableColumn) bool { return c.Column != nil && c.Name == name })
}

func at(r []string, i int) string {
	if i < 0 || i >= len(r) {
		return ""
	}
	return r[i]
}

func first(cases [][]string) []string {
	if len(cases) == 0 {
		return nil
	}
	return cases[0]
}

// oldRow is the old row of the same case; if there is only one row on both sides, that one.
func oldRow(cases [][]string, caseAt int, r *Row, n int) []string {
	if len(cases) == 1 && n == 1 {
		return cases[0]
	}
	i := slices.IndexFunc(cases, func(old []string) bool { return strings.EqualFold(at(old, caseAt), r.Cells["case"]) })
	if i < 0 {
		return nil
	}
	return cases[i]
}

// outColumns returns the columns of the new file: those of the old file with their headings and units,
// then those that the study adds, in the order of the table of columns.
func (s *Study) outColumns(before *site.Table, out *Locations) []outColumn {
	var all []outColumn
	for i, c := range before.Columns {
		o := outColumn{c.Heading, c.Column, c.Unit, i}
		if c.Column == nil && c.Heading == "" {
			continue
		}
		all = append(all, o)
		if c.Column == nil || c.Name == "source" || s.gives(c.Name) {
			continue
		}
		if restated(c.Name) {
			out.Emptied = append(out.Emptied, c.Heading)
		} else {
			out.Kept = append(out.Kept, c.Heading)
		}
	}
	for i := range assess.Columns {
		c := &assess.Columns[i]
		if place(before, c.Name) >= 0 || c.Noted || !s.gives(c.Name) && c.Name != "source" {
			continue
		}
		o := outColumn{c.Spellings()[0], c, site.NamedUnit{Of: 1}, -1}
		if m := s.meaning(c.Name); c.Kind == assess.Quantity {
			suffix := c.Units[0].Suffix
			if m != nil && !m.Unit.Own && !m.Unit.FeetInches {
				suffix = m.Unit.Suffix
			}
			k := slices.IndexFunc(c.Units, func(u assess.Unit) bool { return u.Suffix == suffix })
			o.heading, o.unit.Suffix = c.Spellings()[k], suffix
		}
		all = append(all, o)
	}
	return all
}

// meaning is what in a study means a column; nil for nothing.
func (s *Study) meaning(name string) *Meaning {
	for i := range s.Columns {
		for k := range s.Columns[i].Means {
			if m := &s.Columns[i].Means[k]; m.Name == name {
				return m
			}
		}
	}
	return nil
}

// gives reports whether a study has a column: from a heading, from other columns, or given by the
// person.
func (s *Study) gives(name string) bool {
	if s.meaning(name) != nil {
		return true
	}
	return slices.ContainsFunc(s.Rows, func(r Row) bool { return r.Cells[name] != "" })
}

// line is a row of the study as a row of the file. What the study does not have is kept from the old
// rows: old, of the same case, and same, of any case, for values that are equal in all of them.
func (s *Study) line(columns []outColumn, before *site.Table, r *Row, old, same []string, file string) []string {
	cells := make([]string, len(columns))
	for i, c := range columns {
		switch {
		case c.col == nil:
			cells[i] = at(orElse(old, same), c.old)
		case c.col.Name == "source":
			cells[i] = clean(assess.Source{File: file, Sheet: traceable(s.Sheet), Row: r.Number}.String())
		case s.gives(c.col.Name):
			cells[i] = s.inUnit(&c, r.Cells[c.col.Name])
		case restated(c.col.Name):
		case c.col.PerCase:
			cells[i] = oldCell(before, &c, old)
		default:
			cells[i] = oldCell(before, &c, orElse(old, same))
		}
	}
	return cells
}

// traceable is the name of a sheet for the column source: a character that a label's font may lack
// becomes an underscore, since the reader of locations.csv refuses it.
func traceable(sheet string) string {
	return clean(strings.Map(func(r rune) rune {
		if r > unicode.MaxLatin1 || !unicode.IsPrint(r) {
			return '_'
		}
		return r
	}, sheet))
}

func orElse(a, b []string) []string {
	if a != nil {
		return a
	}
	return b
}

// inUnit is a cell of the study in a column of the file: with its own unit if the column has another.
func (s *Study) inUnit(c *outColumn, cell string) string {
	m := s.meaning(c.col.Name)
	if m == nil || c.col.Kind != assess.Quantity || cell == "" || strings.HasPrefix(cell, "?") ||
		m.Unit.Suffix == c.unit.Suffix || carriesUnit(c.col, cell) {
		return cell
	}
	return cell + " " + m.Unit.NamedUnit.Symbol()
}

// stays is a row that the study does not have, unchanged except for the way in which numbers are
// written.
func (s *Study) stays(columns []outColumn, before *site.Table, old []string) []string {
	cells := make([]string, len(columns))
	for i := range columns {
		if columns[i].old >= 0 {
			cells[i] = oldCell(before, &columns[i], old)
		}
	}
	return cells
}

// oldCell is a cell of the old file. A decimal comma becomes a point: the new file has commas between
// its cells.
func oldCell(before *site.Table, c *outColumn, old []string) string {
	text := at(old, c.old)
	if text == "" || c.col == nil || c.col.Kind != assess.Quantity || !strings.ContainsAny(text, ",.") {
		return text
	}
	mark, number := "", text
	if c.col.Name == "energy" {
		mark, number = site.SplitBound(text)
	}
	want, ok := before.Numbers.Value(c.col, c.unit, number, 60)
	plain := strings.ReplaceAll(number, ",", ".")
	got, same := plainNumbers.Value(c.col, c.unit, plain, 60)
	switch {
	case ok && same && assess.Same(got, want):
		return mark + plain
	case !ok && !same:
		return text
	}
	return unread(text)
}
