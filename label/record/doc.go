// Package record keeps stored calculations and the ledger of what was
// printed from them.
//
// A record is one JSON file, records/ab/abcd….json, named by the SHA-256 of its
// own bytes: `sha256sum FILE` checks it. It contains only the facts that decided a
// label; the same facts give the same bytes on every machine. It is written once
// and never changed.
//
//	{
//	  "schema": 2,          the format of this file
//	  "rules": 1,           raised only when a printed value can change
//	  "inputs": {…},        assess.Inputs: the rows of the location in the units of the
//	                        program, and the parts of the policy that decided the label or are on it
//	  "outcome": {…}        assess.Outcome: what follows from them
//	}
//
// Numbers have their unit in the key and are rounded to 9 significant digits.
// A key without a value is left out. A reader refuses unknown keys, an unknown
// schema, and any file that does not encode to its own bytes again.
//
// The ledger, ledger.jsonl, is append-only: see [Line].
//
//	id.go       the hash of a record and its short name, the code
//	record.go   what a record contains; share.go: many of one site
//	encode.go   its one encoding
//	schema1.go  the first format of records
//	same.go     whether two records show the same label
//	drift.go    what a print would store now, compared with what was printed
//	alone.go    whether all numbers are the same as before
//	upstream.go the values on which the studies below a location are based
//	store.go    records on disk
//	gist.go     a short digest of what a label shows
//	line.go     one line of the ledger; labels.go: one about many labels
//	role.go     who said it
//	ledger.go   the ledger on disk; lastread.go: what was read last
//	replay.go   what its lines mean, taken together
//	only.go     which of its labels to replay
//	history.go  the labels that were printed last
//	joins.go    what records join their locations with
//	many.go     many records written at the same time
//	door.go     what somebody mounted or removed
//	seen.go     what somebody found on the equipment; look.go: how that is noted
//	journal.go  a print, from intent to done; other lines
//	intake.go   a study that is taken in
//	studies.go  the study files that are kept
//	mirrored.go what a mirror is made from
//	extend.go   continuing the folder's ledger with a longer one
//	words.go    texts that a ledger accepts
//	enter.go    adding an entry to changes.toml, from intent to done
//	accepted.go findings that a named person accepted, as lines note them
//	notes.go    entries of changes.toml, as lines note them
//	torn.go     half a line at the end of the ledger
//	atomic.go   files that appear complete or not at all
//	output.go   those that a person named, somewhere on the machine
//	disk.go     their disk operations, so that tests can make them fail; hidden_*.go, lock_*.go
//	limits.go   the largest files that are read
package record
