// Package basis shows a stored calculation to a person: what the label says,
// and where each printed number comes from.
//
//	items.go    each printed number with its source
//	source.go   where its rows came from: file, sheet, row
//	facts.go    a scanned label compared with its record
//	shelf.go    the records of a site in order, and the view of one
//	find.go     the record that a person names
//	known.go    what the site says of a record, with nothing computed
//	view.go     a record with its standing and its prints
//	verdict.go  what comes first wherever a record is shown
//	changes.go  what the log of changes says about its location
//	open.go     changes that are open, and what they put in question
//	planned.go  changes to come; cover.go: labels to be covered
//	noted.go    findings that it was printed with; accepted.go: those that somebody accepted
//	policy.go   the owner's decisions behind it; maintenance.go, rounded.go: of single numbers
//	text.go     as text
//	json.go     for a program
package basis
