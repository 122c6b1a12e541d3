package layout

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
)

// in is one of the program's own languages.
func in(language string) *label.Presentation {
	return &label.Presentation{Languages: []string{language}}
}

// walkSteps are what to do with the labels that a walk changes; "" for none.
func walkSteps(w *label.WalkWords, off, on string) (all []WalkStep) {
	if off != "" {
		all = append(all, WalkStep{Verb: w.WalkRemove, What: off})
	}
	if on != "" {
		all = append(all, WalkStep{Verb: w.WalkPutOn, What: on, Strong: true})
	}
	return all
}

// sampleWalk is a walk over n labels in areas of eleven.
func sampleWalk(n int, language string) *Walk {
	words := in(language).Walk()
	w := &Walk{Words: words, Site: "Brackwater Creamery (invented)", Date: "2026-04-02", Paper: Papers[0],
		How: []string{words.WalkCheck, words.WalkAtOnce, words.WalkOver, words.WalkUnlisted, words.WalkTick}}
	for i := range n {
		off, on := fmt.Sprintf("7K3M-9QTD-RC4A-%04d", i), fmt.Sprintf("NDS7-05RZ-ADGD-%04d", i)
		r := WalkRow{Area: fmt.Sprintf("Hall %d", i/11+1), ID: fmt.Sprintf("MCC-%d", i+1), Equipment: "Motor control center",
			Do: walkSteps(words, off, on)}
		switch i % 7 {
		case 2:
			r.Do = walkSteps(words, "", on)
		case 3:
			r.ID, r.Equipment = "PACKAGING-HALL-MCC-12B-EAST-SECTION", "Motor control center of the mezzanine at column C7, behind the tray washer"
		case 4:
			r.Do = []WalkStep{{Verb: words.WalkCover, What: off}, {Verb: words.WalkWith, What: words.WalkItsOverlay, Strong: true}}
			r.Note = words.WalkTooLow
		case 5:
			r.Do, r.Note = []WalkStep{{Verb: words.WalkVerify, What: off}}, words.WalkGone+"; "+words.WalkIfGone
		case 6:
			r.Do = []WalkStep{{Verb: words.WalkRemove, What: words.WalkOverlay}, {Verb: words.WalkLeave, What: off}}
		}
		w.Rows = append(w.Rows, r)
	}
	return w
}

// sampleLater is a walk over n labels, and over more that must be printed first.
func sampleLater(n, later int, language string) *Walk {
	w := sampleWalk(n, language)
	w.Later = sampleWalk(later, language).Rows
	for i := range w.Later {
		w.Later[i].Waits = true
	}
	w.Why = []string{w.Words.WalkLater, w.Words.First([]string{"MCC-1", "MCC-2"}, "vouchmark print --changed"),
		w.Words.First([]string{"MCC-3"}, w.Words.WalkByHand)}
	return w
}

// urgent adds labels to cover before everything else, of which every second one waits
// for something to be printed.
func (w *Walk) urgent(n int) *Walk {
	words := w.Words
	for i := range n {
		r := WalkRow{Area: fmt.Sprintf("Hall %d", i/11+1), ID: fmt.Sprintf("SWB-%d", i+1), Equipment: "Switchboard",
			Do: []WalkStep{{Verb: words.WalkCover, What: fmt.Sprintf("7K3M-9QTD-RC4A-%04d", 5000+i)},
				{Verb: words.WalkWith, What: words.WalkItsOverlay, Strong: true}}}
		if i%2 == 1 {
			r.Waits, r.Note = true, words.WalkOverlayFirst
		}
		w.First = append(w.First, r)
	}
	w.Urgent = []string{words.WalkUrgent, words.WalkPrintFirst, words.First([]string{"SWB-2"}, "vouchmark print --kind overlay --changed"),
		words.WalkCheck, words.WalkOver, words.WalkTick}
	return w
}

