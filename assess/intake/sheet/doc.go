// Package sheet reads a study's file as it was handed over, a workbook (.xlsx)
// or a text file in any usual encoding and with any usual delimiter, into a grid
// of cells. It gives no meaning to any of them.
package sheet
