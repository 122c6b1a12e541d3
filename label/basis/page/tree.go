package page

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"vouchmark/label/basis"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// The measures of the tree, in rows.
const (
	rowsPerTree = 1000 // on a page: about 500 kB, a tenth of that compressed
	mostOpen    = 80   // that are shown at once before anyone opens a branch
	indented    = 6    // levels, on a page; a deeper row says its level, so that a phone can show any
)

// branch is a row of the tree with what it feeds.
type branch struct {
	Kind    report.TreeKind
	ID      string // or the words of a heading
	Anchor  string // "" where the row is not the location's own
	Path    string // of the label's page, from the start page; "" for none
	Signal  string
	Says    string     // energy and kit, only where somebody may rely on them
	Sign    basis.Sign // of the standing
	Word    string
	Supply  string
	What    string // equipment and area
	Ties    []place
	Also    []place // what else feeds it
	Notes   []string
	See     place  // where a reference leads
	Feeds   string // what is below it, counted
	Open    bool
	Below   []*branch
	Flat    bool    // what is below it is not indented further
	Pages   []place // with what is below it, where that is not here
	trouble bool    // below it or at it
}

// rooted is a branch on a page, with the way up to the start page.
type rooted struct {
	Root   string
	Branch *branch
}

// place is a row somewhere in the tree.
type place struct{ ID, Href string }

// treePage is what a page of the tree shows.
type treePage struct {
	Trouble  bool // only the branches with trouble
	Whole    string
	Crumbs   []place // the rows above, from the service down
	Feeds    string  // of the last of them
	Branches []*branch
	Pages    []place // of the roots, where they are on other pages
	Live     *Live
	Depth    int
	part
}

// Root is the way up to the start page.
func (p *treePage) Root() string { return strings.Repeat("../", p.Depth) }

// treePlan is the whole tree, ready to be cut into pages.
type treePlan struct {
	tree   *report.Tree
	counts []report.Below
	labels map[record.Code]*entry
	full   *cutting
	at     map[string]int // the row of each location
	rows   []int          // those of the tree with trouble alone
	few    *cutting       // of these
}

func newTreePlan(t *report.Tree, all []entry) *treePlan {
	k := &treePlan{tree: t, counts: t.Branches(), labels: make(map[record.Code]*entry, len(all)), at: map[string]int{}}
	for i := range all {
		k.labels[all[i].Code] = &all[i]
	}
	levels, trouble := make([]int, len(t.Rows)), make([]bool, len(t.Rows))
	for i := range t.Rows {
		levels[i], trouble[i] = t.Rows[i].Level, t.Rows[i].Trouble()
		if t.Rows[i].Full() {
			k.at[t.Rows[i].ID] = i
		}
	}
	k.full = cut(levels, rowsPerTree, trouble)
	k.rows = k.troubled()
	few := make([]int, len(k.rows))
	for n, i := range k.rows {
		few[n] = levels[i]
	}
	k.few = cut(few, rowsPerTree, nil)
	return k
}

// troubled are the rows of labels that need attention, and those above them.
func (k *treePlan) troubled() (rows []int) {
	level := 0 // of the next row that is wanted anyway
	for i := len(k.tree.Rows) - 1; i >= 0; i-- {
		r := &k.tree.Rows[i]
		own := k.drawn(r).Trouble()
		if own || r.Level < level {
			rows = append(rows, i)
			level = r.Level
		}
	}
	slices.Reverse(rows)
	return rows
}

// drawn is the row with the label: of a reference, the one that is drawn in full.
func (k *treePlan) drawn(r *report.TreeRow) *report.TreeRow {
	if to, ok := k.at[r.ID]; ok && r.Kind == report.ReferenceRow {
		return &k.tree.Rows[to]
	}
	return r
}

// pages are the pages of the whole tree, of that with trouble alone, and where each
// location is, for the script of files.
func (k *treePlan) pages(p planner) []Page {
	all := make([]int, len(k.tree.Rows))
	for i := range all {
		all[i] = i
	}
	whole := &treeView{plan: k, cutting: k.full, rows: all}
	few := &treeView{plan: k, cutting: k.few, rows: k.rows, trouble: true}
	pages := append(whole.pages(p, "plant/"), few.pages(p, "plant/trouble/")...)
	if p.Live == nil {
		where := make(map[string]int, len(k.at))
		for id, i := range k.at {
			where[id] = k.full.on[i] + 1
		}
		pages = append(pages, planned(p, "plant/where.js", where, (*setting).where))
	}
	return pages
}

