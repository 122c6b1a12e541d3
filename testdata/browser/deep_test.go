package browser

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// deepen adds a chain of panels, each fed from the one before, below a location of the creamery.
func (p *plant) deepen(t *testing.T, levels int) {
	t.Helper()
	name := filepath.Join(p.dir, "locations.csv")
	file, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(file).ReadAll()
	file.Close()
	if err != nil {
		t.Fatal(err)
	}
	id, from, device := slices.Index(rows[0], "id"), slices.Index(rows[0], "fed_from"), slices.Index(rows[0], "device_at")
	above := rows[slices.IndexFunc(rows, func(r []string) bool { return r[id] == "SEP-PP2" })]
	for i := range levels {
		row := slices.Clone(above)
		row[id], row[from], row[device] = fmt.Sprintf("DEEP-%02d", i+1), above[id], ""
		rows, above = append(rows, row), row
	}
	if file, err = os.Create(name); err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := csv.NewWriter(file).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
}

// A chain of any depth is read on a small phone: nothing is off the screen or squeezed, and a row that is no longer
// indented says on which level it is.
func TestDeepTree(t *testing.T) {
	source := axe(t)
	p := newPlant(t, "creamery")
	p.deepen(t, 31)
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	w := open(t)
	for _, x := range []int64{320, 390, 1440} {
		w.size(x, 844)
		w.show("file://" + public + "/plant/index.html")
		w.eval(`document.querySelector("button[value=open]").click(), 0`, nil)
		var got struct {
			Wide, Narrow, Right float64
			Deep                string
		}
		w.eval(`(() => {
			const nodes = [...document.querySelectorAll(".tree .node")], rects = nodes.map(n => n.getBoundingClientRect());
			return {Wide: document.scrollingElement.scrollWidth, Narrow: Math.min(...rects.map(r => r.width)), Right: Math.max(...rects.map(r => r.right)),
				Deep: document.getElementById("at-DEEP-31").querySelector(".node").innerText};
		})()`, &got)
		if got.Wide > float64(x) || got.Right > float64(x) || got.Narrow < 150 {
			t.Errorf("at %d: %+v", x, got)
		}
		if want := "level 36, below DEEP-30"; !strings.Contains(got.Deep, want) {
			t.Errorf("at %d the deepest row says %q", x, got.Deep)
		}
		w.check(source, fmt.Sprintf("deep tree at %d", x))
		w.look(fmt.Sprintf("deep-%d", x))
	}
}
