package publish

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"vouchmark/label/basis/publish/bare"
)

// Layout is where in a bucket a file lies. A target keeps the layout with which it was first published, since
// many stores cannot keep a file next to a folder of the same name.
type Layout interface {
	// Key is where the file of a name lies; Name is the opposite, false for a key of no file.
	Key(name string) string
	Name(key string) (name string, ok bool)
	// Bytes is the file as it lies there.
	Bytes(name string, data []byte) ([]byte, error)
}

// The layouts by name. Index is the one with an index file in each folder, which is usual. Bare is for a store that
// serves a file under its key alone: the page of a label is the file V/CODE/FACTS.
const (
	Index = "index"
	Bare  = "bare"
)

var layouts = map[string]Layout{Index: indexed{}, Bare: bared{}}

// Layouts are the names of the layouts.
func Layouts() []string { return slices.Sorted(maps.Keys(layouts)) }

// indexed lies as in a folder.
type indexed struct{}

func (indexed) Key(name string) string                      { return name }
func (indexed) Name(key string) (string, bool)              { return key, true }
func (indexed) Bytes(_ string, data []byte) ([]byte, error) { return data, nil }

// bared lies as package bare says.
type bared struct{}

func (bared) Key(name string) string                         { return bare.Key(name) }
func (bared) Name(key string) (string, bool)                 { return bare.Name(key) }
func (bared) Bytes(name string, data []byte) ([]byte, error) { return bare.Bytes(name, data) }

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
