package report

import (
	"fmt"

	"vouchmark/assess/standing"
)

// Refusal says why a label is not printed, and what would clear it.
type Refusal struct {
	Why, Do string
	// Interim is true where the owner may print it all the same, with a
	// visible strip: the label does not hold, but nothing is known against
	// its numbers.
	Interim bool
	// Standing is what the strip tells of; nil where there is none.
	Standing *standing.Standing
}

// PrintRefusal judges the row as it stands now, or is nil where its label may
// be printed: an error finding, what has lapsed, and what is in question by a
// change or a review. It never refuses because the row differs from the last
// record.
func PrintRefusal(p *Place) *Refusal {
	if e := p.Assessment.Stopped(); e != "" {
		return &Refusal{Why: e, Do: "correct it in locations.csv; vouchmark check lists every finding"}
	}
	return standingRefusal(&p.Row)
}

// WithdrawnRefusal refuses a label that was taken out of use where it is not
// asked for by name: printing the whole plant must not bring it back.
func WithdrawnRefusal(p *Place) *Refusal {
	w := p.Standing.Worst()
	return &Refusal{Why: fmt.Sprintf("withdrawn since %s: %s", w.Since, w.Detail), Do: "name it with --only to print a new label, or take its row out of locations.csv"}
}

// ReprintRefusal judges the label that was printed last, of which s is the
// standing, from its record: what print refuses, and also what drifted or was
// withdrawn. p is its place, nil where locations.csv no longer has one.
func ReprintRefusal(s *standing.Standing, p *Place) *Refusal {
	r := standingRefusal(s)
	switch {
	case r == nil && s.Outdated:
		return &Refusal{Why: s.Renewed().Detail, Do: "vouchmark print makes the new label"}
	case r == nil || s.Status == standing.Withdrawn:
		return r
	case p == nil: // there is nothing to hold it against
		r.Interim, r.Do = false, "put its row back into locations.csv, or take the label off"
	case p.Assessment.Stopped() != "":
		r.Interim = false
		r.Why += "; the row has an error finding: " + p.Assessment.Stopped()
		r.Do = "correct it in locations.csv; vouchmark check lists every finding"
	case p.Worse != "":
		r.Interim = false
		r.Why += "; a label printed now would warn of more: " + p.Worse
		r.Do = "vouchmark print makes the new label; take this one off"
	}
	return r
}

// standingRefusal refuses what does not hold.
func standingRefusal(s *standing.Standing) *Refusal {
	switch s.Status {
	case standing.Holds, standing.FallsDue:
		return nil
	}
	worst := s.Worst()
	r := &Refusal{Why: fmt.Sprintf("%s since %s: %s", s.Status, worst.Since, worst.Words()), Do: "it holds again with " + worst.Clears, Standing: s}
	if worst.Clears == "" {
		r.Do = "vouchmark check shows what would clear it"
	}
	if s.Screening != nil {
		r.Why += "; " + s.Screening.Words()
	}
	// A number that is known to be too low is printed for nobody.
	r.Interim = s.Status != standing.Withdrawn && s.Status != standing.Replaced && !s.Understated()
	if r.Interim {
		r.Do += `; to print it all the same with a visible INTERIM strip: --interim "REASON"`
	}
	return r
}
