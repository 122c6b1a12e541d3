package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// Read reads a study's file: at most 64 MiB, with at most 1,048,576 rows and 16,384
// columns a sheet, 32,767 characters a cell and 4,194,304 cells in all. The name is
// used only in messages: the bytes say what kind of file it is. Its error is an Error.
func Read(name string, data []byte, o Options) (*Book, error) {
	return read(name, data, o, standard)
}

func read(name string, data []byte, o Options, most limits) (*Book, error) {
	r := &reader{Options: o, limits: most, file: name, book: &Book{}}
	switch k := kindOf(data); {
	case len(data) > most.file:
		r.report("", 0, "", fmt.Sprintf("a file of %d bytes", len(data)), "at most "+mebibytes(most.file), onlySheet)
	case k.found != "":
		r.report("", 0, "", k.found, "a workbook (.xlsx) or a text file (.csv, .txt)", k.do)
	case k.workbook:
		r.readWorkbook(data)
	default:
		r.readText(data)
	}
	if len(r.problems) > 0 {
		return nil, r.told()
	}
	return r.book, nil
}

// reader reads one file, and collects what is wrong with it.
type reader struct {
	Options
	limits
	file     string
	book     *Book
	cells    []Cell // of the row that is being read
	cellsIn  int    // cells so far
	problems Error
}

func (r *reader) report(sheet string, line int, column, found, expected, do string) {
	r.problems = append(r.problems, Problem{r.file, sheet, line, column, found, expected, do})
}

func (r *reader) notef(format string, args ...any) {
	r.book.Notes = append(r.book.Notes, fmt.Sprintf(format, args...))
}

// told are the problems; if there are very many, a count replaces the last ones.
func (r *reader) told() Error {
	if n := len(r.problems) - r.limits.problems; n > 0 {
		last := Problem{File: r.file, Found: fmt.Sprintf("%d more problems", n)}
		return append(r.problems[:r.limits.problems:r.limits.problems], last)
	}
	return r.problems
}

// add puts a filled cell after those of the row that is being read, with empty ones in
// between. It is false where the file has too many cells.
func (r *reader) add(column int, c Cell) bool {
	r.cellsIn += column + 1 - len(r.cells)
	if r.cellsIn > r.limits.cells {
		return false
	}
	for len(r.cells) < column {
		r.cells = append(r.cells, Cell{})
	}
	r.cells = append(r.cells, c)
	return true
}

// rowCells is a copy of the cells of the row that was read.
func (r *reader) rowCells() []Cell {
	cells := slices.Clone(r.cells)
	r.cells = r.cells[:0]
	return cells
}

// tooMany refuses a file with more cells than the limit.
func (r *reader) tooMany(sheet string, line int) {
	r.report(sheet, line, "", fmt.Sprintf("more than %d cells", r.limits.cells), fmt.Sprintf("at most %d", r.limits.cells),
		"save the rows and columns with the results alone as a file of their own")
}

// blanks turns no-break blanks, as word processors and French numbers have them, into
// plain ones, and removes those around a text.
func blanks(s string) string { return strings.TrimSpace(noBreak.Replace(s)) }

var noBreak = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2007", " ", "\r\n", "\n", "\r", "\n")
