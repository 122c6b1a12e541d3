package layout

import (
	"fmt"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/label"
)

// Slip is the page that goes with a print job to the press and into the files.
type Slip struct {
	Words          *label.Slip
	Site, Date, By string
	Stock          Stock
	Copies         int
	Counts         []Count // by signal word, by kit
	Labels         []SlipLine
	ChainHead      string // of the ledger before this job
	Paper          Paper
}

// Count is how many labels of a job are of one kind.
type Count struct {
	What string
	N    int
}

// SlipLine is a label of the job.
type SlipLine struct{ ID, Code string }

// SlipPages sets the slip, on as many pages as the list takes.
func SlipPages(j *Slip) []Page {
	s := newSheet(j.Paper)
	s.para(paperTitle, j.Words.SlipTitle)
	s.para(paperHead, j.Site)
	s.y += 6
	s.line(s.left(), s.y, s.width(), 0, 1.4, Black)
	s.y += 8
	j.facts(s)
	s.y += 8
	j.section(s, j.Words.SlipRules)
	s.ruler(s.left()+2, s.y, printedRules[0], paperBody)
	s.ruler(s.left()+2, s.y+ruleHeight, printedRules[1], paperBody)
	s.y += 2*ruleHeight + 6
	if j.Stock.Color != assess.OneColor {
		j.section(s, j.Words.SlipColors)
		j.patches(s)
	}
	j.section(s, j.Words.SlipLabels)
	j.list(s)
	return s.numbered(j.Site + " · " + j.Date + " · " + j.Words.SlipTitle)
}

// section is a heading with a rule above it.
func (j *Slip) section(s *sheetOf, title string) {
	s.room(4 * paperLead)
	s.sectionAt(s.left(), s.width(), 0.5, title)
}

// facts are what the job is, on the left, and the counts, on the right.
func (j *Slip) facts(s *sheetOf) {
	copies, w := max(1, j.Copies), j.Words
	head := j.ChainHead
	if n := len(head) / 2; n >= 16 {
		head = head[:n] + " " + head[n:]
	}
	all := [...][2]string{
		{w.SlipDate, j.Date}, {w.SlipBy, printable(j.By)}, {w.SlipJob, w.Total(len(j.Labels)*copies, copies)},
		{w.SlipStock, j.Stock.Name + ", " + w.Number(fmt.Sprintf("%.4g x %.4g mm", InMM(j.Stock.Label.W), InMM(j.Stock.Label.H)))},
		{w.SlipColor, w.Color(j.Stock.Color)}, {w.SlipLedger, w.Head(head)},
	}
	names := 0.0
	for _, f := range all {
		names = max(names, paperBold.width(f[0]))
	}
	names += 10
	half := 0.5 * s.width()
	top := s.y
	left := top
	for _, f := range all {
		if f[1] == "" {
			continue
		}
		s.text(s.left(), left+paperBold.size*firstLine, paperBold, Black, f[0])
		left = s.put(s.left()+names, left, half-names-12, paperBody, f[1]) + 1.5
	}
	x := s.left() + half
	right := top
	for _, c := range j.Counts {
		s.right(x+30, right+paperBold.size*firstLine, paperBold, Black, strconv.Itoa(c.N))
		right = s.put(x+38, right, half-38, paperBody, c.What) + 1.5
	}
	s.y = max(left, right)
}

// patches show the signal colors of the stock.
func (j *Slip) patches(s *sheetOf) {
	const side, high = 62.0, 30.0
	page := &s.pages[len(s.pages)-1]
	x := s.left()
	for _, c := range []Spot{j.Stock.Orange, j.Stock.Red} {
		d := &Drawing{Size: Size{side, high}, Signal: c, color: j.Stock.Color, Blocks: []Block{{"patch", 0, 0, side, high}},
			Ops: []Op{{Kind: Rect, W: side, H: high, Fill: Signal}}}
		page.Drawings = append(page.Drawings, At{x, s.y, d})
		s.put(x+side+8, s.y+2, 150, paperBold, c.Name)
		s.put(x+side+8, s.y+2+paperLead, 150, paperBody, fmt.Sprintf("C %d  M %d  Y %d  K %d", c.C, c.M, c.Y, c.K))
		x += s.width() / 2
	}
	s.y += high + 10
}

// list sets number, id and code in columns, read downward.
func (j *Slip) list(s *sheetOf) {
	const between = 18.0
	number := paperBody.width(strings.Repeat("0", len(strconv.Itoa(len(j.Labels))))) + 7
	code, id := 0.0, 0.0
	for _, l := range j.Labels {
		code = max(code, paperBody.width(l.Code))
		id = max(id, paperBold.width(l.ID))
	}
	columns := 2
	if 3*(number+id+12+code)+2*between <= s.width() {
		columns = 3
	}
	column := (s.width() - float64(columns-1)*between) / float64(columns)
	room := min(id+columnHair, column-number-12-code) // for the id
	height := func(i int) float64 {
		return float64(len(paperBold.cell(j.Labels[i].ID, room)))*paperLead + 1.2
	}
	for at := 0; at < len(j.Labels); {
		if s.y+2*paperLead > s.bottom() {
			s.turn()
		}
		depth := j.depth(at, columns, s.bottom()-s.y, height)
		top, lowest := s.y, s.y
		for k := 0; k < columns && at < len(j.Labels); k++ {
			x := s.left() + float64(k)*(column+between)
			y := top
			for first := at; at < len(j.Labels) && (at == first || y+height(at) <= top+depth+0.01); at++ {
				l := j.Labels[at]
				base := y + paperBody.size*firstLine
				s.right(x+number-7, base, paperBody, Black, strconv.Itoa(at+1))
				s.text(x+number+room+12, base, paperBody, Black, l.Code)
				s.put(x+number, y, room, paperBold, l.ID)
				y += height(at)
			}
			lowest = max(lowest, y)
		}
		s.y = lowest
	}
}

// depth is how deep the columns are on this page, from label at on: no deeper than
// room, and on the last page so that they end together.
func (j *Slip) depth(at, columns int, room float64, height func(int) float64) float64 {
	total, most := 0.0, 0.0
	for i := at; i < len(j.Labels) && total <= room*float64(columns); i++ {
		total += height(i)
		most = max(most, height(i))
	}
	return min(room, total/float64(columns)+most)
}
