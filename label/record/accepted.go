package record

import (
	"reflect"

	"vouchmark/assess"
)

// Acceptance is an acceptance in site.toml, as a line of the ledger has it: By takes responsibility for a
// finding. So one that was altered or removed since is known.
type Acceptance struct {
	At      string      `json:"at"` // the location
	Finding assess.Code `json:"finding"`
	Date    assess.Date `json:"date"`
	Until   assess.Date `json:"until,omitzero"` // the last day on which it counts; zero for REVIEW BY
	Reason  string      `json:"reason"`
	Numbers string      `json:"numbers,omitempty"` // see [assess.Acceptance]
	// Was and Is are the SHA-256 of site.toml before and after a command adds it.
	Was string `json:"was"`
	Is  string `json:"is"`
}

// NewAcceptance is a line about an acceptance of a single location.
func NewAcceptance(a *assess.Acceptance) Line {
	return Line{Kind: Accepted, By: a.By, Accept: &Acceptance{At: a.At[0], Finding: a.Finding, Date: a.Date, Until: a.Until,
		Reason: a.Reason, Numbers: a.Numbers}}
}

// accepts reports whether a line is about an acceptance and says nothing else.
func (l *Line) accepts() bool {
	only := Line{Schema: l.Schema, Kind: l.Kind, Date: l.Date, By: l.By, Role: l.Role, Tool: l.Tool, Accept: l.Accept, Prev: l.Prev, Hash: l.Hash}
	a := l.Accept
	return a != nil && reflect.DeepEqual(*l, only) && l.By != "" && a.At != "" && a.Reason != "" && !a.Date.IsZero() &&
		a.Finding.Info() != nil && isSHA256(a.Was) && isSHA256(a.Is)
}

// AcceptedNote is what the ledger says of an acceptance.
type AcceptedNote struct {
	*Acceptance
	By     string
	Role   Role
	Number int // of the line, from 1
	Ended  End
}

// Is reports whether the note is of an acceptance of site.toml at a location.
func (n *AcceptedNote) Is(a *assess.Acceptance, at string) bool {
	return n.At == at && n.Finding == a.Finding && n.By == a.By && n.Date == a.Date && n.Until == a.Until && n.Reason == a.Reason &&
		n.Numbers == a.Numbers
}

// OfRecord reports whether the note may be of an acceptance in the record of a label of that location, which
// does not keep for which numbers it was.
func (n *AcceptedNote) OfRecord(a *assess.Acceptance) bool {
	return n.Finding == a.Finding && n.By == a.By && n.Date == a.Date && n.Reason == a.Reason
}

// Accepted are what the lines say about acceptances, in their order.
func (l *Ledger) Accepted() (all []AcceptedNote) {
	open := map[string]int{} // by hash
	for i := range l.Lines {
		switch line := &l.Lines[i]; line.Kind {
		case Accepted:
			if line.accepts() {
				open[line.Hash] = len(all)
				all = append(all, AcceptedNote{line.Accept, line.By, line.Role, i + 1, End{}})
			}
		case Done, Failed, Unfinished:
			if k, ok := open[line.Of]; ok {
				delete(open, line.Of)
				all[k].Ended = End{line.Kind == Done, line.Kind == Failed, line.Kind == Unfinished}
			}
		}
	}
	return all
}
