package layout

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

// sampleRestudy is a restudy of n locations, of which some labels are too low.
func sampleRestudy(n int) *Restudy {
	r := &Restudy{Site: "Brackwater Creamery (invented)", Date: "2027-05-03", Study: "studies/BC-27-01.xlsx", Paper: Papers[0],
		Verdict: fmt.Sprintf("%d labels are printed too low: cover them now.", (n+4)/5),
		Notes:   []string{"Before: what the label printed last says. Now: what the new row says."},
		Cautions: []string{"Results must come from, and be accepted by, a qualified person under the local code.",
			"A label does not replace the risk assessment before a task."}}
	lists := []RestudyList{{Title: "COVER: printed too low"}, {Title: "Not printed"}, {Title: "The label changes"},
		{Title: "New locations"}, {Title: "Gone"}, {Title: "The label changes in the study's name and dates alone", Brief: true},
		{Title: "The label stays", Brief: true}}
	for i := range n {
		at := []int{0, 1, 2, 2, 5, 5, 6, 6, 3, 4}[i%10]
		row := RestudyRow{ID: fmt.Sprintf("MCC-%d", i+1), Equipment: "Motor control center", Area: fmt.Sprintf("Hall %d", i/11+1),
			Before: RestudySays{"1.8 cal/cm²", "23 in", "WARNING Kit A", "2026-03-14"}, Now: RestudySays{"1.8 cal/cm²", "23 in", "WARNING Kit A", "2026-03-14"}}
		if i%7 == 3 {
			row.ID, row.Equipment = "PACKAGING-HALL-MCC-12B-EAST-SECTION-0007", "Motor control center of the mezzanine at column C7, behind the tray washer"
			row.Before.Energy, row.Before.Boundary = "above 40 cal/cm² (167 J/cm²)", "15 ft 10 in (4.83 m)"
		}
		switch at {
		case 0:
			row.Now = RestudySays{"42.1 cal/cm²", "13 ft 5 in", "DANGER", "2027-04-20"}
			row.Alert = "Too low: DANGER now: no energized work; the label says WARNING; energy 42.1 cal/cm², above the printed 1.8 cal/cm²"
			row.Notes = []string{"Also: clear_ms 50 to 300; clear_reduced_ms 50 to 300; study BC-26-03 to BC-27-01", "To do: cover the label now; print the new one and put it on"}
		case 1:
			row.Now.Study = "2027-04-20"
			row.Notes = []string{"Not printed: energy_cal_cm2: the study understates the energy: 1.8 cal/cm², recomputed 9.21747 by IEEE 1584-2018 (84.3 % more); " +
				"ask the engineer of the study, and compare clear_ms (now 180) with the report", "To do: cover the label: it does not hold"}
		case 2:
			row.Now.Energy, row.Now.Study = "1.2 cal/cm²", "2027-04-20"
			row.Notes = []string{"To do: print the new label and put it on"}
		case 3:
			row.Before = RestudySays{}
		case 4:
			row.Now = RestudySays{}
		case 5:
			row.Now.Study = "2027-04-20"
		}
		lists[at].Rows = append(lists[at].Rows, row)
	}
	for _, l := range lists {
		if l.Rows != nil {
			r.Lists, r.Counts = append(r.Lists, l), append(r.Counts, Count{l.Title, len(l.Rows)})
		}
	}
	return r
}

// words are the texts of a restudy that must be on its pages.
func (r *Restudy) words() []string {
	w := append([]string{r.Site, r.Date, r.Study, r.Verdict}, append(r.Notes, r.Cautions...)...)
	for _, c := range r.Counts {
		w = append(w, c.What, fmt.Sprint(c.N))
	}
	for _, l := range r.Lists {
		w = append(w, l.Title)
		for _, x := range l.Rows {
			w = append(append(append(w, x.ID, x.Equipment, x.Area, x.Alert), x.Notes...), x.Now.cells()...)
			if !l.Brief {
				w = append(w, x.Before.cells()...)
			}
		}
	}
	return w
}

