// Package report shows assessments and standings to a person or a program.
//
//	view.go   what check says of a site, ready to show
//	json.go   the contract of check --json
//	table.go  the table on a terminal
//	computed.go  a recomputed result and its steps
//	wrap.go      text in lines
//	suppose.go   what a change would make of the labels; suppose_json.go for a program
//	tree.go      the feeds as a tree; tree_order.go, tree_branch.go, tree_text.go
//	problems.go  bad input
package report