// sampleSlip is the slip of a job of n labels.
func sampleSlip(n int, language string) *Slip {
	stock, _ := StockNamed("letter-4x3")
	j := &Slip{Words: in(language).Slip(), Site: "Brackwater Creamery (invented)", Date: "2026-04-02", By: "coordinator", Stock: stock, Copies: 1,
		Counts:    []Count{{"WARNING, Kit A", n / 2}, {"WARNING, Kit B", n / 4}, {"WARNING, below 1.2", n / 8}, {"DANGER, no energized work", n - n/2 - n/4 - n/8}},
		ChainHead: strings.Repeat("9f86d081884c7d65", 4), Paper: Papers[0]}
	for i := range n {
		id := fmt.Sprintf("MCC-%d", i+1)
		if i%9 == 4 {
			id = "PACKAGING-HALL-MCC-12B"
		}
		j.Labels = append(j.Labels, SlipLine{ID: id, Code: fmt.Sprintf("7K3M-9QTD-RC4A-%04d", i)})
	}
	return j
}

// pagesSound checks texts, margins and sizes on pages. The sample label of a guide is
// a separate drawing with tests of its own.
func pagesSound(t *testing.T, what string, pages []Page, margin float64) {
	t.Helper()
	for n, p := range pages {
		d := p.Drawings[0].Drawing
		if err := textsSound(d, MM(2.2)); err != nil {
			t.Errorf("%s page %d: %v", what, n+1, err)
		}
		for i := range d.Ops {
			o := &d.Ops[i]
			x0, y0, x1, y1 := inked(o)
			if x0 < margin-1 || y0 < margin-1 || x1 > p.Size.W-margin+1 || y1 > p.Size.H-margin+1 {
				t.Errorf("%s page %d: operation %d %q leaves the margins", what, n+1, i, o.Text)
			}
			for _, at := range p.Drawings[1:] {
				if o.Kind == Text && x0 < at.X+at.Size.W && at.X < x1 && y0 < at.Y+at.Size.H && at.Y < y1 {
					t.Errorf("%s page %d: %q is on another drawing", what, n+1, o.Text)
				}
			}
		}
	}
}

func TestWalk(t *testing.T) {
	for _, paper := range Papers {
		for _, c := range []struct {
			n        int
			language string
		}{{0, "en"}, {0, "es"}, {0, "fr"}, {1, "en"}, {60, "en"}, {60, "es"}, {60, "fr"}, {1000, "en"}} {
			n, w := c.n, sampleWalk(c.n, c.language)
			w.Paper = paper
			if n == 60 {
				w.Rows[4].ID, w.Rows[4].Equipment = strings.Repeat("X", 70), strings.Repeat("é", 120)
				w.Rows[7].Area, w.Rows[8].Area = "", ""
			}
			pages := WalkPages(w)
			what := fmt.Sprintf("walk of %d in %s on %s", n, c.language, paper.Name)
			pagesSound(t, what, pages, MM(15))
			var drawings []*Drawing
			for i, p := range pages {
				d := p.Drawings[0].Drawing
				drawings = append(drawings, d)
				initials := map[bool]string{false: w.Words.WalkInitials}[n == 0]
				if err := says([]string{w.Words.WalkTitle, initials, fmt.Sprintf("%d / %d", i+1, len(pages))}, d); err != nil {
					t.Errorf("%s page %d: %v", what, i+1, err)
				}
			}
			var texts []string
			for _, r := range w.Rows {
				if len(r.ID) < 60 {
					texts = append(texts, r.Area, r.ID, r.Equipment)
				}
				for _, step := range r.Do {
					texts = append(texts, step.Verb, step.What)
				}
				texts = append(texts, r.Note)
			}
			if n == 0 {
				texts = append(texts, w.Words.WalkNothing)
			} else if err := says([]string{w.Words.WalkNothing}, drawings...); err == nil {
				t.Errorf("%s: says that there is nothing to do", what)
			}
			if err := says(texts, drawings...); err != nil {
				t.Errorf("%s: %v", what, err)
			}
			boxes := 0
			for _, d := range drawings {
				for _, o := range d.Ops {
					if o.Kind == Rect && o.Ink == Black {
						boxes++
					}
				}
			}
			if boxes != n {
				t.Errorf("%s: %d boxes to tick", what, boxes)
			}
		}
	}
}

