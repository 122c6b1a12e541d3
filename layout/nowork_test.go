package layout

import (
	"cmp"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
)

// dangerSamples are DANGER labels: as usual, with a longer sentence on testing, and one
// that cannot be fully de-energized.
func dangerSamples() (all []*label.Label) {
	const who = "R. Example, electrical safety, 555-0142"
	for _, change := range []func(l *label.Label, w *label.Words){
		func(*label.Label, *label.Words) {},
		func(l *label.Label, w *label.Words) {
			w.NoWorkDo[1] = "Treat as energized until tested; testing: ask " + who + " first."
		},
		func(l *label.Label, w *label.Words) {
			w.NoWorkDo[1] = "Treat as energized until tested; testing: ask " + who + " first."
			w.NoWorkDo = append(w.NoWorkDo, "Cannot be fully de-energized: ask "+who+".")
		},
	} {
		l := samples()[1]
		change(l, &l.Words[0])
		all = append(all, l)
	}
	return all
}

// ownStocks are stocks as an owner may have them, near the least size of the full form.
func ownStocks() (all []Stock) {
	for _, size := range [][2]float64{{101.6, 76.2}, {110, 70}, {101.6, 80}, {76.2, 101.6}, {70, 100}, {85, 85}} {
		all = append(all, StockFrom(assess.Stock{Name: "own", Page: size, Label: size, Columns: 1, Rows: 1, Corner: 3}))
	}
	return all
}

// The black block of a DANGER label goes from margin to margin on every stock: whoever
// comes near must see NO ENERGIZED WORK before reading anything else.
func TestNoWorkOverTheFullWidth(t *testing.T) {
	all := slices.Concat(dangerSamples(), rareSamples()[1:3], interimSamples()[1:2])
	for _, s := range slices.Concat(Stocks(), ownStocks()) {
		drawn := 0
		for _, l := range all {
			d, err := Draw(l, s, mustCode(t, l.QR))
			if err != nil {
				rare := l.Words[0].Maintenance != "" || l.Words[0].Interim != "" || s.compact() && len(l.Words[0].NoWorkDo) > 2
				if Misfits(err) == nil || !rare {
					t.Errorf("%s on %s of %.0f x %.0f mm: %v", l.ID, s.Name, InMM(s.Label.W), InMM(s.Label.H), err)
				}
				continue
			}
			drawn++
			if err := sound(l, s, d); err != nil {
				t.Errorf("%s on %s: %v", l.ID, s.Name, err)
			}
			left := inBlock(d, "message", Text)[0].X
			black := slices.MaxFunc(inBlock(d, "kit", Rect), func(a, b Op) int { return cmp.Compare(a.W*a.H, b.W*b.H) })
			if black.Fill != Black || black.X > left+0.05 || black.X+black.W < d.Size.W-left-0.05 {
				t.Errorf("%s on %s of %.0f x %.0f mm: the block goes from %.1f to %.1f, the text from %.1f to %.1f",
					l.ID, s.Name, InMM(s.Label.W), InMM(s.Label.H), black.X, black.X+black.W, left, d.Size.W-left)
			}
			if said := black.boxed(d); !strings.Contains(said, "NO ENERGIZED WORK") {
				t.Errorf("%s on %s: the block says %q", l.ID, s.Name, said)
			}
		}
		if drawn == 0 {
			t.Errorf("%s: no DANGER label", s.Name)
		}
	}
}

// boxed are the texts in the box of an operation.
func (o *Op) boxed(d *Drawing) string {
	x0, y0, x1, y1 := o.Box()
	var said []string
	for i := range d.Ops {
		a0, b0, a1, b1 := d.Ops[i].Box()
		if d.Ops[i].Kind == Text && a0 >= x0 && b0 >= y0-2 && a1 <= x1 && b1 <= y1+2 {
			said = append(said, d.Ops[i].Text)
		}
	}
	return strings.Join(said, " ")
}
