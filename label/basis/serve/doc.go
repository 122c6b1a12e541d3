// Package serve shows the pages of a site live: the same pages as files would
// hold, judged anew when the folder or the day changes, and two forms.
//
//	serve.go      what a server is handed, and what it shows of labels
//	route.go      which address shows what
//	snapshot.go   the site as it was read last, and when it is read anew
//	stored.go     rendered pages, kept compressed
//	send.go       answers: headers, compression, conditional requests
//	guard.go      what is refused before anything is looked up
//	ticket.go     forms that may be sent back once
//	passphrase.go who may write where others can reach the server
//	reprint.go    one label again
//	change.go     a change of the power system, shown before it is saved
//	listen.go     limits of time and size, and an end without broken answers
package serve
