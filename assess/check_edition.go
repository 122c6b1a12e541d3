package assess

import (
	"regexp"
	"strings"
)

// edition is the name of a standard and the year of its edition.
var edition = regexp.MustCompile(`^(.*?)[ \-:]*(\d{4})$`)

// OlderEdition reports whether a study's edition is an older one of the site's
// standard; false if the two cannot be compared.
func OlderEdition(study, site string) bool {
	a, b := edition.FindStringSubmatch(strings.TrimSpace(study)), edition.FindStringSubmatch(strings.TrimSpace(site))
	return a != nil && b != nil && strings.EqualFold(a[1], b[1]) && a[2] < b[2]
}

// ofMethod matches the names of IEEE Std 1584 and its amendments.
var ofMethod = regexp.MustCompile(`1584`)

// aYear is the year of an edition.
var aYear = regexp.MustCompile(`(19|20)\d\d`)

// checkEdition finds a study made to an older edition than the site follows, or by
// an older edition of IEEE 1584. Its label may still hold: the tables seldom change
// what a label says. The equations of 2002 have no electrode configurations, and
// may give less than those of 2018.
func (a *Assessment) checkEdition() {
	older, oldMethod := false, false
	for _, c := range a.Location.Cases {
		if !older && OlderEdition(c.Edition, a.Policy.Edition) {
			older = true
			a.cautionf(c.Line, OlderEditionCode, "edition", "the study follows %s, but the site follows %s; "+
				"ask the engineer of the study what the newer edition changes", c.Edition, a.Policy.Edition)
		}
		year := aYear.FindString(strings.ReplaceAll(c.Edition, "1584", ""))
		if !oldMethod && ofMethod.MatchString(c.Edition) && year != "" && year < "2018" {
			oldMethod = true
			a.cautionf(c.Line, OldMethod, "edition", "the study follows %s, whose equations do not distinguish electrode configurations "+
				"and may give less than those of 2018; ask the engineer of the study for results by IEEE 1584-2018", c.Edition)
		}
	}
}
