// Package basis shows a stored calculation to a person: what the label says,
// and where each printed number comes from.
//
//	items.go   each printed number with its source
//	facts.go   what a scanned label says, held against the record
//	view.go    a record with its standing and its prints
//	text.go    as text
//	json.go    for a program
package basis
