package report

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// Tree is the plant from the service down, as rows in drawing order. Every
// location is drawn in full once: under the first of its feeds, in the order of
// the site. Feeds of all cases are drawn, except those that would make a loop with
// feeds of other cases: these are given in words. A tie is not a feed, and is
// given in words at both ends. The struct is the contract of `tree --json`: keys
// are added, none is renamed.
type Tree struct {
	Site   string       `json:"site"`
	Today  assess.Date  `json:"today"`
	From   string       `json:"from"`              // of the branch below one location; "" for the whole plant
	States []StateCount `json:"states"`            // of the labels, from bad to good, those that occur
	TooLow int          `json:"too_low,omitempty"` // so many labels are printed too low: cover them first
	Rows   []TreeRow    `json:"rows"`

	tally tally
}

// StateCount says how many labels are in a state.
type StateCount struct {
	State string `json:"state"` // as TreeRow.State
	Count int    `json:"count"`
}

// TreeKind says what a row is.
type TreeKind string

const (
	FullRow      TreeKind = "location"
	ReferenceRow TreeKind = "reference" // a location that is drawn in full elsewhere
	HeadingRow   TreeKind = "heading"
	UnlistedRow  TreeKind = "unlisted" // a label is mounted, but locations.csv has no row for it
)

// The headings of what no feed leads to.
const (
	loopHeading     = "circular feeds"
	unlistedHeading = "mounted labels without a row in locations.csv"
)

// TreeRow is one line of the picture. A heading has only its words and its depth,
// a reference also its id and where to look.
type TreeRow struct {
	Kind     TreeKind `json:"kind"`
	Heading  string   `json:"heading,omitempty"`
	ID       string   `json:"id"`
	Depth    int      `json:"depth"`               // feeds above it in this picture; below a heading from 1
	Parent   string   `json:"parent"`              // the feed under which it is drawn; "" for none
	SeeUnder string   `json:"see_under,omitempty"` // of a reference: the feed or heading under which it is drawn in full

	Equipment    string   `json:"equipment"`
	Area         string   `json:"area"`
	FedFrom      []string `json:"fed_from"`      // all of its feeds
	UnknownFeeds []string `json:"unknown_feeds"` // of those, the ones that locations.csv does not have
	TiedTo       []string `json:"tied_to"`       // everything that a tie joins it with, whichever side names it
	UnknownTies  []string `json:"unknown_ties"`  // of those, the ones that locations.csv does not have
	Voltage      string   `json:"voltage"`       // as labels word it; that of DC says so
	Supply       string   `json:"supply"`        // voltage and kind, as labels word it

	// What the row would print now, or what an unlisted label says.
	Signal        assess.Signal     `json:"signal"`         // "" where there is no energy
	Kit           *string           `json:"kit"`            // null where none is asked for or allowed
	KitStatus     *assess.KitStatus `json:"kit_status"`     // null where there is no energy
	EnergyPrinted string            `json:"energy_printed"` // "" likewise
	Errors        int               `json:"errors"`         // findings that stop its label

	State    string             `json:"state"`    // the status; "ready to print" or "not printed" where none was printed
	Standing *standing.Standing `json:"standing"` // of the label printed last; null where none was printed
	Refused  string             `json:"refused"`  // why a label that was never printed is not printed
	Printed  bool               `json:"printed"`
	Code     record.Code        `json:"code"` // of the label printed last; "" for none

	energy string // as labels word it
	hidden bool   // its label does not hold, or cannot be printed: nobody may rely on its values
	doubt  string // by which a label that was never printed is refused, in short

	Branch
}

// NewTree makes the picture of the whole plant.
func NewTree(v *plant.Plant) *Tree {
	t := &Tree{Site: v.Site.Policy.Name, Today: v.Today}
	all := make([]int, len(v.Places))
	for i := range all {
		all[i] = i
	}
	t.plant(v, newNet(v.Site), all, none)
	if rows := unlistedRows(v); rows != nil {
		t.Rows = append(t.Rows, TreeRow{Kind: HeadingRow, Heading: unlistedHeading})
		t.Rows = append(t.Rows, rows...)
	}
	t.finish()
	return t
}

