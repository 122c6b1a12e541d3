package layout

import (
	"bytes"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/testdata/suite"
)

func mustStock(t *testing.T, name string) Stock {
	t.Helper()
	s, err := StockNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// inSpanish adds a second language to a copy of a label: the words of wording/es.toml,
// as on the labels of the invented plants.
func inSpanish(l *label.Label) *label.Label {
	two := *l
	w := l.Words[0]
	say := strings.NewReplacer("WARNING", "ADVERTENCIA", "DANGER", "PELIGRO",
		"ARC FLASH AND SHOCK HAZARD", "RIESGO DE ARCO ELÉCTRICO Y CHOQUE ELÉCTRICO",
		"Can kill or severely burn.", "Puede causar quemaduras graves o la muerte.",
		"Will kill or severely burn.", "Causará quemaduras graves o la muerte.",
		"De-energize first.", "Desenergice primero.", "Qualified persons only.", "Solo personal calificado.",
		"Do not work on this equipment energized.", "No trabaje en este equipo energizado.",
		"AC 3-phase", "CA trifásica", "AC 1-phase", "CA monofásica", "V DC", "V CC", "V AC", "V CA",
		"working distance", "distancia de trabajo", "ARC-FLASH BOUNDARY", "LÍMITE DE ARCO ELÉCTRICO",
		"LIMITED APPROACH", "LÍMITE DE APROXIMACIÓN LIMITADA", "RESTRICTED APPROACH", "LÍMITE DE APROXIMACIÓN RESTRINGIDA",
		"avoid contact", "evite el contacto", "to scale", "a escala", "Inside", "Dentro de",
		"Energized work: this PPE inside 28 in. Live parts exposed: qualified persons only inside 42 in.",
		"Trabajo energizado: este EPP a menos de 28 in. Partes energizadas expuestas: solo personal calificado a menos de 42 in.",
		"during energized work: everyone wears this PPE.", "durante el trabajo energizado: todos usan este EPP.",
		"with live parts exposed: qualified persons only.", "con partes energizadas expuestas: solo personal calificado.",
		"no one while it is opened or operated energized.", "nadie mientras se abra u opere energizado.",
		"incident energy at", "energía incidente a", "wear at least:", "use al menos:",
		"BELOW 1.2: arc-rated clothing not required", "MENOS DE 1.2: no se requiere ropa resistente al arco",
		"with face and chest at 18 in or more. Hands closer: heavy-duty leather gloves.",
		"con la cara y el pecho a 18 in o más. Manos más cerca: guantes de cuero gruesos.",
		"NO ENERGIZED WORK unless the maintenance switch", "PROHIBIDO EL TRABAJO ENERGIZADO, salvo con el selector de mantenimiento",
		"NO ENERGIZED WORK", "PROHIBIDO EL TRABAJO ENERGIZADO", "is above this site’s limit of", "está por encima del límite de este sitio,",
		"this site’s limit is", "el límite de este sitio es", "at 18 in", "a 18 in",
		"From beyond", "Desde más allá de", "lock out ALL sources", "bloquee TODAS las fuentes", "arc rating", "clasificación de arco", "PPE NOT CONFIRMED: ask before any work", "EPP SIN CONFIRMAR: pregunte antes de cualquier trabajo",
		"Treat as energized until tested; testing: ask", "Trátelo como energizado hasta verificarlo; verificación: pregunte primero a", " first.", ".",
		"Rubber insulating gloves Class", "Guantes aislantes de hule, clase", "with leather protectors", "con protectores de cuero",
		"for shock, inside restricted approach; max. use", "contra choque eléctrico, en aproximación restringida; uso máx.",
		"for shock, where contact is possible; max. use", "contra choque eléctrico, donde pueda haber contacto; uso máx.",
		"for shock only, no arc protection; max. use", "solo contra choque eléctrico, no contra arco; uso máx.",
		"Study", "Estudio", "REVIEW BY", "REVISAR A MÁS TARDAR EL", "available fault current (max.)", "corriente de falla disponible (máx.)",
		"service clearing time", "interrupción de la acometida en", "available fault current", "corriente de falla disponible",
		"fault current", "corriente de falla", "installed", "instalada",
		"Scan: calculation and label status", "Escanee: cálculo y vigencia actual",
		"arc-rated", "resistente al arco", "shirt and pants", "camisa y pantalón", "jacket and pants", "chaqueta y pantalón",
		"face shield and balaclava", "careta y pasamontañas", "hard hat", "casco", "long non-melting", "que no se derritan:",
		"safety glasses", "lentes de seguridad", "hearing protection", "protección auditiva", "heavy-duty leather gloves", "guantes de cuero gruesos",
		"leather footwear", "calzado de cuero",
		"ONLY with the maintenance switch ON", "SOLO con el selector de mantenimiento en ON",
		"at SWG-1 is ON and its light checked: then", "en SWG-1 en ON y su luz verificada: entonces", "boundary", "límite", "arc clothing not required", "no se requiere ropa resistente al arco",
		"RATED", "CAPACIDAD", "AVAILABLE", "DISPONIBLE", "below", "menos de", "above", "más de", "list not translated", "lista sin traducir").Replace
	for _, f := range []*string{&w.Signal, &w.Hazard, &w.Supply, &w.WorkingDistance, &w.Arc, &w.Limited, &w.Restricted, &w.RestrictedRule, &w.ToScale, &w.KeepOut,
		&w.EnergyNote, &w.WearLead, &w.ArcRating, &w.WearTitle, &w.WearWhy, &w.NoWork, &w.NoWorkWhy, &w.Gloves, &w.GlovesNote, &w.Dates, &w.Fault, &w.Applied, &w.Scan,
		&w.Energy, &w.Maintenance, &w.Rated, &w.WearNote} {
		*f = say(*f)
	}
	list := func(in []string) (out []string) {
		for _, s := range in {
			out = append(out, say(s))
		}
		return out
	}
	w.Language, w.Message, w.Wear, w.NoWorkDo = "es", list(w.Message), list(w.Wear), list(w.NoWorkDo)
	_, w.Where, _ = strings.Cut(w.Where, "fed from")
	w.Where = strings.TrimSpace(strings.Replace("alimentado desde"+w.Where, "alimentado desde", "alimentado desde", 1))
	w.Study, w.ScanAsk = "", ""
	if strings.HasPrefix(w.WearNote, "NFPA") {
		w.WearNote = ""
	}
	two.Words = []label.Words{l.Words[0], w}
	return &two
}

// Every stock from 4x6 up has room for two languages; a smaller one refuses them, and
// names those with room.
func TestTwoLanguages(t *testing.T) {
	refused := 0
	for _, s := range Stocks() {
		if large := s.Label.W*s.Label.H >= 0.999*MM(100)*MM(150); large != (s.Languages == 2) {
			t.Errorf("%s holds %d languages", s.Name, s.Languages)
		}
		for _, l := range append(samples(), rareSamples()...) {
			two := inSpanish(l)
			code, err := matrix(l.QR)
			if err != nil {
				t.Fatal(err)
			}
			d, err := Draw(two, s, code)
			if s.Languages < 2 {
				if err == nil || !strings.Contains(err.Error(), "4x6, 6x4, 100x150, 150x100 hold two") {
					t.Errorf("%s on %s: %v", l.ID, s.Name, err)
				}
				continue
			}
			if err != nil && l.Words[0].Maintenance != "" && Misfits(err) != nil {
				refused++ // it says nearly all that a label can say, twice
				continue
			}
			if err != nil {
				t.Errorf("%s on %s: %v", l.ID, s.Name, err)
				continue
			}
			if err := sound(two, s, d); err != nil {
				t.Errorf("%s on %s: %v", l.ID, s.Name, err)
			}
		}
	}
	if refused > 5 {
		t.Errorf("%d labels with a maintenance switch are refused", refused)
	}
}

// Random content in two languages is sound or refused.
func TestRandomTwoLanguages(t *testing.T) {
	n := 24 // on each stock
	if suite.Exhaustive {
		n = 150
	}
	code, err := newMatrix(sample().QR)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"4x6", "6x4", "100x150", "150x100"} {
		s := mustStock(t, name)
		r := rand.New(rand.NewPCG(2018, 1584))
		fit := 0
		for i := range n {
			l := inSpanish(randomLabel(r, i))
			d, err := Draw(l, s, code)
			if err != nil {
				if Misfits(err) == nil {
					t.Fatal(err)
				}
				continue
			}
			fit++
			if err := sound(l, s, d); err != nil {
				t.Fatalf("%s, label %d: %v\n%s", name, i, err, d)
			}
		}
		if fit < n/20 {
			t.Errorf("%s holds %d of %d: the test says little", name, fit, n)
		}
	}
}

