package serve

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// Where a page cannot list all labels, those to be covered are listed all, and first.
func TestCoverComesFirst(t *testing.T) {
	v := &plant.Plant{}
	var ids []string
	for i := range mostSteps + 5 {
		p := plant.Unlisted{ID: fmt.Sprintf("X-%02d", i)}
		p.Printed.Standing.Status = standing.Lapsed
		if i > mostSteps { // the last ones
			p.Printed.Standing = standing.Standing{Status: standing.InQuestion, TooLow: true,
				Screening: &standing.Screening{Over: true, Detail: "9 cal/cm², above the printed 7: cover the label"}}
		}
		if i == mostSteps {
			p.Printed.Standing.Status = standing.InQuestion
		}
		v.Unlisted, ids = append(v.Unlisted, p), append(ids, p.ID)
	}
	all := nextOf(v, ids, func(id string) []step { return []step{{id, "mounted/"}} })
	var urgent []string
	for _, u := range all.Urgent {
		urgent = append(urgent, u.Text+" "+u.State.Class+" "+u.Why)
	}
	if want := []string{"X-21 cover 9 cal/cm², above the printed 7", "X-22 cover 9 cal/cm², above the printed 7",
		"X-23 cover 9 cal/cm², above the printed 7", "X-24 cover 9 cal/cm², above the printed 7"}; !slices.Equal(urgent, want) {
		t.Errorf("to cover: %q", urgent)
	}
	if all.Steps[0].Text != "X-20" || len(all.Steps)+len(all.Further) != mostSteps+1 || all.Folded != "and likewise for 5 more" {
		t.Errorf("%q, %q: %q", all.Steps, all.Folded, all.Further)
	}
}

// An id in other capitals is taken for the one that differs in nothing else, and never guessed.
func TestIDInOtherCapitals(t *testing.T) {
	p := newPlant(t, true)
	v := p.Handler.current().book.Shelf.Site
	v.Site.Policy.Former = []string{"Old-1", "OLD-1"}
	for typed, want := range map[string]string{" tub-mc4 ": "TUB-MC4", "TUB-MC4": "TUB-MC4", "tubmc4": "tubmc4", "old-1": "old-1", "Old-1": "Old-1", "": ""} {
		if got := idOf(v, typed); got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}

// The overlay that was printed for a label on the equipment is what a new form marks.
func TestOverlayIsMarkedFirst(t *testing.T) {
	p := newPlant(t, true)
	p.notes = true
	p.sends(t, "/mounted/", p.filled(t, "/mounted/?at=REP-LP1", "by", "A. Sample", "date", "2026-05-01"))
	p.logged(t)
	p.sends(t, "/overlay/", p.filled(t, "/overlay/?at=REP-LP1", "by", "A. Sample", "stock", "4x4"))
	body := p.get("/mounted/?at=rep-lp1").Body.String()
	says(t, body, `value="overlay" checked`, "the later note counts")
	if strings.Contains(body, `value="label" required checked`) {
		t.Error("the label is marked too")
	}
	p.sends(t, "/mounted/", p.filled(t, "/mounted/?at=REP-LP1", "by", "A. Sample", "date", "2026-05-01", "what", "overlay"))
	says(t, p.get("/mounted/?at=REP-LP1").Body.String(), `value="label" required checked`)
}
