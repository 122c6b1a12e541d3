package page

import (
	"cmp"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/report"
)

// Asked is what somebody looks for among the labels. Empty fields ask for nothing.
type Asked struct {
	Text                        string // words, each of which must be found
	Area, Standing, Kit, Signal string // what the label must have
	Sort                        string // one of sorts; "" for the order of locations.csv
}

// Any reports whether anything is asked for.
func (a *Asked) Any() bool { return *a != Asked{} }

// sorts are the orders of a list, in the words of the form.
var sorts = []option{{"worst", "worst first"}, {"id", "id"}, {"area", "area"}, {"energy", "highest energy first"}}

// option is one choice of a list in the form.
type option struct{ Value, Word string }

// Straight is where a text leads at once, without a list: to the page that a scanned QR
// code or a code names, or to that of the one location whose id it is, also without
// hyphens and in small letters. "" for a list. elsewhere says that the text is the link
// of another site. A part of an id leads nowhere: LP-1 must not show the label of LP-12.
func (b *Book) Straight(text string) (place string, elsewhere bool) {
	all := b.entries()
	id := report.Squash(text)
	var named []*entry
	for i := range all {
		if e := &all[i]; id != "" && report.Squash(e.ID) == id && e.status != basis.Sign(standing.Replaced) {
			named = append(named, e)
		}
	}
	scanned, err := label.ParseQR(text)
	switch {
	case err != nil || named != nil && !scanned.Path:
		if err != nil && len(named) == 1 {
			return named[0].Path, false
		}
		return "", false
	case !scanned.Of(b.Shelf.Site.Site.Policy.Links()):
		return "", true
	}
	known := slices.ContainsFunc(all, func(e entry) bool { return e.Code == scanned.Code })
	if asked := (&Asked{Text: text}).terms(all); !known && !scanned.Path && slices.ContainsFunc(all, func(e entry) bool { return e.matches(asked) }) {
		return "", false // a word that only looks like a code
	}
	place = "V/" + string(scanned.Code) + "/"
	if scanned.Facts != "" {
		place += scanned.Facts + "/"
	}
	return place, false
}

// terms are the words of the text. The name of a kit is one term, also where it is several words.
func (a *Asked) terms(all []entry) []string {
	kits := map[string]bool{}
	for i := range all {
		kits[strings.ToLower(all[i].Kit)] = true
	}
	var terms []string
	words := strings.Fields(strings.ToLower(a.Text))
	for len(words) > 0 {
		n := len(words)
		for ; n > 1 && !kits[strings.Join(words[:n], " ")]; n-- {
		}
		terms, words = append(terms, strings.Join(words[:n], " ")), words[n:]
	}
	return terms
}

// matches reports whether each term is the kit or the signal word, or in the id, the
// area, the equipment, the code, the standing or what is to be done.
func (e *entry) matches(terms []string) bool {
	text := strings.ToLower(strings.Join([]string{e.ID, e.Area, e.Equipment, string(e.Code), e.Word, e.do()}, "\n"))
	id, code := report.Squash(e.ID), report.Squash(string(e.Code))
	for _, t := range terms {
		short := report.Squash(t)
		switch {
		case t == strings.ToLower(e.Kit), t == strings.ToLower(string(e.Signal)), strings.Contains(text, t):
		case short != "" && (strings.Contains(id, short) || strings.Contains(code, short)):
		default:
			return false
		}
	}
	return true
}

// has reports whether an entry has what the filters ask for.
func (a *Asked) has(e *entry) bool {
	is := func(asked, value string) bool { return asked == "" || asked == value }
	return is(a.Area, e.Area) && is(a.Kit, e.Kit) && is(a.Signal, string(e.Signal)) &&
		(is(a.Standing, string(e.status)) || a.Standing == string(basis.Cover) && e.tooLow)
}

// find lists the entries that are asked for, in the order asked for.
func (a *Asked) find(all []entry) (found []entry) {
	terms := a.terms(all)
	for i := range all {
		if e := &all[i]; a.has(e) && e.matches(terms) {
			found = append(found, *e)
		}
	}
	switch a.Sort {
	case "worst":
		return worst(found)
	case "id":
		slices.SortStableFunc(found, func(x, y entry) int { return assess.Natural(x.ID, y.ID) })
	case "area":
		return sorted(found, byArea)
	case "energy":
		slices.SortStableFunc(found, func(x, y entry) int { return cmp.Compare(y.energy, x.energy) })
	}
	return found
}

func byArea(x, y *entry) int {
	if c := assess.Natural(x.Area, y.Area); c != 0 {
		return c
	}
	return assess.Natural(x.ID, y.ID)
}

// choices are what can be filtered by.
type choices struct {
	Areas, Kits      []string
	Standings, Sorts []option
	Signals          []assess.Signal
}

func choicesOf(all []entry) *choices {
	c := choices{Sorts: sorts, Signals: []assess.Signal{assess.Danger, assess.Warning}}
	areas, kits, states := map[string]bool{}, map[string]bool{}, map[basis.Sign]bool{}
	for i := range all {
		e := &all[i]
		areas[e.Area], kits[e.Kit], states[e.status] = true, true, true
		states[basis.Cover] = states[basis.Cover] || e.tooLow
	}
	for _, s := range append([]count{tooLowCount}, counted...) {
		if states[s.Sign] {
			c.Standings = append(c.Standings, option{string(s.Sign), s.Word})
		}
	}
	c.Areas, c.Kits = named(areas), named(kits)
	return &c
}

// named are the names in a set, in their order.
func named(set map[string]bool) (all []string) {
	for name := range set {
		if name != "" {
			all = append(all, name)
		}
	}
	slices.SortFunc(all, assess.Natural)
	return all
}
