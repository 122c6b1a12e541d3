package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/testdata/suite"
)

// fed is an invented site whose places are fed as told; P0 is the first.
func fed(t *testing.T, up [][]string) *plant.Plant {
	t.Helper()
	s := &assess.Site{Policy: assess.Policy{Name: "Invented works", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, NoticeDays: 90, Govern: assess.Larger,
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}}}
	prepared := day(t, "2026-03-14")
	for i, ids := range up {
		s.Locations = append(s.Locations, assess.Location{ID: place(i), Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2,
			Cases: []assess.Case{{FedFrom: ids, Method: assess.Stated, Energy: 5, Boundary: 42 * assess.MMPerInch, Prepared: prepared}}})
	}
	v, err := plant.New(s, nil, day(t, "2026-05-01"), nil)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func place(i int) string { return fmt.Sprintf("P%d", i) }

// above is slow and obviously right: does a way of feeds lead from id up to
// another, in one step or more?
func above(up map[string][]string, id, other string) bool {
	seen := map[string]bool{}
	todo := slices.Clone(up[id])
	for len(todo) > 0 {
		at := todo[0]
		todo = todo[1:]
		if at == other {
			return true
		}
		if !seen[at] {
			seen[at] = true
			todo = append(todo, up[at]...)
		}
	}
	return false
}

// standsWell checks the rows by the feeds alone: every location once in full, below the right feed; every other feed one reference.
func standsWell(t *testing.T, rows []TreeRow, up map[string][]string, ids []string) {
	t.Helper()
	number := func(id string) int { return slices.Index(ids, id) }
	known := func(id string) []string {
		return slices.DeleteFunc(slices.Clone(up[id]), func(u string) bool { return number(u) < 0 })
	}
	within := map[string][]string{}
	for _, id := range ids {
		within[id] = known(id)
	}
	// A place is below the loops if it is on one, or each of its feeds is.
	var lost func(id string) bool
	lost = func(id string) bool {
		if above(within, id, id) {
			return true
		}
		return len(within[id]) > 0 && !slices.ContainsFunc(within[id], func(u string) bool { return !lost(u) })
	}
	full, references := map[string]int{}, map[[2]string]int{}
	var path []string // the rows above, by depth
	heading := false
	for i, r := range rows {
		if r.Kind == HeadingRow {
			if heading || r.Heading != loopHeading || r.Depth != 0 {
				t.Fatalf("row %d: a heading %+v", i, r)
			}
			heading, path = true, []string{""}
			continue
		}
		if r.Depth > len(path) {
			t.Fatalf("row %d, %s: depth %d below %v", i, r.ID, r.Depth, path)
		}
		parent := ""
		if r.Depth > 0 {
			parent = path[r.Depth-1]
		}
		if parent != r.Parent || parent != "" && !slices.Contains(up[r.ID], parent) {
			t.Fatalf("row %d: %s is drawn below %q, says %q, and is fed from %v", i, r.ID, parent, r.Parent, up[r.ID])
		}
		path = append(path[:r.Depth], r.ID)
		if r.Kind == ReferenceRow {
			references[[2]string{r.ID, parent}]++
			continue
		}
		full[r.ID]++
		want := ""
		if feeds := known(r.ID); !above(within, r.ID, r.ID) && len(feeds) > 0 {
			slices.SortFunc(feeds, func(a, b string) int { return number(a) - number(b) })
			want = feeds[0]
			if k := slices.IndexFunc(feeds, func(u string) bool { return !lost(u) }); k >= 0 {
				want = feeds[k]
			}
		}
		if parent != want || heading != lost(r.ID) {
			t.Fatalf("%s is below %q, below the loops %v; want %q, %v", r.ID, parent, heading, want, lost(r.ID))
		}
	}
	edges := 0
	for _, id := range ids {
		if full[id] != 1 {
			t.Fatalf("%s is there %d times in full", id, full[id])
		}
		for _, u := range within[id] {
			edges++
			if !slices.ContainsFunc(rows, func(r TreeRow) bool { return r.ID == id && r.Parent == u }) {
				t.Fatalf("that %s feeds %s is not drawn", u, id)
			}
		}
	}
	if len(full) != len(ids) || len(references) > edges {
		t.Fatalf("%d in full of %d, %d references for %d feeds", len(full), len(ids), len(references), edges)
	}
	for r, n := range references {
		if n != 1 {
			t.Fatalf("%v is drawn %d times", r, n)
		}
	}
}

