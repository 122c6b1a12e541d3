package plant

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// Refusal says why a label is not printed, and what would clear it.
type Refusal struct {
	Why string
	Do  assess.Remedy
	// Answer is what a named person may do in place of that; without words where
	// nobody may.
	Answer assess.Remedy
	// Interim is true where the owner may print it even so, with a visible
	// strip: the label does not hold, but nothing is known against its numbers.
	Interim bool
	// Unlabeled is true where locations.csv says that the place carries no
	// label: a print of the whole plant passes it over, and fails by it no more
	// than a check does.
	Unlabeled bool
	// Standing is what the strip tells of; nil where there is none.
	Standing *standing.Standing
}

// correct is the remedy for an error finding.
var correct = assess.Remedy{Words: "correct it in locations.csv; {} lists every finding", Act: assess.ToCheck}

// answer is how a named person may take responsibility for the errors that stop a label,
// where each of them may be accepted.
func answer(a *assess.Assessment) assess.Remedy {
	var codes []string
	for i := range a.Findings {
		f := &a.Findings[i]
		if f.Level != assess.Error || slices.Contains(codes, string(f.Code)) {
			continue
		}
		if !f.Acceptable() {
			return assess.Remedy{}
		}
		codes = append(codes, string(f.Code))
	}
	if codes == nil {
		return assess.Remedy{}
	}
	r := assess.Remedy{Words: "; or a named person may take responsibility for it: {}", Act: assess.ToAccept,
		On: a.Location.ID + " " + codes[0]}
	if more := codes[1:]; len(more) > 0 {
		r.Words += ", and likewise for " + strings.Join(more, ", ")
	}
	return r
}

// Refusal judges the row as it stands now, or is nil where its label may be
// printed: an error finding, what has lapsed, and what is in question by a
// change or a review. It never refuses because the row differs from the last
// record. A label that was taken out of use is refused where it is not asked
// for by name: printing the whole plant must not bring it back. While the policy
// is the starter's, nothing is printed.
func (p *Place) Refusal(named bool) *Refusal {
	if r := Starter(p.Assessment.Policy); r != nil {
		return r
	}
	return p.PreviewRefusal(named)
}

// PreviewRefusal is the refusal that holds for a preview too.
func (p *Place) PreviewRefusal(named bool) *Refusal {
	if p.Printed != nil && p.Printed.Standing.Status == standing.Withdrawn && !named {
		w := p.Printed.Standing.Worst()
		return &Refusal{Why: fmt.Sprintf("withdrawn since %s: %s", w.Since, w.Detail),
			Do: assess.Remedy{Words: "name it with --only to print a new label, or take its row out of locations.csv"}}
	}
	if p.Assessment.Location.Unlabeled {
		return &Refusal{Unlabeled: true, Why: "label = no: locations.csv says that the place carries no label",
			Do: assess.Remedy{Words: "label = yes in locations.csv, with the results that a label needs"}}
	}
	if e := p.Assessment.Stopped(); e != "" {
		if s := p.Judged(); s.Understated() { // whoever corrects the row still has to cover the label
			e += "; " + s.Screening.Words()
		}
		return &Refusal{Why: e, Do: correct, Answer: answer(p.Assessment)}
	}
	return refusal(&p.Row)
}

// ReprintRefusal judges a label that was printed, of which s is the standing,
// from its record: what print refuses, and also what drifted or was withdrawn.
// p is its place, nil where locations.csv no longer has one.
func ReprintRefusal(s *standing.Standing, p *Place) *Refusal {
	r := refusal(s)
	switch {
	case r == nil && s.Outdated:
		return &Refusal{Why: s.Renewed().Detail, Do: assess.Remedy{Words: "{} makes the new label", Act: assess.ToPrint}}
	case r == nil || s.Status == standing.Withdrawn:
		return r
	case p == nil: // there is nothing to hold it against
		r.Interim, r.Do = false, assess.Remedy{Words: "put its row back into locations.csv, or take the label off"}
	case p.Assessment.Location.Unlabeled:
		r.Interim = false
	case p.Assessment.Stopped() != "":
		r.Interim, r.Do, r.Answer = false, correct, answer(p.Assessment)
		r.Why += "; the row has an error finding: " + p.Assessment.Stopped()
	case p.Printed != nil && p.Printed.Worse != "":
		r.Interim, r.Do = false, assess.Remedy{Words: "{} makes the new label; take this one off", Act: assess.ToPrint}
		r.Why += "; a label printed now would warn of more: " + p.Printed.Worse
	}
	return r
}

// refusal refuses what does not hold.
func refusal(s *standing.Standing) *Refusal {
	switch s.Status {
	case standing.Holds, standing.FallsDue:
		return nil
	}
	worst := s.Worst()
	r := &Refusal{Why: fmt.Sprintf("%s since %s: %s", s.Status, worst.Since, worst.Words()), Do: worst.Remedy, Standing: s}
	r.Do.Words = "To make it valid again: " + r.Do.Words
	if worst.Remedy.Words == "" {
		r.Do = assess.Remedy{Words: "{} shows what would clear it", Act: assess.ToCheck}
	}
	if s.Screening != nil {
		r.Why += "; " + s.Screening.Words()
	}
	// A number that is known to be too low is printed for nobody.
	r.Interim = s.Status != standing.Withdrawn && s.Status != standing.Replaced && !s.Understated()
	return r
}

// What a location is whose label was never printed: it has no standing.
const (
	ReadyToPrint = "ready to print"
	NotPrinted   = "not printed" // and something stands in its way
	NoLabel      = "no label"    // nor is to carry one
)

// Judged is the standing of the label printed last; where there is none, that
// by which a print of the row is refused or not.
func (p *Place) Judged() *standing.Standing {
	if p.Printed != nil {
		return &p.Printed.Standing
	}
	return &p.Row
}

// State is the status of the label printed last, or one of those three.
func (p *Place) State() string {
	switch {
	case p.Printed != nil:
		return string(p.Printed.Standing.Status)
	case p.Assessment.Location.Unlabeled:
		return NoLabel
	case p.Refusal(false) == nil:
		return ReadyToPrint
	}
	return NotPrinted
}

// Text is a remedy in words, with its command.
func (p *Plant) Text(r assess.Remedy) string { return r.Text(p.command) }

// Clears is what would clear a refusal.
func (p *Plant) Clears(r *Refusal) string { return p.Text(r.Do) + p.Text(r.Answer) }

// Do is what would clear a refusal, or print the label even so.
func (p *Plant) Do(r *Refusal) string {
	text := p.Clears(r)
	if r.Interim {
		text += p.Text(assess.Remedy{Words: "; to print it even so with a visible INTERIM strip: {}",
			Act: assess.ToInterim})
	}
	return text
}
