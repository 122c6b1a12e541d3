package layout

import (
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
)

// ownStock is a roll of labels of a size in mm.
func ownStock(w, h float64) Stock {
	return StockFrom(assess.Stock{Name: "own", Page: [2]float64{w, h}, Label: [2]float64{w, h}, Columns: 1, Rows: 1, Corner: 3})
}

// spoken are all texts of a drawing, in the order in which they are read.
func spoken(d *Drawing) string {
	var all []string
	for _, o := range d.Ops {
		if o.Kind == Text {
			all = append(all, o.Text)
		}
	}
	return strings.Join(all, " ")
}

// The compact form says what NFPA 70E 130.5(H) requires, and what to do.
func TestCompact(t *testing.T) {
	for _, name := range []string{"4x2", "letter-4x2"} {
		s := mustStock(t, name)
		for _, l := range slices.Concat(samples(), dangerSamples()[:2]) {
			d := draw(t, l, s)
			if err := sound(l, s, d); err != nil {
				t.Errorf("%s on %s: %v", l.ID, name, err)
			}
			w, text := l.Words[0], spoken(d)
			want := []string{w.Signal, w.Hazard, l.ID, w.Supply, w.Arc, w.ArcLength, w.Limited, w.LimitedLength,
				w.Restricted, w.RestrictedRule, w.Gloves, l.Code}
			want = append(want, strings.Split(w.Dates, " · ")...)
			if l.Danger {
				want = append(want, w.NoWork, w.NoWorkWhy) // the energy and its distance
			} else {
				want = append(want, w.Energy, w.EnergyNote)
			}
			if l.Chosen >= 0 {
				want = append(want, l.Ladder[l.Chosen].Kit, l.Ladder[l.Chosen].Rating, w.WearLead)
			}
			for _, one := range want {
				if !strings.Contains(text, one) {
					t.Errorf("%s on %s does not say %q", l.ID, name, one)
				}
			}
			if w.WearTitle != "" && !strings.Contains(text, w.WearTitle+" "+w.WearWhy) {
				t.Errorf("%s on %s: the condition does not follow %q", l.ID, name, w.WearTitle)
			}
			for i, r := range l.Ladder {
				if i != l.Chosen && strings.Contains(text, r.Kit) {
					t.Errorf("%s on %s: another rung, %s", l.ID, name, r.Kit)
				}
			}
			if !slices.ContainsFunc(d.Ops, func(o Op) bool { return o.Kind == QR }) {
				t.Errorf("%s on %s: no QR code", l.ID, name)
			}
		}
	}
	s := mustStock(t, "letter-4x2")
	if s.Places() != 10 || s.Left < 0 || s.Top < 0 {
		t.Errorf("letter-4x2: %+v", s)
	}
}

// inLanguage is a label in Spanish alone.
func inSpanishOnly(l *label.Label) *label.Label {
	l = inSpanish(l)
	l.Words = l.Words[1:]
	return l
}

const drawn = "label with the drawing, in English | 4 x 3 in | 70 x 100 mm"

// leastSizes are what README states: the least sizes of a label of each kind, in mm, wide
// and upright.
var leastSizes = []struct {
	kind          string // as README names it
	wide, upright [2]float64
	draws         []func(s Stock) error
}{
	{"label in the compact form, in English | 4 x 2 in | 70 x 70 mm", [2]float64{101.6, 50.8}, [2]float64{70, 70}, draws(slices.Concat(samples()[:6], samples()[7:], dangerSamples()[:2])...)},
	{"label in the compact form, in Spanish or French | 4 x 2.4 in | 70 x 80 mm", [2]float64{101.6, 61}, [2]float64{70, 80}, draws(inSpanishOnly(samples()[0]), inSpanishOnly(samples()[1]), inSpanishOnly(samples()[2]))},
	{drawn, [2]float64{101.6, 76.2}, [2]float64{70, 100}, draws(slices.Concat(samples()[:6], samples()[7:], dangerSamples()[:2])...)},
	{"label with the INTERIM strip, in English | 4 x 2.4 in | 70 x 90 mm", [2]float64{101.6, 61}, [2]float64{70, 90}, draws(interimSamples()...)},
	{"fault current marking, overlay | 100 x 40 mm | 50 x 60 mm", [2]float64{100, 40}, [2]float64{50, 60}, []func(Stock) error{func(s Stock) error {
		m := sampleMarking()
		code, _ := matrix(m.QR)
		_, err := drawMarking(m, s, code, new(memory))
		return err
	}, func(s Stock) error {
		o := sampleOverlay()
		code, _ := matrix(o.QR)
		_, err := drawOverlay(o, s, code, new(memory))
		return err
	}}},
}