func (*setting) where(on map[string]int) ([]byte, error) {
	data, err := json.Marshal(on) // it escapes what could end a script
	return slices.Concat([]byte("const places = "), data, []byte(";\n")), err
}

// fileOf is the name of a part of the tree.
func fileOf(number int) string {
	if number == 0 {
		return "index.html"
	}
	return fmt.Sprintf("%d.html", number+1)
}

// Locate is where the row of a location is in the tree of the plant, from the start page:
// a page and the anchor on it. The id may be written without hyphens and in small letters.
// ok is false where it names none, or several.
func (b *Book) Locate(id string) (page, at string, ok bool) {
	k := b.treePlan()
	if _, exact := k.at[id]; !exact {
		short := report.Squash(id)
		var same []string
		for known := range k.at {
			if short != "" && report.Squash(known) == short {
				same = append(same, known)
			}
		}
		if len(same) != 1 {
			return "", "", false
		}
		id = same[0]
	}
	return "plant/" + fileOf(k.full.on[k.at[id]]), anchor(id), true
}

// treePlan is the tree of the book. It is made once.
func (b *Book) treePlan() *treePlan {
	return b.tree.of(func() *treePlan {
		t := report.NewTree(b.Shelf.Site)
		for i := range t.Rows {
			if r := &t.Rows[i]; r.Standing != nil && b.Live == nil {
				undated := basis.Undated(*r.Standing)
				r.Standing = &undated
			}
		}
		return newTreePlan(t, b.entries())
	})
}

// anchor is the name of a location's row on its page. A blank cannot be in one.
func anchor(id string) string {
	return "at-" + strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return '_'
		}
		return r
	}, id)
}

// treeView is the tree, or the part of it that has trouble, cut into pages. Its rows are
// numbered by the cutting.
type treeView struct {
	plan *treePlan
	*cutting
	rows    []int // of the plan's tree
	trouble bool
}

func (v *treeView) pages(p planner, dir string) []Page {
	var pages []Page
	name := func(number int) string {
		if number < 0 || number >= len(v.slips) {
			return ""
		}
		return fileOf(number)
	}
	counts := report.WholeWords(v.plan.tree)
	for number, s := range v.slips {
		d := treePage{Trouble: v.trouble, Whole: counts, Live: p.Live, Depth: strings.Count(dir, "/"),
			part: part{number + 1, len(v.slips), name(number - 1), name(number + 1)}}
		for at := s.head; at != none; at = v.above[at] {
			d.Crumbs = append(d.Crumbs, v.link(at))
			if d.Feeds == "" {
				d.Feeds = v.feeds(at)
			}
		}
		slices.Reverse(d.Crumbs)
		for _, i := range s.rows {
			d.Branches = append(d.Branches, v.branch(i, 0))
		}
		if number == 0 && s.rows == nil {
			for i := 1; i < len(v.slips) && v.slips[i].head == none; i++ {
				d.Pages = append(d.Pages, v.span(i))
			}
		}
		unfold(d.Branches)
		pages = append(pages, planned(p, dir+fileOf(number), d, (*setting).tree))
	}
	return pages
}

// row is a row by its number in the cutting.
func (v *treeView) row(i int) *report.TreeRow { return &v.plan.tree.Rows[v.rows[i]] }

// link leads to a row of the same tree.
func (v *treeView) link(i int) place {
	r := v.row(i)
	return place{cmp.Or(r.ID, r.Heading), fileOf(v.on[i]) + "#" + anchor(r.ID)}
}

// full leads from a row to that of a location in the whole tree. One that has none leads nowhere.
func (v *treeView) full(from int, id string) place {
	at, ok := v.plan.at[id]
	if !ok {
		return place{ID: id}
	}
	file := fileOf(v.plan.full.on[at])
	switch {
	case v.trouble:
		file = "../" + file
	case v.on[from] == v.on[at]:
		file = ""
	}
	return place{id, file + "#" + anchor(id)}
}

// span names a page by the first and the last row on it.
func (v *treeView) span(number int) place {
	rows := v.slips[number].rows
	name := func(i int) string { return cmp.Or(v.row(i).ID, v.row(i).Heading) }
	words := name(rows[0])
	if len(rows) > 1 {
		words += " to " + name(rows[len(rows)-1])
	}
	return place{words, fileOf(number)}
}

