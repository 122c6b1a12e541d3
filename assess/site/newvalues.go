package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
)

// newValues are the numbers that a change can state of a location, by their key
// in changes.toml.
var newValues = []struct {
	key string
	of  func(*assess.NewValues) *float64
}{
	{"new_fault_ka", func(v *assess.NewValues) *float64 { return (*float64)(&v.Fault) }},
	{"new_clear_ms", func(v *assess.NewValues) *float64 { return (*float64)(&v.Clear) }},
	{"new_clear_reduced_ms", func(v *assess.NewValues) *float64 { return (*float64)(&v.ClearReduced) }},
}

// The keys of what else it can state.
const (
	newCurve = "new_curve"
	newCase  = "new_case"
)

// setNew puts one of the new values into a change.
func setNew(c *assess.Change, id string, set func(*assess.NewValues)) {
	if c.New == nil {
		c.New = map[string]assess.NewValues{}
	}
	v := c.New[id]
	set(&v)
	c.New[id] = v
}

// Told is what a person says of single locations after a change: each value as
// "MCC-4=19.2", or alone for the change's own place.
type Told struct {
	FaultKA, ClearMS, ClearReducedMS []string
	Curve                            []string // the name of a file in curves/
	Case                             string   // of which all of them are; "" for none
}

// Into puts the values into a change. Of a curve only the name is known yet.
func (told *Told) Into(c *assess.Change) error {
	split := func(text string) (id, value string) {
		if at := strings.LastIndexByte(text, '='); at >= 0 {
			return strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+1:])
		}
		return c.At, strings.TrimSpace(text)
	}
	for i, texts := range [][]string{told.FaultKA, told.ClearMS, told.ClearReducedMS} {
		for _, text := range texts {
			id, number := split(text)
			v, err := strconv.ParseFloat(number, 64)
			if err != nil || !(v > 0) || v > 1e6 || id == "" {
				return fmt.Errorf("%q is not a location and a number above 0 and at most 1000000, such as MCC-4=19.2", text)
			}
			setNew(c, id, func(n *assess.NewValues) { *newValues[i].of(n) = assess.Round9(v) })
		}
	}
	for _, text := range told.Curve {
		id, name := split(text)
		if id == "" || !curveName.MatchString(name) {
			return fmt.Errorf("%q is not a location and a CSV file in curves/, such as MCC-4=main-52.csv", text)
		}
		setNew(c, id, func(n *assess.NewValues) { n.Curve = &assess.Curve{File: name} })
	}
	if told.Case == "" {
		return nil
	}
	if len(c.New) == 0 {
		return fmt.Errorf("the case %q is named, and no new value of it", told.Case)
	}
	for id := range c.New {
		setNew(c, id, func(n *assess.NewValues) { n.Case = told.Case })
	}
	return nil
}

// ParseScope reads a scope as a person gives it: "all", or ids.
func ParseScope(words []string) (assess.Scope, error) {
	var ids []string
	for _, w := range words {
		if w = strings.TrimSpace(w); w != "" {
			ids = append(ids, w)
		}
	}
	switch {
	case len(ids) == 0:
		return assess.Scope{}, fmt.Errorf("a scope is needed: all, or the ids of locations")
	case len(ids) == 1 && ids[0] == scopeAll:
		return assess.Scope{All: true}, nil
	case slices.Contains(ids, scopeAll):
		return assess.Scope{}, fmt.Errorf("all stands alone, or ids without it")
	}
	return assess.Scope{IDs: ids}, nil
}

// ParseKind reads a kind of change as a person gives it.
func ParseKind(name string) (assess.ChangeKind, error) {
	for _, k := range assess.ChangeKinds {
		if k.Name == name {
			return k, nil
		}
	}
	if name == "" {
		return assess.ChangeKind{}, fmt.Errorf("it is needed, one of: %s", Kinds())
	}
	return assess.ChangeKind{}, fmt.Errorf("%q is unknown; the nearest is %q; all are: %s",
		name, nearest(name, kindNames()), Kinds())
}

// Kinds names the kinds of changes.
func Kinds() string { return strings.Join(kindNames(), "; ") }

func kindNames() []string {
	names := make([]string, len(assess.ChangeKinds))
	for i, k := range assess.ChangeKinds {
		names[i] = k.Name
	}
	return names
}
