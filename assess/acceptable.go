package assess

import "fmt"

// Acceptable reports whether a named person may answer for the finding: it is
// an error that still stops the label, of a code and kind that can be accepted.
func (f *Finding) Acceptable() bool { return f.Level == Error && !f.final && f.Code.Acceptable() }

// Lateness says why an acceptance given on its date for rows of that date and
// REVIEW BY would not count on a day or never; "" where it does.
func (a *Acceptance) Lateness(in *Inputs, today Date) (part, why string) {
	study, last := in.Location.latest(), a.End(in.reviewBy())
	switch {
	case a.Date.Before(study):
		return "date", fmt.Sprintf("%s is before the study of %s: an acceptance is for rows prepared on or before its day",
			a.Date, study)
	case last.Before(a.Date):
		return "until", fmt.Sprintf("%s is before %s, the day of the acceptance", last, a.Date)
	case last.Before(today):
		return "until", fmt.Sprintf("%s has passed (today is %s)", last, today)
	}
	return "", ""
}