// feeds says what a row feeds, counted.
func (v *treeView) feeds(i int) string {
	b := &v.plan.counts[v.rows[i]]
	if b.Locations == 0 {
		return ""
	}
	if v.row(i).Kind == report.HeadingRow {
		return fmt.Sprintf("%d: %s", b.Locations, b.Words())
	}
	return fmt.Sprintf("%s feeds %d: %s", v.row(i).ID, b.Locations, b.Words())
}

// branch is a row with what is below it on its page, where it is on that level.
func (v *treeView) branch(i, level int) *branch {
	r := v.row(i)
	b := &branch{Kind: r.Kind, ID: cmp.Or(r.ID, r.Heading), trouble: r.Trouble(), Flat: level >= indented}
	switch r.Kind {
	case report.ReferenceRow:
		own := v.plan.drawn(r)
		b.See = v.full(i, r.ID)
		b.trouble, b.Sign, b.Word = own.Trouble(), signOf(own), own.StandingWords()
	case report.HeadingRow:
	default:
		v.describe(b, i)
		if r.Capped || level > indented {
			b.Notes = append(b.Notes, fmt.Sprintf("level %d, below %s", r.Depth, r.Parent))
		}
	}
	if r.Kind != report.ReferenceRow {
		b.Feeds = v.feeds(i)
	}
	if v.away[i] != nil {
		for _, number := range v.away[i] {
			b.Pages = append(b.Pages, v.span(number))
		}
	} else {
		for _, k := range v.kids[i] {
			b.Below = append(b.Below, v.branch(k, level+1))
		}
	}
	b.trouble = b.trouble || slices.ContainsFunc(b.Below, func(k *branch) bool { return k.trouble })
	return b
}

// signOf is the standing of a row, or that its label is printed too low.
func signOf(r *report.TreeRow) basis.Sign {
	if r.Standing != nil && r.Standing.TooLow {
		return basis.Cover
	}
	return basis.Sign(r.State)
}

// describe says what is known of a location.
func (v *treeView) describe(b *branch, i int) {
	r := v.row(i)
	b.Anchor, b.Sign, b.Word, b.Supply = anchor(r.ID), signOf(r), r.StandingWords(), r.Supply
	b.Signal, b.Says = r.LabelWords()
	if e := v.plan.labels[r.Code]; e != nil && r.Code != "" {
		b.Path, b.Signal = e.Path, string(e.Signal)
	}
	b.What = strings.Join(slices.DeleteFunc([]string{r.Equipment, r.Area}, func(s string) bool { return s == "" }), ", ")
	for _, id := range r.TiedTo {
		if !slices.Contains(r.UnknownTies, id) {
			b.Ties = append(b.Ties, v.full(i, id))
		}
	}
	if r.Kind == report.FullRow {
		for _, id := range r.FedFrom {
			if id != r.Parent && !slices.Contains(r.UnknownFeeds, id) {
				b.Also = append(b.Also, v.full(i, id))
			}
		}
	}
	for _, unknown := range []struct {
		how string
		ids []string
	}{{"fed from ", r.UnknownFeeds}, {"tie to ", r.UnknownTies}} {
		if len(unknown.ids) > 0 {
			b.Notes = append(b.Notes, unknown.how+report.Few(unknown.ids)+" (not in locations.csv)")
		}
	}
}

// unfold opens the branches with trouble, from the top, as long as a person can take in
// what is then shown; of the others only a single root.
func unfold(roots []*branch) {
	shown := len(roots)
	for next := slices.Clone(roots); len(next) > 0; {
		b := next[0]
		next = next[1:]
		below := slices.ContainsFunc(b.Below, func(k *branch) bool { return k.trouble })
		if n := len(b.Below); n == 0 || !below && len(roots) > 1 || !below && b != roots[0] || shown+n > mostOpen {
			continue
		}
		b.Open = true
		shown += len(b.Below)
		next = append(next, b.Below...)
	}
}

func (s *setting) tree(p treePage) ([]byte, error) {
	title := "The plant, from the service down"
	if p.Trouble {
		title = "Branches of the plant that need attention"
	}
	return s.render("tree.html", title, "", p.Depth, &p)
}
