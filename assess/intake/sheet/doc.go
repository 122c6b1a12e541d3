// Package sheet reads a study's file as delivered, a workbook (.xlsx) or a text file in
// any usual encoding and with any usual delimiter, into a grid of cells. It gives no
// meaning to any of them.
//
// A cell has two values. What the spreadsheet shows (Cell.Shown) is right for a name
// such as 007, a date or a text, and wrong for a number: 40.05 with the format 0 shows
// 40. The value behind it (Cell.Raw) is right for a number and wrong for a name: 7.
// This package keeps both.
//
// # Workbooks
//
// The parts of a workbook are read as a stream of XML tokens; the file format is
// ECMA-376 part 1 (SpreadsheetML; the numbers in comments are its clauses, from
// memory). Excelize only shows numbers in their number formats: its own reader loses
// what this package must report (formulas without a stored result, types, merged cells,
// where a damaged file ends), or keeps the whole sheet in memory for it.
//
// # Text files
//
// The encoding follows from the byte-order mark; without one, a file that is valid
// UTF-8 is UTF-8, one with the zero bytes of UTF-16 is UTF-16, and anything else is
// Windows-1252. The delimiter is the one with which the rows agree best on their number
// of cells and the columns on their type. A quotation mark that may have swallowed a
// delimiter or a line is refused: what follows it would be read in a wrong column.
//
// # Cost
//
// A workbook of 20,000 rows and 30 columns that LibreOffice made (4 MiB, 28 MiB
// unpacked), on two cores with other work: 1.6 s, and 97 MiB of memory at the peak of
// the whole process. With number formats on 12 of the columns the peak is 140 MiB. That
// case was measured only under heavy load: 4.4 s of processor time, compared with 2.1 s
// for the first, and reading it twice by Excelize, raw and formatted, 10 s.
// BenchmarkWorkbook makes such a workbook.
package sheet
