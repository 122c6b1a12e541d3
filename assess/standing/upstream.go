package standing

import (
	"slices"
	"sort"

	"vouchmark/assess"
)

// A study of one location rests on the numbers of those that feed it. Where the
// row of one of these has other numbers than the label's study could know, the
// label is in question, whether anybody logged a change or not. The rows are
// carried along the feeds as changes are.

// Moved is how the row of a location differs from a record of its label in
// what the studies of all below it rest on.
type Moved struct {
	// Since is the day of the study that has the new value: what was studied
	// before that day does not know it. Of a value that changed without a newer
	// study it is the day on which a label was first printed with it.
	Since assess.Date
	// Found is true where no day is known: the row alone has the new value,
	// without a newer study. No study below knows it.
	Found      bool
	Difference // the column with its case, and its values
}

// after reports whether the new value is newer than a study.
func (m *Moved) after(study assess.Date) bool { return m.Found || study.Before(m.Since) }

// byRows adds the rows upstream of each subject that are not as its study knew
// them.
func byRows(all []Standing, subjects []Subject, s *assess.Site, today assess.Date) {
	type row struct {
		*Moved
		at     int
		ground Ground
	}
	var rows []row
	seen := map[int]bool{}
	for i := range subjects {
		if l := &subjects[i]; l.Moved != nil && l.At >= 0 && !seen[l.At] {
			seen[l.At] = true
			rows = append(rows, row{l.Moved, l.At, l.Moved.ground(s.Locations[l.At].ID)})
		}
	}
	if rows == nil {
		return
	}
	slices.SortStableFunc(rows, func(a, b row) int { // those of no known day come last
		if a.Found != b.Found {
			return map[bool]int{true: 1, false: -1}[a.Found]
		}
		return a.Since.Compare(b.Since)
	})
	p := newPlant(s, subjects)
	tallies := make([]tally, len(subjects))
	reached := make([]load, len(s.Locations))
	for from := 0; from < len(rows); from += loadBits {
		some := rows[from:min(from+loadBits, len(rows))]
		seeds, own := make([]load, len(s.Locations)), map[int]*load{}
		for k := range some {
			seeds[some[k].at].set(k)
			own[some[k].at] = &load{}
			own[some[k].at].set(k)
		}
		p.spread(seeds, assess.Below, reached)
		for i := range subjects {
			l := &subjects[i]
			if l.At < 0 || reached[l.At].empty() {
				continue
			}
			b := reached[l.At].from(sort.Search(len(some), func(k int) bool { return some[k].after(l.Prepared) }))
			if o := own[l.At]; o != nil {
				b = b.without(o) // of its own row the label knows by itself
			}
			tallies[i].take(&b, from)
		}
	}
	for i := range tallies {
		t := &tallies[i]
		if t.open == 0 {
			continue
		}
		first, last := &rows[t.first], &rows[t.last]
		r := Reason{Ground: &first.ground, Since: first.Since, Found: first.Found, Count: int(t.open)}
		if first.Found {
			r.Since = today
		}
		if t.open > 1 && !last.Found {
			r.Latest = last.Since
		}
		all[i].add(r)
	}
}

// take counts the bits of a load, the first of which has a number.
func (t *tally) take(b *load, from int) {
	n := b.count()
	if n == 0 {
		return
	}
	if t.open == 0 {
		t.first = int32(from + b.first())
	}
	t.open += int32(n)
	t.last = int32(from + b.last())
}

// ground is what a row makes of all labels below it.
func (m *Moved) ground(id string) Ground {
	g := Ground{Cause: RowCause, Status: InQuestion,
		Differences: []Difference{{Field: id + " " + m.Field, Old: m.Old, New: m.New}}}
	what := words(g.Differences)
	if m.Found {
		g.Detail = "the row upstream changed: " + what + ", without a newer study"
		g.Remedy.Words = "the date of the study that gives the new value, in the row of " + id +
			"; then a study of this location's own row that is not older"
		return g
	}
	g.Detail = "the row upstream changed: " + what + ", after the study of this label"
	g.Remedy.Words = "a study of this location's own row, prepared on " + m.Since.String() + " or later"
	return g
}
