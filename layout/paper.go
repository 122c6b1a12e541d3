package layout

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"vouchmark/fonts"
)

// Paper is a page to read in the hand or on a bulletin board, with its name.
type Paper struct {
	Name string
	Size Size
}

// Papers are the papers for pages other than labels.
var Papers = []Paper{{"letter", letter}, {"a4", a4}}

// PaperNamed is the paper of that name.
func PaperNamed(name string) (Paper, error) {
	for _, p := range Papers {
		if p.Name == name {
			return p, nil
		}
	}
	return Paper{}, fmt.Errorf("no paper %q; there are letter and a4", name)
}

// The type of pages for reading: body capitals of about 2.5 mm, larger than the
// label's legible minimum.
var (
	paperTitle = font{fonts.Bold, 19, true}
	paperHead  = font{fonts.Bold, 12, true}
	paperBody  = font{fonts.Regular, 10, false}
	paperBold  = font{fonts.Bold, 10, false}
)

const paperLead = 12.6 // from baseline to baseline of body text

// sheetOf is a page that is filled from the top, with the pages before it.
type sheetOf struct {
	pen
	paper  Paper
	margin float64
	pages  []Page
	y      float64 // where the next line starts
	head   func()  // repeated at the top of every page
}

func newSheet(p Paper) *sheetOf {
	s := &sheetOf{paper: p, margin: MM(15)}
	s.turn()
	return s
}

// turn starts a new page.
func (s *sheetOf) turn() {
	size := s.paper.Size
	s.Drawing = &Drawing{Size: size, Scale: 1, Blocks: []Block{{"page", 0, 0, size.W, size.H}}}
	s.pages = append(s.pages, Page{Size: size, Trim: Area{0, 0, size.W, size.H}, Drawings: []At{{0, 0, s.Drawing}}})
	s.y = s.margin
	if s.head != nil {
		s.head()
	}
}

// room makes sure that there is a height above the foot of the page, on a new page if
// necessary.
func (s *sheetOf) room(h float64) {
	if s.y+h > s.bottom() {
		s.turn()
	}
}

// bottom is where the page ends above its foot.
func (s *sheetOf) bottom() float64 { return s.paper.Size.H - s.margin - 1.6*paperLead }

func (s *sheetOf) left() float64  { return s.margin }
func (s *sheetOf) width() float64 { return s.paper.Size.W - 2*s.margin }

// put sets a text in lines no wider than w from the top y on, and returns where the
// next line starts.
func (s *sheetOf) put(x, y, w float64, f font, text string) float64 {
	if text == "" {
		return y
	}
	for _, l := range f.cell(text, w) {
		s.text(x, y+f.size*firstLine, f, Black, l)
		y += f.lead()
	}
	return y
}

// lead is the distance from baseline to baseline on a page.
func (f font) lead() float64 { return paperLead * f.size / paperBody.size }

// cell is wrap for a list, which must take any name: a word that is too wide is cut at
// the end of the cell.
func (f font) cell(text string, w float64) (lines []string) {
	broken, ok := f.wrap(text, w)
	if ok {
		return broken
	}
	for _, l := range broken {
		from := 0
		for to := range l {
			_, size := utf8.DecodeRuneInString(l[to:])
			if to > from && f.width(l[from:to+size]) > w {
				lines = append(lines, strings.TrimSpace(l[from:to]))
				from = to
			}
		}
		lines = append(lines, strings.TrimSpace(l[from:]))
	}
	return lines
}

// para is put across the page at the current position.
func (s *sheetOf) para(f font, text string) {
	s.y = s.put(s.left(), s.y, s.width(), f, text)
}

// numbered writes "1 / 3" at the foot of every page, next to a text.
func (s *sheetOf) numbered(text string) []Page {
	for i := range s.pages {
		s.Drawing = s.pages[i].Drawings[0].Drawing
		y := s.paper.Size.H - s.margin - underBaseline*paperBody.size
		s.text(s.left(), y, paperBody, Black, text)
		n := fmt.Sprintf("%d / %d", i+1, len(s.pages))
		s.right(s.left()+s.width(), y, paperBody, Black, n)
	}
	return s.pages
}
