package publish

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"vouchmark/label/basis/publish/bare"
)

// layout is where in a bucket a file lies. A place keeps the layout with which it was first published, since
// many stores cannot keep a file next to a folder of the same name.
type layout struct {
	// key is where the file of a name lies; name is the opposite, false for a key at which none lies.
	key  func(name string) string
	name func(key string) (name string, ok bool)
	// bytes is the file as it lies there.
	bytes func(name string, data []byte) ([]byte, error)
}

// Index is the usual layout, as in a folder: with an index file in each. Bare is for a store that serves a file under its
// key alone: the page of a label is the file V/CODE/FACTS.
const (
	Index = "index"
	Bare  = "bare"
)

// layouts are those that can be chosen, by name.
var layouts = map[string]*layout{
	Index: {
		key:   func(name string) string { return name },
		name:  func(key string) (string, bool) { return key, true },
		bytes: func(_ string, data []byte) ([]byte, error) { return data, nil },
	},
	Bare: {bare.Key, bare.Name, bare.Bytes},
}

// Layouts are the names of the layouts.
func Layouts() []string { return slices.Sorted(maps.Keys(layouts)) }

// choose gives the layout of a place: the one that is noted there, or, where nothing is, the one that was asked
// for. "" is nothing noted, or nothing asked for.
func choose(place, noted, asked string) (string, error) {
	switch {
	case noted == "" && asked == "":
		return Index, nil
	case noted == "":
		noted = asked
	case asked != "" && asked != noted:
		return "", fmt.Errorf("%s has the layout %q, and a place keeps its layout: publish without --layout, or into another prefix", place, noted)
	}
	if layouts[noted] == nil {
		return "", fmt.Errorf("the layout %q is not known; known are: %s", noted, strings.Join(Layouts(), ", "))
	}
	return noted, nil
}
