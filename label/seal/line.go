package seal

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Signature is one signature in the ledger, with its verdict.
type Signature struct {
	By      string      `json:"by"`                   // the name of the key
	Date    assess.Date `json:"date"`                 // of the ledger's line
	Signed  assess.Date `json:"signed_date,omitzero"` // the day that is signed; zero where an older version signed none
	What    string      `json:"what"`                 // "the record MCC-4 7K3M-…", or "ledger.jsonl:12"
	Verdict Verdict     `json:"verdict"`
}

// When words the day that is signed, and that of the ledger's line.
func (s Signature) When() string {
	if s.Signed.IsZero() {
		return fmt.Sprintf("noted on %s (an older version: the day itself is not signed)", s.Date)
	}
	return fmt.Sprintf("signed on %s, noted on %s", s.Signed, s.Date)
}

// OfLine verifies the signature of a line. number is the line that it signs, if it
// signs the ledger.
func OfLine(l *record.Line, number int, keys *Keyring) Signature {
	text, what := HeadText(l.Of, number, l.Applied), record.LineName(number)
	if len(l.Labels) > 1 || (len(l.Labels) == 1) == (l.Of != "") { // it signs one thing
		return Signature{By: l.By, Date: l.Date, What: "more than one thing, or nothing", Verdict: Broken}
	}
	if len(l.Labels) == 1 {
		id, err := record.ParseID(l.Labels[0].Record)
		if err != nil {
			return Signature{Date: l.Date, What: "a record", Verdict: Broken}
		}
		text, what = RecordText(id, l.Labels[0].ID, l.Applied), "the record "+l.Labels[0].ID+" "+string(id.Code())
	}
	by, verdict := Verify(text, l.Signature, keys)
	if by != l.By { // the name in the line differs from the one in the signature
		verdict = Broken
	}
	return Signature{By: by, Date: l.Date, Signed: l.Applied, What: what, Verdict: verdict}
}

// OfRecord are the signatures of a record, in the order of the ledger.
func OfRecord(n *record.Named, keys *Keyring) (all []Signature) {
	for _, e := range n.Entries {
		if e.Kind == record.Signed && len(e.Labels) == 1 {
			all = append(all, OfLine(e.Line, 0, keys))
		}
	}
	return all
}
