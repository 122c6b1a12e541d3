package plant

import (
	"fmt"
	"os"
	"reflect"
	"slices"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/site"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

func day(t *testing.T, s string) assess.Date {
	t.Helper()
	d, err := assess.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// The label of one location is judged alone as it is in the whole: by the
// changes that reach it over the ways that other labels know too.
func TestOfSomeLocations(t *testing.T) {
	today := day(t, "2026-06-30")
	for _, folder := range []string{"../../samples/mill", "../../testdata/records2/mill", "../../testdata/records1/mill"} {
		s, h := read(t, folder, today)
		asInTheWhole(t, s, h, today)
	}
	// A chain of which every feed was taken out of the rows after the print.
	s := &assess.Site{Policy: assess.Policy{
		Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger,
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}},
	}}
	for i := range 5 {
		l := assess.Location{ID: fmt.Sprintf("P%d", i), Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2}
		l.Cases = []assess.Case{{Method: assess.Stated, Energy: 5, Boundary: 1100, Prepared: day(t, "2026-03-14")}}
		if i > 0 {
			l.Cases[0].FedFrom = []string{fmt.Sprintf("P%d", i-1)}
		}
		s.Locations = append(s.Locations, l)
	}
	h := &record.History{Ledger: &record.Ledger{}, Labels: map[string]record.Printing{}}
	all := s.Assess(today)
	for i := range all {
		r, _ := stored(t, record.New(&all[i]))
		h.Labels[r.Location.ID] = record.Printing{Label: &record.Label{Since: today, Printed: today}, Record: r}
	}
	for i := range s.Locations {
		s.Locations[i].Cases[0].FedFrom = nil
	}
	s.Log.Changes = []assess.Change{{ID: "2026-05-01/P0", Date: day(t, "2026-05-01"), At: "P0", Kind: assess.ChangeKinds[0]}}
	whole := asInTheWhole(t, s, h, today)
	for i := range whole.Places {
		if r := whole.Places[i].Printed.Standing.Reasons; !slices.ContainsFunc(r, func(r standing.Reason) bool { return r.Change != "" }) {
			t.Errorf("the change does not reach P%d: %+v", i, r)
		}
	}
}

func read(t *testing.T, folder string, today assess.Date) (*assess.Site, *record.History) {
	t.Helper()
	s, err := site.Read(os.DirFS(folder), site.Options{Languages: []string{"en", "es"}})
	if err != nil {
		t.Fatal(err)
	}
	h, err := record.Open(folder).History(today)
	if err != nil {
		t.Fatal(err)
	}
	return s, h
}

func asInTheWhole(t *testing.T, s *assess.Site, h *record.History, today assess.Date) *Plant {
	t.Helper()
	whole, err := New(s, h, today, nil)
	if err != nil {
		t.Fatal(err)
	}
	ids := []string{"not a location"}
	for i := range whole.Places {
		ids = append(ids, whole.Places[i].ID())
	}
	for i := range whole.Unlisted {
		ids = append(ids, whole.Unlisted[i].ID)
	}
	for _, id := range ids {
		one, err := New(s, h, today, nil, id)
		if err != nil {
			t.Fatal(err)
		}
		want, listed := whole.Place(id)
		got, ok := one.Place(id)
		if ok && listed {
			got.first, got.shared = want.first, want.shared // the records were read with the whole
		}
		if ok != listed || listed && !reflect.DeepEqual(got, want) {
			t.Errorf("%s alone is\n%+v\nin the whole\n%+v", id, got, want)
		}
		for i := range whole.Unlisted {
			if u := &whole.Unlisted[i]; u.ID == id && (len(one.Unlisted) != 1 || !reflect.DeepEqual(&one.Unlisted[0], u)) {
				t.Errorf("%s alone is %+v", id, one.Unlisted)
			}
		}
		if len(one.Places)+len(one.Unlisted) > 1 {
			t.Errorf("%s alone is %d places and %d labels", id, len(one.Places), len(one.Unlisted))
		}
	}
	return whole
}

// A label that was never printed has no standing, whatever there is against its
// row; one that was printed has.
func TestNeverPrintedHasNoStanding(t *testing.T) {
	today := day(t, "2026-06-30")
	s, h := read(t, "../../samples/mill", today)
	p, err := New(s, h, today, nil)
	if err != nil {
		t.Fatal(err)
	}
	states := map[string]int{}
	for i := range p.Places {
		place := &p.Places[i]
		states[place.State()]++
		if _, printed := h.Labels[place.ID()]; printed != (place.Printed != nil) {
			t.Errorf("%s: printed %v, %+v", place.ID(), printed, place.Printed)
		}
		switch refusal := place.Refusal(false); {
		case place.Printed != nil:
		case (refusal == nil) != (place.State() == ReadyToPrint), (refusal == nil) == (place.State() == NotPrinted):
			t.Errorf("%s is %s, refused by %+v", place.ID(), place.State(), refusal)
		}
	}
	if states[ReadyToPrint] != 6 || states[NotPrinted] != 27 || states["holds"] != 3 {
		t.Errorf("%v", states)
	}
}
