package assess

import (
	"cmp"
	"slices"
	"strings"
)

// How long an acceptance counts, and what follows when it no longer does.

// End is the last day on which an acceptance counts: its own, else REVIEW BY.
func (a *Acceptance) End(reviewBy Date) Date {
	if a.Until.IsZero() {
		return reviewBy
	}
	return a.Until
}

// Is reports whether two entries are the same acceptance: of one finding, by one
// person, on one day.
func (a *Acceptance) Is(b *Acceptance) bool {
	return a.Finding == b.Finding && a.By == b.By && a.Date == b.Date
}

// words is what a finding says about its acceptance.
func (a *Acceptance) words() string {
	until := ""
	if !a.Until.IsZero() {
		until = " until " + a.Until.String()
	}
	return "; accepted by " + a.By + " on " + a.Date.String() + until + ": " + a.Reason
}

// Revoke takes back an acceptance that does not count for the row as it is now. What
// it covered is an error again, unless another one also covers it.
func (a *Assessment) Revoke(by Acceptance) {
	a.Accept = slices.DeleteFunc(slices.Clone(a.Accept), func(x Acceptance) bool { return x.Is(&by) })
	for i := range a.Findings {
		f := &a.Findings[i]
		if f.Code != by.Finding || f.AcceptedBy != by.By {
			continue
		}
		if text, was := strings.CutSuffix(f.Message, by.words()); was {
			f.Level, f.AcceptedBy, f.Message = Error, "", text
			a.answer(f)
		}
	}
	a.errorsFirst()
}

// errorsFirst puts the findings that stop the label before the others.
func (a *Assessment) errorsFirst() {
	slices.SortStableFunc(a.Findings, func(x, y Finding) int { return cmp.Compare(y.Level, x.Level) })
}

// Lapse is an acceptance that has ended, and the finding that it covered.
type Lapse struct {
	Finding Finding
	By      Acceptance
	Since   Date // the day after it ended
}

// Lapsed is the first error that stops the label and that was covered by an
// acceptance that has ended; nil if there is none. recorded are the acceptances by
// which the label was printed, and reviewBy is its REVIEW BY: they include those that
// site.toml no longer has.
func (a *Assessment) Lapsed(recorded []Acceptance, reviewBy, today Date) *Lapse {
	var first *Lapse
	for _, f := range a.Findings {
		if f.Level != Error || f.final {
			continue
		}
		l := a.lapseOf(f, recorded, reviewBy, today)
		if l != nil && !today.Before(l.Since) && (first == nil || l.Since.Before(first.Since)) {
			first = l
		}
	}
	return first
}

// lapseOf is the last acceptance that covered an error of the location, or nil.
func (a *Assessment) lapseOf(f Finding, recorded []Acceptance, reviewBy, today Date) *Lapse {
	var last *Lapse
	take := func(by *Acceptance, reviewBy Date) {
		since := by.End(reviewBy).AddDays(1)
		if by.Finding == f.Code && (last == nil || last.Since.Before(since)) {
			last = &Lapse{f, *by, since}
		}
	}
	for i := range a.Policy.Accept {
		by := &a.Policy.Accept[i]
		if slices.Contains(by.At, a.Location.ID) && !by.Date.Before(a.Location.latest()) && !today.Before(by.Date) {
			take(by, a.ReviewBy)
		}
	}
	if last == nil {
		for i := range recorded {
			take(&recorded[i], reviewBy)
		}
	}
	return last
}
