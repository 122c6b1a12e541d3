package intake

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess/intake/sheet"
)

// add puts a row of texts under the others.
func (l *layout) add(texts ...string) {
	cells := make([]sheet.Cell, len(texts))
	for i, t := range texts {
		cells[i] = textCell(t)
	}
	l.lines = append(l.lines, line{cells: cells, entry: -1})
}

// titles writes what is above a table.
func (l *layout) titles() {
	r := l.Rand
	for range r.IntN(6) {
		switch r.IntN(9) {
		case 0:
			l.add("Arc Flash Study, Invented Plant")
		case 1:
			l.add("Prepared by:", "E. Sample", "", "Date:", "3/14/2026")
		case 2:
			l.add("Project 12345", "", "Rev 2")
		case 3:
			l.add("Rev", "Date", "By", "Description")
			l.add("1", "2026-01-02", "ES", "issued, for review")
		case 4:
			l.add("All values at 60 Hz, 1.2 cal/cm² at the boundary")
		case 5:
			l.add("")
		case 6:
			l.add("Incident energy", "per 2018 edition", "working distance 18 in")
		case 7:
			l.add("", "Total locations:", strconv.Itoa(len(l.entries)))
		case 8:
			l.add("", "", "Results of Arc Flash Calculation", "", "")
		}
	}
	if len(l.lines) > 0 && !l.wild(3) {
		l.add("")
	}
}

// harmless are headings over several columns that change nothing. Below one that
// changes all, every quantity is another one; below one that changes some, those
// whose heading says little by itself.
var (
	harmless    = []string{"Arc Flash", "Results", "Arc Flash Results", "Equipment", "Study Data"}
	changesAll  = []string{"Maintenance Mode", "Reduced Arcing Current", "At 85 %", "Transformer Primary", "Existing (before changes)", "Minimum Fault"}
	changesSome = []string{"Shock Protection", "Upstream Device", "Largest Motor", "Cable"}
	saysLittle  = []string{"Boundary", "BoundaryDistance", "Distance", "Dist", "Voltage", "Rating", "Time", "Duration", "Volts", "Length", "Approach"}
)

// groups writes a row of them above the headings.
func (l *layout) groups() {
	r := l.Rand
	row := make([]string, len(l.columns))
	at := 1 // one alone in the first column is a title
	for range 1 + r.IntN(3) {
		to := at + r.IntN(4)
		if to >= len(l.columns) {
			break
		}
		all, some := chance(r, 4), chance(r, 4)
		switch {
		case all:
			row[at] = pick(r, changesAll)
		case some:
			row[at] = pick(r, changesSome)
		default:
			row[at] = pick(r, harmless)
		}
		if slices.ContainsFunc(l.columns[at:to+1], func(c layoutColumn) bool { // Equipment AIC, Upstream Device Name
			return slices.Contains([]string{"id", "device_rating", "equipment", "area"}, c.what)
		}) {
			row[at], all, some = "Results", false, false
		}
		for i := at; i <= to; i++ {
			c := &l.columns[i]
			bare, _, _ := strings.Cut(strings.ReplaceAll(c.heading, "\n", " "), " (")
			little := slices.ContainsFunc(saysLittle, func(s string) bool { return fold(s) == fold(bare) })
			switch {
			case row[at] == "Reduced Arcing Current" && (c.name == "clear" || c.name == "clear_reduced"):
				c.name = "clear_reduced" // it says so
			case unitsFor[c.name] != nil && (all || some && little):
				c.name = ""
			}
		}
		if l.workbook && to > at {
			n := len(l.lines) + 1
			l.merges = append(l.merges, sheet.Merge{Top: n, Left: at, Bottom: n, Right: to})
		}
		at = to + 1 + r.IntN(2)
	}
	l.add(row...)
}

// headings writes the headings: in one row or two, with groups over them or none,
// with a row of units below or none.
func (l *layout) headings() {
	r := l.Rand
	if l.wild(7) && len(l.columns) > 4 {
		l.groups()
	}
	first := len(l.lines)
	two := l.wild(6)
	texts, below := make([]string, len(l.columns)), make([]string, len(l.columns))
	for i, c := range l.columns {
		texts[i] = c.heading
		if words := strings.Fields(c.heading); two && len(words) > 1 {
			at := 1 + r.IntN(len(words)-1)
			texts[i], below[i] = strings.Join(words[:at], " "), strings.Join(words[at:], " ")
		} else if two && r.IntN(2) == 0 {
			texts[i], below[i] = "", c.heading
		}
	}
	l.add(texts...)
	if two {
		l.add(below...)
	}
	units := make([]string, len(l.columns))
	form := pick(r, []string{"%s", "(%s)", "[%s]"})
	for i, c := range l.columns {
		if c.where == "row" {
			units[i] = fmt.Sprintf(form, c.word)
		} else if l.wild(30) && (unitsFor[c.what] != nil || c.what == "") {
			if units[i] = pick(r, []string{"-", "(text)", "Units", "at 85 %"}); units[i] == "at 85 %" && unitsFor[c.name] != nil {
				l.columns[i].name = ""
			}
		}
	}
	if slices.ContainsFunc(units, func(s string) bool { return s != "" }) {
		l.add(units...)
	}
	for range len(l.lines) - first {
		l.repeat = append(l.repeat, l.lines[first+len(l.repeat)])
	}
}

