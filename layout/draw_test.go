package layout

import (
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"vouchmark/fonts"
	"vouchmark/label"
	"vouchmark/testdata/suite"
)

var update = flag.Bool("update", false, "rewrite the golden files in testdata")

var matrices sync.Map // by text

// matrix is newMatrix, cached by text: encoding a code takes longer than drawing a
// label, and the tests draw few labels on many stocks.
func matrix(text string) (*Matrix, error) {
	if m, ok := matrices.Load(text); ok {
		return m.(*Matrix), nil
	}
	m, err := newMatrix(text)
	if err == nil {
		matrices.Store(text, m)
	}
	return m, err
}

func mustCode(t *testing.T, text string) *Matrix {
	t.Helper()
	code, err := matrix(text)
	if err != nil {
		t.Fatal(err)
	}
	return code
}

func draw(t *testing.T, l *label.Label, s Stock) *Drawing {
	t.Helper()
	d, err := Draw(l, s, mustCode(t, l.QR))
	if err != nil {
		t.Fatalf("%s on %s: %v", l.ID, s.Name, err)
	}
	return d
}

// TestGolden checks the drawings of the samples. After an intended change:
//
//	go test ./layout -run TestGolden -update
//
// and read the diff: one operation to a line.
func TestGolden(t *testing.T) {
	for _, name := range []string{"4x4", "6x4", "letter-4x3"} {
		s, _ := StockNamed(name)
		var got strings.Builder
		for _, l := range lookLabels(s) {
			fmt.Fprintf(&got, "%s: %s", l.ID, draw(t, l, s))
		}
		file := filepath.Join("testdata", name+".golden")
		if *update {
			if err := os.WriteFile(file, []byte(got.String()), 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if got.String() != string(want) {
			a, b := strings.Split(got.String(), "\n"), strings.Split(string(want), "\n")
			for i := range min(len(a), len(b)) {
				if a[i] != b[i] {
					t.Errorf("%s line %d:\n got %s\nwant %s", file, i+1, a[i], b[i])
					break
				}
			}
			t.Errorf("%s differs; -update rewrites it", file)
		}
	}
}

func TestSamplesOnEveryStock(t *testing.T) {
	for _, s := range Stocks() {
		fits := lookLabels(s)
		if len(fits) < len(samples())-1 {
			t.Errorf("%s holds %d of %d samples", s.Name, len(fits), len(samples()))
		}
		for _, l := range fits {
			if err := sound(l, s, draw(t, l, s)); err != nil {
				t.Errorf("%s on %s: %v", l.ID, s.Name, err)
			}
		}
	}
}

// TestLettersOnLargeStocks: from 4 x 4 in and 100 x 100 mm up the capitals of
// a label of one language are 2.2 mm at least, were its texts not all long.
func TestLettersOnLargeStocks(t *testing.T) {
	large := 0
	for _, s := range Stocks() {
		if !s.large() {
			continue
		}
		large++
		for _, l := range samples() {
			if len(l.ID) > 12 {
				continue
			}
			for _, o := range draw(t, l, s).Ops {
				if caps := (font{face: o.Face, size: o.Size}); o.Kind == Text && caps.caps() < MM(2.2)-0.001 {
					t.Errorf("%s on %s: %q has capitals of %.2f mm", l.ID, s.Name, o.Text, InMM(caps.caps()))
				}
			}
		}
	}
	if large < 8 {
		t.Errorf("%d large stocks", large)
	}
}

// TestRareOnEveryStock: the line of the maintenance switch and the others that
// few labels have are sound on every stock, or refused by name. On 4 x 4 in and
// up the tool's own sentences fit.
func TestRareOnEveryStock(t *testing.T) {
	for _, s := range Stocks() {
		fit := 0
		for _, l := range rareSamples() {
			d, err := Draw(l, s, mustCode(t, l.QR))
			if err == nil {
				fit++
				if err := sound(l, s, d); err != nil {
					t.Errorf("%s on %s: %v\n%s", l.ID, s.Name, err, d)
				}
				continue
			}
			t.Logf("%s: %v", s.Name, err)
			if Misfits(err) == nil || s.Label.W*s.Label.H > 0.99*MM(100)*MM(100) {
				t.Errorf("%s on %s: %v", l.ID, s.Name, err)
			}
		}
		if fit < 2 {
			t.Errorf("%s holds %d of %d", s.Name, fit, len(rareSamples()))
		}
	}
}

// TestMaintenanceBelowKit checks that the line is below the kit, in smaller letters
// than the normal energy.
func TestMaintenanceBelowKit(t *testing.T) {
	for _, s := range sizes() {
		for _, l := range rareSamples()[:2] {
			d, err := Draw(l, s, mustCode(t, l.QR))
			if err != nil {
				continue
			}
			var energy, line *Op
			for i := range d.Ops {
				o := &d.Ops[i]
				switch {
				case o.Kind != Text:
				case d.Blocks[o.Block].Name == "maintenance" && line == nil:
					line = o
				case d.Blocks[o.Block].Name == "kit" && strings.Contains(o.Text, "cal/cm²") && energy == nil:
					energy = o
				}
			}
			if energy == nil || line == nil || line.Y <= energy.Y || line.Size > energy.Size ||
				!l.Danger && line.Size >= energy.Size {
				t.Errorf("%s on %s: energy %+v, line %+v", l.ID, s.Name, energy, line)
			}
		}
	}
}

// TestRandomContent draws thousands of invented labels, mostly harder than real ones:
// either everything is sound, or an error names a field.
func TestRandomContent(t *testing.T) {
	n := 40 // on each stock
	if suite.Exhaustive {
		n = 400
	}
	code := mustCode(t, sample().QR)
	for _, s := range sizes() {
		t.Run(s.Name, func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(1584, 2018))
			fit := 0
			for i := range n {
				l := randomLabel(r, i)
				d, err := Draw(l, s, code)
				if err == nil {
					fit++
					if err := sound(l, s, d); err != nil {
						t.Fatalf("label %d: %v\n%+v\n%s", i, err, l, d)
					}
					continue
				}
				if Misfits(err) == nil {
					t.Fatalf("label %d: %v", i, err)
				}
				for _, e := range Misfits(err) {
					if e.ID != l.ID || e.Field == "" || e.Why == "" || e.Text == "" {
						t.Fatalf("label %d: %#v", i, e)
					}
				}
			}
			t.Logf("held %d of %d", fit, n)
			if fit < n/20 {
				t.Errorf("holds %d of %d random labels: the test says little", fit, n)
			}
		})
	}
}

