package layout

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
)

// proofOf is the proof of a job of sample labels.
func proofOf(t *testing.T, stock Stock, language string, labels []*label.Label) (proof, job []Page) {
	t.Helper()
	job, err := pagesOf((&Job{Stock: stock, Labels: entries(labels)}).Sheets())
	if err != nil {
		t.Fatal(err)
	}
	if proof, err = ProofPages(&Proof{Words: in(language).Proof(), Stock: stock}, seen(job), nil); err != nil {
		t.Fatal(err)
	}
	return proof, job
}

// seen are pages as sheets that were drawn.
func seen(pages []Page) *Sheets {
	s := new(Sheets)
	for i := range pages {
		f := factsOf(&pages[i])
		s.facts.add(&f)
	}
	return s
}

// onPage are the operations of a page, moved to where they are on it.
func onPage(p *Page) (all []Op) {
	for _, at := range p.Drawings {
		for _, o := range at.Ops {
			o.X, o.Y = o.X+at.X, o.Y+at.Y
			all = append(all, o)
		}
	}
	return all
}

// On every built-in stock and in every language the proof shows what a print shop checks, at
// the sizes of the job, on one page; on the smallest, on two at most.
func TestProof(t *testing.T) {
	for _, stock := range Stocks() {
		labels := fitting(stock, samples())
		_, job := proofOf(t, stock, "en", labels)
		for _, language := range []string{"en", "es", "fr"} {
			pages, err := ProofPages(&Proof{Words: in(language).Proof(), Stock: stock}, seen(job), nil)
			if err != nil {
				t.Fatal(err)
			}
			what := stock.Name + " in " + language
			if len(pages) != 1 && !(stock.compact() && len(pages) == 2) {
				t.Errorf("%s: %d pages", what, len(pages))
			}
			smallest, module := math.Inf(1), math.Inf(1)
			for i := range job {
				for _, o := range onPage(&job[i]) {
					switch o.Kind {
					case Text:
						smallest = min(smallest, o.Size)
					case QR:
						module = min(module, o.W/float64(o.Matrix.side+8))
					}
				}
			}
			var codes, small int
			var said strings.Builder
			words := in(language).Proof()
			for n := range pages {
				for _, at := range pages[n].Drawings {
					if err := textsSound(at.Drawing, MM(2)); err != nil {
						t.Errorf("%s: %v", what, err)
					}
					for i := range at.Ops {
						if x0, y0, x1, y1 := inked(&at.Ops[i]); x0 < -0.01 || y0 < -0.01 || x1 > at.Size.W+0.01 || y1 > at.Size.H+0.01 {
							t.Errorf("%s: operation %d leaves its drawing", what, i)
						}
					}
				}
				for _, o := range onPage(&pages[n]) {
					switch o.Kind {
					case QR:
						codes++
						if got := readQR(t, o.Matrix); got != words.ProofQR || strings.Contains(got, "HTTP") || strings.Contains(got, "/V/") {
							t.Errorf("%s: the code reads %q", what, got)
						}
						// A code as large as a label's with the longest link.
						if o.Matrix.Side() != reservedModules || math.Abs(o.W/float64(o.Matrix.side+8)-module) > 1e-9 {
							t.Errorf("%s: %d modules a side on %.2f mm", what, o.Matrix.side, InMM(o.W))
						}
					case Text:
						said.WriteString(o.Text + " ")
						if o.Size == smallest {
							small++
						}
						if o.Size < smallest && o.Size < proofBody.size {
							t.Errorf("%s: %q is smaller than anything on the labels", what, o.Text)
						}
					}
				}
			}
			if codes != 1 || small < 3 {
				t.Errorf("%s: %d codes, %d texts of the smallest size", what, codes, small)
			}
			want := []string{words.ProofTitle, "SAFETY ORANGE", "C0 M50 Y100 K0", words.ProofBlack, "C0 M0 Y0 K100", stock.Name}
			if slices.ContainsFunc(labels, func(l *label.Label) bool { return l.Danger }) {
				want = append(want, "SAFETY RED", "C0 M100 Y90 K15")
			}
			for _, w := range want {
				if !strings.Contains(said.String(), w) {
					t.Errorf("%s: no %q", what, w)
				}
			}
		}
	}
}

