package layout

import (
	"fmt"

	"vouchmark/label"
)

// GuidePage is one page that teaches how to read a site's labels: a label of
// true size with numbered parts, what each asks of its reader, what to do
// before a task, what makes a label doubtful, the owner's ladder.
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
	for size := paperBody.size; size >= 8.4; size -= 0.2 {
		if pages := setGuide(g, paper, sample, size); len(pages) == 1 {
			return pages, nil
		}
	}
	return nil, &FitError{ID: g.Site, Field: "guide", Text: g.Title, Why: "takes more than one page of " + paper.Name + " in the smallest legible letters; shorten its wording"}
}

// setGuide sets the guide with body text of a size; it is to be one page.
func setGuide(g *label.Guide, paper Paper, sample *Drawing, size float64) []Page {
	s := newSheet(paper)
	s.margin = MM(12)
	s.y = s.margin
	body, bold := paperBody.at(size), paperBold.at(size)
	s.para(paperTitle, g.Title)
	s.y += 1
	s.y = s.put(s.left(), s.y, s.width(), paperHead.at(11), g.Site)
	s.y = s.put(s.left(), s.y+2, s.width(), body, g.Lead) + 8

	top := s.y
	page := &s.pages[0]
	page.Drawings = append(page.Drawings, At{s.left(), top, sample})
	numberX := s.left() + sample.Size.W + 14
	textX := numberX + 16
	y := top
	last := 0.0
	for i, c := range g.Callouts {
		n := fmt.Sprint(i + 1)
		at := y + 8
		if b, ok := sample.block(c.Block); ok {
			mark := max(top+b.Y+b.H/2, last+17)
			if c.Block == "QR code" {
				mark = max(top+b.Y+b.H-8, last+17)
			}
			last = mark
			s.mark(s.left()+sample.Size.W+1, mark, n)
		}
		s.text(numberX+9, at, bold.at(size+1), Black, n)
		y = s.put(textX+4, y, s.left()+s.width()-textX-4, bold.at(size+1), c.Title)
		y = s.put(textX+4, y, s.left()+s.width()-textX-4, body, c.Text) + 3
	}
	s.y = max(y, top+sample.Size.H) + 8

	s.line(s.left(), s.y, s.width(), 0, 0.8)
	s.y += 6
	column := (s.width() - 2*14) / 3
	ends := [3]float64{}
	for i, section := range []label.Section{g.Before, g.Doubt} {
		x := s.left() + float64(i)*(column+14)
		y := s.put(x, s.y, column, paperHead, section.Title) + 1
		for k, line := range section.Lines {
			lead := "–"
			if i == 0 {
				lead = fmt.Sprint(k + 1)
			}
			s.text(x, y+size*0.82, bold, Black, lead)
			y = s.put(x+11, y, column-11, body, line) + 1.5
		}
		ends[i] = y
	}
	ends[2] = setLadder(s, g, s.left()+2*(column+14), column, bold, body)
	s.y = max(ends[0], ends[1], ends[2]) + 6
	s.line(s.left(), s.y, s.width(), 0, 0.8)
	s.y += 5
	s.para(bold.at(size+1), g.Ask)
	s.para(body, g.Cautions)
	if s.y > paper.Size.H-s.margin {
		s.turn() // too much: the caller tries smaller letters
	}
	return s.pages
}

// setLadder sets the owner's ladder as it stands on the labels, the top rung
// first, and the cutoff above it.
func setLadder(s *sheetOf, g *label.Guide, x, w float64, bold, body font) float64 {
	y := s.put(x, s.y, w, paperHead, g.Ladder.Title) + 2
	y = s.put(x, y, w, bold, g.Cutoff) + 2
	const rung = 16.0
	for i := len(g.Rungs) - 1; i >= 0; i-- {
		r := g.Rungs[i]
		s.box(x, y, w, rung, None, Black, 0.7)
		s.text(x+6, y+11.5, bold, Black, r.Kit)
		s.text(x+w-6-body.width(r.Rating), y+11.5, body, Black, r.Rating)
		y += rung
	}
	return y
}

// mark is a number in a disc at the edge of the sample.
func (s *sheetOf) mark(x, y float64, n string) {
	const r = 7.5
	s.d.Ops = append(s.d.Ops, Op{Kind: Rect, X: x, Y: y - r, W: 2 * r, H: 2 * r, Fill: Black, Corners: Corners{r, r}})
	f := paperBold
	s.text(x+r-f.width(n)/2, y+f.caps()/2, f, White, n)
}

// block is the part of a drawing of that name.
func (d *Drawing) block(name string) (Block, bool) {
	for _, b := range d.Blocks {
		if b.Name == name {
			return b, true
		}
	}
	return Block{}, false
}
