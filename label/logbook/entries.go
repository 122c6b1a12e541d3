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

// After implements Entry.
func (c *Change) After(v *plant.Plant, old []byte) ([]byte, string, error) {
	kind, err := site.ParseKind(c.Kind)
	if err != nil {
		return nil, "", &WrongError{"kind", err}
	}
	if err := known(v, "at", c.At); err != nil {
		return nil, "", err
	}
	add := assess.Change{Date: c.Date, At: c.At, Kind: kind}
	if add.Note, err = said("note", c.Note); err != nil {
		return nil, "", err
	}
	if add.By, err = name(c.By); err != nil {
		return nil, "", err
	}
	if err := site.SetNewValues(&add, c.FaultKA, c.ClearMS, c.ClearReducedMS); err != nil {
		return nil, "", &WrongError{"new-…", err}
	}
	for id := range add.New {
		if err := known(v, "new-…", id); err != nil {
			return nil, "", err
		}
	}
	return site.AppendChange(old, &add), fmt.Sprintf("change %s, %s", v.Site.Log.NextID(c.Date, c.At), kind.Name), nil
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

func (*Change) line(assess.Date, string) *record.Line { return nil }

func (c *Change) notes(v *plant.Plant) []string { return notYet(v, c.Date) }

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

	settlement assess.Settlement // as it was appended
}

// line binds the settlement's text, which changes.toml keeps, to the ledger.
func (s *Settlement) line(today assess.Date, tool string) *record.Line {
	return &record.Line{Kind: record.Settled, Date: today, Change: s.Change, Text: TextHash(&s.settlement),
		By: s.settlement.By, Tool: tool}
}

// TextHash is the SHA-256 of a settlement, in the form in which the program
// writes it: blanks and comments of changes.toml do not matter.
func TextHash(s *assess.Settlement) string {
	sum := sha256.Sum256(site.SettlementText(s))
	return hex.EncodeToString(sum[:])
}

// After implements Entry.
func (s *Settlement) After(v *plant.Plant, old []byte) ([]byte, string, error) {
	scope, err := scopeOf(v, s.Scope)
	if err != nil {
		return nil, "", err
	}
	if strings.TrimSpace(s.Reason) == "" {
		return nil, "", &WrongError{"reason", errors.New("say why the labels hold all the same")}
	}
	reason, err := said("reason", s.Reason)
	if err != nil {
		return nil, "", err
	}
	by, err := name(s.By)
	if err != nil {
		return nil, "", err
	}
	for _, c := range v.Site.Log.Changes {
		if c.ID != s.Change {
			continue
		}
		if s.Date.Before(c.Date) {
			return nil, "", &WrongError{"date", fmt.Errorf("%s is before the change", s.Date)}
		}
		s.settlement = assess.Settlement{Change: s.Change, Date: s.Date, By: by, Reason: reason, Scope: scope}
		return site.AppendSettlement(old, &s.settlement), "settled " + s.Change, nil
	}
	return nil, "", fmt.Errorf("no change %q is logged; changes are named by day and place, such as 2026-08-11/SWB-1",
		s.Change)
}

func (s *Settlement) notes(v *plant.Plant) []string {
	all := notYet(v, s.Date)
	for _, c := range v.Site.Log.Changes {
		if c.ID != s.Change {
			continue
		}
		reached := standing.Reached(v.Site, c.At, c.Kind.Reach)
		for _, id := range v.IDs(s.Scope) {
			if _, told := c.New[id]; id != "all" && !told && reached != nil && !slices.Contains(reached, id) {
				all = append(all, fmt.Sprintf("the change does not reach %s by the feeds as they are", id))
			}
		}
	}
	return all
}

// Review is a review as a person tells it.
type Review struct {
	Date    assess.Date
	By      string
	Scope   []string
	Finding string
}

// After implements Entry.
func (r *Review) After(v *plant.Plant, old []byte) ([]byte, string, error) {
	scope, err := scopeOf(v, r.Scope)
	if err != nil {
		return nil, "", err
	}
	finding := assess.Finds(r.Finding)
	if finding != assess.FoundRight && finding != assess.FoundWrong {
		return nil, "", &WrongError{"finding", fmt.Errorf("%q is not right or wrong", r.Finding)}
	}
	by, err := name(r.By)
	if err != nil {
		return nil, "", err
	}
	add := assess.Review{Date: r.Date, By: by, Scope: scope, Finding: finding}
	return site.AppendReview(old, &add), fmt.Sprintf("review of %s, found %s", r.Date, finding), nil
}

func (*Review) line(assess.Date, string) *record.Line { return nil }

func (r *Review) notes(v *plant.Plant) []string { return notYet(v, r.Date) }

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
