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
	"vouchmark/label/report"
	"vouchmark/label/seal"
	"vouchmark/layout"
)

// AuditPDF sets the report of an audit on paper. p is the site's policy, nil
// where none could be read.
func AuditPDF(r *audit.Report, p *assess.Policy, paper layout.Paper) ([]byte, error) {
	a := &layout.Audit{
		Site: cmp.Or(r.Site, "site policy not readable"),
		Date: r.Today.String(), Tool: "vouchmark " + r.Tool,
		Verdict: r.Verdict(), Limits: r.Limited(), Sound: r.Sound(), Policy: policyFacts(p),
		Head: r.Head, Proves: r.Proves, Cautions: basis.Cautions, Paper: paper,
		Chain: []layout.Fact{
			{Name: "lines of the ledger", Value: strconv.Itoa(r.Lines)}, {Name: "records", Value: strconv.Itoa(r.Records)},
			{Name: "prints", Value: strconv.Itoa(r.Prints)},
			{Name: "first day", Value: r.First.String()}, {Name: "last day", Value: r.Last.String()},
		},
	}
	if r.Studies > 0 {
		a.Chain = append(a.Chain, layout.Fact{Name: "study files", Value: strconv.Itoa(r.Studies)})
	}
	if m := r.Mirror; m != nil {
		a.Chain = append(a.Chain, layout.Fact{Name: "lines in the mirror", Value: fmt.Sprintf("%d of %d", m.Same, r.Lines)})
	}
	for _, s := range standing.States {
		if n := r.Standing[s]; n > 0 {
			what, _ := strings.CutPrefix(r.Counted(s), strconv.Itoa(n)+" ")
			a.Standing = append(a.Standing, layout.Count{What: what, N: n})
		}
	}
	if r.Round.Any() {
		a.Round = append([]string{r.Round.Says()}, r.Areas()...)
	}
	for _, n := range r.Notes {
		a.Notes = append(a.Notes, audit.InWords(n))
	}
	for _, x := range r.Problems {
		a.Problems = append(a.Problems, layout.Problem{Where: audit.InWords(x.Where), What: audit.InWords(x.What), Do: x.Do})
	}
	for _, l := range r.Labels {
		a.Labels = append(a.Labels, layout.AuditLabel{
			ID: l.ID, Area: l.Area, Code: string(l.Code), Printed: l.Printed.String(), Mounted: l.Mounted.String(),
			Review: l.ReviewBy, Standing: cmp.Or(l.Says(), "not determined"), Signed: strings.Join(l.Signed, ", "),
			Doubt:     l.Standing != standing.Holds && l.Standing != standing.FallsDue,
			PrintedBy: l.PrintedBy, MountedBy: l.MountedBy, Seen: seenWords(&l),
		})
	}
	for _, s := range r.Signatures {
		a.Signatures = append(a.Signatures, layout.Signature{
			Who: cmp.Or(s.By, "unknown signer"), What: audit.InWords(s.What), When: s.When(),
			Verified: string(s.Verdict), Doubt: s.Verdict != seal.Verified,
		})
	}
	a.Acceptance = basis.AcceptanceMeans
	for i := range r.Findings {
		a.Findings = append(a.Findings, r.Findings[i].String())
	}
	for i := range r.Accepted {
		f := &r.Accepted[i]
		a.Accepted = append(a.Accepted, layout.AuditAccepted{ID: f.ID, Finding: f.Means() + " [" + string(f.Finding) + "]", By: f.Who(),
			Date: f.Date.String(), Until: f.Lasts(), Reason: f.Reason, Where: f.Where()})
	}
	for i := range r.Decided {
		a.Decided = append(a.Decided, r.Decided[i].String())
	}
	document := layout.Document{Title: "Audit of labels and records", Language: "en", Date: r.Today.Time()}
	return layout.WritePages(document, layout.AuditPages(a))
}

// seenWords say what somebody found on the equipment; "" where nobody looked.
func seenWords(l *audit.Label) string {
	if l.Seen.IsZero() {
		return ""
	}
	return fmt.Sprintf("seen %s%s: %s", l.Seen, report.After(" by ", l.SeenBy), report.FoundWords(l.Found))
}

// units and governing are the choices of a policy in words.
var (
	units = map[assess.Units]string{assess.US: "inches and feet, cal/cm²", assess.SI: "mm and m, J/cm² with cal/cm²",
		assess.Both: "US first, then metric"}
	governing = map[assess.Govern]string{assess.Larger: "the larger of study and recomputed",
		assess.GovernStudy: "the study's", assess.GovernComputed: "the recomputed one"}
)

// policyFacts are the parts of a policy that decide its labels.
func policyFacts(p *assess.Policy) []layout.Fact {
	if p == nil {
		return nil
	}
	var facts []layout.Fact
	add := func(name, format string, a ...any) {
		facts = append(facts, layout.Fact{Name: name, Value: fmt.Sprintf(format, a...)})
	}
	add("edition", "%s", p.Edition)
	add("units", "%s", units[p.Units])
	add("cutoff", "%g cal/cm²: no energized work above it", float64(p.Cutoff))
	for _, r := range p.Ladder {
		add(r.Kit, "rated %g cal/cm²", float64(r.Rating))
	}
	add("review", "every %d months, notice %d days in advance", p.ReviewMonths, p.NoticeDays)
	add("result", "%s governs, tolerance %g %%", governing[p.Govern], p.TolerancePercent)
	if p.Govern != assess.Larger {
		add("decided", "by %s on %s: %s", p.GovernAcceptedBy, p.GovernDate, p.GovernReason)
	}
	if p.MinimumGloveClass != "" {
		add("gloves", "Class %s or higher", p.MinimumGloveClass)
	}
	if p.TwoSecondReason != "" {
		add("2 s limit", "%s", p.TwoSecondReason)
	}
	return facts
}
