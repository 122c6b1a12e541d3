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

// Means says what the finding is about, without what an acceptance of it would mean.
func (f *Found) Means() string { return means(f.Finding) }

// String is what the finding means, where, and its code.
func (f *Found) String() string {
	return f.Means() + ": " + report.Few(f.IDs) + " [" + string(f.Finding) + "]"
}

// means is the meaning of a code, without what an acceptance would mean.
func means(c assess.Code) string {
	info := c.Info()
	if info == nil {
		return "a finding that this version of the program does not know"
	}
	meaning, _, _ := strings.Cut(info.Meaning, "; ")
	return meaning
}

// findings lists the findings in the records of the labels printed last, in
// alphabetical order.
func (a *audit) findings() {
	a.Findings = []Found{}
	by := map[assess.Code][]string{}
	for id, l := range a.replay.Labels {
		if r := a.newest[l.ID]; r != nil {
			for _, code := range r.codes {
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
