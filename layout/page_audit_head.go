package layout

import (
	"slices"
	"strings"
)

// The two parts of an audit report that are not tables: the verdict, and the chain
// head with the frame in which the auditor signs.

// verdict is the outcome in large letters: in a frame with a ring and a check
// mark, or white on black with a square and a cross. So it can be read without
// color, and from a distance.
func (s *sheetOf) verdict(text string, sound bool) {
	const pad, mark = 11.0, 32.0
	f := paperHead.at(21)
	x := s.left() + pad
	lines := f.lines(text, s.width()-3*pad-mark)
	high := float64(max(len(lines)-1, 0))*f.lead() + f.caps() // from the top of its capitals to the last baseline
	h := max(high, mark) + 2*pad
	middle := s.y + h/2
	ink := Black
	if sound {
		const stroke = 2.4
		s.box(s.left()+1, s.y+1, s.width()-2, h-2, 0, None, Black, 2)
		side := mark - stroke
		s.box(x+stroke/2, middle-side/2, side, side, side/2, None, Black, stroke)
		s.path(x, middle-mark/2, mark, Black, checkMark)
	} else {
		ink = White
		s.rect(s.left(), s.y, s.width(), h, Black)
		s.rect(x, middle-mark/2, mark, mark, White)
		s.path(x, middle-mark/2, mark, Black, crossMark)
	}
	for i, l := range lines {
		s.text(x+mark+pad, middle-high/2+f.caps()+float64(i)*f.lead(), f, ink, l)
	}
	s.y += h
}

// Marks in a box 1 wide and high.
var (
	checkMark = []Point{{X: 0.24, Y: 0.53}, {X: 0.32, Y: 0.45}, {X: 0.44, Y: 0.57},
		{X: 0.68, Y: 0.28}, {X: 0.77, Y: 0.355}, {X: 0.45, Y: 0.735}}
	crossMark = []Point{{X: 0.28, Y: 0.2}, {X: 0.5, Y: 0.42}, {X: 0.72, Y: 0.2}, {X: 0.8, Y: 0.28},
		{X: 0.58, Y: 0.5}, {X: 0.8, Y: 0.72}, {X: 0.72, Y: 0.8}, {X: 0.5, Y: 0.58},
		{X: 0.28, Y: 0.8}, {X: 0.2, Y: 0.72}, {X: 0.42, Y: 0.5}, {X: 0.2, Y: 0.28}}
)

// chain is the chain head, next to it what the chain holds, and below both the
// frame to write in.
func (a *Audit) chain(s *sheetOf) {
	left, x, right := s.halves()
	head := groupsOf(strings.ReplaceAll(printable(a.Head), " ", ""))
	note := "Write these groups down where nobody who keeps the records can change them, and bring them to the next audit."
	if head.groups == nil {
		note = "None: there is no ledger."
	}
	w := max(left, head.width())
	h := head.height() + float64(len(paperBody.lines(note, w)))*paperLead
	held := facts(s, "", column{}, a.Chain).share(x, right)
	aside := w == left && held.height() < 8*paperLead
	if aside {
		h = max(h, held.height())
	}

	s.section("Chain head", h+8+writeHeight)
	top := s.y
	head.set(s)
	s.y = s.put(s.left(), s.y, w, paperBody, note)
	switch {
	case len(a.Chain) == 0:
	case aside:
		end := s.y
		s.y = top
		held.set()
		s.y = max(s.y, end)
	default:
		s.y += 4
		held.share(s.left(), s.width()).set()
	}
	s.y += 8
	s.room(writeHeight)
	s.write()
}

// hexGroups is a chain head in groups that a person can compare.
type hexGroups struct {
	groups []string
	font   font
	step   float64 // from group to group
}

const groupsInLine = 4

// groupsOf cuts text into groups of eight.
func groupsOf(text string) *hexGroups {
	g := &hexGroups{font: paperBold.at(14)}
	for runes := range slices.Chunk([]rune(text), 8) {
		group := string(runes)
		g.groups = append(g.groups, group)
		g.step = max(g.step, g.font.width(group)+groupGap)
	}
	return g
}

const groupGap = 14.0

func (g *hexGroups) width() float64 { return groupsInLine*g.step - groupGap }

// height is that of the groups and the white below them.
func (g *hexGroups) height() float64 {
	lines := (len(g.groups) + groupsInLine - 1) / groupsInLine
	if lines == 0 {
		return 0
	}
	return float64(lines)*g.font.lead() + 4
}

// set sets the groups in columns.
func (g *hexGroups) set(s *sheetOf) {
	for i, group := range g.groups {
		y := s.y + float64(i/groupsInLine)*g.font.lead()
		s.text(s.left()+float64(i%groupsInLine)*g.step, y+g.font.size*firstLine, g.font, Black, group)
	}
	s.y += g.height()
}

const (
	writeRoom   = 23.0 // above a line to write on
	writeHeight = 2*(writeRoom+paperLead+2) + 6
)

// write is the frame in which the auditor signs.
func (s *sheetOf) write() {
	const pad = 10.0
	s.box(s.left()+0.4, s.y, s.width()-0.8, writeHeight, 0, None, Black, 0.8)
	left, x, right := s.halves()
	field := func(x, y, w float64, name string) {
		s.line(x, y, w, 0, 0.6, Black)
		s.put(x, y+2, w, paperBody, name)
	}
	y := s.y + writeRoom
	for _, names := range [...][2]string{{"Auditor, name", "Date"}, {"Auditor, signature", "Chain head recorded in"}} {
		field(s.left()+pad, y, left-pad, names[0])
		field(x, y, right-pad, names[1])
		y += paperLead + 2 + writeRoom
	}
	s.y += writeHeight
}
