package plant

import "vouchmark/assess"

// Starter refuses every label while a site's policy is still the starter's; it is
// nil for any other policy.
func Starter(p *assess.Policy) *Refusal {
	why := p.Stopped()
	if why == "" {
		return nil
	}
	return &Refusal{Why: why, Do: assess.Remedy{Words: "put your own policy into site.toml, then delete the line starter = true"}}
}
