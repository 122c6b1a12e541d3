package layout

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

// sampleAudit is an audit that found some problems among n labels.
func sampleAudit(problems, labels int) *Audit {
	a := &Audit{Site: "Brackwater Creamery (invented)", Date: "2026-09-30", Tool: "vouchmark 1.4.0", Paper: Papers[0],
		Verdict: fmt.Sprintf("%d problems were found.", problems), Sound: problems == 0,
		Policy: []Fact{{"Edition", "NFPA 70E-2024"}, {"Cutoff", "40 cal/cm²: above it no energized work"},
			{"Ladder", "Kit A 4 cal/cm² · Kit B 8 cal/cm² · Kit C 25 cal/cm² · Kit D 40 cal/cm²"},
			{"Review", "every 60 months, notice 90 days before"}, {"Units", "us"}, {"Govern", "larger of study and recomputed"}},
		Standing: []Count{{"withdrawn", 1}, {"replaced", 12}, {"in question", 3}, {"lapsed", 2}, {"falls due", 9}, {"holds", max(0, labels-27)}},
		Notes: []string{"The print of 2026-04-02 was not finished: line 211 of the ledger has no line that says done. Its 12 labels count as printed.",
			"Settlement of 2026-08-11/SWB-1 by the coordinator: the change does not reach the labels of the packaging hall, which are fed from T-2."},
		Head:  strings.Repeat("9f86d081884c7d65", 4),
		Chain: []Fact{{"Lines", "412"}, {"Records", "96"}, {"Prints", "14"}, {"First day", "2024-02-12"}, {"Last day", "2026-09-28"}},
		Proves: []string{"A head noted elsewhere that is in this chain proves that no line up to it was altered, taken out or put in since.",
			"It cannot prove that what was written was true, nor anything of the lines after it."},
		Signatures: []Signature{{"R. Example, engineer", "22 records of study BC-26-03 rev 1", "2026-03-20", "by the key in keys/r-example.pub", false},
			{"Q. Sample, auditor", "the chain up to line 388", "2026-06-30", "not: the key is not among those of the site", true}},
		Accepted: []AuditAccepted{{"PACKAGING-HALL-MCC-12B-EAST-SECTION", "over-interrupting", "E. Sample, PE", "2026-03-20", "2027-03-20",
			"series rating by the maker's table 7 of 2025, breaker below fuse of the same maker, looked up for both frames", "in the record of 7K3M-9QTD-RC4A-0002 and in site.toml"},
			{"SWB-2", "understated", "E. Sample, PE", "2026-03-21", "REVIEW BY", "see letter", "in site.toml; no label was printed with it"}},
		Acceptance: "An acceptance does not make the equipment safe.",
		Findings:   []string{"a gap that is unusual for the class of equipment: MCC-4, MCC-5 [gap-untypical]"},
		Cautions: []string{"Results must come from, and be accepted by, a qualified person under the local code. They hold only while the protective devices are maintained and nothing on the system changes.",
			"A label does not replace the risk assessment before the task."},
	}
	if a.Sound {
		a.Verdict = "Records intact: nothing altered or lost."
	}
	for i := range problems {
		p := []Problem{
			{"ledger.jsonl line 87", "The line does not hold the hash of the line before it.", "Compare with the backup; ask who edited the file."},
			{"MCC-4, 7K3M-9QTD-RC4A-0W2E", "The record of this label is missing: records/ab/abcd…", "Bring it back from the backup, or withdraw the label and print it again."},
			{"PACKAGING-HALL-MCC-12B-EAST-SECTION", "The installed label is in question since 2026-08-11 and nobody was sent to cover it.", "Cover it."},
		}[i%3]
		a.Problems = append(a.Problems, p)
	}
	for i := range labels {
		l := AuditLabel{ID: fmt.Sprintf("MCC-%d", i+1), Equipment: "Motor control center", Area: fmt.Sprintf("Hall %d", i/11+1),
			Code: fmt.Sprintf("7K3M-9QTD-RC4A-%04d", i), Printed: "2026-04-02", Mounted: "2026-04-07", Review: "2031-03-14", Standing: "holds", Signed: "R. Example"}
		switch i % 7 {
		case 2:
			l.Mounted, l.Signed, l.Standing, l.Doubt = "", "", "in question", true
		case 3:
			l.ID, l.Equipment = "PACKAGING-HALL-MCC-12B-EAST-SECTION", "Motor control center of the mezzanine at column C7, behind the tray washer"
		case 5:
			l.Standing, l.Doubt, l.Signed = "lapsed since 2026-03-15", true, "R. Example, engineer of Invented Studies"
		case 6:
			l.Equipment, l.Area = "", ""
		}
		a.Labels = append(a.Labels, l)
	}
	return a
}