// sizes are the stocks, only one of each label size.
func sizes() (all []Stock) {
	for _, s := range Stocks() {
		if !slices.ContainsFunc(all, func(o Stock) bool { return o.Label == s.Label }) {
			all = append(all, s)
		}
	}
	return all
}

// TestReachNamesNeverMeet moves the boundaries from 150 mm to 18 m. The suite samples
// every fourth walk, and different ones on each stock.
func TestReachNamesNeverMeet(t *testing.T) {
	lengths := []float64{0, 150, 300, 1070, 1530, 9000, 18300}
	code := mustCode(t, sample().QR)
	for k, s := range sizes() {
		t.Run(s.Name, func(t *testing.T) {
			t.Parallel()
			walk := k
			for _, arc := range lengths[1:] {
				for _, limited := range lengths {
					for _, restricted := range lengths {
						if restricted > limited && limited > 0 {
							continue
						}
						for _, work := range []float64{0, 457.2, 914.4} {
							if walk++; !suite.Exhaustive && walk%8 > 0 {
								continue
							}
							walkReach(t, s, code, label.Reach{Arc: arc, Limited: limited, Restricted: restricted, WorkingDistance: work})
						}
					}
				}
			}
		})
	}
}

func walkReach(t *testing.T, s Stock, code *Matrix, r label.Reach) {
	t.Helper()
	l := variant("MCC-4", func(l *label.Label, w *label.Words) {
		l.Reach = r
		w.Wear = w.Wear[:3]
		w.ArcLength = fmt.Sprintf("%.0f mm", r.Arc)
		w.LimitedLength = fmt.Sprintf("%.0f mm", r.Limited)
		if r.Limited == 0 {
			w.Limited, w.LimitedLength = "", ""
		}
		if r.Restricted == 0 {
			w.RestrictedRule = "avoid contact"
		}
		if r.WorkingDistance == 0 {
			w.WorkingDistance = ""
		}
	})
	both := []*label.Label{l, inSpanish(l)}[:s.Languages]
	if r.WorkingDistance != 457.2 {
		both = both[:1]
	}
	for _, l := range both {
		d, err := Draw(l, s, code)
		if err != nil {
			t.Fatalf("%s %+v: %v", s.Name, l.Reach, err)
		}
		if err := sound(l, s, d); err != nil {
			t.Fatalf("%s %+v: %v\n%s", s.Name, l.Reach, err, d)
		}
		checkBreak(t, l, d)
	}
}

