package report

import (
	"fmt"
	"io"
	"strings"

	"vouchmark/assess"
)

// Case is one case computed without a site folder.
type Case struct {
	Distance assess.MM
	Result   *assess.Computed // nil if nothing could be computed
	Reason   string           // why not
}

// NewCase computes the one case of a site.
func NewCase(s *assess.Site) *Case {
	in := s.Inputs(&s.Locations[0])
	r, reason, _ := assess.Compute(&in, &in.Location.Cases[0])
	return &Case{in.Location.Distance, r, reason}
}

// JSON is the case for a program: the keys of check --json, and the steps.
func (c *Case) JSON() any {
	if c.Result == nil {
		return map[string]any{"computed": nil, "not_computed": c.Reason, "problems": []string{c.Reason}}
	}
	return map[string]any{"computed": NewComputed(c.Result, true)}
}

// caseCaution is printed below every number that no policy has judged.
const caseCaution = "Use this number to check a study. Do not choose PPE by it: " +
	"results must come from, and be accepted by, a qualified person under the local code."

// Text writes the case for a person: the result, the steps, the cautions.
func (c *Case) Text(w io.Writer, width int) error {
	var b strings.Builder
	if r := c.Result; r == nil {
		b.WriteString(Wrap("not computed: "+c.Reason, "", "  ", width))
	} else {
		fmt.Fprintf(&b, "%.9g cal/cm² at %.9g in, arc-flash boundary %.9g in, by %s", r.Energy,
			c.Distance/assess.MMPerInch, r.Boundary/assess.MMPerInch, r.Method.Standard())
		if r.Governs != "" {
			fmt.Fprintf(&b, "; the %s arcing current governs", r.Governs)
		}
		b.WriteString("\n\n" + Steps(r, width) + "\n")
		for _, text := range r.CautionTexts() {
			b.WriteString(Wrap(text, "caution: ", "  ", width))
		}
		b.WriteString(Wrap(caseCaution, "", "", width))
	}
	_, err := io.WriteString(w, b.String())
	return err
}
