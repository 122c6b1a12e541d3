// Package report shows assessments and standings to a person or a program.
//
//	json.go      the contract of check --json
//	check.go     check of all locations or some; check_csv.go
//	table.go     a line for each location; valid.go, findings.go, reasons.go, headroom.go
//	brief.go     what there is to say about many locations; suggest.go
//	tally.go     how many labels are in which state
//	computed.go  a recomputed result and its steps; case.go, one without a site
//	due.go       what is to be done, and by when; csv.go and calendar.go
//	story.go     the history of a location
//	groups.go    lists by a key
//	grid.go      tables that fit a terminal; wrap.go, width.go
//	suppose.go   what a change would do to the labels; suppose_json.go for a program
//	restudy.go   what a new study changes; restudy_words.go, restudy_csv.go, restudy_json.go for a program
//	tree.go      the feeds as a tree; tree_order.go, tree_branch.go, tree_text.go
//	problems.go  bad input
package report
