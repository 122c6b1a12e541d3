package basis

import (
	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/record"
)

// JSON is the view for a program.
func (v *View) JSON() any {
	return struct {
		Code        record.Code       `json:"code"`
		SHA256      string            `json:"sha256"`
		Facts       string            `json:"facts"`
		Today       assess.Date       `json:"today"`
		Verdict     string            `json:"verdict"`
		Standing    standing.Standing `json:"standing"`
		ReplacedBy  *record.Code      `json:"replaced_by"`
		Differences []string          `json:"differences"`
		Items       []Item            `json:"items"`
		Prints      []Print           `json:"prints"`
		Record      *record.Record    `json:"record"`
		Cautions    []string          `json:"cautions"`
	}{
		v.ID.Code(), v.ID.String(), label.Facts(v.Record), v.Today, v.Verdict(), v.Standing,
		replacedBy(v.NewerCode), orEmpty(v.Differences), Items(v.Record), orEmpty(v.Prints), v.Record, Cautions,
	}
}

func replacedBy(c record.Code) *record.Code {
	if c == "" {
		return nil
	}
	return &c
}

// orEmpty is an empty list and not null where there is none.
func orEmpty[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}