// goesOn is slow and obviously right: does another row follow at a level before
// one of a lower level?
func goesOn(rows []TreeRow, i, level int) bool {
	for _, r := range rows[i+1:] {
		if r.Level <= level {
			return r.Level == level
		}
	}
	return false
}

func TestTreeAtRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 1500 {
		n := 1 + r.IntN(14)
		up, feeds, ids := make([][]string, n), map[string][]string{}, []string{}
		for v := range up {
			for range r.IntN(4) {
				id := place(r.IntN(n + 1)) // the last is not a location
				if r.IntN(3) > 0 && v > 0 {
					id = place(r.IntN(v)) // mostly upwards, or all would be loops
				}
				if !slices.Contains(up[v], id) {
					up[v] = append(up[v], id)
				}
			}
			feeds[place(v)], ids = up[v], append(ids, place(v))
		}
		v := fed(t, up)
		rows := NewTree(v).Rows
		standsWell(t, rows, feeds, ids)
		for i, row := range rows {
			for k := 1; k < row.Level; k++ {
				if row.Runs(k) != goesOn(rows, i, k) {
					t.Fatalf("row %d, %s: the branch of level %d", i, row.ID, k)
				}
			}
			if row.Last == goesOn(rows, i, row.Level) || row.Down != (i+1 < len(rows) && rows[i+1].Level > row.Level) {
				t.Fatalf("row %d, %s: %+v", i, row.ID, row.Branch)
			}
			for _, u := range row.UnknownFeeds {
				if u != place(n) {
					t.Fatalf("%s is not an unknown feed of %d places", u, n)
				}
			}
		}

		from := ids[r.IntN(n)]
		below := slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return id != from && !above(feeds, id, from) })
		branch, err := NewBranch(v, from)
		if err != nil {
			t.Fatal(err)
		}
		standsWell(t, branch.Rows, feeds, below)
	}
}

// A chain of feeds, a loop and a fan as big as a plant can be: no stack
// overflows, no row is indented beyond the cap, and a place of a big plant is
// about as much work as one of a small plant.
func TestTreeOfManyPlaces(t *testing.T) {
	many := 12000
	if suite.Exhaustive {
		many = 100000
	}
	for name, of := range map[string]func(i, n int) []string{
		"chain": func(i, _ int) []string {
			if i == 0 {
				return nil
			}
			return []string{place(i - 1)}
		},
		"loop": func(i, n int) []string { return []string{place((i + n - 1) % n)} },
		"fan": func(i, _ int) []string {
			if i == 0 {
				return nil
			}
			return []string{place(0)}
		},
		"two feeds each": func(i, _ int) []string {
			if i < 2 {
				return nil
			}
			return []string{place(i - 1), place(i - 2)}
		},
	} {
		t.Run(name, func(t *testing.T) {
			draw := func(n int) (*Tree, string, time.Duration) {
				s := &assess.Site{}
				v := &plant.Plant{Site: s, Places: make([]plant.Place, n)}
				s.Locations = make([]assess.Location, n)
				for i := range s.Locations {
					s.Locations[i] = assess.Location{ID: place(i), Cases: []assess.Case{{FedFrom: of(i, n)}}}
					v.Places[i].Assessment = &assess.Assessment{Inputs: s.Inputs(&s.Locations[i])}
					v.Places[i].Row.Status = standing.Holds
				}
				begin := suite.CPU()
				tree := NewTree(v)
				var b bytes.Buffer
				if err := tree.Text(&b, 100); err != nil {
					t.Fatal(err)
				}
				return tree, b.String(), suite.CPU() - begin
			}
			tree, text, work := draw(many)
			full := map[string]int{}
			deepest := 0
			for i := range tree.Rows {
				if tree.Rows[i].Full() {
					full[tree.Rows[i].ID]++
				}
				deepest = max(deepest, tree.Rows[i].Level)
			}
			if len(full) != many || deepest > TreeLevels {
				t.Errorf("%d places in full, level %d", len(full), deepest)
			}
			if name == "chain" && !strings.Contains(text, fmt.Sprintf("depth %d", many-1)) {
				t.Error("the deepest row does not say its depth")
			}

			// Work is processor time, to which other programs do not add, and is
			// compared with that of as many places in small plants, in the same run. A
			// quadratic walk makes a plant sixteen times as big sixteen times the work.
			const parts = 16
			var small time.Duration
			for range parts {
				_, _, part := draw(many / parts)
				small += part
			}
			t.Logf("%d plants of %d places: %v, one of %d: %v", parts, many/parts, small, many, work)
			if work > 8*small {
				t.Errorf("%d plants of %d places take %v, one of %d takes %v", parts, many/parts, small, many, work)
			}
		})
	}
}

