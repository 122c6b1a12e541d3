package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
)

// newValues are the numbers that a change can give for a location, by their key in
// changes.toml.
var newValues = []struct {
	key     string
	unit    string
	example string
	of      func(*assess.NewValues) *float64
}{
	{"new_fault_ka", "kA", "19.2", func(v *assess.NewValues) *float64 { return (*float64)(&v.Fault) }},
	{"new_clear_ms", "ms", "60", func(v *assess.NewValues) *float64 { return (*float64)(&v.Clear) }},
	{"new_clear_reduced_ms", "ms", "75", func(v *assess.NewValues) *float64 { return (*float64)(&v.ClearReduced) }},
}

// The keys of what else it can give.
const (
	newCurve    = "new_curve"
	newCurveSHA = "new_curve_sha256" // of its points, see [assess.Curve.Digest]
	newCase     = "new_case"
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

// Told is what a person enters for single locations after a change: each value as "MCC-4=19.2",
// or alone for the change's own place.
type Told struct {
	FaultKA, ClearMS, ClearReducedMS []string
	Curve                            []string // the name of a file in curves/
	Case                             string   // to which all of them belong; "" for none
}

// ToldError is a value that cannot be read.
type ToldError struct {
	Key                      string // of changes.toml
	Found, Expected, Example string
}

// Error is for a command, which takes a location with the value.
func (e *ToldError) Error() string {
	return fmt.Sprintf("%q is not a location with %s, such as MCC-4=%s", e.Found, e.Expected, e.Example)
}

// Alone is for a form, which takes the value alone.
func (e *ToldError) Alone() string {
	return fmt.Sprintf("%q is not %s, such as %s", e.Found, e.Expected, e.Example)
}

// Into puts the values into a change. For a curve only the name is known so far.
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
				is := newValues[i]
				return &ToldError{is.key, text, "a number of " + is.unit + " above 0 and at most 1000000", is.example}
			}
			setNew(c, id, func(n *assess.NewValues) { *newValues[i].of(n) = assess.Round9(v) })
		}
	}
	for _, text := range told.Curve {
		id, name := split(text)
		if id == "" || !curveName.MatchString(name) {
			return &ToldError{newCurve, text, "a CSV file in curves/", "main-52.csv"}
		}
		setNew(c, id, func(n *assess.NewValues) { n.Curve = &assess.Curve{File: name} })
	}
	if told.Case == "" {
		return nil
	}
	if len(c.New) == 0 {
		return fmt.Errorf("the case %q is given, but no new value for it", told.Case)
	}
	for id := range c.New {
		setNew(c, id, func(n *assess.NewValues) { n.Case = told.Case })
	}
	return nil
}

// ParseScope reads a scope as a person enters it: "all", or ids.
func ParseScope(words []string) (assess.Scope, error) {
	var ids []string
	for _, w := range words {
		if w = strings.TrimSpace(w); w != "" {
			ids = append(ids, w)
		}
	}
	switch {
	case len(ids) == 0:
		return assess.Scope{}, fmt.Errorf("give a scope: all, or the ids of locations")
	case len(ids) == 1 && ids[0] == scopeAll:
		return assess.Scope{All: true}, nil
	case slices.Contains(ids, scopeAll):
		return assess.Scope{}, fmt.Errorf("give either all or ids, not both")
	}
	return assess.Scope{IDs: ids}, nil
}

// ParseKind reads a kind of change as a person enters it.
func ParseKind(name string) (assess.ChangeKind, error) {
	for _, k := range assess.ChangeKinds {
		if k.Name == name {
			return k, nil
		}
	}
	if name == "" {
		return assess.ChangeKind{}, fmt.Errorf("give one of: %s", Kinds())
	}
	return assess.ChangeKind{}, fmt.Errorf("%q is not a kind of change%s\nThe kinds are: %s",
		name, near.Hint(name, kindNames()), Kinds())
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
