package basis

import (
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Noted is a finding that the rows of a label had when it was printed: what its code
// means, and what was found.
type Noted struct {
	Code    assess.Code `json:"code"`
	Meaning string      `json:"meaning"`
	// Found are its messages, from judging the record again; nil where this version of
	// the program no longer finds it.
	Found []string `json:"found,omitempty"`
}

// Text is what was found, else what the code means.
func (n Noted) Text() string {
	if n.Found == nil {
		return n.Meaning
	}
	return strings.Join(n.Found, "; ")
}

// NotedOf are those of a record. Records made by older rules noted none.
func NotedOf(r *record.Record) []Noted {
	if len(r.Codes) == 0 {
		return nil
	}
	var all []Noted
	again := assess.Judge(&r.Inputs).Findings
	for _, c := range r.Codes {
		n := Noted{Code: c, Meaning: "this version of the program does not know this code"}
		if info := c.Info(); info != nil {
			n.Meaning = info.Meaning
		}
		for i := range again {
			if f := &again[i]; f.Code == c && !slices.Contains(n.Found, f.Message) {
				n.Found = append(n.Found, f.Message)
			}
		}
		all = append(all, n)
	}
	return all
}
