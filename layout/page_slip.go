package layout

import "fmt"

// Slip is the page that goes with a print job to the press and into the file.
type Slip struct {
	Site, Date, By string
	Stock          Stock
	Copies         int
	Counts         []Count // by signal word, by kit
	Labels         []SlipLine
	ChainHead      string // of the ledger before this job
	Paper          Paper
}

// Count is how many labels of a job are alike in something.
type Count struct {
	What string
	N    int
}

// SlipLine is a label of the job.
type SlipLine struct{ ID, Code string }

// SlipPages sets the slip, on as many pages as the list takes.
func SlipPages(j *Slip) []Page {
	s := newSheet(j.Paper)
	s.para(paperTitle, "Job slip")
	s.para(paperHead, j.Site)
	s.y += 4
	s.para(paperBody, fmt.Sprintf("%s · by %s · stock %s, %.4g x %.4g mm, %s", j.Date, j.By, j.Stock.Name, InMM(j.Stock.Label.W), InMM(j.Stock.Label.H), j.Stock.Colour))
	s.para(paperBody, fmt.Sprintf("%d labels, %d of each. Print at 100 %%, without scaling; measure the rules below.", len(j.Labels)*max(1, j.Copies), max(1, j.Copies)))
	s.y += 8
	j.rules(s)
	j.patches(s)
	s.para(paperHead, "Counts")
	for _, c := range j.Counts {
		n := fmt.Sprint(c.N)
		s.text(s.left()+30-paperBold.width(n), s.y+paperBold.size*0.82, paperBold, Black, n)
		s.y = s.put(s.left()+38, s.y, s.width()-38, paperBody, c.What)
	}
	s.y += 8
	s.para(paperHead, "Chain head of the ledger before this job")
	s.para(paperBody, j.ChainHead[:len(j.ChainHead)/2]+" "+j.ChainHead[len(j.ChainHead)/2:])
	s.y += 8
	s.para(paperHead, "Labels, in the order of printing")
	j.list(s)
	return s.numbered(j.Site + " · " + j.Date)
}

// rules are two lengths that prove that nothing was scaled.
func (j *Slip) rules(s *sheetOf) {
	for _, r := range []struct {
		length, tick float64
		ticks        int
		name         string
	}{{MM(100), MM(10), 10, "100 mm"}, {Inch(4), Inch(0.5), 8, "4 in"}} {
		x, y := s.left()+0.5, s.y+10
		s.line(x, y, r.length, 0, 1)
		for i := 0; i <= r.ticks; i++ {
			h := 5.0
			if i == 0 || i == r.ticks {
				h = 10
			}
			s.line(x+float64(i)*r.tick, y-h, 0, h, 1)
		}
		s.text(x+r.length+8, y, paperBold, Black, r.name)
		s.y += 20
	}
	s.y += 6
}

// patches are the signal colours of the stock, to be matched against a proof.
func (j *Slip) patches(s *sheetOf) {
	const side, high = 62.0, 30.0
	page := &s.pages[len(s.pages)-1]
	x := s.left()
	for _, c := range []Spot{j.Stock.Orange, j.Stock.Red} {
		d := &Drawing{Size: Size{side, high}, Signal: c, colour: j.Stock.Colour, Blocks: []Block{{"patch", 0, 0, side, high}},
			Ops: []Op{{Kind: Rect, W: side, H: high, Fill: Signal, Ink: Black, Stroke: 0.5}}}
		if c == j.Stock.Red {
			d.oneColourIf(j.Stock, true)
		} else {
			d.oneColourIf(j.Stock, false)
		}
		page.Drawings = append(page.Drawings, At{x, s.y, d})
		s.put(x+side+8, s.y+2, 150, paperBold, c.Name)
		s.put(x+side+8, s.y+2+paperLead, 150, paperBody, fmt.Sprintf("C %d  M %d  Y %d  K %d", c.C, c.M, c.Y, c.K))
		x += s.width() / 2
	}
	s.y += high + 10
}

// list sets ids and codes in columns.
func (j *Slip) list(s *sheetOf) {
	code := paperBody.width("0000-0000-0000-0000")
	idWidth := 0.0
	for _, l := range j.Labels {
		idWidth = max(idWidth, paperBold.width(l.ID))
	}
	column := code + idWidth + 10 + 24
	n := max(1, int((s.width()+24)/column))
	for i := 0; i < len(j.Labels); i += n {
		s.room(paperLead)
		for k, l := range j.Labels[i:min(i+n, len(j.Labels))] {
			x := s.left() + float64(k)*column
			s.text(x, s.y+paperBold.size*0.82, paperBold, Black, l.ID)
			s.text(x+idWidth+10, s.y+paperBody.size*0.82, paperBody, Black, l.Code)
		}
		s.y += paperLead
	}
}

func (d *Drawing) oneColourIf(s Stock, danger bool) {
	if s.Colour == "one-colour" {
		d.oneColour(danger)
	}
}