// checkBreak checks that no drawing says "to scale" in which a length dwarfs the rest.
func checkBreak(t *testing.T, l *label.Label, d *Drawing) {
	t.Helper()
	r := l.Reach
	longest, next := 0.0, 0.0
	for _, v := range []float64{r.Arc, r.Limited, r.Restricted, r.WorkingDistance} {
		switch {
		case v > longest:
			longest, next = v, longest
		case v > next && v < longest:
			next = v
		}
	}
	broken := next > 0 && longest > dwarfs*next
	if says := strings.Contains(d.String(), `"to scale`); says && broken {
		t.Errorf("%+v: says to scale: %v, broken: %v", r, says, broken)
	}
}

// TestReachIsToScale measures the bars.
func TestReachIsToScale(t *testing.T) {
	for _, s := range Stocks() {
		d := draw(t, sample(), s)
		var arc, limited float64
		for _, o := range d.Ops {
			if d.Blocks[o.Block].Name != "reach" || o.Kind != Rect {
				continue
			}
			switch {
			case o.Fill == Signal && arc == 0:
				arc = o.W
			case o.Fill == White && o.Ink == Black && limited == 0:
				limited = o.W + o.Stroke
			}
		}
		if want := 1066.8 / 1168.4; limited/arc < want-0.001 || limited/arc > want+0.001 {
			t.Errorf("%s: limited %.2f of arc %.2f is %.4f, want %.4f", s.Name, limited, arc, limited/arc, want)
		}
	}
}

// sound reports what is wrong with a drawing: texts that overlap, leave their block,
// are too small, half on a bar or too faint on their ground, a quiet zone that is not
// empty, missing words.
func sound(l *label.Label, s Stock, d *Drawing) error {
	const slack = 0.02
	least := max(MM(2), s.Reading/300)
	var said strings.Builder
	for i := range d.Ops {
		o := &d.Ops[i]
		x0, y0, x1, y1 := o.Box()
		b := d.Blocks[o.Block]
		if o.Kind != Line && (x0 < 0 || y0 < 0 || x1 > d.Size.W || y1 > d.Size.H) {
			return fmt.Errorf("%s: operation %d leaves the label", b.Name, i)
		}
		if o.Kind == QR {
			if err := quiet(d, o); err != nil {
				return err
			}
			if module := o.W / float64(o.Matrix.Side()+2*quietZone); module < MM(0.4)-0.001 {
				return fmt.Errorf("QR module of %.3f mm", InMM(module))
			}
			continue
		}
		if o.Kind != Text {
			continue
		}
		fmt.Fprintf(&said, "%s ", o.Text)
		if o.Text == "" || strings.TrimSpace(o.Text) != o.Text {
			return fmt.Errorf("%s: text %q", b.Name, o.Text)
		}
		if m := fonts.Missing(o.Text); m != nil {
			return fmt.Errorf("%q has no glyph for %q", o.Text, string(m))
		}
		if x0 < b.X-slack || x1 > b.X+b.W+slack || y0 < b.Y-slack || y1 > b.Y+b.H+slack {
			return fmt.Errorf("%q at %.1f,%.1f to %.1f,%.1f leaves block %+v", o.Text, x0, y0, x1, y1, b)
		}
		caps := font{face: o.Face, size: o.Size}.caps()
		if caps < least-0.001 {
			return fmt.Errorf("%q has capitals of %.3f mm", o.Text, InMM(caps))
		}
		if b.Name == "signal" && caps < minSignalCapitals(s) {
			return fmt.Errorf("signal word has capitals of %.3f mm", InMM(caps))
		}
		for j := range d.Ops[:i] {
			p := &d.Ops[j]
			a0, b0, a1, b1 := p.Box()
			if p.Kind == Text && x0 < a1-slack && a0 < x1-slack && y0 < b1-slack && b0 < y1-slack {
				return fmt.Errorf("%q overlaps %q", o.Text, p.Text)
			}
		}
		if err := grounded(l, d, i); err != nil {
			return err
		}
	}
	return complete(l, s, said.String())
}

