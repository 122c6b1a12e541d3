package layout

import (
	"cmp"
	"slices"
	"strings"

	"vouchmark/label"
)

// Walk is the list for changing labels, in walking order.
type Walk struct {
	Words      *label.WalkWords
	Site, Date string
	First      []WalkRow // what comes before everything else, in walking order
	Urgent     []string  // why, what must be printed before, and how it is done; a paragraph each
	Rows       []WalkRow // what can be done, in walking order
	How        []string  // how it is done, a sentence each
	Later      []WalkRow // what cannot be done yet, in walking order
	Why        []string  // what has to be done before, a sentence each
	Paper      Paper
}

// WalkRow is one thing to do on the equipment.
type WalkRow struct {
	Area, ID, Equipment string
	Do                  []WalkStep
	Note                string
	Waits               bool // something must be printed first: it has no box to tick
}

// WalkStep is one step of it: "Mount", and what.
type WalkStep struct {
	Verb, What string
	Strong     bool // it is what the person brings
}

// WalkPages sets the list: a box to tick, id, equipment, what to do, room for
// initials. It is grouped by area, and its head is repeated on every page. What is
// urgent is on pages of its own, before the rest; what cannot be done yet follows on
// others.
func WalkPages(w *Walk) []Page {
	s := newSheet(w.Paper)
	l := newWalkList(s, w)
	s.pages = nil
	if len(w.First) > 0 {
		l.set(w.Words.WalkTitleFirst, w.Urgent, w.First)
	}
	switch {
	case len(w.Rows) > 0:
		l.set(w.Words.WalkTitle, []string{strings.Join(w.How, " ")}, w.Rows)
	case len(w.First)+len(w.Later) == 0:
		l.set(w.Words.WalkTitle, nil, nil)
		s.para(paperBody, w.Words.WalkNothing)
	}
	if len(w.Later) > 0 {
		l.set(w.Words.WalkTitleLater, []string{strings.Join(w.Why, " ")}, w.Later)
	}
	return s.numbered(w.Site + " · " + w.Date)
}

// set sets rows on pages of their own, with a heading on each.
func (l *walkList) set(title string, how []string, rows []WalkRow) {
	l.ready = slices.ContainsFunc(rows, func(r WalkRow) bool { return !r.Waits })
	area, inArea := "", false
	l.sheetOf.head = func() {
		l.head(title, how, len(rows) > 0)
		if inArea {
			l.area(l.Words.Continued(area))
		}
	}
	l.turn()
	for i, r := range rows {
		if i == 0 || r.Area != area {
			inArea = false
			area = r.Area
			l.room(l.areaHeight + l.height(r))
			l.area(l.Words.Area(area, alike(rows[i:])))
		}
		inArea = r.Area != ""
		l.room(l.height(r))
		l.row(r)
	}
	l.sheetOf.head = nil
}

// walkList is the table, with the places of its columns.
type walkList struct {
	*sheetOf
	*Walk
	ready                               bool // something of what is set can be done
	id, equipment, verb, what, initials float64
	areaHeight                          float64
}

const (
	walkGap  = 9.0
	walkPad  = 4.0 // above and below the text of a row
	walkVerb = 7.0 // between a verb and what
)

// newWalkList measures the columns. A code fits on one line; id and equipment share
// the rest.
func newWalkList(s *sheetOf, w *Walk) *walkList {
	l := &walkList{sheetOf: s, Walk: w, areaHeight: paperHead.lead() + 11}
	verb, what, id := 0.0, paperBody.width("0000-0000-0000-0000"), paperBold.width(w.Words.WalkLocation)
	for _, rows := range [][]WalkRow{w.First, w.Rows, w.Later} {
		for _, r := range rows {
			id = max(id, paperBold.width(r.ID))
			for _, d := range r.Do {
				verb, what = max(verb, paperBody.width(d.Verb)), max(what, d.font().width(d.What))
			}
		}
	}
	l.initials = s.left() + s.width() - MM(19)
	l.what = l.initials - walkGap - what
	l.verb = l.what - walkVerb - verb
	l.id = s.left() + MM(7)
	l.equipment = l.id + walkGap + min(id+columnHair, 0.45*(l.verb-l.id-2*walkGap))
	return l
}

func (d *WalkStep) font() font {
	if d.Strong {
		return paperBold
	}
	return paperBody
}

func (l *walkList) head(title string, how []string, rows bool) {
	l.y = l.put(l.left(), l.y, l.width(), paperTitle, title)
	l.y = l.put(l.left(), l.y, l.width(), paperHead, printable(l.Site))
	for _, text := range how {
		l.para(paperBody, text)
	}
	l.y += 6
	if !rows {
		return
	}
	y := l.y + paperBold.size*firstLine
	names := []struct {
		x    float64
		text string
	}{{l.id, l.Words.WalkLocation}, {l.equipment, l.Words.WalkEquipment}, {l.verb, l.Words.WalkDo}, {l.initials, l.Words.WalkInitials}}
	if !l.ready {
		names = names[:3]
	}
	for _, n := range names {
		l.text(n.x, y, paperBold, Black, n.text)
	}
	l.y += paperLead + 2
	l.line(l.left(), l.y, l.width(), 0, 1.4, Black)
}

func (l *walkList) area(name string) {
	l.y += 8
	l.para(paperHead, name)
	l.y += 3
	l.line(l.left(), l.y, l.width(), 0, 0.8, Black)
}

// alike is how many rows, from the first on, are in one area.
func alike(rows []WalkRow) int {
	n := 1
	for n < len(rows) && rows[n].Area == rows[0].Area {
		n++
	}
	return n
}

// lines are the lines of a row: its id, its equipment and its note.
func (l *walkList) lines(r WalkRow) (id, equipment, note []string) {
	return paperBold.lines(r.ID, l.equipment-walkGap-l.id), paperBody.lines(r.Equipment, l.verb-walkGap-l.equipment),
		paperBody.lines(r.Note, l.initials-walkGap-l.verb)
}

func (l *walkList) height(r WalkRow) float64 {
	id, equipment, note := l.lines(r)
	return float64(max(len(id), len(equipment), len(r.Do)+len(note), 1))*paperLead + 2*walkPad
}

func (l *walkList) row(r WalkRow) {
	h, y := l.height(r), l.y+walkPad
	id, equipment, note := l.lines(r)
	base := func(line int) float64 { return y + paperBody.size*firstLine + float64(line)*paperLead }
	if side := MM(4); !r.Waits {
		l.box(l.left()+0.4, base(0)-paperBody.caps()/2-side/2, side, side, 0, None, Black, 0.8)
		l.line(l.initials-walkGap/2, l.y+2, 0, h-4, 0.4, Black)
	}
	for i, s := range id {
		l.text(l.id, base(i), paperBold, Black, s)
	}
	for i, s := range equipment {
		l.text(l.equipment, base(i), paperBody, Black, s)
	}
	for i, d := range r.Do {
		l.text(l.verb, base(i), paperBody, Black, d.Verb)
		l.text(l.what, base(i), d.font(), Black, d.What)
	}
	for i, s := range note {
		l.text(l.verb, base(len(r.Do)+i), paperBody, Black, s)
	}
	l.y += h
	l.line(l.left(), l.y, l.width(), 0, 0.4, Black)
}

func orDash(s string) string { return cmp.Or(s, "–") }
