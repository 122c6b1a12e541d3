package assess

import (
	"regexp"
	"strings"
)

// Sources that supply little fault current, or not for long: a device may never see
// enough to clear instantaneously. A row's class, equipment or note says so in one of
// these words. An inverter or UPS limits everything below it; of the others only a
// source of the plant counts, since a row for a generator's pump is not a generator.
var (
	limitedWords   = regexp.MustCompile(`(?i)\b(inverters?|UPS|solar|photovoltaics?|PV|generators?|gensets?)\b`)
	converterWords = regexp.MustCompile(`(?i)\b(inverters?|UPS)\b`)
)

// speaking holds the locations that say that they are a limited source.
type speaking struct {
	equipment, converter []bool   // by class and equipment
	note                 [][]bool // by the note of each case
}

func newSpeaking(s *Site) *speaking {
	limited, converter := remembered(limitedWords.MatchString), remembered(converterWords.MatchString)
	n := len(s.Locations)
	p := &speaking{make([]bool, n), make([]bool, n), make([][]bool, n)}
	for i := range s.Locations {
		l := &s.Locations[i]
		words := l.Class + " " + l.Equipment
		p.equipment[i], p.converter[i] = limited(words), converter(words)
		for k := range l.Cases {
			p.note[i] = append(p.note[i], limited(l.Cases[k].Note))
		}
	}
	return p
}

// remembered asks only once about each text: many rows have the same.
func remembered(ask func(string) bool) func(string) bool {
	known := map[string]bool{}
	return func(text string) bool {
		is, asked := known[text]
		if !asked {
			is = ask(text)
			known[text] = is
		}
		return is
	}
}

// limited gives for each place the limited source of its row: itself, or the first
// upstream in the order of its feeds; none for none.
func (f *network) limited(w *wiring, at []int) []int {
	source, carried := make([]int, len(at)), make([]int, len(at)) // carried: for what it feeds
	for _, group := range w.Groups {                              // what feeds comes first
		for _, v := range group {
			source[v], carried[v] = none, none
			if w.OnLoop(v) {
				continue
			}
			for _, u := range w.Up[v] {
				if carried[u] != none && carried[v] == none {
					carried[v] = carried[u]
				}
			}
			source[v] = carried[v]
			if says := f.speaks.equipment[v] || len(f.speaks.note[v]) > 0 && f.speaks.note[v][at[v]]; says {
				source[v] = v
				if f.speaks.converter[v] || f.source[v] || len(w.Up[v]) == 0 && !w.blind[v] {
					carried[v] = v
				}
			}
		}
	}
	return source
}

// checkLimited finds a short arc duration that a limited source may never cause.
func (f *network) checkLimited(a *Assessment, k int) {
	l := a.Location
	c, at := &l.Cases[k], f.rows[f.index[l.ID]][k].limited
	ms := a.shortest(k)
	if at == none || ms == 0 || ms >= 2000 || c.Device == "" && c.Curve == "" {
		return
	}
	s := &f.site.Locations[at]
	what := "its source has limited fault current"
	if s.ID != l.ID {
		what = s.ID + " upstream is a source with limited fault current"
	}
	words := strings.TrimSpace(s.Equipment)
	if words != "" {
		what += " (" + words + ")"
	}
	a.cautionf(c.Line, SourceLimited, "clear_ms", "%s%s, but %s is said to clear in %.4g ms: an inverter, a UPS, "+
		"solar strings or a generator may never supply the current for that; ask the engineer of the study for the arc duration "+
		"at the fault current of this source (common practice: two seconds if none is known)",
		l.caseWords(c), what, c.deviceName(), ms)
}

// shortest is the shortest arc duration of a case, stated in its row or read from its
// curve; 0 for none.
func (a *Assessment) shortest(k int) MS {
	c := &a.Location.Cases[k]
	all := []MS{c.Clear, c.ClearReduced}
	if r := a.Computed[k]; r != nil {
		all = append(all, r.Clear, r.ClearReduced)
	}
	var least MS
	for _, ms := range all {
		if ms > 0 && (least == 0 || ms < least) {
			least = ms
		}
	}
	return least
}