// quiet reports ink in the square of the QR code, which includes its quiet zone.
func quiet(d *Drawing, code *Op) error {
	x0, y0, x1, y1 := code.Box()
	for i := range d.Ops {
		o := &d.Ops[i]
		if o == code {
			continue
		}
		a0, b0, a1, b1 := o.Box()
		half := o.Stroke / 2
		if o.Kind == Rect && o.Fill == None {
			if a0+half < x0 && b0+half < y0 && a1-half > x1 && b1-half > y1 {
				continue // the frame is around it
			}
		}
		if a0-half < x1-0.01 && x0+0.01 < a1+half && b0-half < y1-0.01 && y0+0.01 < b1+half {
			return fmt.Errorf("quiet zone %.1f %.1f %.1f %.1f: operation %d of block %s reaches into it", x0, y0, x1, y1, i, d.Blocks[o.Block].Name)
		}
	}
	return nil
}

// luminance is the relative luminance of an ink: for the signal colors as in ANSI
// Z535.1 (CIE Y, see the sources in color.go).
func luminance(d *Drawing, ink Ink) float64 {
	switch ink {
	case White, None:
		return 1
	case Tint:
		v := 1 - TintPercent/100.0
		return v * v * v // darker than the sRGB curve: the safe side
	case Signal:
		if d.Signal == SafetyRed {
			return 0.12
		}
		return 0.3005
	}
	return 0
}

func contrast(a, b float64) float64 { return (max(a, b) + 0.05) / (min(a, b) + 0.05) }

// grounded reports a text that is half on a shape, painted over, or too faint on its
// ground.
func grounded(l *label.Label, d *Drawing, i int) error {
	o := &d.Ops[i]
	x0, _, x1, _ := o.Box()
	y0, y1 := o.Y-font{face: o.Face, size: o.Size}.caps(), o.Y // what is below is white space or a tail
	ground := None
	// From the last painted operation back to the first shape that is a ground for the
	// whole text.
	for j := len(d.Ops) - 1; j >= 0 && ground == None; j-- {
		p := &d.Ops[j]
		if p.Kind == Text || p.Kind == QR || p.Kind != Line && p.Fill == None {
			continue
		}
		a0, b0, a1, b1 := p.Box()
		if a0 >= x1-0.05 || x0+0.05 >= a1 || b0 >= y1-0.05 || y0+0.05 >= b1 {
			continue
		}
		switch {
		case p.Kind == Line:
			return fmt.Errorf("%q is crossed by the line %d of block %s", o.Text, j, d.Blocks[p.Block].Name)
		case j > i:
			return fmt.Errorf("%q is painted over by operation %d of block %s", o.Text, j, d.Blocks[p.Block].Name)
		case a0 > x0+0.05 || b0 > y0+0.05 || a1 < x1-0.05 || b1 < y1-0.05:
			return fmt.Errorf("%q is half on operation %d of block %s", o.Text, j, d.Blocks[p.Block].Name)
		}
		ground = p.Fill
	}
	want := 4.5
	if d.Blocks[o.Block].Name == "signal" {
		want = 6
	}
	if c := contrast(luminance(d, o.Ink), luminance(d, ground)); c < want {
		return fmt.Errorf("%q: contrast %.2f, want %.1f", o.Text, c, want)
	}
	return nil
}

// complete reports a text of the label that is not on the drawing.
func complete(l *label.Label, s Stock, said string) error {
	for _, f := range fields(l) {
		switch f.name {
		case "scale note", "study", "ladder note":
			continue // where there is room, and where it is true
		case "scan note":
			if !s.large() {
				continue // on none of the stock's labels
			}
		case "energy", "energy note": // the block says both in its sentence
			if l.Danger {
				continue
			}
		case "wear list", "wear title", "reason why no kit is required":
			if l.Danger {
				continue
			}
		case "kit": // the chosen one is shown, and its neighbors if there is room
			r := label.Rung{}
			if l.Chosen >= 0 {
				r = l.Ladder[l.Chosen]
			}
			if f.text != r.Kit && f.text != r.Rating {
				continue
			}
		case "wear note":
			if l.Danger || len(l.Words[0].Wear) == 0 { // there is no list to speak of
				continue
			}
		}
		for _, word := range strings.FieldsFunc(f.text, func(r rune) bool { return r == ' ' || r == '·' || r == '-' || r == '/' }) {
			if !strings.Contains(said, word) {
				return fmt.Errorf("%s: %q is not on the label", f.name, word)
			}
		}
	}
	return nil
}

