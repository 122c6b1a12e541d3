package layout

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/fonts"
	"vouchmark/label"
)

// Proof is what a print shop checks behind the labels of a job: its colors, its smallest
// text, a QR code at its module size, and two rulers.
type Proof struct {
	Words *label.Proof
	Stock Stock
}

// The type and the measures of a proof.
var (
	proofTitle = font{fonts.Bold, 13, true}
	proofBody  = font{fonts.Regular, bodySize, false}
	proofBold  = font{fonts.Bold, bodySize, false}
)

const (
	proofLead   = 9.6
	patchWide   = 52.0 // wide and high enough for a densitometer
	patchHigh   = 19.2
	patchSample = "Aa 018" // letters on a patch
)

// spacing is the white of a proof: on small stock there is less.
type spacing struct {
	margin, part float64
	under, scale float64 // from patch to patch, and from ruler to ruler
}

var proofSpacings = []spacing{{8, 4, 4, 23}, {6, 1, 1, 21.6}}

// proof is a proof being set, on places as large as the stock's labels: on the same stock,
// so that the colors are seen on it, and the same press.
type proof struct {
	pen
	spacing
	*Proof
	job    jobFacts
	y      float64
	title  []string
	places [][]At // what is drawn on each, from its corner
	small  bool   // a part is higher than a label
}

// jobFacts are what a proof shows of a job.
type jobFacts struct {
	smallest font
	module   float64
	signals  []Spot
	tint     bool
}

// factsOf are those of one page.
func factsOf(page *Page) jobFacts {
	f := jobFacts{smallest: font{size: math.Inf(1)}, module: math.Inf(1)}
	for _, at := range page.Drawings {
		f.tint = f.tint || at.uses(Tint)
		if at.uses(Signal) {
			f.signal(at.Signal)
		}
		for i := range at.Ops {
			switch o := &at.Ops[i]; {
			case o.Kind == Text && o.Size < f.smallest.size:
				f.smallest = font{o.Face, o.Size, o.Kern}
			case o.Kind == QR:
				f.module = min(f.module, o.W/float64(o.Matrix.side+2*quietZone))
			}
		}
	}
	return f
}

func (f *jobFacts) signal(s Spot) {
	if !slices.ContainsFunc(f.signals, func(t Spot) bool { return t.Name == s.Name }) {
		f.signals = append(f.signals, s)
	}
}

// add adds the facts of the next page.
func (f *jobFacts) add(page *jobFacts) {
	if f.smallest.face == nil || page.smallest.size < f.smallest.size {
		f.smallest = page.smallest
	}
	if f.module == 0 || page.module < f.module {
		f.module = page.module
	}
	f.colors(page)
}

// colors adds only the colors of a page.
func (f *jobFacts) colors(page *jobFacts) {
	f.tint = f.tint || page.tint
	for _, s := range page.signals {
		f.signal(s)
	}
}

// factsWith are the facts of sheets that were drawn and of the slip behind them: of the slip
// only its colors, since a press needs a plate for each.
func (s *Sheets) factsWith(slip []Page) jobFacts {
	f := s.facts
	f.signals = slices.Clone(f.signals)
	for i := range slip {
		page := factsOf(&slip[i])
		f.colors(&page)
	}
	if math.IsInf(f.module, 1) { // previews have no code
		f.module = minModule
	}
	return f
}

// ProofPages set the proof of a job whose labels were drawn. It nearly always fits on one
// label, and takes several of very small stock.
func ProofPages(o *Proof, labels *Sheets, slip []Page) ([]Page, error) {
	code, err := newMatrix(o.Words.ProofQR)
	if err != nil {
		return nil, err
	}
	job := labels.factsWith(slip)
	var p *proof
	for _, s := range proofSpacings {
		p = &proof{Proof: o, job: job, spacing: s}
		p.title = proofTitle.cell(o.Words.ProofTitle, p.width()-12)
		p.turn()
		p.facts(code)
		p.patches()
		p.rulers()
		if len(p.places) == 1 && !p.small {
			break
		}
	}
	if p.small {
		return nil, fmt.Errorf("stock %s is too small for a proof page; print without it", o.Stock.Name)
	}
	var pages []Page
	border := o.Stock.border()
	for i, place := range p.places {
		page, at := o.Stock.at(i, 1)
		if page == len(pages) {
			pages = append(pages, o.Stock.page())
		}
		x, y := o.Stock.Place(at)
		for _, d := range place {
			if err := missingGlyphs(o.Stock.Name, d.Drawing); err != nil {
				return nil, err
			}
			d.X, d.Y = d.X+border+x, d.Y+border+y
			pages[page].Drawings = append(pages[page].Drawings, d)
		}
	}
	return pages, nil
}

func (p *proof) width() float64 { return p.Stock.Label.W - 2*p.margin }

// turn starts on a new place, with the title on black.
func (p *proof) turn() {
	size := p.Stock.Label
	p.Drawing = &Drawing{Size: size, Scale: 1, Blocks: []Block{{"proof", 0, 0, size.W, size.H}}}
	p.places = append(p.places, []At{{0, 0, p.Drawing}})
	p.y = p.margin
	if p.Stock.Preprinted {
		p.y += p.Stock.Panel
	}
	h := float64(len(p.title))*proofTitle.size*1.2 + 4
	p.rect(p.margin, p.y, p.width(), h, Black)
	for i, l := range p.title {
		p.centre(size.W/2, p.y+2+proofTitle.size*(1+1.2*float64(i)), proofTitle, White, l)
	}
	p.y += h + 2
}

func (p *proof) bottom() float64 { return p.Stock.Label.H - p.margin + 0.01 }

