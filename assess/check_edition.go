package assess

import (
	"regexp"
	"strings"
)

// edition is the name of a standard and the year of its edition.
var edition = regexp.MustCompile(`^(.*?)[ \-:]*(\d{4})$`)

// OlderEdition reports whether a study's edition is an older one of the same
// standard as the site's. Of editions that it cannot compare it says no.
func OlderEdition(study, site string) bool {
	a, b := edition.FindStringSubmatch(strings.TrimSpace(study)), edition.FindStringSubmatch(strings.TrimSpace(site))
	return a != nil && b != nil && strings.EqualFold(a[1], b[1]) && a[2] < b[2]
}

// checkEdition says which study was made to an older edition than the site
// follows. It may hold even so: the editions' tables seldom change what a
// label says.
func (a *Assessment) checkEdition() {
	for _, c := range a.Location.Cases {
		if OlderEdition(c.Edition, a.Policy.Edition) {
			a.cautionf(c.Line, OlderEditionCode, "edition", "the study follows %s, the site %s; "+
				"ask the engineer of the study what the newer edition changes", c.Edition, a.Policy.Edition)
			return
		}
	}
}
