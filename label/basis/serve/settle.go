package serve

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// A settlement and a review: a named person decides which labels hold, or do not. The scope is
// never taken for granted, except the label whose page led here.

// scopeShown are the labels of which a form asks whether they are meant.
type scopeShown struct {
	Legend string
	Labels []scoped
	More   int    // how many others there are
	Typed  string // ids that were typed
}

// scoped is one of them.
type scoped struct {
	ID, Equipment string
	State         state
	Why           string // what the screening of a label to be covered gives; else ""
	Checked       bool
}

// scopeOf are the places that a test finds, as a form offers them.
func scopeOf(legend string, v *plant.Plant, f *fields, is func(*plant.Place) bool) scopeShown {
	all := scopeShown{Legend: legend}
	for i := range v.Places {
		p := &v.Places[i]
		switch {
		case !is(p):
		case len(all.Labels) == mostOffered:
			all.More++
		default:
			is, _, why := standingOf(v, p.ID())
			all.Labels = append(all.Labels, scoped{p.ID(), p.Assessment.Location.Equipment, is, why, f.Has("scope", p.ID())})
		}
	}
	for _, word := range f.Many["scope"] { // what is not ticked above was typed
		if word != scopeAll && word != "" && !slices.ContainsFunc(all.Labels, func(l scoped) bool { return l.ID == word }) {
			all.Typed = word
		}
	}
	return all
}

// scopeAll is the scope of every label.
const scopeAll = "all"

// scope is what was sent of it: ids that were ticked, others that were typed, or all.
func scope(f *fields, v *plant.Plant) []string {
	var words []string
	for _, word := range f.Many["scope"] {
		words = append(words, idsOf(v, word)...)
	}
	if len(words) == 0 {
		f.Errors["scope"] = "say which labels are meant"
	}
	return words
}

// settleShown is what the form of a settlement shows.
type settleShown struct {
	Changes []choice
	Change  *assess.Change // that is to be settled; nil where none is chosen
	Logged  string         // by whom
	scopeShown
	fields
}

// choice is one of several changes.
type choice struct{ ID, Words string }

// settling is the query of the form for a change.
func settling(id string) string { return url.Values{"change": {id}}.Encode() }

var settle = &entryForm{
	title: "Settle a change", before: "Before you settle this change", saved: "The change is settled", page: "settle.html",
	keep: []string{"change", "scope", "date", "by", "reason", "against_screening"},
	fresh: func(r *http.Request, s *snapshot, f *fields) {
		f.Value["change"] = r.URL.Query().Get("change")
		if p, ok := s.book.Shelf.Site.Place(r.URL.Query().Get("at")); ok && questions(p, f.Value["change"]) {
			f.Many["scope"] = []string{p.ID()}
		}
	},
	data: func(s *snapshot, f *fields) any {
		v := s.book.Shelf.Site
		shown := &settleShown{fields: *f}
		changes := v.Site.Log.Changes
		for i := range slices.Backward(changes) {
			c := &changes[i]
			if len(shown.Changes) < mostOffered {
				shown.Changes = append(shown.Changes, choice{c.ID, fmt.Sprintf("%s: %s", c.ID, c.Kind.Name)})
			}
			if c.ID == f.Value["change"] {
				shown.Change, shown.Logged = c, v.History.Notes.Role(c.Sum).With(c.By)
			}
		}
		if shown.Change != nil {
			shown.scopeShown = scopeOf("Which labels hold even so?", v, f, func(p *plant.Place) bool { return questions(p, shown.Change.ID) })
			slices.SortStableFunc(shown.Labels, func(a, b scoped) int { // what is meant is seen first
				switch {
				case a.Checked == b.Checked:
					return 0
				case a.Checked:
					return -1
				}
				return 1
			})
		}
		return shown
	},
	told: func(f *fields, v *plant.Plant) logbook.Entry {
		t := &logbook.Settlement{Change: f.Value["change"], Scope: scope(f, v), Date: f.day("date"), By: f.by(),
			Reason: f.said("reason", "say why these labels hold even so", record.LongestReason), AgainstScreening: f.Value["against_screening"]}
		if t.Change == "" {
			f.Errors["change"] = "choose a change"
		}
		return t
	},
	entered: func(f *fields, v *plant.Plant) []entered {
		x := f.Value
		return repeated(entered{"Change", x["change"]}, entered{"Hold even so", meant(scope(f, v))}, entered{"Decided by", f.who()},
			entered{"Date of the decision", x["date"]}, entered{"Reason", x["reason"]},
			entered{"Reason against the screening", x["against_screening"]})
	},
	extent: func(f *fields, before, after *plant.Plant) string { return extentOf(f.Value["change"], before, after) },
}

