package audit

import (
	"fmt"

	"vouchmark/label/report"
)

// mirror adds what a comparison with the mirror found.
func (a *audit) mirror() {
	c := a.o.Mirror
	if c == nil {
		return
	}
	a.Mirror = c
	for _, p := range c.Problems {
		a.add(Problem(p))
	}
	a.Notes = append(a.Notes, c.Notes...)
}

// mirrored reports whether a mirror shows that no newest line was removed: it has lines, and all of them are here.
func (a *audit) mirrored() bool {
	c := a.o.Mirror
	return c != nil && c.Same > 0 && c.Same == c.Lines && len(c.Problems) == 0
}

// mirrorSays is what the mirror has, in a sentence.
func (r *Report) mirrorSays() string {
	c := r.Mirror
	text := fmt.Sprintf("%s, %s; %d of them as here, with %s; %d read back", c.Address, report.Plural(c.Lines, "line"), c.Same,
		report.Plural(c.Files, "other file"), c.Read)
	if !c.Since.IsZero() {
		text += fmt.Sprintf("; the newest stored %s by the store's clock", c.Since.UTC().Format("2006-01-02 15:04 UTC"))
	}
	if c.Waiting > 0 {
		text += fmt.Sprintf("; %s of the ledger wait for it", report.Plural(c.Waiting, "line"))
	}
	return text
}

// mirrorProves is what a comparison without problems shows; "" where there was none.
func (a *audit) mirrorProves() string {
	if !a.mirrored() {
		return ""
	}
	return fmt.Sprintf("The mirror has the first %s of this ledger, and no others: if nobody who writes to this folder can alter the mirror, "+
		"then none of these lines, and no record that they name, was altered, removed, added or moved since it was stored there.",
		report.Plural(a.o.Mirror.Same, "line"))
}