// NewBranch makes the picture of one location and what it feeds. What is also fed
// from elsewhere is drawn in full.
func NewBranch(v *plant.Plant, id string) (*Tree, error) {
	index := v.Site.Index()
	at, ok := index[id]
	if !ok {
		return nil, &near.UnknownID{Flag: "from", IDs: []string{id}, Known: v.Site.IDs()}
	}
	n := newNet(v.Site)
	down := n.every.Down()
	reached := make([]bool, len(down))
	reached[at] = true
	members := []int{at}
	for k := 0; k < len(members); k++ {
		for _, w := range down[members[k]] {
			if !reached[w] {
				reached[w] = true
				members = append(members, w)
			}
		}
	}
	slices.Sort(members)
	t := &Tree{Site: v.Site.Policy.Name, Today: v.Today, From: id}
	t.plant(v, n, members, at)
	t.finish()
	return t, nil
}

// plant draws some places of a net, given in the order of the site, by the feeds
// between them. root is where a branch begins, or none.
func (t *Tree) plant(v *plant.Plant, n *net, members []int, root int) {
	g := n.among(members, root)
	under := standsUnder(g)
	for _, s := range drawn(g, under) {
		if s.place == none {
			t.Rows = append(t.Rows, TreeRow{Kind: HeadingRow, Heading: loopHeading, Depth: s.depth})
			continue
		}
		row := n.row(v, members[s.place])
		if s.feed != none {
			row.Parent = v.Places[members[s.feed]].Assessment.Location.ID
		}
		if s.reference {
			row = TreeRow{Kind: ReferenceRow, ID: row.ID, Parent: row.Parent, SeeUnder: loopHeading}
			if u := under[s.place]; u != none {
				row.SeeUnder = v.Places[members[u]].Assessment.Location.ID
			}
		}
		row.Depth = s.depth
		t.Rows = append(t.Rows, row)
	}
}

// row is the full row of a place.
func (n *net) row(v *plant.Plant, i int) TreeRow {
	p := &v.Places[i]
	a, l := p.Assessment, p.Assessment.Location
	r := shows(FullRow, &a.Inputs, &a.Outcome)
	r.State, r.Errors, r.hidden = p.State(), countErrors(a), instead(p) != ""
	r.UnknownFeeds = n.unknown(l.FedFrom())
	r.UnknownTies = n.unknown(l.TiedTo())
	r.TiedTo = nil
	for _, o := range n.ties[i] {
		r.TiedTo = append(r.TiedTo, v.Site.Locations[o].ID)
	}
	r.TiedTo = append(r.TiedTo, r.UnknownTies...)
	if p.Printed != nil {
		r.Printed, r.Code, r.Standing = true, p.Printed.ID.Code(), &p.Printed.Standing
	} else if refusal := p.Refusal(false); refusal != nil {
		r.Refused = refusal.Why
		if p.Row.Status.Rank() < standing.FallsDue.Rank() && !refusal.Unlabeled {
			r.doubt = StandingWords(&p.Row)
		}
	}
	return r
}

// shows is the row of a location with what its label says.
func shows(kind TreeKind, in *assess.Inputs, o *assess.Outcome) TreeRow {
	l := in.Location
	r := TreeRow{Kind: kind, ID: l.ID, Equipment: l.Equipment, Area: l.Area, FedFrom: l.FedFrom(), TiedTo: l.TiedTo(),
		Voltage: label.Voltage(l.Voltage), Supply: label.SupplyOf(l), Kit: Given(o.Kit), KitStatus: Given(o.Status)}
	if l.Supply == shock.DC {
		r.Voltage += " DC"
	}
	if o.Status != "" {
		r.Signal, r.energy = o.Signal, label.EnergyOf(o.Energy, in.Policy.Units)
		r.EnergyPrinted = energyPrinted(r.energy)
	}
	return r
}

// unlistedRows gives, from their records, the labels that are mounted although
// their row is gone, without the withdrawn ones.
func unlistedRows(v *plant.Plant) []TreeRow {
	var rows []TreeRow
	for i := range v.Unlisted {
		u := &v.Unlisted[i]
		if u.Standing.Status == standing.Withdrawn {
			continue
		}
		r := TreeRow{Kind: UnlistedRow}
		if rec := u.Printed.Record; rec != nil {
			r = shows(UnlistedRow, &rec.Inputs, rec.Outcome)
		}
		r.ID, r.Depth, r.Printed, r.Code = u.ID, 1, true, u.Printed.ID.Code()
		r.State, r.Standing, r.hidden = string(u.Standing.Status), &u.Standing, true
		rows = append(rows, r)
	}
	return rows
}