// words are the texts of an audit that must be on its pages.
func (a *Audit) words() []string {
	w := []string{a.Site, a.Date, a.Tool, a.Verdict}
	w = append(append(append(w, a.Notes...), a.Proves...), append(a.Findings, a.Cautions...)...)
	for _, f := range append(append([]Fact{}, a.Policy...), a.Chain...) {
		w = append(w, f.Name, f.Value)
	}
	for _, c := range a.Standing {
		w = append(w, c.What, fmt.Sprint(c.N))
	}
	for _, p := range a.Problems {
		w = append(w, p.Where, p.What, p.Do)
	}
	for _, l := range a.Labels {
		w = append(w, l.ID, l.Equipment, l.Area, l.Code, l.Printed, l.Mounted, l.Review, l.Standing, l.Signed)
	}
	for _, f := range a.Accepted {
		w = append(w, f.ID, f.Finding, f.By, f.Date, f.Until, f.Reason, f.Where)
	}
	for _, g := range a.Signatures {
		w = append(w, g.Who, g.What, g.When, g.Verified)
	}
	return w
}

// auditSound checks the pages of an audit. Without splits no word was broken, and all
// of them must be found.
func auditSound(t *testing.T, what string, a *Audit, splits bool) []Page {
	t.Helper()
	pages := AuditPages(a)
	pagesSound(t, what, pages, MM(15))
	var drawings []*Drawing
	for i, p := range pages {
		d := p.Drawings[0].Drawing
		drawings = append(drawings, d)
		if err := says([]string{fmt.Sprintf("%d / %d", i+1, len(pages)), "audit"}, d); err != nil {
			t.Errorf("%s page %d: %v", what, i+1, err)
		}
		if err := colorless(d); err != nil {
			t.Errorf("%s page %d: %v", what, i+1, err)
		}
		for j := range d.Ops {
			// No text runs into the foot, which is written last.
			if _, _, _, y := d.Ops[j].Box(); j < len(d.Ops)-2 && y > p.Size.H-MM(15)-1.2*paperLead {
				t.Errorf("%s page %d: %q runs into the foot", what, i+1, d.Ops[j].Text)
			}
		}
	}
	if err := unstruck(drawings); err != nil {
		t.Errorf("%s: %v", what, err)
	}
	if !splits {
		if err := says(a.words(), drawings...); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	return pages
}

// unstruck reports a text that a line across the page touches.
func unstruck(drawings []*Drawing) error {
	for i, d := range drawings {
		for _, l := range d.Ops {
			if l.Kind != Line || l.H != 0 {
				continue
			}
			for j := range d.Ops {
				o := &d.Ops[j]
				x0, y0, x1, y1 := o.Box()
				if o.Kind == Text && x0 < l.X+l.W && l.X < x1 && y0 < l.Y+l.Stroke/2 && l.Y-l.Stroke/2 < y1 {
					return fmt.Errorf("page %d: a line touches %q", i+1, o.Text)
				}
			}
		}
	}
	return nil
}

func TestAudit(t *testing.T) {
	for _, paper := range Papers {
		for _, n := range [][2]int{{0, 0}, {0, 5}, {1, 1}, {3, 28}, {300, 1000}} {
			a := sampleAudit(n[0], n[1])
			a.Paper = paper
			auditSound(t, fmt.Sprintf("audit of %d problems, %d labels on %s", n[0], n[1], paper.Name), a, false)
		}
		a := &Audit{Site: "Invented plant", Date: "2026-05-01", Tool: "vouchmark", Verdict: "Records intact: nothing altered or lost.", Sound: true, Paper: paper}
		if pages := auditSound(t, "empty audit on "+paper.Name, a, false); len(pages) != 1 {
			t.Errorf("an audit of nothing takes %d pages", len(pages))
		}
	}
}

// TestAuditHeads: a list repeats its title and its columns on every page.
func TestAuditHeads(t *testing.T) {
	continued := map[string]int{}
	for _, p := range AuditPages(sampleAudit(300, 1000)) {
		d := p.Drawings[0].Drawing
		for _, o := range d.Ops {
			if !strings.HasSuffix(o.Text, "(continued)") {
				continue
			}
			continued[o.Text]++
			want := []string{"What is wrong", "What to do"}
			if strings.HasPrefix(o.Text, "Labels") {
				want = []string{"Location", "Code", "Review by", "Standing"}
			}
			if err := says(want, d); err != nil {
				t.Error(err)
			}
		}
	}
	if continued["Problems · 300 (continued)"] < 5 || continued["Labels · 1000 (continued)"] < 20 {
		t.Errorf("continued: %v", continued)
	}
}

// TestAuditHead: the chain head is set in groups of eight, and a good verdict differs
// from a bad one without color.
func TestAuditHead(t *testing.T) {
	a := sampleAudit(0, 5)
	a.Head = "0123456789abcdef" + strings.Repeat("f", 48)
	d := AuditPages(a)[0].Drawings[0].Drawing
	var groups []string
	for _, o := range d.Ops {
		if len(o.Text) == 8 && strings.Trim(o.Text, "0123456789abcdef") == "" {
			groups = append(groups, o.Text)
		}
	}
	if strings.Join(groups, "") != a.Head {
		t.Errorf("groups %v", groups)
	}
	marks := func(a *Audit) (n int) {
		for _, o := range AuditPages(a)[0].Drawings[0].Ops {
			if o.Kind == Path {
				n = len(o.Path)
			}
		}
		return n
	}
	if marks(a) == marks(sampleAudit(2, 5)) {
		t.Error("a good and a bad verdict have the same mark")
	}
}

// TestAuditRandom sets what a damaged folder may hold: nothing, endless words, bytes
// that are not text.
func TestAuditRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	word := func() string {
		switch r.IntN(12) {
		case 0:
			return ""
		case 1:
			return strings.Repeat("W", 1+r.IntN(150))
		case 2:
			return strings.Repeat("éÅ-", 1+r.IntN(60))
		case 3:
			return "\x00\xff\n\t🔥語"
		case 4:
			return fmt.Sprint(r.IntN(1000), " cal/cm²")
		}
		return strings.Repeat("x", 1+r.IntN(12))
	}
	text := func(most int) string {
		var b strings.Builder
		for range r.IntN(most + 1) {
			b.WriteString(word() + " ")
		}
		return b.String()
	}
	many := func() int { return r.IntN(1 << r.IntN(5)) }
	for i := range 60 {
		a := &Audit{Site: text(6), Date: "2026-05-01", Tool: text(3), Verdict: text(12), Sound: r.IntN(2) == 0, Head: text(3), Paper: Papers[r.IntN(len(Papers))]}
		if r.IntN(2) == 0 {
			a.Head = strings.Repeat("0a1b2c3d", 8)
		}
		for range many() {
			a.Policy = append(a.Policy, Fact{text(3), text(20)})
		}
		for range many() {
			a.Standing = append(a.Standing, Count{text(3), r.IntN(100000)})
		}
		for range many() {
			a.Problems = append(a.Problems, Problem{text(4), text(40), text(30)})
		}
		for range many() {
			a.Notes, a.Proves, a.Cautions = append(a.Notes, text(60)), append(a.Proves, text(120)), append(a.Cautions, text(30))
		}
		for range many() {
			a.Chain = append(a.Chain, Fact{text(2), text(4)})
		}
		for range many() {
			a.Labels = append(a.Labels, AuditLabel{ID: text(2), Equipment: text(6), Area: text(3), Code: text(1), Printed: text(1), Mounted: text(1), Review: text(1), Standing: text(3), Signed: text(4)})
		}
		for range many() {
			a.Signatures = append(a.Signatures, Signature{Who: text(3), What: text(90), When: text(1), Verified: text(5)})
		}
		if auditSound(t, fmt.Sprintf("random audit %d", i), a, true); t.Failed() {
			return
		}
	}
}

