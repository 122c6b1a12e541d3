package layout

import (
	"slices"
	"strings"
	"testing"

	"vouchmark/label"
)

// onStocks draws labels on every stock that holds them, and gives each drawing
// to check.
func onStocks(t *testing.T, labels []*label.Label, check func(s Stock, l *label.Label, d *Drawing)) {
	t.Helper()
	drawn := 0
	for _, s := range Stocks() {
		for _, l := range labels {
			if len(l.Words) > s.Languages {
				continue
			}
			d, err := Draw(l, s, mustCode(t, l.QR))
			if err != nil {
				if Misfits(err) == nil {
					t.Fatal(err)
				}
				continue
			}
			drawn++
			check(s, l, d)
		}
	}
	if drawn < len(labels) {
		t.Errorf("%d labels drawn: the test says little", drawn)
	}
}

// inBlock are the operations of a kind in a block.
func inBlock(d *Drawing, block string, kind Kind) (all []Op) {
	for _, o := range d.Ops {
		if d.Blocks[o.Block].Name == block && o.Kind == kind {
			all = append(all, o)
		}
	}
	return all
}

// twice are labels in one language and in two.
func twice(labels []*label.Label) []*label.Label {
	all := slices.Clone(labels)
	for _, l := range labels {
		all = append(all, inSpanish(l))
	}
	return all
}

// Nothing is written in a bar, where it could be taken for a boundary that ends
// there: all texts of the reach drawing are on its ground.
func TestNothingIsWrittenInABar(t *testing.T) {
	onStocks(t, twice(samples()), func(s Stock, l *label.Label, d *Drawing) {
		if s.compact() {
			return // it has no bars
		}
		var bars []Op
		for _, o := range inBlock(d, "reach", Rect) {
			if o.Fill != Tint && o.H > 7 {
				bars = append(bars, o)
			}
		}
		if len(bars) < 2 {
			t.Fatalf("%s on %s: %d bars", l.ID, s.Name, len(bars))
		}
		for _, o := range inBlock(d, "reach", Text) {
			x0, y0, x1, y1 := o.Box()
			for _, b := range bars {
				a0, b0, a1, b1 := b.Box()
				if x0 < a1 && a0 < x1 && y0+1.5 < b1 && b0 < y1-1.5 {
					t.Errorf("%s on %s: %q is in a bar", l.ID, s.Name, o.Text)
				}
			}
		}
	})
}

// The boundaries are named in one list, the farthest first, each with a sample
// of its bar but one without a length, and the lengths end in one line.
func TestBoundariesInOrder(t *testing.T) {
	onStocks(t, twice(samples()), func(s Stock, l *label.Label, d *Drawing) {
		w := l.Words[0]
		type row struct {
			name   string
			length float64
		}
		want := []row{{w.Arc, l.Reach.Arc}, {w.Limited, l.Reach.Limited}, {w.Restricted, l.Reach.Restricted}}
		slices.SortStableFunc(want, func(a, b row) int { return int(b.length - a.length) })
		at, atX := 0.0, 0.0
		texts := append(inBlock(d, "reach", Text), inBlock(d, "boundaries", Text)...)
		for _, r := range want {
			first, _, _ := strings.Cut(r.name, " ") // a long name may be broken
			i := slices.IndexFunc(texts, func(o Op) bool {
				return strings.HasPrefix(o.Text, first) && (o.Y > at || s.compact() && o.Y == at && o.X > atX)
			})
			if i < 0 {
				t.Errorf("%s on %s: %s is not after what is farther", l.ID, s.Name, r.name)
				return
			}
			at, atX = texts[i].Y, texts[i].X
		}
		ends, lines := map[int]bool{}, map[float64]bool{}
		for _, o := range texts {
			if s.compact() && lines[o.Y] && strings.HasSuffix(o.Text, "APPROACH") {
				return // beside each other, not in a list
			}
			lines[o.Y] = lines[o.Y] || strings.HasSuffix(o.Text, "APPROACH") || strings.HasSuffix(o.Text, "BOUNDARY")
			if o.Text == w.ArcLength || o.Text == w.LimitedLength {
				ends[int(10*(o.X+o.W)+0.5)] = true
			}
		}
		if len(ends) != 1 {
			t.Errorf("%s on %s: lengths end at %v", l.ID, s.Name, ends)
		}
	})
}

// The ladder's numbers have their unit. A DANGER label and one below 1.2 cal/cm²
// have no ladder at all, and the block of a DANGER label is one black box as
// wide as its part of the label.
func TestLadderOrBlock(t *testing.T) {
	onStocks(t, samples(), func(s Stock, l *label.Label, d *Drawing) {
		rungs := 0
		for _, o := range inBlock(d, "kit", Text) {
			if strings.HasSuffix(o.Text, " cal") {
				rungs++
			}
			if strings.Trim(o.Text, "0123456789") == "" {
				t.Errorf("%s on %s: %q without a unit", l.ID, s.Name, o.Text)
			}
		}
		if (rungs > 0) != (l.Chosen >= 0) {
			t.Errorf("%s on %s: %d rungs", l.ID, s.Name, rungs)
		}
		if !l.Danger {
			return
		}
		i := slices.IndexFunc(d.Blocks, func(b Block) bool { return b.Name == "kit" })
		boxes := inBlock(d, "kit", Rect)
		if len(boxes) != 1 || boxes[0].Fill != Black || boxes[0].W < d.Blocks[i].W-MM(7) {
			t.Errorf("%s on %s: boxes %+v in %+v", l.ID, s.Name, boxes, d.Blocks[i])
		}
		if d.Blocks[i].W < 0.97*d.Size.W {
			t.Errorf("%s on %s: the block is not over the full width", l.ID, s.Name)
		}
	})
}

// What the QR code is for is on all labels of a stock or on none.
func TestScanNoteByStock(t *testing.T) {
	says := map[string][2]int{}
	onStocks(t, samples(), func(s Stock, l *label.Label, d *Drawing) {
		n := says[s.Name]
		if text := d.String(); strings.Contains(text, `"Scan: `) && strings.Contains(text, "ext. 4711\"") {
			n[1]++
		} else {
			n[0]++
		}
		says[s.Name] = n
	})
	some := 0
	for name, n := range says {
		if n[0] > 0 && n[1] > 0 {
			t.Errorf("%s: %d labels with the note, %d without", name, n[1], n[0])
		}
		some += n[1]
	}
	if some == 0 {
		t.Error("no stock has the note")
	}
}

// On an INTERIM label the strip's word is larger than the energy, which is on
// hatching, with each text on a plate in the color of its ground.
func TestInterimIsHatched(t *testing.T) {
	onStocks(t, twice(interimSamples()), func(s Stock, l *label.Label, d *Drawing) {
		word := inBlock(d, "interim", Text)[0]
		strokes := len(inBlock(d, "kit", Path))
		if strokes < 8 {
			t.Errorf("%s on %s: %d strokes", l.ID, s.Name, strokes)
		}
		for _, o := range inBlock(d, "kit", Text) {
			if strings.HasPrefix(o.Text, l.Words[0].Energy) && o.Size >= word.Size {
				t.Errorf("%s on %s: %q of %.1f points, %q of %.1f", l.ID, s.Name, o.Text, o.Size, word.Text, word.Size)
			}
			if strings.Contains(o.Text, "BELOW") {
				t.Errorf("%s on %s: %q", l.ID, s.Name, o.Text)
			}
		}
		if err := sound(l, s, d); err != nil {
			t.Errorf("%s on %s: %v", l.ID, s.Name, err)
		}
	})
}
