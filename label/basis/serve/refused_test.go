package serve

import (
	"strings"
	"testing"

	"vouchmark/label/plant"
)

// What was not printed is folded below what comes next, and says how it is counted.
func TestNotPrintedIsFolded(t *testing.T) {
	p := newPlant(t, true)
	plan, print := p.site.Desk.Plan, p.site.Desk.Print
	p.Handler.site.Desk.Plan = func(v *plant.Plant, o Order) (*Sheets, error) {
		made, err := plan(v, o)
		if err == nil {
			made.Refused = []NotPrinted{{"REP-LP1", Refusal{Why: "REP-LP1 is invented"}}, {"NEW-1", Refusal{Why: "NEW-1 is invented"}}}
		}
		return made, err
	}
	p.Handler.site.Desk.Print = func(o Order) (*Printed, error) {
		made, err := print(o)
		if err == nil {
			made.Refused = []Refusal{{Why: "REP-LP1 is invented"}, {Why: "NEW-1 is invented"}}
		}
		return made, err
	}
	form := p.filled(t, "/print/?only=TUB-MC4", "by", "A. Sample", "stock", "4x4")
	const of = "<summary>Not printed: 2: 1 never printed, 1 with an earlier label, which the start page counts by its standing</summary>"
	says(t, p.get("/print/?only=TUB-MC4").Body.String(), of)
	page := p.sends(t, "/print/", form)
	says(t, page, of, "<li>NEW-1 is invented.</li>", "<h2>Next</h2>")
	if strings.Index(page, of) < strings.Index(page, "<h2>Next</h2>") || strings.Count(page, "NEW-1") != 1 {
		t.Error("what was not printed comes before what is next:", page)
	}
}
