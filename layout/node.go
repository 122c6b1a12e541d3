package layout

import (
	"math"
	"slices"
)

// node is a part of an arrangement.
type node interface {
	// measure is the least height of the node in width w.
	measure(c *canvas, w float64) float64
	// draw draws it at the canvas's origin in a height of at least that.
	draw(c *canvas, w, h float64)
	// growth is the node's share of the height that is left over.
	growth() float64
}

// blockFunc draws one part of the label in width w and returns the height that it
// needs. Given a larger height h, it spreads over it.
type blockFunc func(c *canvas, w, h float64) float64

// leaf is a block in an arrangement.
type leaf struct {
	name  string
	draws blockFunc
	grow  float64
}

func (n leaf) growth() float64 { return n.grow }

func (n leaf) measure(c *canvas, w float64) float64 {
	if c.heights == nil {
		return c.measured(n.draws, w)
	}
	i := slices.IndexFunc(c.heights, func(k height) bool { return k.leaf == n.name && k.w == w })
	if i < 0 {
		k := height{leaf: n.name, w: w}
		k.tooWide = c.tried(func() { k.h = c.measured(n.draws, w) })
		i, c.heights = len(c.heights), append(c.heights, k)
	}
	c.failed = c.failed || c.heights[i].tooWide
	return c.heights[i].h
}

// height is the height that a leaf needs in a width.
type height struct {
	leaf    string // its name, which no other leaf of an arrangement has
	w, h    float64
	tooWide bool // a word is
}

func (n leaf) draw(c *canvas, w, h float64) {
	if h > 0 {
		was := c.place
		c.begin(n.name, w, h)
		block := c.block
		n.draws(c, w, h)
		c.place = was
		c.block = block
	}
}

// ruledNode is a node with a rule above it, as wide as its text or from edge to edge.
// A node that draws nothing has no rule.
type ruledNode struct {
	node
	edges bool
}

func ruled(n node) node { return ruledNode{n, false} }
func edged(n node) node { return ruledNode{n, true} }

func (n ruledNode) draw(c *canvas, w, h float64) {
	ops, first := len(c.Ops), len(c.Blocks)
	n.node.draw(c, w, h)
	if len(c.Ops) == ops {
		return
	}
	c.block = first
	if n.edges {
		c.line(-c.edgeLeft, 0, w+c.edgeLeft+c.edgeRight, 0, c.hair, Black)
	} else {
		c.line(0, 0, w, 0, c.hair, Black)
	}
}

// stack has nodes below each other.
type stack []node

func (n stack) growth() float64 { return n.sum(node.growth) }

func (n stack) measure(c *canvas, w float64) float64 {
	return n.sum(func(k node) float64 { return k.measure(c, w) })
}

func (n stack) sum(of func(node) float64) (all float64) {
	for _, k := range n {
		all += of(k)
	}
	return all
}

func (n stack) draw(c *canvas, w, h float64) {
	spare := h - n.measure(c, w)
	total := n.growth()
	was := c.place
	for _, k := range n {
		kh := k.measure(c, w)
		if total > 0 {
			kh += spare * k.growth() / total
		}
		k.draw(c, w, kh)
		c.oy += kh
	}
	c.place = was
}

// beside has two nodes side by side, with a rule between them.
type beside struct{ left, right node }

func (n beside) growth() float64 { return max(n.left.growth(), n.right.growth()) }

// shares are the shares of the width that the left node may get; the first of those
// with which the pair has the least height is used.
var shares = []float64{0.5, 0.47, 0.53, 0.44, 0.56, 0.41, 0.59, 0.38, 0.62}

// split is the left node's width, and the height of the taller of the two.
func (n beside) split(c *canvas, w float64) (left, height float64) {
	if s := c.split; s.of == w {
		return s.left, s.height // an arrangement has one pair at most
	}
	room := w - 2*c.gap
	best := math.Inf(1)
	for _, s := range shares {
		h := 0.0
		tooWide := c.tried(func() {
			if h = n.left.measure(c, room*s); h < best {
				h = max(h, n.right.measure(c, room*(1-s)))
			}
		})
		if tooWide {
			h += 1e6
		}
		if h < best-0.01 {
			best, left = h, room*s
		}
	}
	height = max(n.left.measure(c, left), n.right.measure(c, room-left))
	c.split.of, c.split.left, c.split.height = w, left, height
	return left, height
}

func (n beside) measure(c *canvas, w float64) float64 {
	_, h := n.split(c, w)
	return h
}

func (n beside) draw(c *canvas, w, h float64) {
	left, _ := n.split(c, w)
	was, first := c.place, len(c.Blocks)
	c.edgeRight = c.gap
	n.left.draw(c, left, h)
	c.edgeLeft, c.edgeRight = c.gap, was.edgeRight
	c.ox += left + 2*c.gap
	n.right.draw(c, w-left-2*c.gap, h)
	c.block = first
	c.line(-c.gap, 0, 0, h, c.hair, Black)
	c.place = was
}

// besideCode is a node with the QR code to its right, in the lower corner.
type besideCode struct{ node }

func (n besideCode) measure(c *canvas, w float64) float64 {
	side := codeSide(c)
	return max(n.node.measure(c, n.room(c, w, side)), side+2*c.codeMargin())
}

// codeMargin is the white between the quiet zone and a rule or the frame.
func (c *canvas) codeMargin() float64 { return c.unit }

// overhang is how far the quiet zone reaches into the label's right margin: all of it
// if possible, so that the modules end where the text ends.
func (n besideCode) overhang(c *canvas, side float64) float64 {
	return min(quietWidth(c, side), c.edgeRight-c.frame/2-0.5)
}

// room is the width for text that a code leaves.
func (n besideCode) room(c *canvas, w, side float64) float64 {
	return w - side + n.overhang(c, side) - 1.5*c.unit
}

func (n besideCode) draw(c *canvas, w, h float64) {
	least := codeSide(c)
	side := c.grown(least, min(h-2*c.codeMargin(), 1.4*least), h, n.node, func(side float64) float64 {
		return n.room(c, w, side)
	})
	was := c.place
	room, overhang := n.room(c, w, side), n.overhang(c, side)
	c.edgeRight = 0
	n.node.draw(c, room, h)
	c.ox += w + overhang - side
	c.oy += h - side - c.codeMargin()
	c.edgeLeft = 0
	leaf{name: "QR code", draws: blockQR}.draw(c, side, side)
	c.place = was
}

// grown is the side of a square next to a node: the largest, in whole points down
// from most, with which the node's lines still fit in h. room is the node's width for
// each side.
func (c *canvas) grown(least, most, h float64, beside node, room func(side float64) float64) float64 {
	for side := most; side > least; side-- {
		fits := false
		if tooWide := c.tried(func() { fits = beside.measure(c, room(side)) <= h }); fits && !tooWide {
			return side
		}
	}
	return least
}
