package layout

import "slices"

// An arrangement is a tree of nodes: blocks below each other, side by side, or next
// to the QR code. It is data; no label size has its own drawing code.

// The blocks, in the order in which a person needs them.
var (
	panelLeaf    = leaf{name: "signal", draws: blockPanel, grow: 1.6}
	interimLeaf  = leaf{name: "interim", draws: blockInterim}
	messageLeaf  = leaf{name: "message", draws: blockMessage, grow: 1}
	messagesLeaf = leaf{name: "message", draws: blockMessages, grow: 1} // side by side
	placeLeaf    = leaf{name: "place", draws: blockPlace, grow: 1}
	reachLeaf    = leaf{name: "reach", draws: blockReach, grow: 2}
	kitLeaf      = leaf{name: "kit", draws: blockKit, grow: 2}
	maintLeaf    = leaf{name: "maintenance", draws: blockMaintenance}
	glovesLeaf   = leaf{name: "gloves", draws: blockGloves, grow: 0.8}
	footLeaf     = leaf{name: "foot", draws: blockFoot, grow: 0.8}
)

// stacked is the arrangement of square and upright labels, below the panel.
var stacked = stack{messageLeaf, edged(placeLeaf), reachLeaf, kitLeaf, ruled(maintLeaf),
	besideCode{stack{ruled(glovesLeaf), ruled(footLeaf)}}}

// stackedWideGloves is for narrow labels: next to the code the gloves would take more
// lines than across the full width.
var stackedWideGloves = stack{messageLeaf, edged(placeLeaf), reachLeaf, kitLeaf, ruled(maintLeaf), ruled(glovesLeaf),
	besideCode{ruled(footLeaf)}}

// The arrangements of labels that are wider than high: two columns below the
// message, to be read first down the left one and then down the right one.
var (
	columns = stack{messagesLeaf,
		edged(beside{stack{placeLeaf, reachLeaf}, stack{kitLeaf, ruled(maintLeaf), ruled(glovesLeaf)}}),
		edged(besideCode{footLeaf})}
	columnsWidePlace = stack{messagesLeaf, edged(placeLeaf),
		edged(beside{reachLeaf, kitLeaf}), edged(maintLeaf),
		edged(besideCode{stack{glovesLeaf, ruled(footLeaf)}})}
	columnsLowGloves = stack{messagesLeaf,
		edged(beside{stack{placeLeaf, reachLeaf}, kitLeaf}), edged(maintLeaf),
		edged(besideCode{stack{glovesLeaf, ruled(footLeaf)}})}
)

// arrangements are the ones to try for a stock. All have the signal panel on top; a
// preprinted panel keeps its own height.
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

// narrow is the width below which an upright label has several arrangements; wider
// ones have only one.
var narrow = MM(90)
