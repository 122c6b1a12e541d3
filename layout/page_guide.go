package layout

import (
	"fmt"
	"strings"

	"vouchmark/fonts"
	"vouchmark/label"
)

// GuidePage is one page that teaches how to read a site's labels: a label at its
// true size with numbered parts, what each part tells its reader, what to do before
// a task, when not to trust a label, and the owner's ladder. It is set in the
// largest letters at which all of it fits on the page.
func GuidePage(g *label.Guide, paper Paper) ([]Page, error) {
	stock, err := StockNamed("4x4")
	if err != nil {
		return nil, err
	}
	code, err := newMatrix(g.Sample.QR)
	if err != nil {
		return nil, err
	}
	sample, err := Draw(g.Sample, stock, code)
	if err != nil {
		return nil, err
	}
	for size := guideMost; size >= guideLeast-1e-9; size -= 0.1 {
		p := newGuide(g, paper, sample, size, 0)
		if spare := p.room(); spare >= 0 {
			// What is left over becomes white between the parts: half a share after
			// each explanation, and a whole one in three other places.
			p = newGuide(g, paper, sample, size, min(spare/(3+float64(len(g.Callouts))/2), 12))
			p.room()
			if err := missingGlyphs(g.Site, p.Drawing); err != nil {
				return nil, err
			}
			return p.pages, nil
		}
	}
	return nil, &FitError{ID: g.Site, Field: "guide", Text: g.Title,
		Why: "takes more than one page of " + paper.Name + " in the smallest legible letters; shorten its wording"}
}

// guideLeast is the smallest body type of the guide: capitals of 2.2 mm, legible on
// a notice board. Headings have capitals of 3 mm or more.
const guideLeast, guideMost = 8.8, 11.0

// guidePage is a guide as it is set: two columns below its heading, the sample and
// the ladder on the left, what the parts mean on the right.
type guidePage struct {
	*sheetOf
	g          *label.Guide
	sample     *Drawing
	body, bold font
	head       font
	extra      float64 // white between parts, beyond the minimum
}

func newGuide(g *label.Guide, paper Paper, sample *Drawing, size, extra float64) *guidePage {
	p := &guidePage{sheetOf: newSheet(paper), g: g, sample: sample, extra: extra,
		body: paperBody.at(size), bold: paperBold.at(size), head: paperHead.at(max(12.1, size+2))}
	p.margin = MM(12)
	return p
}

// room sets the guide and returns the height that is left over; it is negative where
// the guide takes more than the page.
func (p *guidePage) room() float64 {
	g := p.g
	p.y = p.margin
	p.title()
	p.para(p.body, g.Lead)
	p.y += 5
	p.line(p.left(), p.y, p.width(), 0, 1.4, Black)
	p.y += 9 + p.extra

	top := p.y
	x := p.left() + calloutRoom
	p.pages[0].Drawings = append(p.pages[0].Drawings, At{x, top, p.sample})
	below, free := p.callouts(x, top)
	left := p.ladder(x, below, p.sample.Size.W, free)

	next := x + p.sample.Size.W + 18
	w := p.left() + p.width() - next
	right := top
	under := calloutRoom + p.sample.Size.W // what follows below the ladder has the room of the numbers too
	at := p.split(right, left+8, w, under)
	for i, c := range g.Callouts[:at] {
		right = p.explain(next, right, w, i+1, c) + 3.5 + p.extra/2
	}
	for i, c := range g.Callouts[at:] {
		if i == 0 {
			left += 8
		}
		left = p.explain(p.left(), left, under, at+i+1, c) + 3.5 + p.extra/2
	}
	p.y = max(left, right) + 4 + p.extra
	if g.Also != nil {
		p.para(p.body, strings.Join(g.Also, " "))
		p.y += 5
	}

	p.line(p.left(), p.y, p.width(), 0, 0.8, Black)
	p.y += 8
	const between = 22.0
	steps := 0.46 * (p.width() - between) // they are shorter than the cases
	p.y = max(p.list(p.left(), steps, g.Before, true),
		p.list(p.left()+steps+between, p.width()-steps-between, g.Doubt, false))
	p.y += 4 + p.extra
	return p.ask()
}

