package layout

// Walk is the list with which a person walks the plant to change labels.
type Walk struct {
	Site, Date string
	Rows       []WalkRow // in walking order
	Paper      Paper
}

// WalkRow is one label to change.
type WalkRow struct {
	Area, ID, Equipment string
	Off, On             string // the codes to take off and to put on; "" for none
}

// WalkPages sets the list: a box to tick, id, equipment, old code, new code,
// room for initials; grouped by area.
func WalkPages(w *Walk) []Page {
	s := newSheet(w.Paper)
	code := paperBold.width("MMMM-0000-MMMM-0000") + 10
	initials := MM(20)
	x := s.left()
	right := x + s.width()
	columns := struct{ id, equipment, off, on, initials float64 }{
		x + MM(8), x + MM(8) + 0.16*s.width(), right - initials - 2*code, right - initials - code, right - initials}
	s.head = func() {
		s.y = s.put(x, s.y, s.width(), paperHead, "Label walk: "+w.Site)
		s.y = s.put(x, s.y, s.width(), paperBody, "Date "+w.Date+". Take off the old label, put on the new one, compare the codes, tick, initial.") + 4
		for _, h := range []struct {
			x    float64
			text string
		}{{columns.id, "Location"}, {columns.equipment, "Equipment"}, {columns.off, "Take off"}, {columns.on, "Put on"}, {columns.initials, "Initials"}} {
			s.text(h.x, s.y+paperBold.size, paperBold, Black, h.text)
		}
		s.y += paperLead + 3
		s.line(x, s.y, s.width(), 0, 1)
	}
	s.pages = nil
	s.turn()
	area := ""
	for i, r := range w.Rows {
		if i == 0 || r.Area != area {
			area = r.Area
			s.room(4 * paperLead)
			s.y += 5
			name := area
			if name == "" {
				name = "without an area"
			}
			s.para(paperHead, name)
		}
		w.row(s, r, columns.id, columns.equipment, columns.off, columns.on, columns.initials, right)
	}
	return s.numbered(w.Site + " · " + w.Date)
}

func (w *Walk) row(s *sheetOf, r WalkRow, id, equipment, off, on, initials, right float64) {
	names, _ := paperBold.wrap(r.ID, equipment-id-4)
	what, _ := paperBody.wrap(r.Equipment, off-equipment-6)
	h := float64(max(len(names), len(what)))*paperLead + 7
	s.room(h)
	s.box(s.left(), s.y+4, MM(4), MM(4), None, Black, 0.8)
	s.put(id, s.y+3.5, equipment-id-4, paperBold, r.ID)
	s.put(equipment, s.y+3.5, off-equipment-6, paperBody, r.Equipment)
	s.put(off, s.y+3.5, on-off, paperBody, orDash(r.Off))
	s.put(on, s.y+3.5, initials-on, paperBold, orDash(r.On))
	s.line(initials, s.y+h-2.5, right-initials, 0, 0.5)
	s.y += h
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}
