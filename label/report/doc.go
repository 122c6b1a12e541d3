// Package report shows assessments and standings to a person or a program.
//
//	json.go      the contract of check --json
//	check.go     check of all locations or some; check_csv.go
//	table.go     a line for each location; valid.go, findings.go, reasons.go, headroom.go
//	brief.go     what there is to say about many locations; suggest.go
//	tally.go     how many labels are in which state
//	computed.go  a recomputed result and its steps; case.go, one without a site
//	due.go       what is to be done, and by when; due_devices.go, csv.go and calendar.go
//	seen.go      what somebody found on the equipment; round.go: the last round
//	tasks.go     what to do on the equipment, in words
//	story.go     the history of a location; story_order.go
//	groups.go    lists by a key; fewer.go: no longer than a person reads
//	grid.go      tables that fit a terminal; columns.go, wrap.go, width.go
//	summary.go   what an overview of many plants shows of one; settings.go: its policy, to compare
//	names.go     ids and codes as short numbers, to find them in many plants
//	suppose.go   what a change would do to the labels; suppose_json.go for a program
//	restudy.go   what a new study changes; restudy_words.go, restudy_csv.go, restudy_json.go for a program
//	tree.go      the feeds as a tree; tree_order.go, tree_branch.go, tree_net.go, tree_below.go, tree_text.go
//	intake.go    a study's file as it was read; intake_json.go for a program
//	maintenance.go what holds only with the maintenance switch on
//	problems.go  bad input
package report
