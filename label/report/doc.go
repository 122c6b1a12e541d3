// Package report shows assessments and standings to a person or a program.
//
//	json.go      the contract of check --json
//	table.go     the table on a terminal; reasons.go, headroom.go
//	computed.go  a recomputed result and its steps; case.go, one without a site
//	due.go       what is to be done, and by when; csv.go and calendar.go
//	story.go     the history of a location
//	groups.go    lists by a key, and aligned columns
//	wrap.go      text in lines
//	suppose.go   what a change would do to the labels; suppose_json.go for a program
//	restudy.go   what a new study changes; restudy_words.go, restudy_csv.go, restudy_json.go for a program
//	tree.go      the feeds as a tree; tree_order.go, tree_branch.go, tree_text.go
//	problems.go  bad input
package report