// questions reports whether a change puts the label of a place in question. One that more than five
// changes put in question may be among them.
func questions(p *plant.Place, change string) bool {
	reasons := p.Judged().Reasons
	for i := range reasons {
		open := openChanges(&reasons[i])
		if slices.Contains(open, change) || len(open) < reasons[i].Count && len(open) > 0 {
			return true
		}
	}
	return false
}

// extentOf says for how many labels a change is settled now, and for how many it is not.
func extentOf(change string, before, after *plant.Plant) string {
	settled, still := 0, 0
	for i := range after.Places {
		p := &after.Places[i]
		was, ok := before.Place(p.ID())
		switch {
		case doubted(after, p, change):
			still++
		case ok && doubted(before, was, change):
			settled++
		}
	}
	text := " for " + report.Plural(settled, "label")
	switch still {
	case 0:
	case 1:
		text += "; 1 label is still in question because of it"
	default:
		text += fmt.Sprintf("; %d labels are still in question because of it", still)
	}
	return text
}

// doubted is [questions] for who counts: a label that so many changes put in question that not all
// are named counts unless a settlement of this one names it.
func doubted(v *plant.Plant, p *plant.Place, change string) bool {
	if !questions(p, change) {
		return false
	}
	reasons := p.Judged().Reasons
	if slices.ContainsFunc(reasons, func(r standing.Reason) bool { return slices.Contains(openChanges(&r), change) }) ||
		slices.Contains(p.Judged().Held, change) {
		return true
	}
	return !slices.ContainsFunc(v.Site.Log.Settlements, func(s assess.Settlement) bool {
		return s.Change == change && s.Scope.Holds(p.ID())
	})
}

// reviewShown is what the form of a review shows.
type reviewShown struct {
	scopeShown
	fields
}

var review = &entryForm{
	title: "Review a study", before: "Before you save this review", saved: "The review is logged", page: "review.html",
	keep: []string{"scope", "finding", "date", "by", "reason"},
	fresh: func(r *http.Request, s *snapshot, f *fields) {
		f.Value["at"] = r.URL.Query().Get("at") // it is offered, and not taken for granted
		f.id("at", s.book.Shelf.Site)
	},
	data: func(s *snapshot, f *fields) any {
		return &reviewShown{scopeOf("Which locations?", s.book.Shelf.Site, f, func(p *plant.Place) bool {
			return p.ID() == f.Value["at"] || f.Has("scope", p.ID())
		}), *f}
	},
	told: func(f *fields, v *plant.Plant) logbook.Entry {
		t := &logbook.Review{Scope: scope(f, v), Finding: f.Value["finding"], Date: f.day("date"), By: f.by(),
			Reason: f.said("reason", "say what the finding rests on", record.LongestReason)}
		if finds := assess.Finds(t.Finding); finds != assess.FoundRight && finds != assess.FoundWrong {
			f.Errors["finding"] = "choose right or wrong"
		}
		return t
	},
	entered: func(f *fields, v *plant.Plant) []entered {
		x := f.Value
		return repeated(entered{"Locations", meant(scope(f, v))}, entered{"Finding", x["finding"]}, entered{"Based on", x["reason"]},
			entered{"Decided by", f.who()}, entered{"Date of the decision", x["date"]})
	},
}

// against puts a refusal of labels that are printed too low into the words of the page.
func against(e *logbook.AgainstError) string {
	var low []string
	for i := range e.Low {
		if i == mostSteps {
			low = append(low, fmt.Sprintf("and %d more", len(e.Low)-i))
			break
		}
		low = append(low, e.Low[i].ID+": "+e.Low[i].Screening.Found())
	}
	text := "Not settled: by the logged changes, these labels show too little energy. " + strings.Join(low, "; ") +
		". Cover them until a study surveyed after the change is entered. A named person can take responsibility for them " +
		"even so: say why in this field."
	if e.Others != nil {
		text += " To settle it for the others, tick only these: " + strings.Join(e.Others, ", ") + "."
	}
	return text
}
