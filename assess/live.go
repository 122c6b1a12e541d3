package assess

import (
	"regexp"

	"vouchmark/assess/shock"
)

// liveWords name DC sources that no switch can make dead.
var liveWords = regexp.MustCompile(`(?i)\b(batter(y|ies)|solar|photovoltaics?|PV)\b`)

// StaysLive reports whether the location cannot be fully de-energized: a
// battery, and on the DC side of solar panels. Its class or the name of its
// equipment says so. Common practice.
func (l *Location) StaysLive() bool {
	return l.Class == "battery" || l.Supply == shock.DC && liveWords.MatchString(l.Equipment)
}
