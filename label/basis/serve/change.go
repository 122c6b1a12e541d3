package serve

import (
	"net/http"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/site"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
)

// mostOffered is how many ids a form offers; any other can be typed.
const mostOffered = 2000

// changeShown is what the form of a change shows.
type changeShown struct {
	IDs   []string
	Kinds []assess.ChangeKind
	fields
}

var change = &entryForm{
	title: "Log a change", before: "Before you save this change", saved: "The change is logged", page: "change.html",
	keep: []string{"at", "kind", "date", "by", "note", "fault_ka", "clear_ms", "clear_reduced_ms", "curve", "case"},
	fresh: func(r *http.Request, s *snapshot, f *fields) {
		f.Value["at"] = r.URL.Query().Get("at")
		f.id("at", s.book.Shelf.Site)
	},
	data: func(s *snapshot, f *fields) any {
		return &changeShown{IDs: offered(s), Kinds: assess.ChangeKinds, fields: *f}
	},
	told: func(f *fields, v *plant.Plant) logbook.Entry { return toldChange(f, v) },
	entered: func(f *fields, v *plant.Plant) []entered {
		x := f.Value
		return repeated(entered{"Location", named(v, x["at"])}, entered{"What was changed", x["kind"]}, entered{"Date of the change", x["date"]},
			entered{"Reported by", f.who()}, entered{"Note", x["note"]},
			entered{"New available fault current", inUnit(x["fault_ka"], "kA")},
			entered{"New clearing time at the arcing current", inUnit(x["clear_ms"], "ms")},
			entered{"New clearing time at the reduced arcing current", inUnit(x["clear_reduced_ms"], "ms")},
			entered{"New clearing curve", x["curve"]}, entered{"Case of the new values", x["case"]})
	},
}

// offered are the ids that a form offers.
func offered(s *snapshot) (ids []string) {
	places := s.book.Shelf.Site.Places
	for i := range min(len(places), mostOffered) {
		ids = append(ids, places[i].ID())
	}
	return ids
}

// toldChange is the change that was entered in a form.
func toldChange(f *fields, v *plant.Plant) *logbook.Change {
	c := &logbook.Change{At: f.id("at", v), Kind: f.Value["kind"], Note: f.Value["note"]}
	if _, ok := v.Place(c.At); !ok && !slices.Contains(v.Site.Policy.Former, c.At) {
		f.wrong(&near.UnknownID{IDs: []string{c.At}, Known: v.Site.IDs()})
	}
	if _, err := site.ParseKind(c.Kind); err != nil {
		f.Errors["kind"] = err.Error()
	}
	c.Date, c.By = f.day("date"), f.by()
	one := func(name string) []string {
		text := f.Value[name]
		if text == "" {
			return nil
		}
		if strings.Contains(text, "=") { // it would name another location
			f.Errors[name] = "expected only the value"
		}
		return []string{text}
	}
	c.FaultKA, c.ClearMS, c.ClearReducedMS = one("fault_ka"), one("clear_ms"), one("clear_reduced_ms")
	c.Curve, c.Case = one("curve"), f.Value["case"]
	return c
}
