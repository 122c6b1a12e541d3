package sheet

import (
	"fmt"

	"vouchmark/assess/infile"
)

// limits keep a file that is not a study from taking all memory. They lie far
// above what a plant needs.
type limits struct {
	file     int // bytes
	unzipped int // bytes of all parts of a workbook that are read
	markup   int // bytes of a workbook without the beginning of a tag
	rows     int // as a spreadsheet counts
	columns  int // likewise
	chars    int // in a cell
	cells    int // of all sheets together, empty ones in front of filled ones too
	strings  int // shared by the cells of a workbook
	styles   int // of cells, and number formats
	merges   int // of a sheet
	problems int // how many are reported
}

// standard are the limits of Read: of a sheet those of spreadsheet programs.
var standard = limits{
	file:     64 * mebibyte,
	unzipped: 256 * mebibyte,
	markup:   mebibyte,
	rows:     1048576,
	columns:  16384,
	chars:    32767,
	cells:    4194304,
	strings:  2097152,
	styles:   65536,
	merges:   65536,
	problems: 50,
}

// Limits are those of a study's file.
func Limits() []infile.Limit {
	size, count, l := infile.Size, infile.Count, standard
	return []infile.Limit{
		{What: "a study's file", Most: size(int64(l.file))},
		{What: "a sheet of it", Most: count(l.rows, "rows") + ", " + count(l.columns, "columns") + ", " + count(l.chars, "characters") + " a cell, " +
			count(l.cells, "cells") + " of all sheets"},
		{What: "a workbook, unpacked", Most: size(int64(l.unzipped)) + ", " + count(deepest, "levels") + " of elements"},
	}
}

const mebibyte = 1 << 20

// mebibytes is a number of bytes in a message.
func mebibytes(n int) string {
	if n < mebibyte {
		return plural(n, "byte", "bytes")
	}
	return fmt.Sprintf("%d MiB", n/mebibyte)
}
