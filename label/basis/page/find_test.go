package page

import (
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/basis"
)

// What a person types or a scanner reads leads to the one label it names, or to a list
// of all that fit; a part of an id leads nowhere by itself.
func TestFind(t *testing.T) {
	b := mill(t, "2026-05-01", nil)
	b.Shelf.Site.Site.Policy.Link = "HTTPS://LABELS.EXAMPLE.ORG"
	all := b.entries()
	one := &all[slices.IndexFunc(all, func(e entry) bool { return e.ID == "BARK-P1" })]
	place := strings.TrimSuffix(one.Path, "index.html")
	code := string(one.Code)
	facts := strings.TrimSuffix(strings.TrimPrefix(place, "V/"+code+"/"), "/")
	for _, c := range []struct {
		text, place string
		elsewhere   bool
	}{
		{text: "BARK-P1", place: one.Path},
		{text: " barkp1 ", place: one.Path},
		{text: "bark p1", place: one.Path},
		{text: "BARK-P"},
		{text: "P1"},
		{text: "bark shed"},
		{text: "DANGER"},
		{text: "-"},
		{text: code, place: "V/" + code + "/"},
		{text: strings.ToLower(strings.ReplaceAll(code, "-", "")), place: "V/" + code + "/"},
		{text: code + " " + facts, place: place},
		{text: "HTTPS://LABELS.EXAMPLE.ORG/V/" + code + "/" + facts, place: place},
		{text: "https://labels.example.org/v/" + code + "/" + facts + "/", place: place},
		{text: "http://127.0.0.1:8470/V/" + code, place: "V/" + code + "/"},
		{text: "HTTPS://LABELS.EXAMPLE.ORG/V/" + code + "/ALTERED", place: "V/" + code + "/ALTERED/"},
		{text: "HTTPS://OTHER.EXAMPLE.ORG/V/" + code + "/" + facts, elsewhere: true},
		{text: "HTTPS://LABELS.EXAMPLE.ORG/NORTH/V/" + code, elsewhere: true},
		{text: "0000-0000-0000-0000", place: "V/0000-0000-0000-0000/"},
	} {
		if got, elsewhere := b.Straight(c.text); got != c.place || elsewhere != c.elsewhere {
			t.Errorf("%q leads to %q, %v", c.text, got, elsewhere)
		}
	}
	ids := func(a Asked) (ids []string) {
		for _, e := range a.find(all) {
			ids = append(ids, e.ID)
		}
		return ids
	}
	count := func(is func(*entry) bool) (n int) {
		for i := range all {
			n += btoi(is(&all[i]))
		}
		return n
	}
	for _, c := range []struct {
		asked Asked
		want  func(*entry) bool
	}{
		{Asked{Text: "cat 2"}, func(e *entry) bool { return e.Kit == "CAT 2" }},
		{Asked{Text: "warning"}, func(e *entry) bool { return e.Signal == "WARNING" }},
		{Asked{Text: "bark CAT 2 warning"}, func(e *entry) bool { return strings.HasPrefix(e.ID, "BARK") && e.Kit == "CAT 2" }},
		{Asked{Text: "barkp"}, func(e *entry) bool { return strings.HasPrefix(e.ID, "BARK-P") }},
		{Asked{Text: "cover"}, func(e *entry) bool { return e.cover }},
		{Asked{Standing: "cover"}, func(e *entry) bool { return e.tooLow }},
		{Asked{Standing: "in question"}, func(e *entry) bool { return e.status == basis.Sign(standing.InQuestion) }},
		{Asked{Area: "Bark shed", Kit: "CAT 2"}, func(e *entry) bool { return e.Area == "Bark shed" && e.Kit == "CAT 2" }},
		{Asked{Signal: "WARNING"}, func(e *entry) bool { return e.Signal == "WARNING" }},
		{Asked{Text: "no such thing"}, func(*entry) bool { return false }},
	} {
		found := c.asked.find(all)
		for i := range found {
			if !c.want(&found[i]) {
				t.Errorf("%+v finds %s", c.asked, found[i].ID)
			}
		}
		if want := count(c.want); len(found) != want || want == 0 && c.asked.Text != "no such thing" {
			t.Errorf("%+v finds %d, not %d", c.asked, len(found), want)
		}
	}
	if got := ids(Asked{Sort: "id"}); !slices.IsSortedFunc(got, assess.Natural) || len(got) != len(all) {
		t.Error(got)
	}
	if got := (&Asked{Sort: "area"}).find([]entry{{ID: "P-14", Area: "Bay 2"}, {ID: "P-2", Area: "Bay 10"}, {ID: "P-2", Area: "Bay 2"}}); got[0].ID != "P-2" || got[1].ID != "P-14" || got[2].Area != "Bay 10" {
		t.Error(got)
	}
	if got := ids(Asked{Sort: "worst"}); got[0] != "BARK-P1" {
		t.Error(got)
	}
	energies := (&Asked{Sort: "energy"}).find(all)
	if !slices.IsSortedFunc(energies, func(x, y entry) int { return int(1000 * (y.energy - x.energy)) }) {
		t.Error("not by energy")
	}
}
