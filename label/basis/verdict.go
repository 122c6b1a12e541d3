package basis

import (
	"fmt"

	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/report"
)

// Sign is what a verdict comes down to: the status of a standing, or one of
// those below. Each has a shape and a color of its own.
type Sign string

// What is not a standing.
const (
	NotPrinted Sign = plant.NotPrinted   // and a print would not make a label
	Ready      Sign = plant.ReadyToPrint // what a print would store
	Cover      Sign = "cover"            // in question, and printed too low
	Differs    Sign = "differs"          // the label differs from its record
	Unknown    Sign = "unknown"          // no print in the ledger made the record
)

// SignOf is the sign of a standing.
func SignOf(s *standing.Standing) Sign {
	if s.TooLow {
		return Cover
	}
	return Sign(s.Status)
}

// Verdict is what comes first wherever a record is shown.
type Verdict struct {
	Sign Sign
	Word string // in capitals, and since or until when
	Rest string // what that means
}

// Told is what a page has to know of a label besides its record.
func (v *View) Told() label.Told {
	return label.Told{Standing: &v.Standing, Differs: len(v.Differences) > 0, Unknown: v.Unknown,
		Newer: string(v.NewerCode), Ask: v.Ask, Strays: v.Strays, Cover: v.Cover}
}

// Verdict is the verdict of a view, in English. It never names the day on which
// it was reached: a page must stay the same bytes until its label's standing
// changes.
func (v *View) Verdict() Verdict {
	if v.Draft {
		return Verdict{Ready, "NOT PRINTED", "this is what a print would store"}
	}
	is := Verdict{Word: label.EnglishVerdict(v.Told())}
	s := &v.Standing
	switch {
	case len(v.Differences) > 0:
		is.Sign, is.Rest = Differs, "do not use this label; report it"
	case v.Unknown:
		is.Sign, is.Rest = Unknown, "no print in the ledger made this record; do not rely on a label with its code"
	case v.NewerCode != "":
		is.Sign, is.Rest = Sign(standing.Replaced), "remove this label"
	case s.Status == standing.Holds:
		is.Sign, is.Rest = Sign(s.Status), noChange(s)
	case s.Status == standing.FallsDue:
		is.Sign, is.Rest = Sign(s.Status), fmt.Sprintf("the study must be reviewed by %s; %s", s.ReviewBy, noChange(s))
	case s.TooLow:
		is.Sign, is.Rest = Cover, "more energy is possible than this label shows; cover it"
	default:
		is.Sign, is.Rest = Sign(s.Status), "do not use this label"
	}
	return is
}

// noChange is what a good standing says of changes. It never says that nothing
// was changed: only what was logged is known.
func noChange(s *standing.Standing) string {
	const logged = "since the survey; unlogged changes are not known"
	switch {
	case s.Unfed && s.Settled > 0:
		return fmt.Sprintf("%s; %d logged here and settled", standing.DatesOnly, s.Settled)
	case s.Unfed:
		return standing.DatesOnly
	case s.Settled > 0:
		return fmt.Sprintf("%s logged and settled, no other change logged %s", report.Plural(s.Settled, "change"), logged)
	}
	return "no change logged " + logged
}

// String is the verdict in one sentence.
func (v Verdict) String() string { return v.Word + ": " + v.Rest + "." }

// verdictLine is the verdict with its day, where that is known.
func (v *View) verdictLine() string {
	if v.Today.IsZero() {
		return v.Verdict().String()
	}
	return fmt.Sprintf("%s Checked %s.", v.Verdict(), v.Today)
}