// room makes sure that there is a height on the place, on a new one if necessary.
func (p *proof) room(h float64) {
	if p.y+h > p.bottom() {
		p.turn()
		p.small = p.small || p.y+h > p.bottom()
	}
}

// set puts lines of a text from x on at the current height.
func (p *proof) set(x, w float64, f font, text string) {
	for _, l := range f.lines(text, w) {
		p.room(proofLead)
		p.text(x, p.y+f.size, f, Black, l)
		p.y += proofLead
	}
}

// facts are what the job is and what to look at, to the left of the code, or below it where
// a label is narrow or low.
func (p *proof) facts(code *Matrix) {
	w, s := p.Words, p.Stock
	what := w.ProofPlain
	if s.Condition != "" {
		what = w.Condition(PDFX, s.Condition)
	}
	size := w.Number(fmt.Sprintf("%.4g x %.4g mm", InMM(s.Label.W), InMM(s.Label.H)))
	stock := strings.TrimSuffix(w.SlipStock+" "+printable(s.Name)+", "+size+" · "+w.Color(s.Color), " · ")
	all := []struct {
		font
		text string
	}{
		{proofBody, w.ProofNote}, {proofBold, stock}, {proofBold, what},
		{proofBody, w.Module(fmt.Sprintf("%.2f", InMM(p.job.module)))},
	}
	side := p.job.module * float64(code.side+2*quietZone)
	column := p.width() - side - 4
	high := 0.0
	for _, f := range all {
		high += proofLead * float64(len(f.lines(f.text, column)))
	}
	beside := column >= 90 && high <= p.bottom()-p.y
	p.room(side)
	top := p.y
	p.add(Op{Kind: QR, X: p.margin + p.width() - side, Y: top, W: side, H: side, Matrix: code})
	if !beside {
		column = p.width()
		p.y += side
	}
	for _, f := range all {
		p.set(p.margin, column, f.font, f.text)
	}
	if beside {
		p.y = max(p.y, top+side)
	}
	p.y += p.part / 2
	least := p.job.smallest
	p.set(p.margin, p.width(), least, w.Smallest(fmt.Sprintf("%.1f", least.size), fmt.Sprintf("%.1f", InMM(least.caps()))))
	p.y += p.part
}

// patch is a color of the job.
type patch struct {
	name, mixture string
	ink, letters  Ink
	signal        Spot
}

// colors are the colors of the job. White is the bare stock.
func (p *proof) colors() (all []patch) {
	for _, s := range p.job.signals {
		mixture := cmyk(s.C, s.M, s.Y, s.K)
		if p.Stock.Color == assess.RGB {
			r, g, b := s.rgb()
			mixture = fmt.Sprintf("R%d G%d B%d", r, g, b)
		}
		all = append(all, patch{s.Name, mixture, Signal, letters(s.Name == SafetyRed.Name), s})
	}
	all = append(all, patch{p.Words.ProofBlack, cmyk(0, 0, 0, 100), Black, White, Spot{}})
	if p.job.tint {
		all = append(all, patch{p.Words.ProofGray, cmyk(0, 0, 0, TintPercent), Tint, Black, Spot{}})
	}
	return all
}

func cmyk(c, m, y, k uint8) string { return fmt.Sprintf("C%d M%d Y%d K%d", c, m, y, k) }

// patches show each color of the job, with letters on it in the smallest size, as on the
// labels: where plates do not meet, they show it first.
func (p *proof) patches() {
	const between, gap = 5.0, 10.0
	all, column := p.colors(), 0.0
	for _, c := range all {
		column = max(column, patchWide+between+max(proofBold.width(c.name), proofBody.width(c.mixture)))
	}
	column = min(column+0.1, p.width()) // a hair more, so that no text is broken by a rounding
	columns := int((p.width() + gap) / (column + gap))
	text := column - patchWide - between
	for i := 0; i < len(all); i += columns {
		row := all[i:min(i+columns, len(all))]
		high := patchHigh
		for _, c := range row {
			high = max(high, proofLead*float64(len(proofBold.lines(c.name, text))+len(proofBody.lines(c.mixture, text))))
		}
		p.room(high)
		top := p.y
		for k, c := range row {
			x := p.margin + float64(k)*(column+gap)
			p.patch(x, c)
			p.set(x+patchWide+between, text, proofBold, c.name)
			p.set(x+patchWide+between, text, proofBody, c.mixture)
			p.y = top
		}
		p.y += high + p.under
	}
	p.y += p.part
}

// patch is a drawing of its own, since a drawing has only one signal color.
func (p *proof) patch(x float64, c patch) {
	d := pen{Drawing: &Drawing{Size: Size{patchWide, patchHigh}, Scale: 1, Signal: c.signal, color: p.Stock.Color,
		Blocks: []Block{{"patch", 0, 0, patchWide, patchHigh}}}}
	d.rect(0, 0, patchWide, patchHigh, c.ink)
	f := p.job.smallest
	d.centre(patchWide/2, (patchHigh+f.caps())/2, f, c.letters, patchSample)
	here := &p.places[len(p.places)-1]
	*here = append(*here, At{x, p.y, d.Drawing})
}

// rulers show whether the print was scaled. Each is of as many whole units as fit.
func (p *proof) rulers() {
	const end = 22.0 // for the number at the end and the unit
	lines := proofBody.lines(p.Words.SlipRules, p.width())
	p.room(proofLead*float64(len(lines)) + p.part + p.scale)
	p.set(p.margin, p.width(), proofBody, p.Words.SlipRules)
	p.y += p.part
	for _, r := range printedRules {
		p.room(p.scale)
		r.units = min(r.units, int((p.width()-end)/r.unit))
		p.ruler(p.margin+3, p.y, r, proofBody)
		p.y += p.scale
	}
}
