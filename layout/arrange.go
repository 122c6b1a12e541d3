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

// stackedWide is stacked for wide labels, whose two messages are side by side.
var stackedWide = append(stack{messagesLeaf}, stacked[1:]...)

// stackedWideGloves is for narrow labels: beside the code the gloves would take
// more lines than across the whole width.
var stackedWideGloves = stack{messageLeaf, edged(placeLeaf), reachLeaf, kitLeaf, ruled(maintLeaf), ruled(glovesLeaf),
	besideCode{ruled(footLeaf)}}

// codeAbove is for low labels and for long texts: the code is beside the message and the
// place, and the lines of the foot have the whole width.
var codeAbove = stack{besideCode{stack{messageLeaf, edged(placeLeaf)}}, reachLeaf, kitLeaf, ruled(maintLeaf),
	ruled(glovesLeaf), ruled(footLeaf)}

// The arrangements of labels that are wider than high: two columns below the
// message, read down the left and then down the right; or the reach drawing
// over the whole width, and the kit beside the gloves and the code.
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
	wideReach = stack{messagesLeaf, edged(placeLeaf), reachLeaf, edged(maintLeaf),
		edged(beside{kitLeaf, besideCode{stack{glovesLeaf, ruled(footLeaf)}}})}
)

// The arrangements of DANGER labels that are wider than high: the black block goes over
// the full width, above two columns.
var (
	blockThenColumns = stack{messagesLeaf, edged(placeLeaf), kitLeaf, ruled(maintLeaf),
		edged(beside{reachLeaf, stack{glovesLeaf, besideCode{ruled(footLeaf)}}})}
	blockThenPlace = stack{messagesLeaf, kitLeaf,
		edged(beside{stack{placeLeaf, reachLeaf}, stack{maintLeaf, ruled(glovesLeaf), besideCode{ruled(footLeaf)}}})}
)

// arrangements are the ones to try for a label, group by group. All have the
// signal panel on top; a preprinted one has the height that it has. In each of
// them the black block of a DANGER label goes over the full width. A preview
// that has no room for its strip goes without: its word lies over all of it.
func arrangements(s Stock, danger, preview, compact bool) [][]node {
	groups := [][]stack{{stacked}}
	switch {
	case compact && danger:
		groups = compactDanger
	case compact:
		groups = compactGroups
	case s.wide() && danger:
		groups = [][]stack{{stackedWide, codeAbove, blockThenColumns, blockThenPlace}}
	case s.wide():
		groups = [][]stack{{columns, columnsLowGloves, columnsWidePlace, wideReach, stackedWide}}
	case s.Label.W < narrow, s.Label.H > 1.15*s.Label.W:
		groups = [][]stack{{stackedWideGloves, stacked}, {codeAbove}}
	}
	panel := panelLeaf
	if s.Preprinted {
		panel.grow = 0
	}
	heads := []stack{{panel, interimLeaf}}
	if preview {
		heads = append(heads, stack{panel})
	}
	var all [][]node
	for _, head := range heads {
		for _, group := range groups {
			var set []node
			for _, below := range group {
				set = append(set, slices.Concat(head, below))
			}
			all = append(all, set)
		}
	}
	return all
}

// wide reports whether a label of the stock is wider than high.
func (s Stock) wide() bool { return s.Label.W > 1.15*s.Label.H }

// narrow is the width below which an upright label has several arrangements; wider
// ones have only one.
var narrow = MM(90)
