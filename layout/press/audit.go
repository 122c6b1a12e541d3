package press

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/audit"
	"vouchmark/label/basis"
	"vouchmark/label/seal"
	"vouchmark/layout"
)

// AuditPDF sets the report of an audit on paper. p is the site's policy, nil
// where none could be read.
func AuditPDF(r *audit.Report, p *assess.Policy, paper layout.Paper) ([]byte, error) {
	a := &layout.Audit{
		Site: cmp.Or(r.Site, "a site whose policy could not be read"), Date: r.Today.String(), Tool: "vouchmark " + r.Tool,
		Verdict: r.Verdict(), Sound: r.Sound(), Policy: policyFacts(p),
		Notes: r.Notes, Head: r.Head, Proves: r.Proves, Cautions: basis.Cautions, Paper: paper,
		Chain: []layout.Fact{
			{Name: "lines", Value: strconv.Itoa(r.Lines)}, {Name: "records", Value: strconv.Itoa(r.Records)},
			{Name: "prints", Value: strconv.Itoa(r.Prints)}, {Name: "first day", Value: r.First.String()}, {Name: "last day", Value: r.Last.String()},
		},
	}
	for _, s := range standing.States {
		if n := r.Standing[s]; n > 0 {
			a.Standing = append(a.Standing, layout.Count{What: string(s), N: n})
		}
	}
	for _, x := range r.Problems {
		a.Problems = append(a.Problems, layout.Problem{Where: x.Where, What: x.What, Do: x.Do})
	}
	for _, l := range r.Labels {
		a.Labels = append(a.Labels, layout.AuditLabel{ID: l.ID, Area: l.Area, Code: string(l.Code), Printed: l.Printed.String(), Mounted: l.Mounted.String(),
			Review: l.ReviewBy, Standing: cmp.Or(string(l.Standing), "not judged"), Doubt: l.Standing != standing.Holds && l.Standing != standing.FallsDue, Signed: strings.Join(l.Signed, ", ")})
	}
	for _, s := range r.Signatures {
		a.Signatures = append(a.Signatures, layout.Signature{Who: cmp.Or(s.By, "somebody unknown"), What: s.What, When: s.Date.String(), Verified: string(s.Verdict), Doubt: s.Verdict != seal.Verified})
	}
	return layout.WritePages(layout.Document{Title: "Audit of labels and records", Language: "en", Date: r.Today.Time()}, layout.AuditPages(a))
}

// policyFacts are what of a policy decides its labels.
func policyFacts(p *assess.Policy) []layout.Fact {
	if p == nil {
		return nil
	}
	facts := []layout.Fact{
		{Name: "edition", Value: p.Edition}, {Name: "units", Value: string(p.Units)},
		{Name: "cutoff", Value: fmt.Sprintf("%g cal/cm²", float64(p.Cutoff))},
	}
	for _, r := range p.Ladder {
		facts = append(facts, layout.Fact{Name: r.Kit, Value: fmt.Sprintf("rated %g cal/cm²", float64(r.Rating))})
	}
	facts = append(facts,
		layout.Fact{Name: "review", Value: fmt.Sprintf("every %d months, notice %d days before", p.ReviewMonths, p.NoticeDays)},
		layout.Fact{Name: "governs", Value: fmt.Sprintf("%s, tolerance %g %%", p.Govern, p.TolerancePercent)})
	if p.Govern != assess.Larger {
		facts = append(facts, layout.Fact{Name: "accepted", Value: fmt.Sprintf("by %s on %s: %s", p.GovernAcceptedBy, p.GovernDate, p.GovernReason)})
	}
	if p.MinimumGloveClass != "" {
		facts = append(facts, layout.Fact{Name: "gloves", Value: "class " + p.MinimumGloveClass + " at least"})
	}
	if p.TwoSecondReason != "" {
		facts = append(facts, layout.Fact{Name: "two seconds", Value: p.TwoSecondReason})
	}
	return facts
}
