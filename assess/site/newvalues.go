package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
)

// newValues are the values that a change can state of a location, by their key
// in changes.toml.
var newValues = []struct {
	key string
	of  func(*assess.NewValues) *float64
}{
	{"new_fault_ka", func(v *assess.NewValues) *float64 { return (*float64)(&v.Fault) }},
	{"new_clear_ms", func(v *assess.NewValues) *float64 { return (*float64)(&v.Clear) }},
	{"new_clear_reduced_ms", func(v *assess.NewValues) *float64 { return (*float64)(&v.ClearReduced) }},
}

// setNew puts one of the new values into a change.
func setNew(c *assess.Change, i int, id string, x float64) {
	if c.New == nil {
		c.New = map[string]assess.NewValues{}
	}
	v := c.New[id]
	*newValues[i].of(&v) = x
	c.New[id] = v
}

// SetNewValues puts into a change what a person says of single locations, as
// "MCC-4=19.2", or as a number alone for the change's own place.
func SetNewValues(c *assess.Change, faultKA, clearMS, clearReducedMS []string) error {
	for i, texts := range [][]string{faultKA, clearMS, clearReducedMS} {
		for _, text := range texts {
			id, number := c.At, text
			if at := strings.LastIndexByte(text, '='); at >= 0 {
				id, number = strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+1:])
			}
			v, err := strconv.ParseFloat(number, 64)
			if err != nil || !(v > 0) || v > 1e6 || id == "" {
				return fmt.Errorf("%q is not a location and a number above 0 and at most 1000000, such as MCC-4=19.2", text)
			}
			setNew(c, i, id, assess.Round9(v))
		}
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
