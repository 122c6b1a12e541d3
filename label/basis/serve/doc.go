// Package serve shows the pages of a site live: the same pages as in published
// files, judged again when the folder or the day changes, and forms.
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
//	people.go     the same where people sign in, each with a role
//	signin.go     signing in and out; session.go
//	front.go      a server in front that signs people in
//	private.go    what may be read without signing in
//	tries.go      tries of a secret, one after another; slow.go: of one name
//	forms.go      the forms, and what a person filled in
//	about.go      forms about one label
//	printing.go   one label printed: again, interim, its overlay
//	sheets.go     all labels that are due, shown before they are printed
//	refused.go    what a print leaves out, and how it is counted
//	equipment.go  what was mounted, removed, withdrawn
//	seen.go       what somebody found on the equipment
//	ticks.go      the same, as a phone sends it on a round
//	entry.go      an entry of the log, shown before it is saved
//	moved.go      what it does to the labels; later.go: what a change to come would do
//	change.go     a change of the power system
//	settle.go     settling a change, reviewing a study
//	accept.go     a finding that a named person accepts
//	audit.go      an audit, its report, the archive
//	compare.go    a label next to the one that it replaced
//	plant.go      the plant
//	done.go       what came of a form, and what is next
//	next.go       what there is to do next; remedies in the words of the pages
//	urgent.go     what must be covered, listed first; what was entered, repeated
//	ids.go        ids as a person types them, in whatever capitals
//	listen.go     limits of time and size, and an orderly end
package serve
