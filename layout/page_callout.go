package layout

import (
	"fmt"
	"slices"

	"vouchmark/label"
)

// calloutRoom is the width to the left of a sample for its numbers.
const calloutRoom = 25.0

const diskRadius = 7.5

// callouts numbers the parts of the sample at x, y: a bar next to each part, as long
// as the part, with a number on it. A part that reaches the left edge is numbered
// there; any other one is numbered below. It returns where the numbers end, and the
// width below the sample that is free of them, from its left edge.
func (s *guidePage) callouts(x, y float64) (end, free float64) {
	end, free = y+s.sample.Size.H, s.sample.Size.W
	last := y - diskRadius
	for i, c := range s.g.Callouts {
		part := slices.IndexFunc(s.sample.Blocks, func(b Block) bool { return b.Name == c.Block })
		if part < 0 {
			continue
		}
		b := s.sample.Blocks[part]
		const (
			off  = 5.0 // from the label to the bar
			trim = 1.2 // off both ends of a bar, so that bars do not touch
		)
		if b.X < 0.2*s.sample.Size.W {
			at := x - off
			s.line(at, y+b.Y+trim, 0, b.H-2*trim, 1.4, Black)
			middle := max(y+b.Y+b.H/2, last+2*diskRadius+1)
			last = middle
			s.disk(at-diskRadius-3, middle, i+1)
			s.line(at-3, middle, 3, 0, 0.8, Black)
			continue
		}
		at := y + s.sample.Size.H + off
		s.line(x+b.X, at, b.W, 0, 1.4, Black)
		s.line(x+b.X+b.W/2, at, 0, 3, 0.8, Black)
		s.disk(x+b.X+b.W/2, at+3+diskRadius, i+1)
		end, free = at+3+2*diskRadius, min(free, b.X-4)
	}
	return end, free
}

// disk is a number in a black disk around x, y.
func (s *sheetOf) disk(x, y float64, number int) {
	const r = diskRadius
	s.box(x-r, y-r, 2*r, 2*r, r, Black, None, 0)
	s.centre(x, y+paperBold.caps()/2, paperBold, White, fmt.Sprint(number))
}

// explainIndent is from a number to its text.
const explainIndent = 2*diskRadius + 7

// explain is what a part of the label tells its reader. It returns where it ends.
func (s *guidePage) explain(x, y, w float64, number int, c label.Callout) float64 {
	title := s.head
	s.disk(x+diskRadius, y+title.size*firstLine-title.caps()/2, number)
	y = s.put(x+explainIndent, y, w-explainIndent, title, c.Title) + 0.5
	return s.put(x+explainIndent, y, w-explainIndent, s.body, c.Text)
}

// explained is the height that explain takes.
func (s *guidePage) explained(w float64, c label.Callout) float64 {
	w -= explainIndent
	return float64(len(s.head.cell(c.Title, w)))*s.head.lead() + 0.5 + float64(len(s.body.cell(c.Text, w)))*s.body.lead()
}