// The two rulers are measured as those of the slip are.
func TestProofRulers(t *testing.T) {
	stock, _ := StockNamed("6x4")
	pages, _ := proofOf(t, stock, "en", samples()[:1])
	found := map[string]bool{}
	ends := map[float64][2]float64{}
	for _, o := range onPage(&pages[0]) {
		if o.Kind == Line && o.W == 0 && o.Stroke == 1 {
			e, ok := ends[o.Y+o.H]
			if !ok {
				e = [2]float64{o.X, o.X}
			}
			ends[o.Y+o.H] = [2]float64{min(e[0], o.X), max(e[1], o.X)}
		}
	}
	for _, e := range ends {
		found[fmt.Sprintf("%.3f", InMM(e[1]-e[0]))] = true
	}
	if len(found) != 2 || !found["100.000"] || !found["101.600"] {
		t.Errorf("rulers of %v mm", found)
	}
}

// A patch is shown for each color that the job has, and for no other: a press would want a
// plate for it. Colors of the slip count.
func TestProofColors(t *testing.T) {
	stock, _ := StockNamed("4x4")
	for _, c := range []struct {
		color  assess.Color
		labels []*label.Label
		want   string
	}{
		{assess.Spot, samples()[:1], "SAFETY ORANGE, BLACK, GRAY"},
		{assess.Spot, samples()[1:2], "SAFETY RED, BLACK, GRAY"},
		{assess.Process, samples()[:2], "SAFETY ORANGE, SAFETY RED, BLACK, GRAY"},
		{assess.RGB, samples()[:2], "SAFETY ORANGE, SAFETY RED, BLACK, GRAY"},
		{assess.OneColor, samples()[:2], "BLACK"},
	} {
		s := stock
		s.Color = c.color
		pages, job := proofOf(t, s, "en", c.labels)
		var names []string
		for _, o := range onPage(&pages[0]) {
			if o.Kind == Text && (strings.HasPrefix(o.Text, "SAFETY") || o.Text == "BLACK" || o.Text == "GRAY") {
				names = append(names, o.Text)
			}
		}
		if got := strings.Join(names, ", "); got != c.want {
			t.Errorf("%s: patches %s, want %s", c.color, got, c.want)
		}
		if c.color == assess.OneColor {
			for _, at := range pages[0].Drawings {
				if err := colorless(at.Drawing); err != nil {
					t.Error(err)
				}
			}
		}
		slip := sampleSlip(1, "en")
		slip.Stock = s
		facts := seen(job).factsWith(SlipPages(slip))
		if want := map[bool]int{true: 0, false: 2}[c.color == assess.OneColor]; len(facts.signals) != want {
			t.Errorf("%s with a slip: %v", c.color, facts.signals)
		}
	}
}

// Very small stock takes as many places as it needs, and every part stays on its place. A
// preprinted panel stays free.
func TestProofOnSmallStock(t *testing.T) {
	_, job := proofOf(t, Stocks()[0], "en", samples()[:2])
	for _, size := range [][2]float64{{40, 40}, {50.8, 101.6}, {101.6, 50.8}, {60, 40}, {300, 300}} {
		for _, language := range []string{"en", "es", "fr"} {
			s := StockFrom(assess.Stock{Name: "own", Page: [2]float64{size[0], 2 * size[1]}, Label: size, Columns: 1, Rows: 2,
				Preprinted: true, Panel: 8, OutputCondition: "CGATS TR 001"})
			pages, err := ProofPages(&Proof{Words: in(language).Proof(), Stock: s}, seen(job), nil)
			if min(size[0], size[1]) < 50 && err != nil { // refused, never clipped
				if !strings.Contains(err.Error(), "too small") {
					t.Error(err)
				}
				continue
			}
			if err != nil {
				t.Errorf("%v in %s: %v", size, language, err)
				continue
			}
			for i := range pages {
				for _, at := range pages[i].Drawings {
					for k := range at.Ops {
						x0, y0, x1, y1 := inked(&at.Ops[k])
						x0, x1, y0, y1 = x0+at.X, x1+at.X, y0+at.Y, y1+at.Y
						row := math.Floor((y0 + y1) / 2 / s.Label.H)
						if x0 < 0 || x1 > s.Label.W || y0-row*s.Label.H < MM(8) || y1-row*s.Label.H > s.Label.H {
							t.Errorf("%v in %s: operation %d %q leaves its label", size, language, k, at.Ops[k].Text)
						}
					}
				}
			}
		}
	}
}
