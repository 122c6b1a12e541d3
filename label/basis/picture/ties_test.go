package picture

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/label/report"
)

// Each tie of which both ends are drawn is one dashed line between the heights
// of their rows, and no two lines lie on each other.
func TestTiesAreDrawn(t *testing.T) {
	tree := invented(t)
	row := func(id string) int {
		return slices.IndexFunc(tree.Rows, func(r report.TreeRow) bool { return r.ID == id && r.Kind == report.FullRow })
	}
	want := map[string]bool{}
	for _, pair := range [][2]string{{"SWB", "MCC"}, {"C", "deep-3"}, {"MCC", "deep-3"}, {hostile[0], hostile[1]}} {
		a, b := row(pair[0]), row(pair[1])
		y := func(i int) int { return margin/2 + i*pitch + pitch/2 + tieDrop }
		want[fmt.Sprint(y(min(a, b)), " ", y(max(a, b)))] = true
	}
	got := map[string]bool{}
	for _, e := range elements(t, Tree(tree.Rows, TreeOptions{})) {
		if e.attributes["stroke-dasharray"] == "5 3" {
			var x, top, lane, bottom, end int
			if _, err := fmt.Sscanf(e.attributes["d"], "M%d %dH%dV%dH%d", &x, &top, &lane, &bottom, &end); err != nil {
				t.Fatal(err)
			}
			got[fmt.Sprint(top, " ", bottom)] = true
			if lane > 0 || x < lane || end < lane {
				t.Errorf("a tie at %d, from %d to %d", lane, x, end)
			}
		}
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("%v, want %v", got, want)
	}
	if svg := string(Tree(tree.Rows[:row("MCC")], TreeOptions{})); strings.Contains(svg, "dasharray=\"5 3\"") {
		t.Error("a tie of which one end is not drawn")
	}
}

func TestTiesStandApart(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	most := 0
	for range 1000 {
		n := 2 + r.IntN(30)
		rows := make([]report.TreeRow, n)
		for i := range rows {
			rows[i] = report.TreeRow{Kind: report.FullRow, ID: fmt.Sprint(i)}
		}
		for range r.IntN(n) {
			a, b := r.IntN(n), r.IntN(n)
			if a != b && !slices.Contains(rows[a].TiedTo, rows[b].ID) {
				rows[a].TiedTo, rows[b].TiedTo = append(rows[a].TiedTo, rows[b].ID), append(rows[b].TiedTo, rows[a].ID)
			}
		}
		ties := 0
		for i := range rows {
			ties += len(rows[i].TiedTo)
		}
		lines, lanes := tieLines(rows)
		most = max(most, lanes)
		if lanes > lanesMost || len(lines) > ties/2 || lanes < lanesMost && len(lines) < ties/2 {
			t.Fatalf("%d lines in %d lanes of %d ties", len(lines), lanes, ties/2)
		}
		for i, a := range lines {
			for _, b := range lines[i+1:] {
				if a.lane == b.lane && a.from <= b.to && b.from <= a.to {
					t.Fatalf("%+v and %+v", a, b)
				}
			}
		}
	}
	if most < lanesMost {
		t.Errorf("no more than %d lanes", most)
	}
}
