package report

import (
	"bytes"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/plant"
)

// wired is the invented site of fed, edited before it is judged.
func wired(t *testing.T, n int, edit func(i int, l *assess.Location)) *plant.Plant {
	t.Helper()
	v := fed(t, make([][]string, n))
	for i := range v.Site.Locations {
		edit(i, &v.Site.Locations[i])
	}
	v, err := plant.New(v.Site, nil, day(t, "2026-05-01"), nil)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// A tie joins two branches and belongs to neither: both ends show it, whichever names
// it, in text and in JSON.
func TestTreeTellsTies(t *testing.T) {
	v := wired(t, 6, func(i int, l *assess.Location) {
		c := &l.Cases[0]
		c.FedFrom = [][]string{nil, nil, {"P0"}, {"P1"}, {"P2"}, {"P3"}}[i]
		if i == 3 {
			c.TiedTo = []string{"P2", "P9"}
		}
	})
	tree := NewTree(v)
	var b bytes.Buffer
	if err := tree.Text(&b, 200); err != nil {
		t.Fatal(err)
	}
	for id, want := range map[string]string{"P2": "tied to P3", "P3": "tied to P2; tied to P9 (not in locations.csv)"} {
		i := slices.IndexFunc(tree.Rows, func(r TreeRow) bool { return r.ID == id })
		if got := strings.Join(tree.Rows[i].Notes(), "; "); got != want {
			t.Errorf("%s: %q, want %q", id, got, want)
		}
		if !strings.Contains(b.String(), want) {
			t.Errorf("the text does not say %q:\n%s", want, b.String())
		}
	}
	if n := strings.Count(b.String(), "tied to"); n != 3 {
		t.Errorf("%d places tell a tie:\n%s", n, b.String())
	}
	for _, r := range tree.Rows {
		want := map[string][]string{"P2": {"P3"}, "P3": {"P2", "P9"}}[r.ID]
		if !slices.Equal(r.TiedTo, want) || (len(r.UnknownTies) > 0) != (r.ID == "P3") || r.TiedTo == nil {
			t.Errorf("%s: tied to %q, unknown %q", r.ID, r.TiedTo, r.UnknownTies)
		}
	}
}

// Two switchboards, each fed from the other at another time, are not a loop: the feeds
// of the usual case are drawn, those of the other one as long as they make no loop, and
// the rest is in words.
func TestTreeOfAlternateFeeds(t *testing.T) {
	v := wired(t, 3, func(i int, l *assess.Location) {
		l.Cases = append(l.Cases, l.Cases[0])
		l.Cases[0].Name, l.Cases[1].Name = "normal", "other"
		l.Cases[0].FedFrom = [][]string{nil, {"P0"}, {"P1"}}[i]
		l.Cases[1].FedFrom = [][]string{nil, {"P2"}, {"P0"}}[i]
	})
	show := func(tree *Tree) string {
		var rows []string
		for _, r := range tree.Rows {
			rows = append(rows, strings.Repeat(" ", r.Depth)+strings.Join(append([]string{r.ID + r.Heading}, r.Notes()...), "; "))
		}
		return strings.Join(rows, "\n")
	}
	if got := show(NewTree(v)); got != "P0\n P1; also fed from P2\n  P2\n P2; also fed from P1" {
		t.Error(got)
	}
	branch, err := NewBranch(v, "P2") // at the other time
	if err != nil {
		t.Fatal(err)
	}
	if got := show(branch); got != "P2; fed from P1, P0\n P1; also fed from P0" {
		t.Error(got)
	}
}

// Whatever is fed and tied, at whatever time: every location is shown in full once,
// below one of its feeds, and each feed and tie is drawn or in words.
func TestTreeOfCasesAtRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for range 1000 {
		n := 1 + r.IntN(9)
		v := wired(t, n, func(i int, l *assess.Location) {
			for range r.IntN(3) {
				l.Cases = append(l.Cases, l.Cases[0])
			}
			for k := range l.Cases {
				c := &l.Cases[k]
				c.Name = []string{"a", "b", "c"}[k]
				for range r.IntN(3) {
					id := place(r.IntN(n + 1))
					if i > 0 && r.IntN(3) > 0 {
						id = place(r.IntN(i))
					}
					if !slices.Contains(c.FedFrom, id) {
						c.FedFrom = append(c.FedFrom, id)
					}
				}
				if r.IntN(4) == 0 {
					c.TiedTo = []string{place(r.IntN(n + 1))}
				}
			}
		})
		all, up := []string{}, map[string][]string{}
		for _, l := range v.Site.Locations {
			all, up[l.ID] = append(all, l.ID), l.FedFrom()
		}
		toldOnce(t, v, NewTree(v).Rows, all)
		from := place(r.IntN(n))
		branch, err := NewBranch(v, from)
		if err != nil {
			t.Fatal(err)
		}
		toldOnce(t, v, branch.Rows, slices.DeleteFunc(all, func(id string) bool { return id != from && !above(up, id, from) }))
	}
}

func toldOnce(t *testing.T, v *plant.Plant, rows []TreeRow, ids []string) {
	t.Helper()
	full := map[string]*TreeRow{}
	for i := range rows {
		row := &rows[i]
		if row.Kind == FullRow {
			if full[row.ID] != nil || !slices.Contains(ids, row.ID) {
				t.Fatalf("%s is there in full again, or is not part of it", row.ID)
			}
			full[row.ID] = row
		}
		if row.Parent != "" && !slices.Contains(fedFrom(v, row.ID), row.Parent) {
			t.Fatalf("%s below %s, which does not feed it", row.ID, row.Parent)
		}
	}
	if len(full) != len(ids) {
		t.Fatalf("%d of %d places", len(full), len(ids))
	}
	for _, id := range ids {
		words := " " + strings.NewReplacer(",", " ", ";", " ").Replace(strings.Join(full[id].Notes(), ";")) + " "
		for _, u := range fedFrom(v, id) {
			if full[id].Parent != u && !strings.Contains(words, " "+u+" ") {
				t.Fatalf("%s: that %s feeds it is not told: %q", id, u, words)
			}
		}
		for _, l := range v.Site.Locations {
			tied := l.ID != id && (slices.Contains(l.TiedTo(), id) || slices.Contains(fedAt(v, id).TiedTo(), l.ID))
			if tied != slices.Contains(full[id].TiedTo, l.ID) || tied && !strings.Contains(words, " "+l.ID+" ") {
				t.Fatalf("%s tied to %s: %v; %q, %q", id, l.ID, tied, full[id].TiedTo, words)
			}
		}
	}
}

func fedAt(v *plant.Plant, id string) *assess.Location { l, _ := v.Site.Location(id); return l }

func fedFrom(v *plant.Plant, id string) []string { return fedAt(v, id).FedFrom() }
