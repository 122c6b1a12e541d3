package layout

// blockKit draws the owner's ladder with its chosen rung, beside the energy
// and what to wear. For DANGER the ladder is struck out, and a black box says
// that no kit is allowed. Below the energy that asks for arc-rated clothing
// the ladder stands empty, with the mark on the ground.
func blockKit(c *canvas, w, h float64) float64 {
	l := newLadder(c, w)
	x := 0.0
	if l.width > 0 {
		x = l.width + l.tip + c.gap
	}
	right := wearList
	if c.label.Danger {
		x = max(0, x-l.tip)
		right = noKitBox
	}
	least := c.measured(right, w-x)
	need := max(l.height, least) + 2*c.pad
	if h == 0 {
		return need
	}
	spare := max(0, h-need)
	inner := need - 2*c.pad + spare*0.6
	was := c.place
	c.oy += (h - inner) / 2
	l.draw(inner)
	c.ox += x
	if !c.label.Danger && len(c.words.Wear) == 0 {
		// A few lines without a list stand in the middle of the ladder.
		c.oy += max(0, inner-least)/2 - 0.15*c.lead
	}
	right(c, w-x, inner)
	c.place = was
	return need
}
