// Package serve shows the pages of a site live: the same pages as in published
// files, judged again when the folder or the day changes, and two forms.
//
//	serve.go      what a server is given, and what it shows of labels
//	route.go      which address shows what
//	path.go       pages below the path of the site's link
//	snapshot.go   the site as it was last read, and when it is read again
//	meanwhile.go  the site before, while it is read again
//	stored.go     rendered pages, stored compressed
//	send.go       answers: headers, compression, conditional requests
//	guard.go      what is refused before anything is looked up
//	ticket.go     signed tickets of forms that were shown
//	owner.go      to whom a form belongs, and from which address a request comes
//	once.go       forms that can be carried out only once
//	turns.go      how much is worked on at once
//	passphrase.go who may write where others can reach the server
//	reprint.go    one label again
//	change.go     a change of the power system, shown before it is saved
//	listen.go     limits of time and size, and an orderly end
package serve
