package site

import (
	"embed"
	"fmt"
	"strings"

	"vouchmark/assess"
)

//go:embed starter
var starter embed.FS

// starterPolicy is the finding that prevents printing while the policy is the starter's:
// everything there that decides a label is invented. It names the lines to read.
func starterPolicy(n *node, p *assess.Policy) {
	if !p.Starter {
		return
	}
	first, last := n.line("ladder[1]"), 0
	for key, line := range n.lines.all() {
		if strings.HasPrefix(key, "ladder[") {
			last = max(last, line)
		}
	}
	line := n.line("starter")
	words := fmt.Sprintf("this is still the starter's invented policy, so only previews can be printed ({}): "+
		"read lines %d (edition), %d (cutoff_cal_cm2), %d (review_months) and %d to %d (the ladder) of %s "+
		"and enter your own values, put your study in %s, then delete line %d (starter = true)",
		n.line("edition"), n.line("cutoff_cal_cm2"), n.line("review_months"), first, last, policyFile, locationsFile, line)
	p.Findings = append(p.Findings, assess.Finding{
		Level: assess.Error, Code: assess.StarterPolicy, Field: "starter", Line: line,
		Message: assess.Remedy{Act: assess.ToPreview, Words: words}.Text(n.Command)})
}
