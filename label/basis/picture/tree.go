package picture

import (
	"fmt"
	"strconv"

	"vouchmark/label/record"
	"vouchmark/label/report"
)

// The measures of the tree, in pixels.
const (
	pitch   = 28 // of rows
	indent  = 24 // of a level; report.TreeLevels caps it
	glyph   = 20 // side of a sign
	margin  = 12
	gutter  = 22 // between columns
	size    = 14 // of text
	small   = 12 // of the signal words
	least   = 320
	badge   = 84 // width of a signal word's panel
	lift    = 5  // of a row's middle above its base line
	headTop = 16
)

// Colors, each with the contrast of its text with what is behind it (WCAG 2.2,
// 1.4.3 requires 4.5; a test measures it).
const (
	ink    = "#1a1a1a" // 17.4 on white
	gray   = "#555555" // 7.5
	blue   = "#0b4f9e" // 8.0
	hair   = "#e6e6e6"
	orange = "#ff7900" // 7.4 behind ink; signal words alone
	red    = "#be1224" // 6.8 behind white; likewise
)

// colors of the signs, as on the pages; those that are not here are gray.
var colors = map[string]string{
	"holds": "#14532d", "falls due": "#5b3a8c", "lapsed": "#6b4400", "in question": "#7a1230", Cover: "#000000",
}

// TreeOptions say how the rows are drawn.
type TreeOptions struct {
	Title string // what a screen reader says the drawing is
	Desc  string // the same in a sentence; "" for one made from the rows

	Headed bool                // the title is drawn above the rows too
	States []report.StateCount // drawn below as a legend, the last first; nil for none
	Foot   []string            // lines below that

	// Link is where the id of a row leads whose label was printed; nil or ""
	// for nowhere.
	Link func(code record.Code) string
}

// Tree draws rows of the feeds: all those of [report.Tree], or some that follow
// each other there. Where the tree continues, branches run to the upper and the
// lower edge. The drawing is well-formed, states its size, and every text in it
// is escaped.
func Tree(rows []report.TreeRow, o TreeOptions) []byte {
	t := &tree{rows: rows, o: o}
	t.measure()
	ties, lanes := tieLines(rows)
	// For an image a screen reader says only the title: the links would be lost.
	role := "img"
	for i := range rows {
		if t.link(&rows[i]) != "" {
			role = "group"
		}
	}
	w, h := t.width+lanes*laneWidth, t.height()
	t.add(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d" role="%s" aria-label="`,
		w, h, w, h, role)
	t.escape(o.Title)
	t.add(`" font-family="%s" font-size="%d" fill="%s" color="%s">`, typefaces, size, ink, gray)
	t.element("title", "", o.Title)
	desc := t.desc()
	if len(ties) > 0 {
		desc += " A dashed line is a tie."
	}
	t.element("desc", "", desc)
	t.add(`<path d="M0 0H%dV%dH0Z" fill="#ffffff"/>`, w, h)
	if lanes > 0 {
		t.add(`<g transform="translate(%d 0)" color="%s">`, lanes*laneWidth, gray)
	}
	for _, l := range ties {
		t.tie(l)
	}
	if o.Headed {
		t.text(margin, headTop+lift+2, ` font-size="17" font-weight="700"`, o.Title)
	}
	for i := range rows {
		t.row(i)
	}
	t.foot()
	if lanes > 0 {
		t.add("</g>")
	}
	t.add("</svg>\n")
	return t.Bytes()
}

// text writes a line of text, if there is any; attributes are markup.
func (t *tree) text(x, y int, attributes, text string) {
	if text != "" {
		t.element("text", fmt.Sprintf(` x="%d" y="%d"%s`, x, y, attributes), text)
	}
}

// tree is a drawing in the making.
type tree struct {
	writer
	rows []report.TreeRow
	o    TreeOptions

	columns [4]int // where standing, label, supply and the rest start
	signals bool   // some row has a signal word
	width   int
}

// top is where the rows start.
func (t *tree) top() int {
	if t.o.Headed {
		return headTop + pitch
	}
	return margin / 2
}

func (t *tree) height() int {
	return t.top() + pitch*(len(t.rows)+t.footLines()) + margin/2
}

// measure sets the columns: each starts where the widest text before it ends.
func (t *tree) measure() {
	var widths [4]int // of the tree, the standing, energy and kit, the supply
	last, wide := 0, least
	for i := range t.rows {
		r := &t.rows[i]
		if !r.Full() {
			wide = max(wide, t.textX(r)+textWidth(r.Pointer(), size, r.Kind == report.HeadingRow)+margin)
			continue
		}
		signal, rest := r.LabelWords()
		t.signals = t.signals || signal != ""
		for k, n := range []int{
			t.textX(r) + textWidth(r.ID, size, true), textWidth(r.StandingWords(), size, false),
			textWidth(rest, size, false), textWidth(r.Supply, size, false),
		} {
			widths[k] = max(widths[k], n)
		}
		last = max(last, textWidth(remarks(r), size, false))
	}
	if t.signals {
		widths[2] += badge + 8
	}
	x := 0
	for i, w := range widths {
		x += w + gutter
		t.columns[i] = x
	}
	if last > 0 {
		wide = max(wide, t.columns[3]+last+margin)
	}
	if t.o.Headed {
		wide = max(wide, 2*margin+textWidth(t.o.Title, 17, true))
	}
	for _, line := range t.o.Foot {
		wide = max(wide, 2*margin+textWidth(line, size, false))
	}
	t.width = max(wide, t.legendWidth())
}

func (t *tree) desc() string {
	if t.o.Desc != "" {
		return t.o.Desc
	}
	n := 0
	for i := range t.rows {
		if t.rows[i].Full() {
			n++
		}
	}
	return "The feeds as a tree: " + report.Plural(n, "location") +
		", each below what feeds it, with the standing of its label and its signal word."
}

func (t *tree) link(r *report.TreeRow) string {
	if t.o.Link == nil || r.Code == "" {
		return ""
	}
	return t.o.Link(r.Code)
}

func (t *tree) footLines() int {
	n := len(t.o.Foot)
	if len(t.o.States) > 0 {
		n++
	}
	return n
}

// foot draws the legend and the lines below it.
func (t *tree) foot() {
	y := t.top() + pitch*len(t.rows) + pitch/2 + margin/2
	if len(t.o.States) > 0 {
		x := margin
		for i := len(t.o.States) - 1; i >= 0; i-- {
			s := &t.o.States[i]
			t.sign(s.State, x, y-glyph/2)
			t.text(x+glyph+8, y+lift, "", legend(s))
			x += glyph + 8 + textWidth(legend(s), size, false) + gutter
		}
		y += pitch
	}
	for _, line := range t.o.Foot {
		t.text(margin, y+lift, ` fill="`+gray+`"`, line)
		y += pitch
	}
}

func legend(s *report.StateCount) string { return strconv.Itoa(s.Count) + " " + s.Words() }

func (t *tree) legendWidth() int {
	x := margin
	for i := range t.o.States {
		s := &t.o.States[i]
		x += glyph + 8 + textWidth(legend(s), size, false) + gutter
	}
	return x
}
