// Package mirror keeps a second copy of a site's ledger, of its records and of the other files that the
// ledger names in a bucket, where files are only added, and compares both. Who holds that bucket needs no
// chain head that somebody wrote down.
//
//	mirror.json             what this is, and its format
//	records/ab/abcd….json   a record, as the site folder has it
//	studies/NAME            a file of studies/
//	torn/ledger.torn-…      half a line that a writer moved aside
//	lines/0000000017        line 17 of the ledger, with its end
//	heads/9999999982        the hash of line 17: everything up to it is there. The number is 9,999,999,999 - 17,
//	                        so that the newest comes first in a list
//
// Each is written on the condition that there is none yet, in this order: the files that some lines name, the
// lines one after the other, a head. So lines/ is at all times the beginning of one chain, and a ledger that
// has another line at a number is told apart at that line.
//
//	mirror.go   the keys, and a head
//	setting.go  mirror.toml
//	named.go    the files that lines name
//	send.go     what the mirror does not have yet
//	again.go    what it lost
//	fork.go     where it and the ledger part
//	compare.go  all of it, compared; lines.go, files.go
//	check.go    one file of it
package mirror

import (
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"vouchmark/assess/infile"
	"vouchmark/label/record"
)

// The parts of a mirror.
const (
	formatKey = "mirror.json"
	lines     = "lines/"
	heads     = "heads/"
	torn      = "torn/"
	records   = "records/"
	studies   = record.StudiesFolder + "/"
)

// formatText is mirror.json: the same for all mirrors, so that two writers may begin one.
const formatText = `{"schema":1,"what":"the ledger of a site folder, line by line, and the files that it names"}` + "\n"

// mostSmall is the most bytes of mirror.json and of a head.
const mostSmall = 4 * infile.KiB

// mostNumber is the highest number of a line.
const mostNumber = 9_999_999_999

func lineKey(n int) string { return fmt.Sprintf("%s%010d", lines, n) }

func headKey(n int) string { return fmt.Sprintf("%s%010d", heads, mostNumber-n) }

var number = regexp.MustCompile(`^[0-9]{10}$`)

// numberOf is the line that a key of lines/ or heads/ is about.
func numberOf(key string) (int, bool) {
	part, name, _ := strings.Cut(key, "/")
	if !number.MatchString(name) {
		return 0, false
	}
	n, err := strconv.Atoi(name)
	if part+"/" == heads {
		n = mostNumber - n
	}
	return n, err == nil && n > 0
}

// head says that a mirror is complete up to a line.
type head struct {
	Schema int    `json:"schema"`
	Line   int    `json:"line"`
	Hash   string `json:"hash"`
}

// headText is a head as it is stored: the same whoever sends it.
func headText(n int, hash string) []byte {
	text, err := json.Marshal(head{1, n, hash})
	if err != nil {
		panic(err) // numbers and texts alone
	}
	return append(text, '\n')
}

// readHead is the hash in a head about a line.
func readHead(n int, text []byte) (string, error) {
	var h head
	if err := json.Unmarshal(text, &h); err != nil || h.Schema != 1 || h.Line != n || string(headText(n, h.Hash)) != string(text) {
		return "", fmt.Errorf("%s of the mirror is not a head of this version: it was altered, or a later version wrote it", headKey(n))
	}
	return h.Hash, nil
}

// ErrNotBegun says that an address has no mirror.
var ErrNotBegun = errors.New("there is no mirror at this address: it was removed, or the address leads elsewhere")