// No word is lost in a narrow terminal, and no line is longer than it.
func TestTreeTextKeepsWords(t *testing.T) {
	v := fed(t, [][]string{nil, {"P0"}, {"P1", "P0"}, {"P2", "P9"}, {"P3"}, {"P5"}})
	tree := NewTree(v)
	for _, width := range []int{60, 80, 100, 200} {
		var b bytes.Buffer
		if err := tree.Text(&b, width); err != nil {
			t.Fatal(err)
		}
		text := strings.NewReplacer("│", " ", "├─", " ", "└─", " ").Replace(b.String())
		text = " " + strings.Join(strings.Fields(text), " ") + " "
		for _, row := range tree.Rows {
			for _, words := range append(row.Notes(), row.ID, row.Voltage, row.label(), row.StandingWords(), row.Heading) {
				for _, w := range strings.Fields(words) {
					if !strings.Contains(text, w) {
						t.Errorf("width %d: %q of %s is lost", width, w, row.ID)
					}
				}
			}
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if utf8.RuneCountInString(line) > width {
				t.Errorf("width %d: %q", width, line)
			}
		}
	}
}

// Each state has a sign of its own: color is not needed.
func TestShapesDiffer(t *testing.T) {
	seen := map[string]string{}
	for _, state := range treeStates() {
		s := shapes[state]
		if s == "" || seen[s] != "" {
			t.Errorf("%s and %s: %q", state, seen[s], s)
		}
		seen[s] = state
	}
}

// The keys are a contract: none is renamed.
func TestTreeJSON(t *testing.T) {
	var b bytes.Buffer
	if err := WriteJSON(&b, NewTree(fed(t, [][]string{nil, {"P0"}, {"P1", "P0", "P7"}}))); err != nil {
		t.Fatal(err)
	}
	var tree map[string]any
	if err := json.Unmarshal(b.Bytes(), &tree); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"site", "today", "from", "states", "rows"} {
		if _, ok := tree[key]; !ok {
			t.Errorf("no %q", key)
		}
	}
	rows := tree["rows"].([]any)
	for _, key := range []string{"kind", "id", "depth", "parent", "equipment", "area", "fed_from", "unknown_feeds", "tied_to", "unknown_ties", "voltage", "supply", "signal", "kit", "kit_status", "energy_printed", "errors", "state", "standing", "printed", "code"} {
		for i, row := range rows {
			if _, ok := row.(map[string]any)[key]; !ok {
				t.Errorf("row %d has no %q", i, key)
			}
		}
	}
}
