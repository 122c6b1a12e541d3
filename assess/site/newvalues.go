package site

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
)

// SetNewValues puts into a change what a person says of single locations, as
// "MCC-4=19.2", or as a number alone for the change's own place.
func SetNewValues(c *assess.Change, faultKA, clearMS, clearReducedMS []string) error {
	for _, set := range []struct {
		texts []string
		into  func(*assess.NewValues, float64)
	}{
		{faultKA, func(n *assess.NewValues, v float64) { n.Fault = assess.KA(v) }},
		{clearMS, func(n *assess.NewValues, v float64) { n.Clear = assess.MS(v) }},
		{clearReducedMS, func(n *assess.NewValues, v float64) { n.ClearReduced = assess.MS(v) }},
	} {
		for _, text := range set.texts {
			id, number := c.At, text
			if i := strings.LastIndexByte(text, '='); i >= 0 {
				id, number = strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:])
			}
			v, err := strconv.ParseFloat(number, 64)
			if err != nil || !(v > 0) || v > 1e6 || id == "" {
				return fmt.Errorf("%q is not a location and a number above 0 and at most 1000000, such as MCC-4=19.2", text)
			}
			if c.New == nil {
				c.New = map[string]assess.NewValues{}
			}
			n := c.New[id]
			set.into(&n, assess.Round9(v))
			c.New[id] = n
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
	return assess.ChangeKind{}, fmt.Errorf("%q is unknown; the nearest is %q; all are: %s", name, nearest(name, kindNames()), Kinds())
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
