package plant

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// Refusal says why a label is not printed, and what to do about it.
type Refusal struct {
	Why string
	Do  assess.Remedy
	// Answer is what a named person may do instead; without words if nobody may.
	Answer assess.Remedy
	// Interim is true if the owner may still print it with a visible strip: the
	// label does not hold, but nothing is known against its numbers.
	Interim bool
	// Unlabeled is true if locations.csv says that the place has no label: a
	// print of the whole plant skips it and does not fail because of it.
	Unlabeled bool
	// Standing is what the strip is about; nil if there is none.
	Standing *standing.Standing
}

// correct is the remedy for an error finding.
var correct = assess.Remedy{Words: "correct it in locations.csv; {} lists every finding", Act: assess.ToList}

// answer is how a named person may accept the errors that stop a label, if each of
// them may be accepted.
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
	r := assess.Remedy{Words: "; or a named person may accept it and is then responsible, " +
		"which does not make the equipment safe: {}", Act: assess.ToAccept,
		On: a.Location.ID + " " + codes[0]}
	if more := codes[1:]; len(more) > 0 {
		r.Words += ", and likewise for " + strings.Join(more, ", ")
	}
	return r
}

// Refusal judges the row as it is now, and is nil if its label may be printed. It
// refuses an error finding, a lapsed label, and one in question after a change or a
// review, but never because the row differs from the last record. A label that was
// withdrawn is refused unless it is asked for by name: printing the whole
// plant must not bring it back. While the policy is the starter's, nothing is
// printed.
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
			Do: assess.Remedy{Words: "name it with --only to print a new label, or delete its row in locations.csv"}}
	}
	if p.Assessment.Location.Unlabeled {
		return &Refusal{Unlabeled: true, Why: "locations.csv says that this place has no label (label = no)",
			Do: assess.Remedy{Words: "to print one, set label = yes in locations.csv and add the results that a label needs"}}
	}
	if e := p.Assessment.Stopped(); e != "" {
		if s := p.Judged(); s.Understated() { // correcting the row does not cover the label
			e += "; " + s.Screening.Words()
		}
		return &Refusal{Why: e, Do: correct, Answer: answer(p.Assessment)}
	}
	return refusal(&p.Row)
}

// ReprintRefusal judges a reprint from the record; s is the label's standing. It
// refuses what print refuses, and also labels whose row or policy changed and
// withdrawn ones. p is the place, nil if locations.csv no longer has it.
func ReprintRefusal(s *standing.Standing, p *Place) *Refusal {
	r := refusal(s)
	switch {
	case r == nil && s.Outdated:
		return &Refusal{Why: s.Renewed().Detail, Do: assess.Remedy{Words: "{} makes the new label", Act: assess.ToPrint}}
	case r == nil || s.Status == standing.Withdrawn:
		return r
	case p == nil: // there is nothing to compare it with
		r.Interim, r.Do = false, assess.Remedy{Words: "put its row back into locations.csv; if the equipment is gone, remove the label"}
	case p.Assessment.Location.Unlabeled:
		r.Interim = false
	case p.Assessment.Stopped() != "":
		r.Interim, r.Do, r.Answer = false, correct, answer(p.Assessment)
		r.Why += "; the row has an error: " + p.Assessment.Stopped()
	case p.Printed != nil && p.Printed.Worse != "":
		r.Interim, r.Do = false, assess.Remedy{Words: "{} makes the new label; remove this one", Act: assess.ToPrint}
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
		r.Do = assess.Remedy{Words: "{} shows what to do", Act: assess.ToCheck}
	}
	if s.Screening != nil {
		r.Why += "; " + s.Screening.Words()
	}
	// A number that is known to be too low is never printed.
	r.Interim = s.Status != standing.Withdrawn && s.Status != standing.Replaced && !s.Understated()
	return r
}

// The states of a location whose label was never printed: it has no standing.
const (
	ReadyToPrint = "ready to print"
	NotPrinted   = "not printed" // and something prevents it
	NoLabel      = "no label"    // and it has none (label = no)
)

// Judged is the standing of the last printed label, else the one that decides
// whether the row may be printed.
func (p *Place) Judged() *standing.Standing {
	if p.Printed != nil {
		return &p.Printed.Standing
	}
	return &p.Row
}

// State is the status of the last printed label, or one of those three.
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

// Clears says what would clear a refusal.
func (p *Plant) Clears(r *Refusal) string { return p.Text(r.Do) + p.Text(r.Answer) }

// Do says what would clear a refusal, or how to print the label with a strip.
func (p *Plant) Do(r *Refusal) string {
	text := p.Clears(r)
	if r.Interim {
		text += p.Text(assess.Remedy{Words: "; to print it anyway, with a visible INTERIM strip: {}",
			Act: assess.ToInterim})
	}
	return text
}