// title is the title and the site's name, on one line where both have room.
func (p *guidePage) title() {
	g, base := p.g, p.y+paperTitle.size*firstLine
	p.para(paperTitle, g.Title)
	const between = 18.0
	if paperTitle.width(g.Title)+between+p.head.width(g.Site) <= p.width() {
		p.right(p.left()+p.width(), base, p.head, Black, g.Site)
	} else {
		p.para(p.head, g.Site)
	}
	p.y += 2
}

// split is how many of the parts are explained to the right of the sample; the others
// are explained below the ladder. It makes the longer column as short as it can be.
func (p *guidePage) split(right, left, rightWidth, leftWidth float64) int {
	n := len(p.g.Callouts)
	height := func(i int, w float64) float64 { return p.explained(w, p.g.Callouts[i]) + 3.5 + p.extra/2 }
	for i := range n {
		right += height(i, rightWidth)
	}
	for ; n > 0; n-- {
		less, more := right-height(n-1, rightWidth), left+height(n-1, leftWidth)
		if max(less, more) >= max(right, left) {
			break
		}
		right, left = less, more
	}
	return n
}

// list is a section. Its lines are numbered steps, or cases with a square each.
func (p *guidePage) list(x, w float64, section label.Section, steps bool) float64 {
	y := p.put(x, p.y, w, p.head, section.Title) + 3
	const indent = 13.0
	for i, line := range section.Lines {
		base := y + p.body.size*firstLine
		if steps {
			p.text(x, base, p.bold, Black, fmt.Sprint(i+1))
		} else {
			side := 0.36 * p.body.size
			p.rect(x+1, base-p.body.caps()/2-side/2, side, side, Black)
		}
		y = p.put(x+indent, y, w-indent, p.body, line) + 2
	}
	return y
}

// ask is the frame at the foot of the page. It returns the height that is left
// over.
func (p *guidePage) ask() float64 {
	const pad = 8.0
	w := p.width() - 2*pad
	y := p.put(p.left()+pad, p.y+pad-1, w, p.head, p.g.Ask) + 1
	y = p.put(p.left()+pad, y, w, p.body, p.g.Cautions) + pad - 0.3*p.body.size
	p.box(p.left()+0.7, p.y, p.width()-1.4, y-p.y, 0, None, Black, 1.4)
	return p.paper.Size.H - p.margin - y
}

// ladder is the owner's ladder as labels show it, the top rung first, and above it
// what lies beyond the cutoff. Its title is set next to the numbers below the sample,
// which end at below, if it fits in the width that they leave free.
func (p *guidePage) ladder(x, below, w, free float64) float64 {
	y := below + 10 + p.extra
	if p.head.width(p.g.Ladder.Title) <= free {
		y = below - p.head.lead() - 1
	}
	y = max(below+3, p.put(x, y, w, p.head, p.g.Ladder.Title)+4)
	rung := 1.55 * p.body.size
	base := (rung + p.body.caps()) / 2
	limit := p.bold.cell(p.g.Cutoff, w-14)
	h := rung + float64(len(limit)-1)*p.bold.lead()
	p.rect(x, y, w, h, Black)
	for i, l := range limit {
		p.text(x+7, y+base+float64(i)*p.bold.lead(), p.bold, White, l)
	}
	y += h
	top := y
	for i := len(p.g.Rungs) - 1; i >= 0; i-- {
		r := p.g.Rungs[i]
		p.text(x+7, y+base, p.bold, Black, r.Kit)
		p.right(x+w-7, y+base, p.body, Black, r.Rating)
		y += rung
		p.line(x, y, w, 0, 0.8, Black)
	}
	// The rails of the ladder reach down to the floor.
	for _, at := range [...]float64{x + 0.7, x + w - 0.7} {
		p.line(at, top, 0, y-top+5, 1.4, Black)
	}
	return y + 5
}

// missingGlyphs reports the first text that the typeface cannot set.
func missingGlyphs(id string, d *Drawing) error {
	for i := range d.Ops {
		if o := &d.Ops[i]; o.Kind == Text {
			if m := fonts.Missing(o.Text); m != nil {
				return &FitError{ID: id, Field: "guide", Text: o.Text,
					Why: fmt.Sprintf("the typeface has no %q", string(m))}
			}
		}
	}
	return nil
}
