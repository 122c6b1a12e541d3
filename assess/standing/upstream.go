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
	Found bool
	// Late is true where the new value came after the label that notes the old
	// one, whatever day it bears: only a study newer than the label's knows it,
	// and Since is the first day that such a study may have.
	Late       bool
	Plate      bool // it is the nameplate in site.toml that differs, not the row
	Way        bool // it is whether the place is upstream that differs
	Undated    bool // no newer study has the new value, whatever was printed with it
	Difference      // the column with its case, and its values
}

// Above is a place upstream of a label of which the label's record notes what
// its row said.
type Above struct {
	ID    string
	At    int    // the place's number in the site; -1 where it is gone
	Moved *Moved // how its row differs from that; nil for not
}

// after reports whether the new value is newer than a study.
func (m *Moved) after(study assess.Date) bool { return m.Found || study.Before(m.Since) }

// row is a place whose row differs, for all below it or for one label.
type row struct {
	*Moved
	at     int
	ground Ground
}

// byRows adds the rows upstream of each subject that are not as its study knew
// them: by the labels of those places, for all that is below them, and by what
// its own record notes of them. A value without a day that the record notes is
// as the record says.
func byRows(all []Standing, subjects []Subject, s *assess.Site, today assess.Date) {
	var rows []row
	seen, noted := map[int]bool{}, false
	for i := range subjects {
		l := &subjects[i]
		noted = noted || slices.ContainsFunc(l.Above, func(a Above) bool { return a.Moved != nil })
		if l.Moved != nil && l.At >= 0 && !seen[l.At] {
			seen[l.At] = true
			rows = append(rows, row{l.Moved, l.At, l.Moved.ground(s.Locations[l.At].ID)})
		}
	}
	if rows == nil && !noted {
		return
	}
	slices.SortStableFunc(rows, func(a, b row) int {
		return map[bool]int{true: -1}[a.before(&b)] + map[bool]int{true: 1}[b.before(&a)]
	})
	tallies := make([]tally, len(subjects))
	if rows != nil {
		spreadRows(rows, tallies, subjects, newPlant(s, subjects))
	}
	for i := range tallies {
		t, l := &tallies[i], &subjects[i]
		var first, last *row
		if t.open > 0 {
			first, last = &rows[t.first], &rows[t.last]
		}
		count := int(t.open)
		for k := range l.Above {
			a := &l.Above[k]
			if a.Moved == nil || !a.Moved.after(l.Prepared) {
				continue
			}
			own := &row{a.Moved, a.At, a.Moved.ground(a.ID)}
			count++
			if first == nil || own.before(first) {
				first = own
			}
			if last == nil || last.before(own) {
				last = own
			}
		}
		if first == nil {
			continue
		}
		r := Reason{Ground: &first.ground, Since: first.Since, Found: first.today(), Count: count}
		if r.Found {
			r.Since = today
		}
		if count > 1 && !last.today() {
			r.Latest = last.Since
		}
		all[i].add(r)
	}
}

// today reports whether no day is known since which the value counts.
func (m *Moved) today() bool { return m.Found || m.Late }

// before orders rows by their days; those of no known day come last.
func (r *row) before(o *row) bool {
	if r.today() != o.today() {
		return o.today()
	}
	return r.Since.Before(o.Since)
}

// spreadRows carries rows, in the order of their days, to all below them.
func spreadRows(rows []row, tallies []tally, subjects []Subject, p *plant) {
	reached := make([]load, len(p.lost))
	for from := 0; from < len(rows); from += loadBits {
		some := rows[from:min(from+loadBits, len(rows))]
		seeds, number := make([]load, len(reached)), map[int]int{}
		for k := range some {
			seeds[some[k].at].set(k)
			number[some[k].at] = k
		}
		p.spread(seeds, assess.Below, reached)
		for i := range subjects {
			l := &subjects[i]
			if l.At < 0 || reached[l.At].empty() {
				continue
			}
			b := reached[l.At].from(sort.Search(len(some), func(k int) bool { return some[k].after(l.Prepared) }))
			b.clear(number, l.At) // of its own row the label knows by itself
			for k := range l.Above {
				a := &l.Above[k]
				if n, moved := number[a.At]; moved && (some[n].Undated || a.Moved != nil && a.Moved.after(l.Prepared)) {
					b.clear(number, a.At) // it is told by what the record notes
				}
			}
			tallies[i].take(&b, from)
		}
	}
}

// clear takes a place's bit out.
func (a *load) clear(number map[int]int, at int) {
	if k, ok := number[at]; ok {
		a[k/64] &^= 1 << (k % 64)
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
	what := "the row upstream changed: " + words(g.Differences)
	switch {
	case m.Way:
		g.Differences[0].Field = "upstream"
		what = id + " is upstream of it now, and its study does not know it"
		if m.New == "" {
			what = id + " is no longer upstream of it, and its study rests on it"
		}
	case m.Plate:
		what = "the nameplate in site.toml changed: " + words(g.Differences)
	}
	switch {
	case m.Way:
		g.Detail = what
	case m.Late:
		g.Detail = what + ", after this label was printed"
	}
	if m.Late {
		g.Remedy.Words = "a study of this location's own row that knows it, prepared on " + m.Since.String() + " or later"
		return g
	}
	if m.Found {
		g.Detail = what + ", without a newer study"
		g.Remedy.Words = "the date of the study that gives the new value, in the row of " + id +
			"; then a study of this location's own row that is not older"
		return g
	}
	g.Detail = what + ", after the study of this label"
	g.Remedy.Words = "a study of this location's own row, prepared on " + m.Since.String() + " or later"
	return g
}
