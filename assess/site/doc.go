// Package site reads a site folder: the owner's policy in site.toml and the
// study results in locations.csv. What it returns is valid; what cannot be
// true on its own is reported, all of it at once, with file, line and column.
//
//	read.go      the folder, and a file of texts
//	toml.go      keys of a TOML file with their lines; nothing unread is passed over
//	policy.go    site.toml; with ladder.go, stock.go and feeder.go for its tables
//	table.go     a CSV file: encoding, delimiter, headings, cells
//	columns.go   the columns of locations.csv and their units
//	number.go    a number as spreadsheets write it
//	locations.go locations.csv: rows become locations and cases
//	curves.go    curves/NAME.csv: clearing curves that the owner digitised
//	changes.go   changes.toml; append.go adds to it
//	text.go      what may stand in a text
//	starter.go   the folder that init writes
package site
