package assess

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
)

// The tables of changes.toml.
const (
	ChangeEntry     = "change"
	SettlementEntry = "settlement"
	ReviewEntry     = "review"
)

// Entry is an entry of changes.toml as its text has it, apart from spaces, comments and the
// order of the keys.
type Entry struct {
	Table string // one of the above
	// Name is that of a change, of the change that a settlement is about, or the day of a review.
	Name   string
	Values map[string]any // by key: texts, numbers (float64), lists and tables of these; dates in ISO form
	Line   int            // of changes.toml; 0 where the entry does not come from there
	// Sum is the SHA-256 of the entry in hexadecimal, by which the ledger knows it: of its
	// table, a blank, its name, a line end, its values as JSON without blanks and with sorted
	// keys, and a line end. As the name is in it, no entry can take the place of another.
	Sum string
}

// NewEntry is an entry with its sum.
func NewEntry(table, name string, values map[string]any, line int) Entry {
	e := Entry{Table: table, Name: name, Values: values, Line: line}
	var b bytes.Buffer
	b.WriteString(table + " " + name + "\n")
	to := json.NewEncoder(&b)
	to.SetEscapeHTML(false)
	if to.Encode(values) != nil {
		return e // it has something else among its values; no line has an empty sum
	}
	sum := sha256.Sum256(b.Bytes())
	e.Sum = hex.EncodeToString(sum[:])
	return e
}

// Mark is the beginning of the sum, with which a person names the entry.
func (e *Entry) Mark() string { return e.Sum[:min(len(e.Sum), 8)] }

// Relieves reports whether the entry makes labels hold that would not hold without it. Any
// other entry only puts labels in question.
func (e *Entry) Relieves() bool {
	return e.Table == SettlementEntry || e.Table == ReviewEntry && e.Values["finding"] == string(FoundRight)
}

// Words name the entry.
func (e *Entry) Words() string {
	switch e.Table {
	case SettlementEntry:
		return "the settlement of " + e.Name
	case ReviewEntry:
		return "the review of " + e.Name
	}
	return "the change " + e.Name
}
