package basis

import (
	"vouchmark/assess"
	"vouchmark/label/record"
)

// Noted is a finding that the rows of a label had when it was printed, and what
// it means.
type Noted struct {
	Code    assess.Code `json:"code"`
	Meaning string      `json:"meaning"`
}

// NotedOf are those of a record. Records made by older rules noted none.
func NotedOf(r *record.Record) []Noted {
	var all []Noted
	for _, c := range r.Codes {
		n := Noted{Code: c, Meaning: "this version of the program does not know this code"}
		if info := c.Info(); info != nil {
			n.Meaning = info.Meaning
		}
		all = append(all, n)
	}
	return all
}
