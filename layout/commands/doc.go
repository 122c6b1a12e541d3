// Package commands holds what each command of the program does: its flags, and
// what goes to standard output. The table of commands is in main.
//
//	run.go       a call: its command, flags and operands, and what mistyped ones may mean
//	flags.go     the flags of a command, and those that many commands have
//	help.go      help, in groups by who uses a command
//	complete.go  completion; scripts.go has the scripts of the shells
//	man.go       man
//	version.go   version
//	color.go     colors of words on a terminal
//	env.go       the world as a command sees it; output as text or JSON
//	folder.go    the site folder as commands read it, and the pages made of it
//	one.go       the same for a label that a person names
//	remedy.go    remedies as commands
//	output.go    files that no output may replace
//	terminal.go  progress, and output that cannot be written
//	check.go     init, check, basis, history
//	print.go     the one way to a print: print, reprint; overtaken.go
//	intake.go    intake; intake_page.go
//	pages.go     guide
//	walk.go      walk
//	arc.go       arc
//	suppose.go   suppose
//	due.go       due
//	tree.go      tree
//	accept.go    accept
//	change.go    change add, change settle, change review, change note
//	mounted.go   mounted, removed, withdraw
//	seen.go      seen; round.go
//	audit.go     audit; audit_page.go
//	keys.go      key new, key trust, sign
//	serve.go     serve; serve_people.go
//	person.go    person add and the others; people_file.go
//	desk.go      what the forms of serve do
//	archive.go   records export, records import
//	mirror.go    records mirror; mirror_send.go sends what a command wrote, mirror_audit.go compares
//	publish.go   publish
//	overview.go  overview, policy diff; overview_bucket.go writes into a store; places.go and places_bucket.go read the plants
package commands
