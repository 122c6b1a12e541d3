package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
)

// Kind is what a line of the ledger says.
type Kind string

const (
	Print   Kind = "print"   // labels are about to be printed
	Reprint Kind = "reprint" // one is about to be printed again
	Done    Kind = "done"    // what the line named in Of announced was carried out
	Failed  Kind = "failed"  // what the line named in Of announced could not be written
	// The next writer found that a crash interrupted a print. Of its labels it names those
	// whose records are stored: these may exist.
	Unfinished Kind = "unfinished"

	Entered  Kind = "entry"    // an entry is about to be added to changes.toml
	Accepted Kind = "accepted" // an acceptance is about to be added to site.toml

	// These announce nothing.
	Withdrawn Kind = "withdrawn" // a label was withdrawn
	Mounted   Kind = "mounted"   // labels were mounted on the equipment, or overlays over them
	Removed   Kind = "removed"   // labels, or overlays, were removed from the equipment
	Settled   Kind = "settled"   // a change was settled in changes.toml, as older versions noted it
	Noted     Kind = "noted"     // somebody noted an entry that was in changes.toml
	Seen      Kind = "seen"      // somebody looked what is on the equipment
	Signed    Kind = "signed"    // somebody signed a record, or the chain up to a line
	Intake    Kind = "intake"    // a study file was taken into the folder
	Torn      Kind = "torn"      // the ledger ended in half a line, which was moved into a file
)

// Prints reports whether lines of the kind are about labels that were printed.
func (k Kind) Prints() bool { return k == Print || k == Reprint }

// announces reports whether lines of the kind say what is about to be done.
func (k Kind) announces() bool { return k.Prints() || k.edits() }

// edits reports whether lines of the kind announce a new text of one of the owner's files.
func (k Kind) edits() bool { return k == Entered || k == Accepted }

// lineSchema is the format of the lines.
const lineSchema = 1

// Line is one line of ledger.jsonl: a JSON object without blanks. It contains the
// hash of the line before it, and its own hash is the SHA-256 of its text up to but
// not including `,"hash":`. The first line's Prev is 64 zeros.
//
//	{"schema":1,"kind":"print","date":"2026-05-01","labels":[{"id":"MCC-4","record":"1b2c…","copy":1,"gist":"5d04…","up":["SWB-1"]}],
//	 "stock":"4x4","count":1,"by":"…","tool":"…","prev":"0000…","hash":"9d0e…"}
//	{"schema":1,"kind":"done","date":"2026-05-01","of":"9d0e…","prev":"9d0e…","hash":"77ab…"}
type Line struct {
	Schema int         `json:"schema"`
	Kind   Kind        `json:"kind"`
	Date   assess.Date `json:"date"`
	Thing  string      `json:"thing,omitempty"` // what it is about if not a label: "fault", "overlay"
	Labels []Printed   `json:"labels,omitempty"`
	Stock  string      `json:"stock,omitempty"`
	Count  int         `json:"count,omitempty"`
	Reason string      `json:"reason,omitempty"`
	// Interim is why some of the labels were printed although they do not hold, with
	// the strip that says so.
	Interim string `json:"interim,omitempty"`
	By      string `json:"by,omitempty"`
	Role    Role   `json:"role,omitempty"` // of By, who signed in; "" where the name was typed
	Tool    string `json:"tool,omitempty"` // version of the program
	Of      string `json:"of,omitempty"`   // hash of the line that it ends, or that it signs
	// Applied is the day on which labels were mounted, removed or seen, or that somebody has signed.
	Applied assess.Date `json:"applied,omitzero"`
	// Change is the change that was settled. Text is the SHA-256 of that settlement, or the
	// sum of an entry of changes.toml.
	Change string `json:"change,omitempty"`
	Text   string `json:"text,omitempty"`
	// Signature is a signed note (golang.org/x/mod/sumdb/note) without its
	// text, which follows from what is signed.
	Signature string `json:"signature,omitempty"`
	// Study is the study file that was taken in, Before the locations.csv that it
	// replaced: both as studies/ keeps them. Before is nil where there was none, or
	// where it was already the one made from the study. Locations is the SHA-256 of
	// the one made from the study.
	Study     *Stored `json:"study,omitempty"`
	Before    *Stored `json:"before,omitempty"`
	Locations string  `json:"locations,omitempty"`
	// Torn is the file into which half a line was moved, see [TornFile].
	Torn *Stored `json:"torn,omitempty"`
	// Log is an entry of changes.toml.
	Log *Logged `json:"log,omitempty"`
	// Accept is an acceptance in site.toml.
	Accept *Acceptance `json:"accept,omitempty"`
	Prev   string      `json:"prev"`
	Hash   string      `json:"hash"`
}

// LineName names a line by its number, from 1, for a message.
func LineName(number int) string { return fmt.Sprintf("%s:%d", LedgerFile, number) }