// colorOperator finds an operator in page content that sets a color other than black
// and white: a named color, CMYK or RGB.
var colorOperator = regexp.MustCompile(`(?m)(^|\s)(cs|CS|sc|SC|scn|SCN|k|K|rg|RG)(\s|$)`)

// One-color output has no color at all, not even gray, and stays sound: the words and
// the shape of the panel distinguish WARNING from DANGER.
func TestOneColor(t *testing.T) {
	for _, base := range Stocks() {
		s := base
		s.Color = assess.OneColor
		for _, l := range lookLabels(s) {
			d := draw(t, l, s)
			if d.uses(Signal) || d.uses(Tint) {
				t.Errorf("%s on %s uses color", l.ID, s.Name)
			}
			if err := sound(l, s, d); err != nil {
				t.Errorf("%s on %s: %v", l.ID, s.Name, err)
			}
		}
	}
	job := sampleJob("4x4", samples())
	job.Stock.Color = assess.OneColor
	pdf := makePDF(t, job)
	if bytes.Contains(pdf, []byte("/Separation")) {
		t.Error("a named color in a one-color job")
	}
	for _, content := range pageContents(t, pdf) {
		if m := colorOperator.FindString(content); m != "" {
			t.Errorf("operator %q", m)
		}
		for _, gray := range regexp.MustCompile(`(?m)([0-9.]+) [gG]$`).FindAllStringSubmatch(content, -1) {
			if v := strings.TrimRight(gray[1], "0."); v != "" && v != "1" {
				t.Errorf("gray %s", gray[1])
			}
		}
	}
}

