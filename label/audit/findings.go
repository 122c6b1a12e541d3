package audit

import (
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/report"
)

// Found is a finding that labels were printed with, from their records.
type Found struct {
	Finding assess.Code `json:"finding"`
	IDs     []string    `json:"locations"` // of the labels printed last
}

// String is the finding and where, in a line.
func (f *Found) String() string { return string(f.Finding) + ": " + report.Few(f.IDs) }

// findings lists the findings in the records of the labels printed last, in
// alphabetical order.
func (a *audit) findings() {
	a.Findings = []Found{}
	by := map[assess.Code][]string{}
	for id, l := range a.replay.Labels {
		if r := a.records[l.ID]; r != nil {
			for _, code := range r.Codes {
				by[code] = append(by[code], id)
			}
		}
	}
	for code, ids := range by {
		slices.Sort(ids)
		a.Findings = append(a.Findings, Found{code, ids})
	}
	slices.SortFunc(a.Findings, func(x, y Found) int { return strings.Compare(string(x.Finding), string(y.Finding)) })
}