func randomLabel(r *rand.Rand, i int) *label.Label {
	words := strings.Fields("arc suit hood motor control center of the packaging hall Übergang jacket pants 40 cal/cm² (rated) behind column C7 protección électrique and 18 in gloves safety-glasses + balaclava west mezzanine by door 12 substation")
	text := func(least, most int) string {
		var b []string
		n := 0
		for want := least + r.IntN(most-least+1); n < want; {
			w := words[r.IntN(len(words))]
			b = append(b, w)
			n += len(w) + 1
		}
		return strings.Join(b, " ")
	}
	length := func() float64 {
		if r.IntN(8) == 0 {
			return 0
		}
		return 150 * pow(120, r.Float64())
	}
	l := sample()
	w := &l.Words[0]
	l.ID = fmt.Sprintf("%s-%d", strings.Repeat("MCC", 1+r.IntN(6)), i)
	w.Hazard = strings.ToUpper(text(10, 28))
	w.Message = w.Message[:r.IntN(4)]
	if r.IntN(3) == 0 {
		w.Message = append(w.Message[:len(w.Message):len(w.Message)], text(20, 120)+".")
	}
	w.Supply = []string{"480 V AC 3-phase", "125 V DC", "13.8 kV AC 3-phase", "120/240 V AC 1-phase"}[r.IntN(4)]
	w.Where = text(0, 90)
	l.Reach = label.Reach{Arc: length(), WorkingDistance: length(), Limited: length(), Restricted: length()}
	if l.Reach.Limited == 0 {
		w.Limited, w.LimitedLength = "", ""
	}
	if l.Reach.Restricted == 0 {
		w.RestrictedRule = "avoid contact"
	}
	l.Reach.Restricted = min(l.Reach.Restricted, max(l.Reach.Limited, 300))
	if l.Reach.WorkingDistance == 0 {
		w.WorkingDistance = ""
	}
	if l.Reach.Arc == 0 {
		w.Arc, w.ArcLength = "", ""
	}
	if r.IntN(5) == 0 {
		w.KeepOut = ""
	}
	l.Ladder = nil
	for k := range 1 + r.IntN(9) {
		l.Ladder = append(l.Ladder, label.Rung{Kit: "Kit " + string(rune('A'+k)), Rating: fmt.Sprint(4+8*k) + " cal"})
		if r.IntN(4) == 0 {
			l.Ladder[k].Kit = text(4, 14)
		}
	}
	l.Chosen = r.IntN(len(l.Ladder)+1) - 1
	w.Wear = nil
	for range r.IntN(13) {
		w.Wear = append(w.Wear, text(5, 44))
	}
	if l.Chosen < 0 {
		w.WearTitle = text(0, 40)
		if r.IntN(2) == 0 {
			l.Danger, w.Signal = true, "DANGER"
			w.NoWork, w.NoWorkWhy = "NO ENERGIZED WORK", text(10, 60)
			w.NoWorkDo = []string{text(10, 50), text(10, 60)}
		}
	}
	w.Gloves, w.GlovesNote = text(0, 48), text(0, 48)
	w.Study, w.Fault = text(0, 40), text(10, 50)
	if r.IntN(3) == 0 {
		w.AppliedOn = "2026-04-02"
	}
	if r.IntN(4) == 0 {
		w.Interim, w.Doubt = "INTERIM", text(20, 110)
	}
	if r.IntN(3) == 0 {
		w.Maintenance = text(30, 130)
	}
	if r.IntN(4) == 0 {
		w.Rated = text(15, 45)
	}
	if r.IntN(5) == 0 {
		w.WearNote = text(5, 30)
	}
	if r.IntN(5) == 0 {
		w.Energy = []string{"above 40 cal/cm²", "below 6 J/cm² (1.2 cal/cm²)"}[r.IntN(2)]
	}
	return l
}

func pow(base, x float64) float64 {
	v := 1.0
	for ; x >= 0.05; x -= 0.05 {
		v *= 1 + (base-1)/base*0.27 // close enough to a power: lengths of every magnitude
	}
	return v
}

