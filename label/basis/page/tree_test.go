package page

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// A tree of any form is cut so that each row is on one page, below the right row, and no
// page is much larger than it may be.
func TestCut(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	wide, chain := make([]int, 3000), make([]int, 3000)
	for i := range wide {
		wide[i], chain[i] = min(i, 1), min(i, report.TreeLevels)
	}
	cases := [][]int{nil, {0}, wide, chain, make([]int, 2500)}
	for range 200 {
		levels := make([]int, 1+r.IntN(600))
		for i := 1; i < len(levels); i++ {
			levels[i] = max(0, min(levels[i-1]+1-r.IntN(1+r.IntN(4)), report.TreeLevels))
		}
		cases = append(cases, levels)
	}
	for n, levels := range cases {
		const most = 100
		keep := make([]bool, len(levels))
		for i := range keep {
			keep[i] = r.IntN(20) == 0
		}
		c := cut(levels, most, keep)
		seen := make([]int, len(levels))
		for number, s := range c.slips {
			size := 0
			var walk func(above int, rows []int)
			walk = func(above int, rows []int) {
				for _, i := range rows {
					size++
					seen[i]++
					if c.on[i] != number || c.above[i] != above {
						t.Fatalf("case %d: row %d is on page %d below %d, noted %d, %d", n, i, number, above, c.on[i], c.above[i])
					}
					if c.away[i] == nil {
						walk(i, c.kids[i])
					}
				}
			}
			walk(s.head, s.rows)
			if size > most {
				t.Errorf("case %d: page %d has %d rows", n, number, size)
			}
		}
		for i, k := range seen {
			if k != 1 {
				t.Fatalf("case %d: row %d is on %d pages", n, i, k)
			}
		}
		if pages := len(c.slips); pages > 3+len(levels)/4 {
			t.Errorf("case %d: %d rows on %d pages", n, len(levels), pages)
		}
	}
}

// One bus with 125 switchboards of 40 fills its pages.
func TestCutFansOut(t *testing.T) {
	levels := []int{0}
	for range 125 {
		levels = append(levels, 1)
		for range 40 {
			levels = append(levels, 2)
		}
	}
	if c := cut(levels, rowsPerTree, nil); len(c.slips) != 7 {
		t.Errorf("%d rows are on %d pages", len(levels), len(c.slips))
	}
}

// Of two branches of which one must go, the one without trouble does.
func TestCutKeeps(t *testing.T) {
	levels, keep := []int{0}, make([]bool, 141)
	for range 2 {
		levels = append(levels, 1)
		for range 69 {
			levels = append(levels, 2)
		}
	}
	for _, at := range []int{40, 110} {
		clear(keep)
		keep[at] = true
		c := cut(levels, 100, keep)
		if len(c.slips) != 2 || c.on[at] != 0 || c.on[150-at] != 1 {
			t.Errorf("%d pages, row %d on page %d, row %d on page %d", len(c.slips), at, c.on[at], 150-at, c.on[150-at])
		}
	}
}

// large is the pages of a plant that nobody printed labels for: n panels below
// switchboards, with ties, double feeds, and rows with trouble.
func large(t testing.TB, n int) *Book {
	t.Helper()
	dir := t.TempDir()
	policy := `name = "Invented plant"
units = "us"
edition = "NFPA 70E-2024"
cutoff_cal_cm2 = 40.0
review_months = 60
sources = ["UTL-1"]
[[ladder]]
kit = "Kit A"
rating_cal_cm2 = 40.0
wear = ["arc-rated suit"]
`
	var b strings.Builder
	b.WriteString("id,area,equipment,class,fed_from,tied_to,supply,voltage_v,fault_ka,energy_cal_cm2,boundary_in,distance_in,prepared,accepted_by\n")
	row := func(id, from, tie string) {
		fmt.Fprintf(&b, "%s,Hall %d,Distribution panel,panelboard,%s,%s,ac3,480,12,3.2,30,18,2026-03-14,E. Sample\n", id, len(from)%4, from, tie)
	}
	row("UTL-1", "", "")
	for i := range n - 1 {
		from, tie := "UTL-1", ""
		if i >= 10 {
			from = fmt.Sprintf("P-%d", (i-10)/8)
		}
		if i == 5 {
			tie = "P-4"
		}
		if i == 300 {
			from += ";P-2"
		}
		row(fmt.Sprintf("P-%d", i), from, tie)
	}
	for name, data := range map[string][]byte{"site.toml": []byte(policy), "locations.csv": []byte(b.String())} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	s, err := site.Read(os.DirFS(dir), site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	today := assess.Date{}
	if today, err = assess.ParseDate("2026-05-01"); err != nil {
		t.Fatal(err)
	}
	store := record.Open(dir)
	h, err := store.History(today)
	if err != nil {
		t.Fatal(err)
	}
	v, err := plant.New(s, h, today, nil)
	if err != nil {
		t.Fatal(err)
	}
	return &Book{Shelf: basis.NewShelf(v, store), Picture: square{}}
}

// A page of a large plant stays a size that a phone can load, and every location has its
// row on one of them.
func TestLargeTree(t *testing.T) {
	const n = 5000
	b := large(t, n)
	rows, bytes, most := 0, 0, 0
	for _, p := range b.Whole() {
		if !strings.HasPrefix(p.Name, "plant/") || strings.Count(p.Name, "/") > 1 || !strings.HasSuffix(p.Name, ".html") {
			continue
		}
		data, err := p.Make()
		if err != nil {
			t.Fatal(err)
		}
		rows += strings.Count(string(data), ` id="at-`)
		bytes, most = bytes+len(data), max(most, len(data))
	}
	t.Logf("%d bytes in all, the largest page %d", bytes, most)
	if rows != n || most > 700_000 {
		t.Errorf("%d rows, the largest page has %d bytes", rows, most)
	}
	for _, id := range []string{"UTL-1", "P-4711", "p4711"} {
		name, at, ok := b.Locate(id)
		if !ok || !strings.HasSuffix(report.Squash(at), report.Squash(id)) || !strings.HasPrefix(name, "plant/") {
			t.Errorf("%s is at %s#%s, %v", id, name, at, ok)
		}
	}
	if name, at, ok := b.Locate("P-99999"); ok {
		t.Errorf("a location that is not there is at %s#%s", name, at)
	}
}
