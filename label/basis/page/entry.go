package page

import (
	"cmp"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// entry is one label in a list.
type entry struct {
	ID, Area, Equipment string
	Signal              assess.Signal
	Says                string // energy and kit
	Kit                 string // "" where none is required or allowed
	Sign                basis.Sign
	Word                string // for the standing
	Why                 string
	Code                record.Code // "" where no label was printed
	Path                string      // of its page, from the start page; "" for none
	status              basis.Sign  // Sign, less what is to be covered
	energy              assess.CalCM2
	tooLow              bool
	cover               bool // it is to be covered on the equipment
}

// entries are the labels of the site in the order of locations.csv, then those
// whose row is gone, then those that others replaced.
func (b *Book) entries() []entry { return b.all.of(b.newEntries) }

func (b *Book) newEntries() []entry {
	v := b.Shelf.Site
	var all, old []entry
	add := func(e entry, p *plant.Printed) {
		for i := range p.Earlier {
			replaced := v.Replaced(p.Earlier[i])
			old = append(old, e.printed(p.Earlier[i].ID, &replaced))
		}
		e = e.printed(p.ID, &p.Standing)
		e.says(p.Record)
		all = append(all, e)
	}
	for i := range v.Places {
		p := &v.Places[i]
		if p.State() == plant.NoLabel {
			continue // it only feeds others
		}
		l := p.Assessment.Location
		e := entry{ID: l.ID, Area: l.Area, Equipment: l.Equipment}
		if p.Printed != nil {
			add(e, p.Printed)
			continue
		}
		e.Sign, e.Word = basis.Sign(p.State()), p.State()
		e.status = e.Sign
		if r := p.Refusal(false); r != nil {
			e.Why = "no label would be printed: " + r.Why
		}
		e.says(p.Record)
		all = append(all, e)
	}
	for i := range v.Unlisted {
		u := &v.Unlisted[i]
		e := entry{ID: u.ID}
		if r := u.Printed.Record; r != nil {
			e.Area, e.Equipment = r.Location.Area, r.Location.Equipment
		}
		add(e, &u.Printed)
	}
	all = append(all, old...)
	for i := range all {
		all[i].cover = b.Shelf.Covers(all[i].Code)
	}
	return all
}

// do is what is to be done about the label on the equipment, as a search finds it.
func (e *entry) do() string { return map[bool]string{true: doWords[plant.Cover]}[e.cover] }

// says notes what the label says. r is nil where it cannot be read or made: the
// standing says so.
func (e *entry) says(r *record.Record) {
	if r == nil {
		return
	}
	if e.Code != "" {
		e.Path = Place(e.Code, label.Facts(r)) + "index.html"
	}
	e.Signal, e.energy = r.Signal, r.Energy.Value
	e.Says = label.EnergyOf(r.Energy, r.Policy.Units)
	switch r.Status {
	case assess.NoneAllowed:
		e.Says += " · no energized work"
	case assess.NotRequired:
		e.Says += " · below 1.2"
	default:
		e.Says += " · " + r.Kit
		e.Kit = r.Kit
	}
}

// printed is the entry of a label that was printed, with its standing. It does
// not name the day on which that was judged.
func (e entry) printed(id record.ID, s *standing.Standing) entry {
	e.Code, e.Path = id.Code(), underCode(id.Code())
	e.Sign, e.status, e.tooLow = basis.SignOf(s), basis.Sign(s.Status), s.TooLow
	e.Word = report.StandingWords(s)
	if worst := s.Worst(); worst != nil {
		e.Why = worst.Words()
	}
	if s.Screening != nil {
		e.Why += "; " + s.Screening.Words()
	}
	return e
}

// urgency orders standings: first what a worker must not rely on.
var urgency = []basis.Sign{
	basis.Sign(standing.InQuestion), basis.Sign(standing.Lapsed), basis.Sign(standing.FallsDue), basis.NotPrinted, basis.Ready,
	basis.Sign(standing.Withdrawn), basis.Sign(standing.Replaced), basis.Sign(standing.Holds),
}

// worst puts first what is printed too low, then what else must not be relied
// on, the highest energy first.
func worst(all []entry) []entry {
	return placed(all, worstFirst(all))
}

// worstFirst is the order of worst, as places in the list.
func worstFirst(all []entry) []int {
	rank := make([]int, len(all))
	for i := range all {
		if rank[i] = slices.Index(urgency, all[i].status); !all[i].tooLow {
			rank[i] += len(urgency) + 1
		}
	}
	return sortedPlaces(len(all), func(i, k int) int {
		return cmp.Or(cmp.Compare(rank[i], rank[k]), cmp.Compare(all[k].energy, all[i].energy))
	})
}

// sorted is a list in another order, in which what compares as equal keeps its order. Rows are large, so that
// sorting their places is faster.
func sorted[T any](all []T, compare func(a, b *T) int) []T {
	return placed(all, sortedPlaces(len(all), func(i, k int) int { return compare(&all[i], &all[k]) }))
}

func placed[T any](all []T, places []int) []T {
	list := make([]T, len(all))
	for to, from := range places {
		list[to] = all[from]
	}
	return list
}

func sortedPlaces(n int, compare func(i, k int) int) []int {
	places := make([]int, n)
	for i := range places {
		places[i] = i
	}
	slices.SortFunc(places, func(i, k int) int { return cmp.Or(compare(i, k), cmp.Compare(i, k)) })
	return places
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// table is a list of entries on a page. Root leads from it up to the start page.
type table struct {
	Name, Root string
	Entries    []entry
}
