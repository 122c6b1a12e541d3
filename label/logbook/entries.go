package logbook

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// Change is a change as a person tells it.
type Change struct {
	Date     assess.Date
	At       string
	Kind     string
	Note, By string
	// New values of single locations: "MCC-4=19.2", or a number for At.
	FaultKA, ClearMS, ClearReducedMS []string
}

func (c *Change) after(v *plant.Plant, old []byte) (*added, error) {
	kind, err := site.ParseKind(c.Kind)
	if err != nil {
		return nil, &WrongError{"kind", err}
	}
	if err := known(v, "at", c.At); err != nil {
		return nil, err
	}
	add := assess.Change{Date: c.Date, At: c.At, Kind: kind}
	if add.Note, err = said("note", c.Note); err != nil {
		return nil, err
	}
	if add.By, err = name(c.By); err != nil {
		return nil, err
	}
	if err := site.SetNewValues(&add, c.FaultKA, c.ClearMS, c.ClearReducedMS); err != nil {
		return nil, &WrongError{"new-…", err}
	}
	for id := range add.New {
		if err := known(v, "new-…", id); err != nil {
			return nil, err
		}
	}
	what := fmt.Sprintf("change %s, %s", v.Site.Log.NextID(c.Date, c.At), kind.Name)
	return &added{site.AppendChange(old, &add), what, notYet(v, c.Date), nil}, nil
}

// said is a text as it reads back from the file.
func said(part, s string) (string, error) { return oneLine(part, s, record.LongestReason) }

// name is who says it.
func name(by string) (string, error) { return oneLine("by", by, record.LongestName) }

func oneLine(part, s string, longest int) (string, error) {
	text, err := record.OneLine(s, longest)
	if err != nil {
		return "", &WrongError{part, err}
	}
	return text, nil
}

func notYet(v *plant.Plant, d assess.Date) []string {
	if v.Today.Before(d) {
		return []string{fmt.Sprintf("it is dated %s, after today (%s), and does not count before that day", d, v.Today)}
	}
	return nil
}

// Settlement is a settlement as a person tells it.
type Settlement struct {
	Change     string
	Date       assess.Date
	By, Reason string
	Scope      []string
}

// TextHash is the SHA-256 of a settlement, in the form in which the program
// writes it: blanks and comments of changes.toml do not matter.
func TextHash(s *assess.Settlement) string {
	sum := sha256.Sum256(site.SettlementText(s))
	return hex.EncodeToString(sum[:])
}

func (s *Settlement) after(v *plant.Plant, old []byte) (*added, error) {
	scope, err := scopeOf(v, s.Scope)
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(s.Reason) == "" {
		return nil, &WrongError{"reason", errors.New("say why the labels hold all the same")}
	}
	reason, err := said("reason", s.Reason)
	if err != nil {
		return nil, err
	}
	by, err := name(s.By)
	if err != nil {
		return nil, err
	}
	changes := v.Site.Log.Changes
	i := slices.IndexFunc(changes, func(c assess.Change) bool { return c.ID == s.Change })
	switch {
	case i < 0:
		return nil, fmt.Errorf("no change %q is logged; changes are named by day and place, such as 2026-08-11/SWB-1",
			s.Change)
	case s.Date.Before(changes[i].Date):
		return nil, &WrongError{"date", fmt.Errorf("%s is before the change", s.Date)}
	}
	notes := notYet(v, s.Date)
	reached := standing.Reached(v.Site, changes[i].At, changes[i].Kind.Reach)
	for _, id := range scope.IDs {
		if _, told := changes[i].New[id]; !told && reached != nil && !slices.Contains(reached, id) {
			notes = append(notes, fmt.Sprintf("the change does not reach %s by the feeds as they are", id))
		}
	}
	add := assess.Settlement{Change: s.Change, Date: s.Date, By: by, Reason: reason, Scope: scope}
	// The text, which changes.toml keeps, is bound to the ledger.
	line := &record.Line{Kind: record.Settled, Change: s.Change, Text: TextHash(&add), By: by}
	return &added{site.AppendSettlement(old, &add), "settled " + s.Change, notes, line}, nil
}

// Review is a review as a person tells it.
type Review struct {
	Date    assess.Date
	By      string
	Scope   []string
	Finding string
}

func (r *Review) after(v *plant.Plant, old []byte) (*added, error) {
	scope, err := scopeOf(v, r.Scope)
	if err != nil {
		return nil, err
	}
	finding := assess.Finds(r.Finding)
	if finding != assess.FoundRight && finding != assess.FoundWrong {
		return nil, &WrongError{"finding", fmt.Errorf("%q is not right or wrong", r.Finding)}
	}
	by, err := name(r.By)
	if err != nil {
		return nil, err
	}
	add := assess.Review{Date: r.Date, By: by, Scope: scope, Finding: finding}
	what := fmt.Sprintf("review of %s, found %s", r.Date, finding)
	return &added{site.AppendReview(old, &add), what, notYet(v, r.Date), nil}, nil
}

func scopeOf(v *plant.Plant, words []string) (assess.Scope, error) {
	scope, err := site.ParseScope(v.IDs(words))
	if err != nil {
		return scope, &WrongError{"scope", err}
	}
	for _, id := range scope.IDs {
		if err := known(v, "scope", id); err != nil {
			return scope, err
		}
	}
	return scope, nil
}

func known(v *plant.Plant, part, id string) error {
	if id == "" {
		return &WrongError{part, errors.New("name a location")}
	}
	if _, ok := v.Place(id); !ok && !slices.Contains(v.Site.Policy.Former, id) {
		return &UnknownError{part, id}
	}
	return nil
}
