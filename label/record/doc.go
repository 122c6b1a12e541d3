// Package record keeps stored calculations and the ledger of what was
// printed from them.
//
// A record is one JSON file, records/ab/abcd….json, named by the SHA-256 of its
// own bytes: `sha256sum FILE` is the check. It holds the facts that decided a
// label and nothing else; the same facts give the same bytes on every machine.
// It is written once and never again.
//
//	{
//	  "schema": 2,          the form of this file
//	  "rules": 1,           raised only when a printed value can change
//	  "inputs": {…},        assess.Inputs: the rows of the location in the units of the
//	                        program, and of the policy what decided or stands on the label
//	  "outcome": {…}        assess.Outcome: what follows from them
//	}
//
// Numbers carry their unit in the key and are rounded to 9 significant digits.
// A key that holds nothing is left out. A reader refuses unknown keys, an
// unknown schema, and any file that does not encode to its own bytes again.
//
// The ledger, ledger.jsonl, is append-only: see [Line].
//
//	id.go       the hash of a record and its short name, the code
//	record.go   what a record holds
//	encode.go   its one encoding
//	schema1.go  the first form of records
//	same.go     whether two records show the same label
//	drift.go    what a print would store now, against what was printed
//	alone.go    whether all numbers are as before
//	upstream.go on what the studies of what a location feeds rest
//	store.go    records on disk
//	line.go     one line of the ledger
//	ledger.go   the ledger on disk
//	replay.go   what its lines mean, taken together
//	only.go     which labels of it to replay
//	history.go  the labels that were printed last
//	journal.go  a print, from intent to done; other entries
//	intake.go   a study that is taken in
//	studies.go  the files that are kept of it
//	extend.go   a longer ledger in place of the folder's
//	words.go    texts that a ledger takes
//	atomic.go   files that appear whole or not at all
//	disk.go     what they do to the disk, so that tests can make it fail
package record