// Printed is a label of a print: the location, the record behind the label, and
// which copy of the same label it is, from 1.
type Printed struct {
	ID     string `json:"id"`
	Record string `json:"record"`
	Copy   int    `json:"copy,omitempty"`  // from 1; 0 where nothing was printed
	Strip  bool   `json:"strip,omitempty"` // it has an INTERIM strip
	Sight  *Sight `json:"sight,omitempty"` // what was found on the equipment instead of it, or it
	Gist   Gist   `json:"gist,omitempty"`  // of the record of a label
	Joins         // of the record of a label
}

// firstPrev is the Prev of the first line.
var firstPrev = strings.Repeat("0", 2*sha256.Size)

// seal links the line to the one before it and returns its bytes, newline included.
func (l *Line) seal(prev string) ([]byte, error) {
	l.Schema, l.Prev, l.Hash = lineSchema, prev, ""
	b, err := encode(l, "")
	if err != nil {
		return nil, err
	}
	body := bytes.TrimSuffix(b, ending(""))
	l.Hash = hash(body)
	return append(body, ending(l.Hash)...), nil
}

// ending is the end of a line: its hash, which is the hash of the text before it.
func ending(hash string) []byte { return []byte(`,"hash":"` + hash + `"}` + "\n") }

func hash(body []byte) string {
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:])
}

// errNotNext says that a line is complete but does not follow the one before it.
var errNotNext = errors.New("the line does not follow the one before it")

// parseLine reads one line, newline included, that must follow prev. It encodes the
// line again, and so finds unknown keys, duplicates and other spellings.
func parseLine(text []byte, prev string) (Line, error) {
	var l Line
	if len(text) > MostLine {
		return Line{}, fmt.Errorf("%w: a line of more than %s", ErrDamaged, infile.Size(MostLine))
	}
	if len(text) < leastLabels || !l.readLong(text) {
		l = Line{}
		if err := l.read(text); err != nil {
			return Line{}, err
		}
	}
	if err := l.follows(text, prev); err != nil {
		return Line{}, err
	}
	return l, nil
}

// follows reports whether the text of a line is what its hash says, and comes after prev.
func (l *Line) follows(text []byte, prev string) error {
	body, ends := bytes.CutSuffix(text, ending(l.Hash))
	switch {
	case !ends || hash(body) != l.Hash:
		return fmt.Errorf("%w: the line is not what its hash says", ErrDamaged)
	case l.Prev != prev:
		return fmt.Errorf("%w: %w", ErrDamaged, errNotNext)
	}
	return nil
}

// read reads the text of a line, which must be that of its encoding.
func (l *Line) read(text []byte) error {
	if hollow(text) {
		return fmt.Errorf("%w: not a line of a ledger", ErrDamaged)
	}
	if err := json.Unmarshal(text, l); err != nil {
		return fmt.Errorf("%w: not a line of a ledger", ErrDamaged)
	}
	if l.Schema != lineSchema {
		return fmt.Errorf("%w: schema %d, this version reads schema %d", ErrDamaged, l.Schema, lineSchema)
	}
	again, err := encode(l, "")
	if err != nil {
		return err
	}
	if !bytes.Equal(again, text) {
		return fmt.Errorf("%w: the line is not what its hash says", ErrDamaged)
	}
	return nil
}

// hollow reports whether the list of labels in a line has an item that is shorter than any label:
// a list of nothings, three bytes each, would ask for much more memory than it has. A line has no
// other list.
func hollow(text []byte) bool {
	depth, start := 0, 0
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '"':
			for i++; i < len(text) && text[i] != '"'; i++ {
				if text[i] == '\\' {
					i++
				}
			}
		case '{', '[':
			if depth++; depth == 2 {
				start = i + 1
			}
		case '}', ']', ',':
			if depth == 2 && text[i] != '}' && text[start-1] != '{' { // in a list of the line itself
				if i-start < len(`{"id":"","record":""}`) {
					return true
				}
				start = i + 1
			}
			if text[i] != ',' {
				depth--
			}
		}
	}
	return false
}

// Unprintable is the first text of a line with invisible characters (control
// characters, line ends, direction marks); "" if there is none.
func (l *Line) Unprintable() string {
	bad := ""
	look := func(texts ...string) {
		for _, t := range texts {
			if _, found := unprintable(t); found && bad == "" {
				bad = t
			}
		}
	}
	look(l.Thing, l.Stock, l.Reason, l.Interim, l.By, string(l.Role), l.Tool, l.Change)
	for i := range l.Labels {
		p := &l.Labels[i]
		look(p.ID, p.Record, string(p.Gist))
		look(p.Up...)
		look(p.Ties...)
		if p.Sight != nil {
			look(string(p.Sight.Found), p.Sight.There, p.Sight.Text, p.Sight.Tick)
		}
	}
	for _, s := range []*Stored{l.Study, l.Before, l.Torn} {
		if s != nil {
			look(s.File, s.SHA256)
		}
	}
	if l.Log != nil {
		look(l.Log.texts()...)
	}
	if a := l.Accept; a != nil {
		look(a.At, string(a.Finding), a.Reason, a.Numbers)
	}
	look(l.Locations)
	return bad
}