// Process and RGB jobs name no ink, and use the operators of their colors.
func TestColorModes(t *testing.T) {
	for color, want := range map[assess.Color]string{assess.Process: "0 0.5 1 0 k", assess.RGB: "1 0.4745098 0 rg"} {
		job := sampleJob("4x4", samples()[:1])
		job.Stock.Color = color
		pdf := makePDF(t, job)
		if bytes.Contains(pdf, []byte("/Separation")) {
			t.Errorf("%s: a named color", color)
		}
		if all := strings.Join(pageContents(t, pdf), "\n"); !strings.Contains(all, want) {
			t.Errorf("%s: no %q", color, want)
		}
	}
}

// On preprinted stock nothing is drawn where the panel is, and everything else stays
// below it.
func TestPreprinted(t *testing.T) {
	s := mustStock(t, "4x4")
	s.Preprinted, s.Panel = true, Inch(0.6)
	for _, l := range samples() {
		d := draw(t, l, s)
		for i := range d.Ops {
			o := &d.Ops[i]
			_, y0, _, _ := o.Box()
			if frame := d.Blocks[o.Block].Name == "frame"; !frame && y0 < Inch(0.6)-0.01 {
				t.Errorf("%s: %s reaches into the panel at %.1f", l.ID, d.Blocks[o.Block].Name, y0)
			}
			if o.Kind == Text && o.Text == l.Words[0].Signal {
				t.Errorf("%s: the signal word is drawn", l.ID)
			}
		}
	}
}

// Bleed and crop marks: the boxes are in the file, the marks are outside the bleed, and
// the color extends as far as the bleed.
func TestBoxes(t *testing.T) {
	s := mustStock(t, "4x4")
	s.Bleed, s.CropMarks = Inch(0.125), true
	job := sampleJob("4x4", samples()[:2])
	job.Stock = s
	pdf := makePDF(t, job)
	for _, want := range []string{"/MediaBox [0 0 351.35 351.35]", "/TrimBox [31.68 31.68 319.68 319.68]", "/BleedBox [22.68 22.68 328.68 328.68]"} {
		if !bytes.Contains(pdf, []byte(want)) {
			t.Errorf("no %s", want)
		}
	}
	p := s.page()
	for _, o := range p.Drawings[0].Ops {
		x0, y0, x1, y1 := o.Box()
		if x1 > p.Bleed.X && x0 < p.Bleed.X+p.Bleed.W && y1 > p.Bleed.Y && y0 < p.Bleed.Y+p.Bleed.H {
			t.Errorf("a mark at %.1f, %.1f reaches into the bleed", x0, y0)
		}
	}
	d := draw(t, samples()[0], s)
	x0, y0, x1, _ := d.Ops[0].Box()
	if want := -s.Bleed; x0 > want+0.01 || y0 > want+0.01 || x1 < s.Label.W+s.Bleed-0.01 {
		t.Errorf("the panel reaches from %.2f, %.2f to %.2f, the bleed is %.2f", x0, y0, x1, s.Bleed)
	}
}

// On a sheet color extends past the cut only as far as the gaps allow: never into the
// next label.
func TestBleedOnSheets(t *testing.T) {
	page := [2]float64{215.9, 279.4}
	for _, c := range []struct {
		gap  float64
		want float64
	}{{0, 0}, {3, 1.5}, {20, 3}} {
		s := StockFrom(assess.Stock{Name: "sheet", Page: page, Label: [2]float64{90, 90}, Columns: 2, Rows: 2, Left: 5, Top: 5, GapX: c.gap, GapY: c.gap, Bleed: 3})
		if got := InMM(s.Bleed); got < c.want-1e-9 || got > c.want+1e-9 {
			t.Errorf("gaps of %g mm: a bleed of %g mm, want %g", c.gap, got, c.want)
		}
	}
}

// Every cut of a sheet has a mark at both ends, even with narrow margins.
func TestCropMarksOfSheets(t *testing.T) {
	for _, name := range []string{"letter-4x3", "letter-4x4"} {
		s := mustStock(t, name)
		s.CropMarks = true
		p := s.page()
		if got, want := len(p.Drawings[0].Ops), 4*(s.Columns+s.Rows); got != want {
			t.Errorf("%s: %d marks, want %d", name, got, want)
		}
		for _, o := range p.Drawings[0].Ops {
			if x0, y0, x1, y1 := o.Box(); x0 < 0 || y0 < 0 || x1 > p.Size.W || y1 > p.Size.H {
				t.Errorf("%s: a mark leaves the paper", name)
			}
		}
	}
}

// pageContents are the contents of the pages, unpacked.
func pageContents(t *testing.T, pdf []byte) []string {
	t.Helper()
	o, err := takeApart(pdf)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, body := range o.body {
		if text, ok := unpacked(t, body); ok && strings.Contains(text, " re") {
			all = append(all, text)
		}
	}
	if len(all) == 0 {
		t.Fatal("no page content")
	}
	return all
}
