package report

import (
	"encoding/base64"
	"hash/fnv"
	"slices"
	"strings"
	"unicode"

	"vouchmark/label/plant"
)

// Names are the ids of a plant's locations and the codes of its labels, also of replaced ones: each as a number of 24
// bits, sorted, three bytes a number, in base64. So a view of many plants can say in which of them a name may be, and
// reads little for it. About one name in 17 million is taken for any other.
type Names string

// MostNames is the longest text of names: that of some 260,000 labels.
const MostNames = 2 << 20

const nameBytes = 3

// NewNames are those of a plant; "" where they are too many.
func NewNames(v *plant.Plant) Names {
	var all []uint32
	for i := range v.Site.Locations {
		all = append(all, nameNumber(v.Site.Locations[i].ID))
	}
	for _, n := range v.History.Replay.Records {
		if n.Valid && n.Made() {
			all = append(all, nameNumber(string(n.ID.Code())))
		}
	}
	slices.Sort(all)
	all = slices.Compact(all)
	bytes := make([]byte, 0, nameBytes*len(all))
	for _, n := range all {
		bytes = append(bytes, byte(n>>16), byte(n>>8), byte(n))
	}
	if text := base64.RawURLEncoding.EncodeToString(bytes); len(text) <= MostNames {
		return Names(text)
	}
	return ""
}

// nameNumber is the number of an id or a code, however it is typed.
func nameNumber(name string) uint32 {
	h := fnv.New32a()
	h.Write([]byte(Squash(name)))
	sum := h.Sum32()
	return sum>>24 ^ sum&0xffffff
}

// Squash is a name as a person may type it: without hyphens and blanks, in small letters.
func Squash(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// Valid reports whether a text can be one of names.
func (n Names) Valid() bool {
	bytes, err := base64.RawURLEncoding.DecodeString(string(n))
	return err == nil && len(bytes)%nameBytes == 0 && len(n) <= MostNames
}

// May reports whether one of the names may be this one, an id or a code, however it is typed.
func (n Names) May(name string) bool {
	bytes, err := base64.RawURLEncoding.DecodeString(string(n))
	if err != nil || Squash(name) == "" {
		return false
	}
	number := nameNumber(name)
	for i := 0; i+nameBytes <= len(bytes); i += nameBytes {
		if uint32(bytes[i])<<16|uint32(bytes[i+1])<<8|uint32(bytes[i+2]) == number {
			return true
		}
	}
	return false
}
