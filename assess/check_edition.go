package assess

import (
	"regexp"
	"strings"
)

// edition splits an edition into the name of a standard and the year, four digits at the
// end; ok is false if there is none.
func edition(s string) (name, year string, ok bool) {
	s = strings.TrimSpace(s)
	at := len(s) - len("2024")
	if at < 0 || strings.Trim(s[at:], "0123456789") != "" {
		return "", "", false
	}
	return strings.TrimRight(s[:at], " -:"), s[at:], true
}

// OlderEdition reports whether a study's edition is an older one of the site's
// standard; false if the two cannot be compared.
func OlderEdition(study, site string) bool {
	name, year, ok := edition(study)
	same, now, known := edition(site)
	return ok && known && strings.EqualFold(name, same) && year < now
}

// aYear is the year of an edition.
var aYear = regexp.MustCompile(`(19|20)\d\d`)

// checkEdition finds a study made to an older edition than the site follows, or by
// an older edition of IEEE 1584. Its label may still hold: the tables seldom change
// what a label says. The equations of 2002 have no electrode configurations, and
// may give less than those of 2018.
func (a *Assessment) checkEdition() {
	older, oldMethod := false, false
	for i := range a.Location.Cases {
		c := &a.Location.Cases[i]
		if !older && OlderEdition(c.Edition, a.Policy.Edition) {
			older = true
			a.cautionf(c.Line, OlderEditionCode, "edition", "the study follows %s, but the site follows %s; "+
				"ask the engineer of the study what the newer edition changes", c.Edition, a.Policy.Edition)
		}
		if oldMethod || !strings.Contains(c.Edition, "1584") { // IEEE Std 1584 and its amendments
			continue
		}
		if year := aYear.FindString(strings.ReplaceAll(c.Edition, "1584", "")); year != "" && year < "2018" {
			oldMethod = true
			a.cautionf(c.Line, OldMethod, "edition", "the study follows %s, whose equations do not distinguish electrode configurations "+
				"and may give less than those of 2018; ask the engineer of the study for results by IEEE 1584-2018", c.Edition)
		}
	}
}
