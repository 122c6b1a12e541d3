package basis

import (
	"fmt"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// Sign is what a verdict comes down to: the status of a standing, or one of
// those below.
type Sign string

// What no standing says.
const (
	NotPrinted Sign = plant.NotPrinted   // nor would a print make a label
	Ready      Sign = plant.ReadyToPrint // what a print would store
	Differs    Sign = "differs"          // what the label says differs from its record
	Unknown    Sign = "unknown"          // no print in the ledger made the record
)

// Verdict is what comes first where a record is shown.
type Verdict struct {
	Sign Sign
	Word string // in capitals, and since or until when
	Rest string // what that means
}

// Verdict is that of a view. It says nothing of the day on which it was
// reached.
func (v *View) Verdict() Verdict {
	if v.Draft {
		return Verdict{Ready, "NOT PRINTED", "this is what a print would store"}
	}
	if len(v.Differences) > 0 {
		return Verdict{Differs, "DIFFERS from its record", "do not rely on a label that says this"}
	}
	if v.Unknown {
		return Verdict{Unknown, "NOT IN THE LEDGER",
			"no print of this site made this record; do not rely on a label that bears its code"}
	}
	if v.NewerCode != "" {
		return Verdict{Sign(standing.Replaced), "REPLACED by " + string(v.NewerCode), "take this label off"}
	}
	s := &v.Standing
	sign := Sign(s.Status)
	switch s.Status {
	case standing.Holds:
		return Verdict{sign, "HOLDS until " + s.Until.String(), s.NoChange()}
	case standing.FallsDue:
		return Verdict{sign, "FALLS DUE", fmt.Sprintf("the study is to be reviewed by %s; %s", s.ReviewBy, s.NoChange())}
	}
	word := strings.ToUpper(string(s.Status))
	if worst := s.Worst(); !worst.Found {
		word += " since " + worst.Since.String()
	}
	if s.TooLow {
		return Verdict{sign, standing.Cover, word + ", and more energy is possible than it says; do not rely on this label"}
	}
	return Verdict{sign, word, "do not rely on this label"}
}

// String is the verdict in one sentence.
func (v Verdict) String() string { return v.Word + ": " + v.Rest + "." }

// verdictLine is the verdict with its day, where it is known.
func (v *View) verdictLine() string {
	if v.Today.IsZero() {
		return v.Verdict().String()
	}
	return fmt.Sprintf("%s Checked %s.", v.Verdict(), v.Today)
}