// TestWalkContinues: an area that continues on the next page is named there again.
func TestWalkContinues(t *testing.T) {
	w := sampleWalk(60, "en")
	for i := range w.Rows {
		w.Rows[i].Area = "Packaging hall"
	}
	pages := WalkPages(w)
	if err := says([]string{"Packaging hall · 60 to do"}, pages[0].Drawings[0].Drawing); err != nil {
		t.Error(err)
	}
	if len(pages) < 2 {
		t.Fatal("one page")
	}
	if err := says([]string{"Packaging hall (continued)"}, pages[1].Drawings[0].Drawing); err != nil {
		t.Error(err)
	}
}

// What cannot be done yet is on pages of its own, which say why, and has no box. Where
// there is nothing else there are no other pages.
func TestWalkLater(t *testing.T) {
	for _, paper := range Papers {
		for _, n := range []int{0, 14} {
			w := sampleLater(n, 40, "en")
			w.Paper = paper
			pages := WalkPages(w)
			pagesSound(t, "walk with rows to print first", pages, MM(15))
			ready := true
			for i, p := range pages {
				d := p.Drawings[0].Drawing
				if says([]string{w.Words.WalkTitleLater}, d) == nil {
					ready = false
				}
				boxes := slices.ContainsFunc(d.Ops, func(o Op) bool { return o.Kind == Rect && o.Ink == Black })
				initials := says([]string{"Initials"}, d) == nil
				why := says([]string{"Not ready yet. Do this first: MCC-1, MCC-2: vouchmark print --changed."}, d) == nil
				if boxes != ready || initials != ready || why == ready {
					t.Errorf("%d rows, page %d: boxes %v, initials %v, why %v", n, i+1, boxes, initials, why)
				}
			}
			if ready || len(pages) < 2 {
				t.Errorf("%d rows: %d pages, none of what is to be printed first", n, len(pages))
			}
		}
	}
}

// What is urgent comes before the rest, on pages of its own. A row whose overlay must
// still be printed says so, and has no box.
func TestWalkUrgent(t *testing.T) {
	for _, paper := range Papers {
		for _, language := range []string{"en", "es", "fr"} {
			for _, n := range [][2]int{{0, 0}, {3, 0}, {0, 4}, {14, 40}} {
				w := sampleLater(n[0], n[1], language).urgent(31)
				w.Paper = paper
				pages := WalkPages(w)
				pagesSound(t, "urgent walk", pages, MM(15))
				boxes, part := 0, 0
				titles := []string{w.Words.WalkTitleFirst, w.Words.WalkTitle, w.Words.WalkTitleLater}
				for i, p := range pages {
					d := p.Drawings[0].Drawing
					now := slices.IndexFunc(titles, func(s string) bool { return d.Ops[0].Text == s })
					if now < part {
						t.Fatalf("page %d: %q after %q", i+1, d.Ops[0].Text, titles[part])
					}
					if part = now; part > 0 {
						continue
					}
					if err := says([]string{w.Words.WalkUrgent, w.Words.WalkOverlayFirst, "vouchmark print --kind overlay --changed"}, d); err != nil {
						t.Errorf("page %d: %v", i+1, err)
					}
					for _, o := range d.Ops {
						if o.Kind == Rect && o.Ink == Black {
							boxes++
						}
					}
				}
				if boxes != 16 {
					t.Errorf("%v rows in %s: %d boxes for 16 labels that can be covered now", n, language, boxes)
				}
				if some := n[0]+n[1] > 0; some == (part == 0) {
					t.Errorf("%v rows: the last part is %d", n, part)
				}
			}
		}
	}
}