// draws are functions that draw the labels.
func draws(all ...*label.Label) (each []func(Stock) error) {
	for _, l := range all {
		each = append(each, func(s Stock) error {
			code, err := matrix(l.QR)
			if err != nil {
				return err
			}
			_, err = Draw(l, s, code)
			return err
		})
	}
	return each
}

// Each kind of label fits on the size that README states for it, and in English on every
// height from there to 110 mm; 10 mm lower some label of the kind does not.
func TestLeastSizes(t *testing.T) {
	readme, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range leastSizes {
		if !strings.Contains(string(readme), "| "+k.kind+" |\n") {
			t.Errorf("README does not say: %s", k.kind)
		}
		for _, size := range [][2]float64{k.wide, k.upright} {
			most := 110.0
			if strings.Contains(k.kind, "Spanish") { // its full form needs more than the least size of that form
				most = size[1]
			}
			for h := size[1]; h <= most; h += 4 {
				s := ownStock(size[0], h)
				for i, draw := range k.draws {
					if err := draw(s); err != nil {
						t.Errorf("%s on %.1f x %.1f mm: label %d: %v", k.kind, size[0], h, i, err)
					}
				}
			}
			refused := 0
			for _, draw := range k.draws {
				if err := draw(ownStock(size[0], size[1]-10)); Misfits(err) != nil {
					refused++
				}
			}
			if refused == 0 && k.kind != drawn {
				t.Errorf("%s: %.1f x %.1f mm is enough", k.kind, size[0], size[1]-10)
			}
		}
		if k.kind == drawn && (ownStock(k.wide[0], k.wide[1]).compact() || ownStock(k.upright[0], k.upright[1]).compact() ||
			!ownStock(k.wide[0], k.wide[1]-1).compact() || !ownStock(k.upright[0], k.upright[1]-1).compact()) {
			t.Errorf("%s: not the sizes at which the form changes", k.kind)
		}
	}
}

// What does not fit says on which built-in stock it does: the smallest of those that
// were really tried.
func TestFitsOn(t *testing.T) {
	if all := bySize(); all[0].Name != "4x2" || all[len(all)-1].Label.H*all[len(all)-1].Label.W < Inch(4)*Inch(6) {
		t.Errorf("from %s to %s", all[0].Name, all[len(all)-1].Name)
	}
	endless := sample()
	endless.Words[0].Wear = slices.Repeat([]string{"arc-rated shirt and pants under the suit"}, 300)
	named := map[string]bool{}
	for _, l := range slices.Concat(rareSamples(), interimSamples(), []*label.Label{inSpanish(sample()), endless}) {
		job := &Job{Stock: mustStock(t, "letter-4x2"), Labels: entries([]*label.Label{sample(), l})}
		_, err := pagesOf(job.Sheets())
		on := ""
		for _, m := range Misfits(err) {
			if on = m.FitsOn; m.ID != l.ID || m.Stock != "letter-4x2" {
				t.Errorf("%#v", m)
			}
		}
		named[on] = true
		holds := func(s Stock) bool {
			_, err := Draw(l, s, mustCode(t, l.QR))
			return err == nil
		}
		for _, s := range bySize() {
			if s.Name == on || on == "" && err == nil {
				break
			}
			if holds(s) {
				t.Errorf("%s fits on %s, not only on %q", l.ID, s.Name, on)
			}
		}
		if on != "" && !holds(mustStock(t, on)) {
			t.Errorf("%s does not fit on %s", l.ID, on)
		}
	}
	if len(named) < 4 || !named[""] || !named["100x150"] {
		t.Errorf("the labels fit on %v: the test says little", named)
	}
}

// What does not fit at the tightest level of a tier does not fit at a roomier one.
func TestTightestLevelDecides(t *testing.T) {
	code := mustCode(t, sample().QR)
	r := rand.New(rand.NewPCG(70, 130))
	all := slices.Concat(samples(), rareSamples(), interimSamples(), dangerSamples())
	for i := range 24 {
		all = append(all, randomLabel(r, i))
	}
	checked := 0
	for _, stock := range append(sizes(), ownStock(101.6, 61), ownStock(70, 80)) {
		for _, l := range all {
			s := &setting{label: l, stock: stock, code: code, compact: stock.compact(), lines: new(memory),
				plans: arrangements(stock, l.Danger, l.Preview, stock.compact())}
			for _, tier := range s.tiers() {
				if s.possible(tier[len(tier)-1]) {
					continue
				}
				checked++
				for _, lv := range tier {
					for _, group := range s.plans {
						if c, _ := s.largestOf(lv, group); c != nil {
							t.Errorf("%s on %s fits at %s", l.ID, stock.Name, lv.name)
						}
					}
				}
			}
		}
	}
	if checked < 50 {
		t.Errorf("%d labels do not fit: the test says little", checked)
	}
}
