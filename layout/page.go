package layout

import "math"

// Page is a page of a document. Positions are in points from its upper left corner.
type Page struct {
	Size        Size // of the medium
	Trim, Bleed Area // boxes for the print shop; zero for none
	Drawings    []At
}

// At is a drawing at a position on a page.
type At struct {
	X, Y float64
	*Drawing
}

// Area is a rectangle on a page.
type Area struct{ X, Y, W, H float64 }

// markRoom is the room around the bleed of a single label for its crop marks.
var markRoom = MM(8)

// border is by how much the medium is larger than the trimmed page, on each side. Only
// a page that is one label is printed oversize.
func (s Stock) border() float64 {
	switch {
	case s.Places() > 1 || s.Page != s.Label:
		return 0
	case s.CropMarks:
		return s.Bleed + markRoom
	}
	return s.Bleed
}

// page is an empty page of the stock, with its boxes and marks.
func (s Stock) page() Page {
	b := s.border()
	p := Page{Size: Size{s.Page.W + 2*b, s.Page.H + 2*b}, Trim: Area{b, b, s.Page.W, s.Page.H}}
	if b > 0 || s.Bleed > 0 {
		over := min(s.Bleed, b)
		p.Bleed = Area{b - over, b - over, s.Page.W + 2*over, s.Page.H + 2*over}
	}
	if s.CropMarks {
		p.Drawings = []At{{0, 0, s.cropMarks(p.Size, b)}}
	}
	return p
}

// cropMarks are fine lines outside the labels that show where to cut: clear of the
// bleed, and on a sheet in its margins.
func (s Stock) cropMarks(media Size, border float64) *Drawing {
	p := pen{Drawing: &Drawing{Size: media, Blocks: []Block{{"marks", 0, 0, media.W, media.H}}}}
	off := max(s.Bleed, MM(2)) // from the cut to the mark
	// mark draws one outward from x, y. A narrow margin has shorter marks, and a very
	// narrow one has none.
	mark := func(x, y, dx, dy, room float64) {
		if n := min(room, MM(5)); room >= MM(1.5) {
			p.line(x+min(0, dx)*n, y+min(0, dy)*n, math.Abs(dx)*n, math.Abs(dy)*n, 0.25, Black)
		}
	}
	lastX, lastY := s.Place(s.Places() - 1)
	x0, y0 := border+s.Left-off, border+s.Top-off
	x1, y1 := border+lastX+s.Label.W+off, border+lastY+s.Label.H+off
	for i := range s.Columns {
		x, _ := s.Place(i)
		for _, at := range [...]float64{border + x, border + x + s.Label.W} {
			mark(at, y0, 0, -1, y0)
			mark(at, y1, 0, 1, media.H-y1)
		}
	}
	for i := range s.Rows {
		_, y := s.Place(i * s.Columns)
		for _, at := range [...]float64{border + y, border + y + s.Label.H} {
			mark(x0, at, -1, 0, x0)
			mark(x1, at, 1, 0, media.W-x1)
		}
	}
	return p.Drawing
}
