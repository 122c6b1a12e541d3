package layout

import (
	"cmp"
	"fmt"
	"slices"
)

// Walk is the list with which a person walks the plant to change labels.
type Walk struct {
	Site, Date string
	Rows       []WalkRow // in walking order
	Paper      Paper
}

// WalkRow is one label to change.
type WalkRow struct {
	Area, ID, Equipment string
	Off, On             string // the codes to take off and to put on, or [WalkOverlay]; "" for none
}

// WalkOverlay is what is put on where a label is covered.
const WalkOverlay = "overlay"

// WalkPages sets the list: a box to tick, id, equipment, old code, new code,
// room for initials; grouped by area, its head repeated on every page.
func WalkPages(w *Walk) []Page {
	s := newSheet(w.Paper)
	l := newWalkList(s, w)
	area, inArea := "", false
	s.head = func() {
		l.head()
		if inArea {
			l.area(area + " (continued)")
		}
	}
	s.pages = nil
	s.turn()
	for i, r := range w.Rows {
		if i == 0 || r.Area != area {
			inArea = false
			area = r.Area
			s.room(l.areaHeight + l.height(r))
			l.area(cmp.Or(area, "without an area") + l.count(i))
		}
		inArea = r.Area != ""
		s.room(l.height(r))
		l.row(r)
	}
	return s.numbered(w.Site + " · " + w.Date)
}

// walkList is the table, with the places of its columns.
type walkList struct {
	*sheetOf
	*Walk
	id, equipment, off, on, initials, right float64
	areaHeight                              float64
}

const (
	walkGap = 9.0
	walkPad = 4.0 // above and below the text of a row
)

// newWalkList measures the columns: codes stand on one line, the rest is
// shared by id and equipment.
func newWalkList(s *sheetOf, w *Walk) *walkList {
	l := &walkList{sheetOf: s, Walk: w, areaHeight: paperHead.lead() + 11}
	off, on, id := paperBold.width("Take off"), paperBold.width("Put on"), paperBold.width("Location")
	for _, r := range w.Rows {
		off = max(off, paperBody.width(r.Off))
		on = max(on, paperBold.width(r.On))
		id = max(id, paperBold.width(r.ID))
	}
	l.right = s.left() + s.width()
	l.initials = l.right - MM(19)
	l.on = l.initials - walkGap - on
	l.off = l.on - walkGap - off
	l.id = s.left() + MM(7)
	l.equipment = l.id + walkGap + min(id+columnHair, 0.45*(l.off-l.id-2*walkGap))
	return l
}

func (l *walkList) head() {
	l.y = l.put(l.left(), l.y, l.width(), paperTitle, "Label walk")
	l.y = l.put(l.left(), l.y, l.width(), paperHead, l.Site)
	l.para(paperBody, "Take off the old label, put on the new one, compare its id with the equipment "+
		"and its code with this list. "+l.overlays()+"Then tick and initial.")
	l.y += 6
	y := l.y + paperBold.size*firstLine
	for _, h := range []struct {
		x    float64
		text string
	}{{l.id, "Location"}, {l.equipment, "Equipment"}, {l.off, "Take off"}, {l.on, "Put on"},
		{l.initials, "Initials"}} {
		l.text(h.x, y, paperBold, Black, h.text)
	}
	l.y += paperLead + 2
	l.line(l.left(), l.y, l.width(), 0, 1.4, Black)
}

// overlays say what is done with one, where the list has any.
func (l *walkList) overlays() string {
	if slices.ContainsFunc(l.Rows, func(r WalkRow) bool { return r.On == WalkOverlay }) {
		return "An overlay goes over the label that is there. "
	}
	return ""
}

func (l *walkList) area(name string) {
	l.y += 8
	l.para(paperHead, name)
	l.y += 3
	l.line(l.left(), l.y, l.width(), 0, 0.8, Black)
}

// count is how many rows of one area follow from row i on.
func (l *walkList) count(i int) string {
	n := i
	for n < len(l.Rows) && l.Rows[n].Area == l.Rows[i].Area {
		n++
	}
	if n-i == 1 {
		return " · 1 label"
	}
	return fmt.Sprintf(" · %d labels", n-i)
}

func (l *walkList) height(r WalkRow) float64 {
	id, equipment := paperBold.cell(r.ID, l.idWidth()), paperBody.cell(r.Equipment, l.equipmentWidth())
	return float64(max(len(id), len(equipment), 1))*paperLead + 2*walkPad
}

func (l *walkList) idWidth() float64        { return l.equipment - walkGap - l.id }
func (l *walkList) equipmentWidth() float64 { return l.off - walkGap - l.equipment }

func (l *walkList) row(r WalkRow) {
	h := l.height(r)
	y := l.y + walkPad
	base := y + paperBody.size*firstLine
	side := MM(4)
	l.box(l.left()+0.4, base-paperBody.caps()/2-side/2, side, side, 0, None, Black, 0.8)
	l.put(l.id, y, l.idWidth(), paperBold, r.ID)
	l.put(l.equipment, y, l.equipmentWidth(), paperBody, r.Equipment)
	l.text(l.off, base, paperBody, Black, orDash(r.Off))
	l.text(l.on, base, paperBold, Black, orDash(r.On))
	l.line(l.initials-walkGap/2, l.y+2, 0, h-4, 0.4, Black)
	l.y += h
	l.line(l.left(), l.y, l.width(), 0, 0.4, Black)
}

func orDash(s string) string { return cmp.Or(s, "–") }
