// Package intake reads a study's file as received: it finds the row of headings, the meaning and
// unit of each heading, and the rows of locations, and makes a locations.csv of them. It is pure;
// it asks about everything that is not certain.
//
//	sheet/        the file as a grid of cells
//	intake.go     the study, and the order in which it is read
//	choose.go     the sheet
//	heading.go    the row of headings, and a row of units below it
//	rows.go       rows that are not locations
//	words.go      headings as words; vocabulary.go: what the trade calls its columns
//	meaning.go    what a heading may mean
//	fits.go       units that numbers can have at all
//	propose.go    the meaning of each heading
//	answers.go    what a person says about it; layout.go: and said before, in intake.toml
//	read.go       rows as cells of locations.csv; cell.go: quantities and choices,
//	              dates.go: dates
//	feeds.go      cells that name other locations
//	needed.go     what is missing
//	table.go      locations.csv with the study in it: a new one, or a restudy
//	below.go      rows of units below the headings; groups.go: headings over several columns
//	totals.go     rows of totals; modes.go: operating conditions with the maintenance switch on
//	units.go      units in a heading; thousands.go: signs that separate thousands
//	decide.go     what is sure and what is asked; unread.go: columns that nobody reads
//	stated.go     what the study states and the program derives itself
package intake
