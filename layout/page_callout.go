package layout

import (
	"fmt"

	"vouchmark/label"
)

// calloutRoom is the width beside a sample for its numbers.
const calloutRoom = 25.0

const discRadius = 7.5

// callouts numbers the parts of the sample at x, y: a bar beside each part, as
// long as it, and a number on the bar. What reaches the left edge is numbered
// there; what does not, below. It returns where the numbers end.
func (s *guidePage) callouts(x, y float64) float64 {
	end := y + s.sample.Size.H
	last := y - discRadius
	for i, c := range s.g.Callouts {
		b, ok := s.sample.block(c.Block)
		if !ok {
			continue
		}
		const (
			off  = 5.0 // from the label to the bar
			trim = 1.2 // between bars that follow each other
		)
		if b.X < 0.2*s.sample.Size.W {
			at := x - off
			s.line(at, y+b.Y+trim, 0, b.H-2*trim, 1.4)
			middle := max(y+b.Y+b.H/2, last+2*discRadius+1)
			last = middle
			s.disc(at-discRadius-3, middle, i+1)
			s.line(at-3, middle, 3, 0, 0.8)
			continue
		}
		at := y + s.sample.Size.H + off
		s.line(x+b.X, at, b.W, 0, 1.4)
		s.line(x+b.X+b.W/2, at, 0, 3, 0.8)
		s.disc(x+b.X+b.W/2, at+3+discRadius, i+1)
		end = at + 3 + 2*discRadius
	}
	return end
}

// disc is a number in a black disc about x, y.
func (s *sheetOf) disc(x, y float64, number int) {
	const r = discRadius
	s.d.Ops = append(s.d.Ops, Op{Kind: Rect, X: x - r, Y: y - r, W: 2 * r, H: 2 * r, Fill: Black, Corners: Corners{r, r}})
	f := paperBold
	n := fmt.Sprint(number)
	s.text(x-f.width(n)/2, y+f.caps()/2, f, White, n)
}

// explain is what a part of the label asks of its reader. It returns where it
// ends.
func (s *guidePage) explain(x, y, w float64, number int, c label.Callout) float64 {
	title := s.head
	const indent = 2*discRadius + 7
	s.disc(x+discRadius, y+title.size*0.82-title.caps()/2, number)
	y = s.put(x+indent, y, w-indent, title, c.Title) + 0.5
	return s.put(x+indent, y, w-indent, s.body, c.Text)
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