func TestFitErrors(t *testing.T) {
	long := strings.Repeat("behind the old boiler house ", 30)
	for _, c := range []struct {
		name, field string
		change      func(l *label.Label, w *label.Words)
	}{
		{"long place", "equipment and place", func(l *label.Label, w *label.Words) { w.Where = strings.TrimSpace(long) }},
		{"long list", "wear list", func(l *label.Label, w *label.Words) {
			w.Wear = nil
			for range 24 {
				w.Wear = append(w.Wear, "arc-rated balaclava with chin strap")
			}
		}},
		{"long fault current", "fault current", func(l *label.Label, w *label.Words) { w.Fault = strings.TrimSpace(long) }},
		{"one endless word", "gloves", func(l *label.Label, w *label.Words) { w.Gloves = strings.Repeat("x", 120) }},
		{"endless kit", "kit", func(l *label.Label, w *label.Words) {
			l.Ladder = []label.Rung{{Kit: strings.Repeat("Kit", 20), Rating: "8"}}
			l.Chosen = 0
		}},
		{"glyph", "supply", func(l *label.Label, w *label.Words) { w.Supply = "480 V 😀" }},
		{"not UTF-8", "study", func(l *label.Label, w *label.Words) { w.Study = "a\xff" }},
		{"tab", "wear list", func(l *label.Label, w *label.Words) { w.Wear[1] = "a\tb" }},
		{"large code", "QR code", func(l *label.Label, w *label.Words) { l.QR += strings.Repeat("X", 80) }},
		{"no code", "QR code", func(l *label.Label, _ *label.Words) { l.QR = "" }},
		{"endless code", "QR code", func(l *label.Label, _ *label.Words) { l.QR = strings.Repeat("x", 4000) }},
		{"two languages", "languages", func(l *label.Label, w *label.Words) { l.Words = append(l.Words, *w) }},
	} {
		l := variant("MCC-7", c.change)
		_, err := jobPDF(sampleJob("4x4", []*label.Label{sample(), l}))
		found := false
		for _, e := range Misfits(err) {
			if e.ID != "MCC-7" {
				t.Errorf("%s: names %s", c.name, e.ID)
			}
			found = found || e.Field == c.field
		}
		if !found {
			t.Errorf("%s: error %v, want one for field %q", c.name, err, c.field)
		}
	}
	// All at once.
	_, err := jobPDF(sampleJob("4x4", []*label.Label{
		variant("A", func(_ *label.Label, w *label.Words) { w.Supply, w.Study = "😀", "\x00" }),
		variant("B", func(_ *label.Label, w *label.Words) { w.Where = long }),
	}))
	got := map[string]bool{}
	for _, e := range Misfits(err) {
		got[e.ID+" "+e.Field] = true
	}
	for _, want := range []string{"A supply", "A study", "B equipment and place"} {
		if !got[want] {
			t.Errorf("error %v lacks %s", err, want)
		}
	}
	var one *FitError
	if !errors.As(err, &one) {
		t.Errorf("%T is not a FitError", err)
	}
}

func TestStockNamed(t *testing.T) {
	if s, err := StockNamed("letter-4x3"); err != nil || s.Places() != 6 {
		t.Errorf("letter-4x3: %v, %v", s, err)
	}
	_, err := StockNamed("letter4x4")
	if err == nil || !strings.Contains(err.Error(), `did you mean "letter-4x4"?`) {
		t.Errorf("error %v does not name the nearest", err)
	}
	for _, s := range Stocks() {
		if err := s.printable(); err != nil {
			t.Error(err)
		}
	}
}

// printable reports a stock that cannot be printed on.
func (s Stock) printable() error {
	switch {
	case s.Columns < 1 || s.Rows < 1:
		return fmt.Errorf("stock %q holds no label", s.Name)
	case s.Label.W <= 0 || s.Label.H <= 0 || s.Reading <= 0:
		return fmt.Errorf("stock %q: label size and reading distance must be above 0", s.Name)
	}
	x, y := s.Place(s.Places() - 1)
	const slack = 0.01 // sizes in mm seldom add up exactly
	if s.Left < 0 || s.Top < 0 || x+s.Label.W > s.Page.W+slack || y+s.Label.H > s.Page.H+slack {
		return fmt.Errorf("stock %q: its labels do not fit on its page", s.Name)
	}
	return nil
}