// restudySound checks the pages of a restudy. Without splits no word was broken, and
// all of them must be found.
func restudySound(t *testing.T, what string, r *Restudy, splits bool) []Page {
	t.Helper()
	pages := RestudyPages(r)
	pagesSound(t, what, pages, MM(15))
	var drawings []*Drawing
	for i, p := range pages {
		d := p.Drawings[0].Drawing
		drawings = append(drawings, d)
		if err := says([]string{fmt.Sprintf("%d / %d", i+1, len(pages)), "restudy"}, d); err != nil {
			t.Errorf("%s page %d: %v", what, i+1, err)
		}
		if err := colorless(d); err != nil {
			t.Errorf("%s page %d: %v", what, i+1, err)
		}
		for j := range d.Ops {
			if _, _, _, y := d.Ops[j].Box(); j < len(d.Ops)-2 && y > p.Size.H-MM(15)-1.2*paperLead { // the foot is written last
				t.Errorf("%s page %d: %q runs into the foot", what, i+1, d.Ops[j].Text)
			}
		}
	}
	if err := unstruck(drawings); err != nil {
		t.Errorf("%s: %v", what, err)
	}
	if !splits {
		if err := says(r.words(), drawings...); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	return pages
}

func TestRestudy(t *testing.T) {
	for _, paper := range Papers {
		for _, n := range []int{0, 1, 30, 200, 2000} {
			r := sampleRestudy(n)
			r.Paper, r.Sound = paper, n == 30
			pages := restudySound(t, fmt.Sprintf("restudy of %d on %s", n, paper.Name), r, n > 3) // the longest id is broken
			if n == 200 && len(pages) > 20 {
				t.Errorf("%d pages for 200 locations", len(pages))
			}
		}
		r := sampleRestudy(30)
		r.Verdict = ""
		restudySound(t, "without a verdict", r, true)
	}
}

// TestRestudyLines: old values are above the new ones, a new value is bold where it
// differs, and the id is on the first line; brief lists have each number once.
func TestRestudyLines(t *testing.T) {
	r := sampleRestudy(1)
	d := RestudyPages(r)[0].Drawings[0].Drawing
	find := func(text string) *Op {
		t.Helper()
		for i := range d.Ops {
			if d.Ops[i].Text == text {
				return &d.Ops[i]
			}
		}
		t.Fatalf("no %q", text)
		return nil
	}
	for _, pair := range [][2]string{{"before", "now"}, {"1.8 cal/cm²", "42.1 cal/cm²"}, {"23 in", "13 ft 5 in"}, {"WARNING Kit A", "DANGER"}, {"2026-03-14", "2027-04-20"}} {
		was, is := find(pair[0]), find(pair[1])
		if was.X != is.X || math.Abs(is.Y-was.Y-paperLead) > 1e-9 || was.Y != find("MCC-1").Y || was.Face != paperBody.face ||
			(is.Face == paperBold.face) != (pair[1] != "now") {
			t.Errorf("%q at %.1f, %.1f; %q at %.1f, %.1f", pair[0], was.X, was.Y, pair[1], is.X, is.Y)
		}
	}
	if alert := find("MCC-1"); alert.Face != paperBold.face {
		t.Error("the id is not bold")
	}
	r.Lists[0].Rows[0].Now = r.Lists[0].Rows[0].Before
	r.Lists[0].Brief = true
	n := strings.Count(RestudyPages(r)[0].Drawings[0].String(), "23 in")
	if n != 1 {
		t.Errorf("a brief list has the boundary %d times", n)
	}
}

// TestRestudyRandom sets what a folder may hold: nothing, endless words, bytes that
// are not text.
func TestRestudyRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	text := func(most int) string {
		var b strings.Builder
		for range r.IntN(most + 1) {
			switch r.IntN(8) {
			case 0:
				b.WriteString(strings.Repeat("W", 1+r.IntN(90)))
			case 1:
				b.WriteString("\x00\xff\n🔥→語")
			default:
				b.WriteString(strings.Repeat("x", 1+r.IntN(12)))
			}
			b.WriteString(" ")
		}
		return b.String()
	}
	for i := range 60 {
		x := &Restudy{Site: text(6), Date: "2027-05-03", Study: text(4), Verdict: text(8), Sound: r.IntN(2) == 0, Paper: Papers[r.IntN(2)]}
		for range r.IntN(4) {
			l := RestudyList{Title: "The label changes", Brief: r.IntN(2) == 0}
			for range r.IntN(1 << r.IntN(6)) {
				row := RestudyRow{ID: text(2), Equipment: text(6), Area: text(3), Alert: text(20)}
				if r.IntN(4) > 0 {
					row.Before = RestudySays{text(2), text(2), text(3), text(1)}
				}
				if r.IntN(4) > 0 {
					row.Now = RestudySays{text(2), text(2), text(3), text(1)}
				}
				for range r.IntN(4) {
					row.Notes = append(row.Notes, text(50))
				}
				l.Rows = append(l.Rows, row)
			}
			x.Lists, x.Counts = append(x.Lists, l), append(x.Counts, Count{text(5), len(l.Rows)})
		}
		for range r.IntN(3) {
			x.Notes, x.Cautions = append(x.Notes, text(60)), append(x.Cautions, text(30))
		}
		if restudySound(t, fmt.Sprintf("random restudy %d", i), x, true); t.Failed() {
			return
		}
	}
}

func TestRestudyGolden(t *testing.T) {
	var text strings.Builder
	for _, p := range RestudyPages(sampleRestudy(10)) {
		text.WriteString(p.Drawings[0].String())
	}
	golden(t, "page_restudy", text.String())
}

// TestLookRestudy writes restudies, as TestLook does.
func TestLookRestudy(t *testing.T) {
	if os.Getenv("LOOK") == "" {
		t.Skip("LOOK names no folder")
	}
	for _, paper := range Papers {
		for _, n := range []int{1, 30, 200} {
			r := sampleRestudy(n)
			r.Paper = paper
			lookAt(t, fmt.Sprintf("restudy-%d-%s", n, paper.Name), RestudyPages(r))
		}
	}
	sound := sampleRestudy(30)
	sound.Lists, sound.Counts, sound.Sound, sound.Verdict = sound.Lists[2:], sound.Counts[2:], true, "No label is printed too low."
	lookAt(t, "restudy-sound", RestudyPages(sound))
}
