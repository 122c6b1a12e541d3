package layout

import "slices"

// An arrangement is a tree of nodes: blocks below each other, side by side, or
// beside the QR code. It is data; no size of label has drawing code of its own.

// node is a part of an arrangement.
type node interface {
	// measure is the least height of the node in a width of w.
	measure(c *canvas, w float64) float64
	// draw draws it at the canvas's origin in a height of at least that.
	draw(c *canvas, w, h float64)
	// growth is the node's share in height that is left over.
	growth() float64
}

// blockFunc draws one part of the label in a width of w and returns the height
// it needs. Given a height h above that, it spreads itself over it.
type blockFunc func(c *canvas, w, h float64) float64

// leaf is a block in an arrangement.
type leaf struct {
	name  string
	draws blockFunc
	grow  float64
	rule  ruleKind // above it
}

type ruleKind uint8

const (
	noRule   ruleKind = iota
	textRule          // as wide as the text
	edgeRule          // from edge to edge
)

func (n leaf) growth() float64 { return n.grow }

func (n leaf) measure(c *canvas, w float64) float64 {
	ops := len(c.ops)
	h := n.draws(c, w, 0)
	c.ops = c.ops[:ops]
	return h
}

func (n leaf) draw(c *canvas, w, h float64) {
	if h <= 0 {
		return
	}
	c.block = len(c.blocks)
	c.blocks = append(c.blocks, Block{n.name, c.x - c.edgeLeft, c.y, w + c.edgeLeft + c.edgeRight, h})
	if n.draws(c, w, h) == 0 {
		return
	}
	switch n.rule {
	case textRule:
		c.line(0, 0, w, 0, c.hair, Black)
	case edgeRule:
		c.line(-c.edgeLeft, 0, w+c.edgeRight, 0, c.hair, Black)
	}
}

// stack is nodes below each other.
type stack []node

func (n stack) growth() float64 {
	g := 0.0
	for _, k := range n {
		g += k.growth()
	}
	return g
}

func (n stack) measure(c *canvas, w float64) float64 {
	h := 0.0
	for _, k := range n {
		h += k.measure(c, w)
	}
	return h
}

func (n stack) draw(c *canvas, w, h float64) {
	spare := h - n.measure(c, w)
	total := n.growth()
	y := c.y
	for _, k := range n {
		kh := k.measure(c, w)
		if total > 0 {
			kh += spare * k.growth() / total
		}
		k.draw(c, w, kh)
		c.y += kh
	}
	c.y = y
}

// beside is two nodes side by side, with a rule between them.
type beside struct{ left, right node }

func (n beside) growth() float64 { return max(n.left.growth(), n.right.growth()) }

// shares are the shares of the width that the left node may get; the first of
// those that make the pair least high is taken.
var shares = []float64{0.5, 0.47, 0.53, 0.44, 0.56, 0.41, 0.59, 0.38, 0.62}

// split is the left node's width, and the height of the higher of the two.
func (n beside) split(c *canvas, w float64) (left, height float64) {
	if s := c.split; s.of == w {
		return s.left, s.height // an arrangement has one pair at most
	}
	room := w - 2*c.gap
	failed, uses := c.failed, c.uses
	c.uses = nil
	best := -1.0
	for _, s := range shares {
		c.failed = false
		h := n.left.measure(c, room*s)
		if best < 0 || h < best {
			h = max(h, n.right.measure(c, room*(1-s)))
		}
		if c.failed {
			h += 1e6 // a word is too wide at this share
		}
		if best < 0 || h < best-0.01 {
			best, left = h, room*s
		}
	}
	c.failed, c.uses = failed, uses
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
	x, el, er := c.x, c.edgeLeft, c.edgeRight
	first := len(c.blocks)
	c.edgeRight = c.gap
	n.left.draw(c, left, h)
	c.edgeLeft, c.edgeRight = c.gap, er
	c.x = x + left + 2*c.gap
	n.right.draw(c, w-left-2*c.gap, h)
	c.block = first
	c.line(-c.gap, 0, -c.gap, h, c.hair, Black)
	c.x, c.edgeLeft = x, el
}

// besideCode is a node with the QR code at its right, in the lower corner.
type besideCode struct{ left node }

func (n besideCode) growth() float64 { return n.left.growth() }

func (n besideCode) measure(c *canvas, w float64) float64 {
	side := codeSide(c)
	return max(n.left.measure(c, n.room(c, w, side)), side+2*c.codeMargin())
}

// codeMargin is the white between the quiet zone and a rule or the frame.
func (c *canvas) codeMargin() float64 { return c.unit }