func TestAuditGolden(t *testing.T) {
	var text strings.Builder
	for _, p := range AuditPages(sampleAudit(3, 6)) {
		text.WriteString(p.Drawings[0].String())
	}
	golden(t, "page_audit", text.String())
}

// TestLookAudit writes audits, as TestLook does.
func TestLookAudit(t *testing.T) {
	if os.Getenv("LOOK") == "" {
		t.Skip("LOOK names no folder")
	}
	lookAt(t, "audit", AuditPages(sampleAudit(3, 28)))
	lookAt(t, "audit-many", AuditPages(sampleAudit(40, 90)))
	lookAt(t, "audit-of-nothing", AuditPages(&Audit{Site: "Invented plant", Date: "2026-05-01", Tool: "vouchmark", Verdict: "Records intact: nothing altered or lost.", Sound: true, Paper: Papers[0]}))
	long := sampleAudit(4, 8)
	long.Site = strings.Repeat("A creamery of a very long name ", 6)
	long.Verdict = "4 problems were found, and 3 of them put labels in doubt that are installed in the plant today."
	long.Problems[1].What = strings.Repeat("The record of this label is missing and so is what it was made from. ", 30)
	long.Problems[2].Where = strings.Repeat("X", 90)
	for i := range 30 {
		long.Policy = append(long.Policy, Fact{fmt.Sprintf("Owner's row %d", i+1), strings.Repeat("above 15 kV, limited 72 in, restricted 33 in ", 3)})
	}
	long.Chain = append(long.Chain, Fact{"Merged", strings.Repeat("another ledger of 12 lines was merged at line 40. ", 9)})
	lookAt(t, "audit-long", AuditPages(long))
	sound := sampleAudit(0, 40)
	sound.Paper = Papers[1]
	lookAt(t, "audit-sound", AuditPages(sound))
}