func TestSlip(t *testing.T) {
	for _, paper := range Papers {
		for _, c := range []struct {
			n        int
			language string
		}{{1, "en"}, {5, "en"}, {140, "en"}, {140, "es"}, {140, "fr"}, {1000, "en"}} {
			n, j := c.n, sampleSlip(c.n, c.language)
			j.Paper = paper
			if n == 140 {
				j.Copies = 2
				j.Labels[17].ID = strings.Repeat("X", 70)
			}
			by := j.By
			if n == 5 { // a login name may have any letters
				j.By, by = "A. 山田\x1b[31m", "A. ???[31m"
			}
			pages := SlipPages(j)
			what := fmt.Sprintf("slip of %d in %s on %s", n, c.language, paper.Name)
			pagesSound(t, what, pages, MM(15))
			var drawings []*Drawing
			for _, p := range pages {
				drawings = append(drawings, p.Drawings[0].Drawing)
			}
			size := map[bool]string{true: "101,6 x 76,2 mm", false: "101.6 x 76.2 mm"}[c.language == "fr"]
			texts := []string{size, j.Site, j.Date, by, j.ChainHead[:32], j.ChainHead[32:], "100 mm", "4 in", fmt.Sprint(n * j.Copies), "SAFETY ORANGE", "SAFETY RED"}
			for _, l := range j.Labels {
				texts = append(texts, l.Code)
				if len(l.ID) < 60 {
					texts = append(texts, l.ID)
				}
			}
			for _, c := range j.Counts {
				texts = append(texts, c.What)
			}
			if err := says(texts, drawings...); err != nil {
				t.Errorf("%s: %v", what, err)
			}
		}
	}
}

// TestSlipRules measures the rules: from the middle of the first tick to the
// middle of the last.
func TestSlipRules(t *testing.T) {
	d := SlipPages(sampleSlip(5, "en"))[0].Drawings[0].Drawing
	ends := map[float64][2]float64{} // by the height of their line
	for _, o := range d.Ops {
		if o.Kind == Line && o.W == 0 && o.Stroke == 1 && o.H > 1 {
			y := o.Y + o.H
			e, ok := ends[y]
			if !ok {
				e = [2]float64{o.X, o.X}
			}
			ends[y] = [2]float64{min(e[0], o.X), max(e[1], o.X)}
		}
	}
	found := map[string]bool{}
	for _, e := range ends {
		found[fmt.Sprintf("%.3f", InMM(e[1]-e[0]))] = true
	}
	if !found["100.000"] || !found["101.600"] {
		t.Errorf("rules of %v mm", found)
	}
}

// TestSlipColor: the patches are in the stock's inks, and there are none on stock that
// is printed in black only.
func TestSlipColor(t *testing.T) {
	j := sampleSlip(5, "en")
	if n := len(SlipPages(j)[0].Drawings); n != 3 {
		t.Errorf("%d drawings, want the page and two patches", n)
	}
	j.Stock.Color = assess.OneColor
	pages := SlipPages(j)
	if n := len(pages[0].Drawings); n != 1 {
		t.Errorf("one color: %d drawings", n)
	}
	if err := colorless(pages[0].Drawings[0].Drawing); err != nil {
		t.Error(err)
	}
}

func TestPagesGolden(t *testing.T) {
	guide, err := GuidePage(sampleGuide(t, "en", false), Papers[0])
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "page_guide", guide[0].Drawings[0].String())
	golden(t, "page_walk", WalkPages(sampleWalk(14, "en"))[0].Drawings[0].String())
	golden(t, "page_slip", SlipPages(sampleSlip(9, "en"))[0].Drawings[0].String())
	proof, _ := proofOf(t, pressStock(assess.Spot), "en", samples()[:2])
	last := proof[0].Drawings
	golden(t, "page_proof", last[1].String()+last[2].String())
}

// TestLookPages writes guide, walk list and slip, as TestLook does.
func TestLookPages(t *testing.T) {
	if os.Getenv("LOOK") == "" {
		t.Skip("LOOK names no folder")
	}
	var guides []Page
	for _, language := range []string{"en", "es", "fr"} {
		for _, p := range Papers {
			g, err := GuidePage(sampleGuide(t, language, false), p)
			if err != nil {
				t.Error(language, p.Name, err)
				continue
			}
			guides = append(guides, g...)
		}
	}
	lookAt(t, "guide", guides)
	for _, language := range []string{"en", "es", "fr"} {
		for _, p := range Papers {
			w := sampleLater(60, 9, language).urgent(5)
			w.Paper = p
			lookAt(t, "walk-"+language+"-"+p.Name, WalkPages(w))
		}
		lookAt(t, "walk-nothing-"+language, WalkPages(sampleWalk(0, language)))
		lookAt(t, "slip-"+language, SlipPages(sampleSlip(140, language)))
	}
}
