package basis

import (
	"os"
	"reflect"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// shelf is that of the mill in a folder, at the end of its history.
func shelf(t *testing.T, folder string) *Shelf {
	t.Helper()
	s, err := site.Read(os.DirFS(folder), site.Options{Languages: []string{"en", "es"}})
	if err != nil {
		t.Fatal(err)
	}
	today, _ := assess.ParseDate("2026-05-01")
	store := record.Open(folder)
	history, err := store.History(today)
	if err != nil {
		t.Fatal(err)
	}
	v, err := plant.New(s, history, today, nil)
	if err != nil {
		t.Fatal(err)
	}
	return NewShelf(v, store)
}

// On the mill, at the end of its history: what the shelf says of each record is
// what the site says of its location, and what it would say of it alone.
func TestShelf(t *testing.T) {
	const folder = "../../samples/mill"
	h := shelf(t, folder)
	v := h.Site
	newest, replaced, printed := 0, 0, h.Printed()
	for i, id := range printed {
		if i > 0 && printed[i-1].Code() >= id.Code() {
			t.Errorf("%s comes after %s", id.Code(), printed[i-1].Code())
		}
		b, err := h.View(id)
		if err != nil {
			t.Fatal(err)
		}
		location := b.Record.Location.ID
		switch last, _ := h.Site.History.Last(location); {
		case last.ID == id:
			newest++
			if !b.Newest || b.NewerCode != "" {
				t.Errorf("%s is the newest, and the shelf does not say so", location)
			}
			if p, ok := v.Place(location); ok && !reflect.DeepEqual(p.Printed.Standing, b.Standing) {
				t.Errorf("%s: %v, on the shelf %v", location, p.Printed.Standing, b.Standing)
			}
		case b.NewerCode != "":
			replaced++
			if b.NewerCode != last.ID.Code() {
				t.Errorf("%s was replaced by %s, not %s", location, last.ID.Code(), b.NewerCode)
			}
		default:
			if alone := v.StandingsOf([]*record.Record{b.Record})[0]; !reflect.DeepEqual(alone, b.Standing) {
				t.Errorf("%s: %v alone, %v on the shelf", location, alone, b.Standing)
			}
		}
		counts := 0
		for _, c := range b.Changes {
			if c.Counts {
				counts++
			}
		}
		said := 0
		for _, r := range b.Standing.Reasons {
			if r.Cause == standing.UpstreamCause {
				said += r.Count
			}
		}
		if b.Newest && b.Place != nil && counts != said {
			t.Errorf("%s: %d changes count, the standing counts %d", location, counts, said)
		}
	}
	if newest < 10 || replaced == 0 {
		t.Errorf("%d newest, %d replaced", newest, replaced)
	}
}
