package layout

// Page is a page of a document. Places are in points from its upper left
// corner.
type Page struct {
	Size        Size // of the medium
	Trim, Bleed Area // boxes for the print shop; zero for none
	Drawings    []At
}

// At is a drawing at a place of a page.
type At struct {
	X, Y float64
	*Drawing
}

// Area is a rectangle on a page.
type Area struct{ X, Y, W, H float64 }

// markRoom is the room around the bleed of a single label for its crop marks.
var markRoom = MM(8)

// border is how much larger the medium is than the trimmed page, on each side.
// Only a page that is one label is printed oversize.
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

// cropMarks are fine lines outside the labels that show where to cut: they
// stand clear of the bleed, and on a sheet in its margins.
func (s Stock) cropMarks(media Size, border float64) *Drawing {
	d := &Drawing{Size: media, Blocks: []Block{{"marks", 0, 0, media.W, media.H}}}
	const width = 0.25
	clear := max(s.Bleed, MM(2))
	line := func(x, y, w, h float64) {
		if x >= 0 && y >= 0 && x+w <= media.W && y+h <= media.H {
			d.Ops = append(d.Ops, Op{Kind: Line, X: x, Y: y, W: w, H: h, Ink: Black, Stroke: width})
		}
	}
	length := MM(5)
	x0, y0 := border+s.Left, border+s.Top
	lastX, lastY := s.Place(s.Places() - 1)
	x1, y1 := border+lastX+s.Label.W, border+lastY+s.Label.H
	for i := range s.Columns {
		x, _ := s.Place(i)
		for _, at := range [...]float64{border + x, border + x + s.Label.W} {
			line(at, y0-clear-length, 0, length)
			line(at, y1+clear, 0, length)
		}
	}
	for i := range s.Rows {
		_, y := s.Place(i * s.Columns)
		for _, at := range [...]float64{border + y, border + y + s.Label.H} {
			line(x0-clear-length, at, length, 0)
			line(x1+clear, at, length, 0)
		}
	}
	return d
}

// pages places the drawings of a job on its sheets.
func (j *Job) pages(drawings []*Drawing) []Page {
	b := j.Stock.border()
	var pages []Page
	for i, at := range j.Placed() {
		if at.Page > len(pages) {
			pages = append(pages, j.Stock.page())
		}
		x, y := j.Stock.Place(at.Place - 1)
		p := &pages[at.Page-1]
		p.Drawings = append(p.Drawings, At{b + x, b + y, drawings[i]})
	}
	return pages
}
