// Package site reads a site folder: the owner's policy in site.toml and the study results in
// locations.csv. What it returns is valid; everything that is wrong with the folder is reported
// at once, with file, line and column. A cell that cannot be read stops only its location.
//
//	read.go      the folder, and a file of texts
//	toml.go      keys of a TOML file with their lines; no unknown key is ignored
//	policy.go    site.toml; with ladder.go, stock.go, feeder.go, defaults.go and
//	             accept.go for its tables
//	table.go     a CSV file: encoding, delimiter, headings, cells; tablerow.go: one of its rows
//	             quotes.go: inch marks in it; ahead.go: one that is read next to other files
//	columns.go   the columns of locations.csv and their units; headingunit.go: the
//	             unit that an owner's heading names
//	cell.go      a cell: its value, or why its location stops
//	number.go    a number as spreadsheets write it; units.go: with a unit of its own
//	dates.go     the forms of dates
//	locations.go locations.csv: rows become locations and cases
//	seen.go      what the rows so far say of a location; stream.go: a large file line by line
//	onecase.go   one case from flags, for the command arc
//	foreign.go   cells of a study's file, by the same rules
//	former.go    ids that locations.csv no longer has
//	with.go      a folder in which one file is another; texttables.go: tables of texts alone
//	finding.go   codes of findings as a person writes them
//	tomlscan.go  the depth of a TOML file, before the library reads it
//	relog.go     the log alone, for a site that was read
//	near.go      only the locations that decide about some labels
//	curves.go    curves/NAME.csv: clearing curves that the owner digitized
//	devices.go   devices.csv; owntable.go: the headings of both
//	changes.go   changes.toml; newvalues.go: the values it gives for single locations;
//	             entries.go: its entries by their text alone; append.go adds to it
//	text.go      which characters a text may have; limits.go: the limits of files
//	problem.go   the report: fifty problems of a kind, and how many more; collect.go
//	starter.go   the policy of the folder that init writes; start.go: making that folder
package site