// overhang is how far the quiet zone reaches into the label's margin at the
// right: all of it where it can, so that the modules end where the text ends.
func (n besideCode) overhang(c *canvas, side float64) float64 {
	return min(quietWidth(c, side), c.edgeRight-c.frame/2-0.5)
}

// room is the width for text that a code leaves.
func (n besideCode) room(c *canvas, w, side float64) float64 {
	return w - side + n.overhang(c, side) - 1.5*c.unit
}

func (n besideCode) draw(c *canvas, w, h float64) {
	least := codeSide(c)
	side := least
	// A higher neighbour lets the code grow while its lines stay as they are.
	for grown := min(h-2*c.codeMargin(), 1.4*least); grown > least; grown-- {
		if n.left.measure(c, n.room(c, w, grown)) <= h {
			side = grown
			break
		}
	}
	x, y, el, er := c.x, c.y, c.edgeLeft, c.edgeRight
	room, overhang := n.room(c, w, side), n.overhang(c, side)
	c.edgeRight = 0
	n.left.draw(c, room, h)
	c.x = x + w + overhang - side
	c.y = y + h - side - c.codeMargin()
	c.edgeLeft = 0
	leaf{name: "QR code", draws: blockQR}.draw(c, side, side)
	c.x, c.y, c.edgeLeft, c.edgeRight = x, y, el, er
}

// The blocks, in the order in which a person acts.
var (
	panelLeaf    = leaf{name: "signal", draws: blockPanel, grow: 1.6}
	interimLeaf  = leaf{name: "interim", draws: blockInterim}
	messageLeaf  = leaf{name: "message", draws: blockMessage, grow: 1}
	messagesLeaf = leaf{name: "message", draws: blockMessages, grow: 1} // side by side
	placeLeaf    = leaf{name: "place", draws: blockPlace, grow: 1, rule: edgeRule}
	reachLeaf    = leaf{name: "reach", draws: blockReach, grow: 2}
	kitLeaf      = leaf{name: "kit", draws: blockKit, grow: 2}
	glovesLeaf   = leaf{name: "gloves", draws: blockGloves, grow: 0.8, rule: textRule}
	footLeaf     = leaf{name: "foot", draws: blockFoot, grow: 0.8, rule: textRule}
)

// stacked is the arrangement of square and upright labels, below the panel.
var stacked = stack{messageLeaf, placeLeaf, reachLeaf, kitLeaf,
	besideCode{stack{glovesLeaf, footLeaf}}}

// stackedWideGloves is for narrow labels: beside the code the gloves would take
// more lines than across the whole width.
var stackedWideGloves = stack{messageLeaf, placeLeaf, reachLeaf, kitLeaf, glovesLeaf,
	besideCode{footLeaf}}

// The arrangements of labels that are wider than high: two columns below the
// message, read down the left and then down the right.
var (
	columns = stack{messagesLeaf,
		ruled{beside{stack{placeLeaf.bare(), reachLeaf}, stack{kitLeaf, glovesLeaf}}},
		ruled{besideCode{footLeaf.bare()}}}
	columnsWidePlace = stack{messagesLeaf, placeLeaf,
		ruled{beside{reachLeaf, kitLeaf}},
		ruled{besideCode{stack{glovesLeaf.bare(), footLeaf}}}}
	columnsLowGloves = stack{messagesLeaf,
		ruled{beside{stack{placeLeaf.bare(), reachLeaf}, kitLeaf}},
		ruled{besideCode{stack{glovesLeaf.bare(), footLeaf}}}}
)

func (n leaf) bare() leaf { n.rule = noRule; return n }

// ruled is a node with a rule above it from edge to edge.
type ruled struct{ node }

func (n ruled) draw(c *canvas, w, h float64) {
	first := len(c.blocks)
	n.node.draw(c, w, h)
	c.block = first
	c.line(-c.edgeLeft, 0, w+c.edgeRight, 0, c.hair, Black)
}

// arrangements are the ones to try for a stock, the preferred first. All have
// the signal panel on top; a preprinted one has the height that it has.
func arrangements(s Stock) []node {
	below := []stack{stacked}
	switch {
	case s.Label.W > 1.15*s.Label.H:
		below = []stack{columns, columnsLowGloves, columnsWidePlace, stacked}
	case s.Label.W < narrow:
		below = []stack{stackedWideGloves, stacked}
	}
	panel := panelLeaf
	if s.Preprinted {
		panel.grow = 0
	}
	all := make([]node, len(below))
	for i, b := range below {
		all[i] = slices.Concat(stack{panel, interimLeaf}, b)
	}
	return all
}

// narrow is the width below which an upright label has a choice; wider ones
// are all arranged alike.
var narrow = MM(90)
