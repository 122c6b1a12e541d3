package standing

import (
	"slices"
	"sort"

	"vouchmark/assess"
)

// A study of one location relies on the numbers of those that feed it. If the row of one
// of these has numbers that the label's study could not know, the label is in question,
// whether or not anybody logged a change. The rows are carried along the feeds like
// changes.

// Moved is how the row of a location differs from a record of its label in what the
// studies of all below it rely on.
type Moved struct {
	// Since is the day of the study that has the new value: earlier studies do not know
	// it. For a value that changed without a newer study it is the day on which a label
	// was first printed with it.
	Since assess.Date
	// Found is true if no day is known: only the row has the new value, without a newer
	// study. No study below knows it.
	Found bool
	// Late is true if the new value came after the label that notes the old one,
	// whatever its date: only a study newer than the label's knows it, and Since is the
	// earliest possible day of such a study.
	Late       bool
	Plate      bool // the nameplate in site.toml differs, not the row
	Way        bool // whether the place is upstream differs
	Undated    bool // no newer study has the new value, even if labels were printed with it
	Difference      // the column with its case, and its values
}

// Above is a place upstream of a label, with what the label's record notes about its row.
type Above struct {
	ID    string
	At    int    // the place's number in the site; -1 if it is gone
	Moved *Moved // how its row differs from that; nil if it does not
}

// after reports whether the new value is newer than a study.
func (m *Moved) after(study assess.Date) bool { return m.Found || study.Before(m.Since) }

// row is a place whose row differs, for all below it or for one label.
type row struct {
	*Moved
	at     int
	ground Ground
}

// byRows adds the rows upstream of each subject that differ from what its study knew:
// by the labels of those places, for everything below them, and by what its own record
// notes about them. For a value without a date, the record's note counts.
func byRows(all []*Standing, subjects []Subject, s *assess.Site, today assess.Date) {
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

// today reports whether it is unknown since when the value counts.
func (m *Moved) today() bool { return m.Found || m.Late }

// before orders rows by their days; those without a known day come last.
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
			b.clear(number, l.At) // its own row is compared elsewhere
			for k := range l.Above {
				a := &l.Above[k]
				if n, moved := number[a.At]; moved && (some[n].Undated || a.Moved != nil && a.Moved.after(l.Prepared)) {
					b.clear(number, a.At) // the record's note covers it
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

// take counts the bits of a load; its first bit has this number.
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

// ground is what a row means for all labels below it.
func (m *Moved) ground(id string) Ground {
	g := Ground{Cause: RowCause, Status: InQuestion,
		Differences: []Difference{{Field: id + " " + m.Field, Old: m.Old, New: m.New}}}
	what := "the row upstream changed: " + words(g.Differences)
	switch {
	case m.Way:
		g.Differences[0].Field = "upstream"
		what = id + " is now upstream of it, but its study did not include it"
		if m.New == "" {
			what = id + " is no longer upstream of it, but its study relies on it"
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
		g.Remedy.Words = "enter a study of this location that includes it, prepared on " + m.Since.String() + " or later"
		return g
	}
	if m.Found {
		g.Detail = what + ", without a newer study"
		g.Remedy.Words = "enter the date of the study with the new value in the row of " + id +
			"; then enter a study of this location that is not older"
		return g
	}
	g.Detail = what + ", after the study of this label"
	g.Remedy.Words = "enter a study of this location, prepared on " + m.Since.String() + " or later"
	return g
}
