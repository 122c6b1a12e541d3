package layout

import "vouchmark/label"

// canvas is what a block draws on, with everything that a block needs.
type canvas struct {
	pen
	*style
	label *label.Label
	words *label.Words
	code  *Matrix
	lines *memory

	split   struct{ of, left, height float64 } // see beside.split
	heights []height                           // of what is drawn, which asks for them over and over; nil while fitting

	// used lists the fitted texts, where asked for: it shows which text takes more
	// room than a label has.
	used   *[]use
	failed bool // a word was too wide
}

// use is a text that was set in lines, or whose longest word is too wide. usual is
// the number of lines for which a label that fits has room.
type use struct {
	field, text  string
	lines, usual int
	tooWide      bool
}

// measured is the height that a block needs in a width of w.
func (c *canvas) measured(draws blockFunc, w float64) float64 {
	dry := c.dry
	c.dry = true
	h := draws(c, w, 0)
	c.dry = dry
	return h
}

// tried reports whether a word is too wide in what try sets, without noting it.
func (c *canvas) tried(try func()) (tooWide bool) {
	failed, used := c.failed, c.used
	c.failed, c.used = false, nil
	try()
	tooWide = c.failed
	c.failed, c.used = failed, used
	return tooWide
}

// begin starts a block of width w, without its edges, and height h.
func (c *canvas) begin(name string, w, h float64) {
	c.block = len(c.Blocks)
	c.Blocks = append(c.Blocks, Block{name, c.ox - c.edgeLeft, c.oy, w + c.edgeLeft + c.edgeRight, h})
}

// fitted breaks text for a field into lines, and notes how many it takes compared
// with the usual number.
func (c *canvas) fitted(field, text string, f font, w float64, usual int) []string {
	if text == "" {
		return nil
	}
	lines, ok := c.lines.wrap(f, text, w)
	c.note(field, text, len(lines), usual, ok)
	return lines
}

// even is fitted with lines of nearly equal length.
func (c *canvas) even(field string, f font, w float64, usual int, text string) []string {
	if text == "" {
		return nil
	}
	lines, ok := c.lines.even(f, text, w)
	c.note(field, text, len(lines), usual, ok)
	return lines
}

func (c *canvas) note(field, text string, lines, usual int, ok bool) {
	if c.used != nil {
		*c.used = append(*c.used, use{field, text, lines, usual, !ok})
	} else if !ok {
		c.failed = true
	}
}