// rows writes the locations, with what studies have among them.
func (l *layout) rows() {
	r := l.Rand
	order := r.Perm(len(l.entries))
	if !chance(r, 3) {
		slices.Sort(order)
	}
	start := len(l.lines)
	for n, i := range order {
		switch {
		case chance(r, 25):
			l.add("")
		case chance(r, 25):
			l.add(pick(r, []string{"AREA 2", "Boiler house", "480 V system", "--- page 2 ---", "(continued)"}))
		case chance(r, 30) && n > 0:
			for _, ln := range l.repeat {
				ln.cells = slices.Clone(ln.cells)
				l.lines = append(l.lines, ln)
			}
		case chance(r, 40) && n > 0:
			l.totals("Subtotal")
		case l.wild(40):
			l.add("Section:", "Warehouse, north side")
		}
		cells := make([]sheet.Cell, len(l.columns))
		for k := range l.columns {
			cells[k] = l.columns[k].cells[i]
		}
		l.lines = append(l.lines, line{cells: cells, entry: i})
	}
	if l.workbook && l.wild(4) { // merged cells over rows
		k := r.IntN(len(l.columns))
		from := start + r.IntN(len(l.lines)-start)
		to := min(len(l.lines)-1, from+1+r.IntN(2))
		c := &l.columns[k]
		for at := from + 1; at <= to; at++ {
			ln := &l.lines[at]
			if k < len(ln.cells) {
				ln.cells[k] = sheet.Cell{}
			}
			if ln.entry >= 0 {
				c.says[ln.entry] = says{}
				l.entries[ln.entry].covered = append(l.entries[ln.entry].covered, c.what)
			}
		}
		l.merges = append(l.merges, sheet.Merge{Top: from + 1, Left: k, Bottom: to + 1, Right: k})
	}
	if !l.workbook && l.wild(20) { // a delimiter in a cell without quotation marks
		at := start + r.IntN(len(l.lines)-start)
		if ln := &l.lines[at]; ln.entry >= 0 {
			k := r.IntN(len(ln.cells))
			ln.raw = true
			ln.cells[k] = textCell("Pump 2" + string(l.comma) + " north")
			for c := range l.columns {
				l.columns[c].says[ln.entry] = says{}
			}
			l.entries[ln.entry].broken = true
		}
	}
}

// totals writes a row that sums up.
func (l *layout) totals(word string) {
	cells := make([]sheet.Cell, len(l.columns))
	at := 0
	if chance(l.Rand, 3) && len(l.columns) > 1 {
		at = 1
	}
	for k := range l.columns {
		if k == at || l.IntN(3) > 0 {
			continue
		}
		sum, n, most := 0.0, 0, 0.0
		for _, ln := range l.lines {
			if ln.entry < 0 {
				continue
			}
			text := ln.cells[k].Raw
			if text == "" {
				text = strings.Replace(ln.cells[k].Shown, ",", ".", 1)
			}
			if v, err := strconv.ParseFloat(strings.TrimLeft(text, "<>=≥ "), 64); err == nil {
				sum, n, most = sum+v, n+1, max(most, v)
			}
		}
		if n < 2 {
			continue
		}
		switch word {
		case "Average", "Mean":
			sum /= float64(n)
		case "Maximum", "Max.", "MAX":
			sum = most
		}
		text := strconv.FormatFloat(sum, 'f', 2, 64)
		if cells[k] = textCell(l.number(text)); l.workbook {
			cells[k] = sheet.Cell{Shown: text, Raw: strconv.FormatFloat(sum, 'f', -1, 64), Kind: sheet.Number}
		}
	}
	cells[at] = textCell(word)
	l.lines = append(l.lines, line{cells: cells, entry: -1})
}

// tail writes what is below a table.
func (l *layout) tail() {
	r := l.Rand
	for range r.IntN(3) {
		l.totals(pick(r, []string{"Total", "TOTAL:", "Average", "Maximum", "Max.", "Sum", "Grand Total", "Mean"}))
	}
	for range r.IntN(4) {
		switch r.IntN(7) {
		case 0:
			l.add("* estimated")
		case 1:
			l.add("")
		case 2:
			l.add("Note 1: values at 480 V and 60 Hz, 18 in")
		case 3:
			l.add("", "", "End of table")
		case 4:
			if l.wild(1) {
				l.add("Note 1", "Values above 40 are shown as > 40")
			}
		case 5:
			if l.wild(1) {
				l.add("Page", "1", "of", "3")
			}
		case 6:
			if l.wild(1) {
				l.add("Prepared by:", "E. Sample", "3/14/2026", "480", "12.5")
			}
		}
	}
	if l.wild(8) {
		l.second()
	}
}

// second writes another table below, of the same locations.
func (l *layout) second() {
	r := l.Rand
	if chance(r, 2) {
		l.add("")
	}
	if chance(r, 2) {
		l.add("Short-circuit results")
	}
	headings := []string{pick(r, wordings["id"].usual)}
	more := []string{"X/R", "Arcing Current (kA)", "Bolted Fault (kA)", "Voltage (kV)", "Motor Contribution (kA)", "Feeder", "Length (ft)", "Device", "Incident Energy (cal/cm2)",
		"Remarks", "Peak (kA)"}
	r.Shuffle(len(more), func(i, j int) { more[i], more[j] = more[j], more[i] })
	headings = append(headings, more[:1+r.IntN(6)]...)
	l.add(headings...)
	for _, e := range l.entries {
		row := []string{e.words["id"]}
		for range headings[1:] {
			row = append(row, l.number(strconv.FormatFloat(1+r.Float64()*40, 'f', 2, 64)))
		}
		l.add(row...)
	}
}
