package logbook

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Acceptance is a finding for which a named person takes responsibility, as it
// is entered.
type Acceptance struct {
	ID, Finding string
	Date, Until assess.Date // Until zero: REVIEW BY
	By, Reason  string
}

// Accepted is an acceptance that is now in site.toml, and what it does to the
// location.
type Accepted struct {
	File    string      `json:"file"`
	ID      string      `json:"id"`
	Finding assess.Code `json:"finding"`
	By      string      `json:"by"`
	Date    assess.Date `json:"date"`
	Until   assess.Date `json:"until"` // the last day on which it counts
	Reason  string      `json:"reason"`

	Ready   bool             `json:"ready"`   // whether a print of the location would print it
	Refused *string          `json:"refused"` // why not
	Label   *string          `json:"label"`   // the standing of the label printed last; null where none was printed
	Stop    []assess.Finding `json:"stop"`    // the errors that still stop the label
	Notes   []string         `json:"notes"`
}

// Accept adds an acceptance to site.toml and a line to the ledger, whole or not at all, and says
// what it does to the location. A finding that no check has made cannot be accepted in
// advance.
func (s *Site) Accept(store *record.Store, tool string, a *Acceptance) (*Accepted, error) {
	var made *Accepted
	err := store.Accept(func(old []byte, _ *record.Ledger) ([]byte, record.Line, error) {
		text, add, accepted, err := s.accept(old, a)
		if err != nil {
			return nil, record.Line{}, err
		}
		made = accepted
		line := record.NewAcceptance(add)
		line.Date, line.Tool = s.Today, tool
		return text, line, nil
	})
	return made, err
}

func (s *Site) accept(old []byte, a *Acceptance) ([]byte, *assess.Acceptance, *Accepted, error) {
	before, err := s.view(assess.PolicyFile, old)
	if err != nil {
		return nil, nil, nil, err
	}
	add, err := a.checked(before)
	if err != nil {
		return nil, nil, nil, err
	}
	text := site.AppendAccept(old, add)
	after, err := s.view(assess.PolicyFile, text)
	if err != nil {
		return nil, nil, nil, err
	}
	if place, _ := after.Place(a.ID); !after.Today.Before(add.Date) && open(place.Assessment, add.Finding, nil) == nil {
		return nil, nil, nil, fmt.Errorf("%s already accepted %s at %s on %s, for numbers that differ from those in the row now: "+
			"accept it with another date, or have another person accept it", add.By, add.Finding, a.ID, add.Date)
	}
	return text, add, newAccepted(a, add, after), nil
}

// Check says why the acceptance would be refused at a site as it was judged; nil for a good one.
func (a *Acceptance) Check(v *plant.Plant) error {
	_, err := a.checked(v)
	return err
}

// checked is the acceptance as site.toml will hold it, or why it is refused.
func (a *Acceptance) checked(v *plant.Plant) (*assess.Acceptance, error) {
	place, ok := v.Place(a.ID)
	if !ok {
		return nil, &near.UnknownID{IDs: []string{a.ID}, Known: v.Site.IDs()}
	}
	code, err := site.ParseFinding(a.Finding)
	if err != nil {
		return nil, &WrongError{Err: err}
	}
	add := &assess.Acceptance{At: []string{a.ID}, Finding: code, Date: a.Date, Until: a.Until}
	if add.Reason, err = answer("reason", a.Reason, "say why the label may be printed even so"); err != nil {
		return nil, err
	}
	if add.By, err = answer("by", a.By, "name the person who is responsible for it"); err != nil {
		return nil, err
	}
	if err := open(place.Assessment, code, add); err != nil {
		return nil, err
	}
	add.Numbers = v.Site.Numbers(place.Assessment.Location, code, v.Site.Index())
	if part, why := add.Lateness(&place.Assessment.Inputs, v.Today); why != "" {
		return nil, &WrongError{part, errors.New(why)}
	}
	return add, nil
}

// open returns an error unless a location has a finding of a code that can be
// accepted: one that nobody has accepted yet, or one whose acceptance ends
// earlier than the new one, which may be nil.
func open(a *assess.Assessment, code assess.Code, by *assess.Acceptance) error {
	id := a.Location.ID
	if !code.Acceptable() {
		return fmt.Errorf("nobody can accept %s (%s): correct what it names", code, code.Info().Meaning)
	}
	of := slices.DeleteFunc(slices.Clone(a.Findings), func(f assess.Finding) bool { return f.Code != code })
	if len(of) == 0 {
		return fmt.Errorf("%s has no finding %s now; %s", id, code, findings(a.Findings))
	}
	if slices.ContainsFunc(of, func(f assess.Finding) bool { return f.Acceptable() }) {
		return nil
	}
	switch f := &of[0]; {
	case f.AcceptedBy != "":
		_, end := a.Accepting(code)
		if by != nil && end.Before(by.End(a.ReviewBy)) {
			return nil // renewed
		}
		return fmt.Errorf("%s at %s is accepted already, by %s until %s; to renew it, give a later --until",
			code, id, f.AcceptedBy, end)
	case f.Level == assess.Caution:
		return fmt.Errorf("%s at %s is a caution: the label prints without an acceptance", code, id)
	default:
		return fmt.Errorf("nobody can accept this %s at %s: %s", code, id, f.Message)
	}
}

// findings names the findings of a location.
func findings(all []assess.Finding) string {
	var names []string
	for _, f := range all {
		n := fmt.Sprintf("%s (%s)", f.Code, f.Level)
		if !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	if names == nil {
		return "it has none"
	}
	return "it has " + strings.Join(names, ", ")
}

// newAccepted says what the acceptance does to the location; v is the site as
// it is now.
func newAccepted(a *Acceptance, add *assess.Acceptance, v *plant.Plant) *Accepted {
	place, _ := v.Place(a.ID)
	done := &Accepted{File: assess.PolicyFile, ID: a.ID, Finding: add.Finding, By: add.By, Date: add.Date,
		Reason: add.Reason, Until: add.End(place.Assessment.ReviewBy), Stop: []assess.Finding{}, Notes: report.OrEmpty(notYet(v, add.Date))}
	for _, f := range place.Assessment.Findings {
		if f.Level == assess.Error {
			done.Stop = append(done.Stop, f)
		}
	}
	r := place.Refusal(true)
	if done.Ready = r == nil; !done.Ready {
		done.Refused = &r.Why
	}
	if place.Printed != nil {
		words := report.StandingWords(&place.Printed.Standing)
		done.Label = &words
	}
	return done
}

// Text says it to a person.
func (d *Accepted) Text(w io.Writer, width int) error {
	var b strings.Builder
	say := func(format string, args ...any) {
		b.WriteString(report.Wrap(fmt.Sprintf(format, args...), "  ", "    ", width))
	}
	accepted := fmt.Sprintf("%s at %s is accepted by %s until %s", d.Finding, d.ID, d.By, d.Until)
	b.WriteString(report.Wrap(accepted, d.File+": ", "  ", width))
	switch {
	case d.Ready:
		say("%s: ready to print", d.ID)
	case len(d.Stop) == 0:
		say("%s: not printed: %s", d.ID, *d.Refused)
	default:
		say("%s: not printed, stopped by %s:", d.ID, report.Plural(len(d.Stop), "error"))
		for _, f := range d.Stop {
			may := ""
			if f.Acceptable() {
				may = " (it can be accepted)"
			}
			say("%s%s: %s: %s", f.Code, may, f.Field, f.Message)
		}
	}
	if d.Label != nil {
		say("the label printed last: %s", *d.Label)
	}
	for _, n := range d.Notes {
		say("%s", n)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