// finish works out the branches, and counts.
func (t *Tree) finish() {
	levels := make([]int, len(t.Rows))
	for i := range t.Rows {
		r := &t.Rows[i]
		levels[i] = r.Depth
		r.FedFrom, r.UnknownFeeds = OrEmpty(r.FedFrom), OrEmpty(r.UnknownFeeds)
		r.TiedTo, r.UnknownTies = OrEmpty(r.TiedTo), OrEmpty(r.UnknownTies)
		if r.Full() {
			t.tally.add(r.State, r.Standing, r.Kind == FullRow)
		}
	}
	for i, b := range branches(levels) {
		t.Rows[i].Branch = b
	}
	t.States, t.TooLow, t.Rows = t.tally.states(), t.tally.tooLow, OrEmpty(t.Rows)
}

// treeStates lists the states of a row, from bad to good, last those without a
// printed label.
func treeStates() []string {
	var all []string
	for _, s := range standing.States {
		all = append(all, string(s))
	}
	return append(all, plant.NotPrinted, plant.ReadyToPrint, plant.NoLabel)
}

// Full reports whether the row shows a label and does not merely point to one.
func (r *TreeRow) Full() bool { return r.Kind == FullRow || r.Kind == UnlistedRow }

// Pointer is the text of a row that shows no label.
func (r *TreeRow) Pointer() string {
	if r.Kind == HeadingRow {
		return r.Heading
	}
	return strings.Join(append([]string{r.ID + ", see under " + r.SeeUnder}, r.Notes()...), "; ")
}

// LabelWords gives signal word, energy and kit of a label that holds or is ready to
// print; nothing of any other, since nobody must choose PPE by it.
func (r *TreeRow) LabelWords() (signal, rest string) {
	if r.KitStatus == nil || r.hidden {
		return "", ""
	}
	kit := ""
	if r.Kit != nil {
		kit = *r.Kit
	}
	return string(r.Signal), r.energy + ", " + kitWords(*r.KitStatus, kit)
}

// StandingWords gives the standing with the date that matters. For a label that
// was not printed yet it says what prevents printing.
func (r *TreeRow) StandingWords() string {
	var parts []string
	switch {
	case r.Standing != nil:
		parts = append(parts, StandingWords(r.Standing))
	case r.State != "":
		parts = append(parts, r.State)
	}
	if r.Errors > 0 {
		parts = append(parts, Plural(r.Errors, "error"))
	}
	if r.doubt != "" {
		parts = append(parts, r.doubt)
	}
	return strings.Join(parts, ", ")
}

// Notes says what the picture does not show.
func (r *TreeRow) Notes() []string {
	var notes, also, ties []string
	if r.Kind == FullRow {
		for _, id := range r.FedFrom {
			if id != r.Parent && !slices.Contains(r.UnknownFeeds, id) {
				also = append(also, id)
			}
		}
	}
	switch {
	case also == nil:
	case r.Parent != "":
		notes = append(notes, "also fed from "+Few(also))
	default:
		notes = append(notes, "fed from "+Few(also))
	}
	if len(r.UnknownFeeds) > 0 {
		notes = append(notes, "fed from "+Few(r.UnknownFeeds)+" (not in locations.csv)")
	}
	for _, id := range r.TiedTo {
		if r.Kind == FullRow && !slices.Contains(r.UnknownTies, id) {
			ties = append(ties, id)
		}
	}
	if ties != nil {
		notes = append(notes, "tied to "+Few(ties))
	}
	if len(r.UnknownTies) > 0 {
		notes = append(notes, "tied to "+Few(r.UnknownTies)+" (not in locations.csv)")
	}
	if r.Capped { // it is drawn at the same level as what feeds it
		notes = append(notes, fmt.Sprintf("depth %d, below %s", r.Depth, r.Parent))
	}
	return notes
}
