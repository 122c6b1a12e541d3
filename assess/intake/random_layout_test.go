package intake

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess/intake/sheet"
)

// says is what a cell states of its column, in the program's own unit; 0 for nothing
// that may be read as a number.
type says struct {
	num   float64
	bound string
}

// layoutColumn is one column of a random layout.
type layoutColumn struct {
	name    string // of the canonical column; "" for a column that is not canonical
	what    string // name, also where something above the heading makes it none
	heading string // with its unit, if the unit is in it
	unit    string // key of unitSpellings; "" for text or a number without a unit
	word    string // how the unit is spelled
	where   string // the unit: heading, row, cell, or "" for nowhere
	cells   []sheet.Cell
	says    []says
	hidden  bool
}

// line is one row of a random layout.
type line struct {
	cells []sheet.Cell
	entry int  // of the plant; -1 for a row that is not a location
	raw   bool // its cells were written without the quotation marks that they need
}

// layout is a canonical site as some consultant may have written it out.
type layout struct {
	*rand.Rand
	*plant
	plain    bool // nothing in it has two meanings: it must be read
	calm     int  // how much rarer oddities are than in the wildest
	workbook bool
	comma    rune
	decimal  string
	columns  []layoutColumn
	lines    []line
	merges   []sheet.Merge
	give     []Given
	repeat   []line // the rows of headings
}

// must are the columns without which nothing can be read; often are others.
var (
	must  = []string{"id", "equipment", "voltage", "energy", "boundary", "distance"}
	often = []string{"area", "class", "supply", "fault", "clear", "prepared", "fed_from", "device"}
	rare  = []string{"rating", "device_rating", "clear_reduced", "gap", "electrodes", "height", "width", "depth", "surveyed", "study", "note",
		limited, restricted}
)

// newLayout writes a random site out in a random layout, by a seed.
func newLayout(seed uint64) *layout {
	r := rand.New(rand.NewPCG(seed, 15))
	l := &layout{Rand: r, plain: chance(r, 3), calm: pick(r, []int{1, 4, 12}), plant: newPlant(r), comma: pick(r, []rune{',', ',', ';', '\t', '|'}), decimal: "."}
	l.workbook = chance(r, 2)
	if !l.workbook && l.comma != ',' && chance(r, 2) {
		l.decimal = ","
	}
	if l.plain {
		for _, e := range l.entries {
			if slices.Contains(oddIDs, e.words["id"]) {
				l.plain = false
			}
		}
	}
	l.chooseColumns()
	l.titles()
	l.headings()
	l.rows()
	l.tail()
	return l
}

// wild is true once in so many times, where the layout may be odd at all.
func (l *layout) wild(once int) bool { return !l.plain && chance(l.Rand, once*l.calm) }

// chooseColumns takes columns in a random order, with decoys among them.
func (l *layout) chooseColumns() {
	r := l.Rand
	var names []string
	for _, name := range must {
		if !l.wild(10) {
			names = append(names, name)
		}
	}
	for _, name := range often {
		if chance(r, 2) {
			names = append(names, name)
		}
	}
	for _, name := range rare {
		if chance(r, 5) {
			names = append(names, name)
		}
	}
	if slices.ContainsFunc(l.entries, func(e *entry) bool { return e.words["case"] != "" }) && !l.wild(3) {
		names = append(names, "case")
	}
	if l.supply == "" && !l.wild(2) && !slices.Contains(names, "supply") {
		names = append(names, "supply")
	}
	r.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
	if at := slices.Index(names, "id"); at > 0 && !chance(r, 4) {
		names[0], names[at] = names[at], names[0]
	}
	used := map[string]bool{}
	for _, name := range names {
		l.columns = append(l.columns, l.column(name, used))
		if l.wild(14) { // a second one
			l.columns = append(l.columns, l.column(name, used))
		}
		for chance(r, 3) {
			l.columns = append(l.columns, l.decoy(used))
		}
	}
	if l.wild(25) && l.workbook {
		at := r.IntN(len(l.columns))
		old := l.decoy(used)
		old.heading, old.hidden = l.columns[at].heading, true
		l.columns = slices.Insert(l.columns, at, old)
	}
	if !slices.Contains(names, "prepared") {
		l.give = append(l.give, Given{"prepared", "2026-01-31"})
	}
	if !slices.Contains(names, "supply") && l.supply != "" {
		l.give = append(l.give, Given{"supply", l.supply})
	}
}

// column writes a column of the canonical site.
func (l *layout) column(name string, used map[string]bool) layoutColumn {
	r := l.Rand
	w := wordings[name]
	c := layoutColumn{name: name, what: name}
	for {
		c.heading = pick(r, w.usual)
		if l.wild(4) && len(w.odd) > 0 {
			c.heading = pick(r, w.odd)
		}
		if !used[fold(c.heading)] || l.wild(3) {
			break
		}
	}
	used[fold(c.heading)] = true
	units := unitsFor[name]
	if units == nil {
		l.textCells(&c)
		c.heading = l.casing(c.heading)
		return c
	}
	c.unit = pick(r, units)
	c.where = pick(r, []string{"heading", "heading", "row", "cell"})
	if l.wild(5) {
		c.where = ""
	}
	c.word = pick(r, unitSpellings[c.unit])
	if l.wild(8) {
		c.word = pick(r, oddUnitSpellings[c.unit])
	}
	switch {
	case name == "voltage" && l.wild(8):
		c.heading, c.where = pick(r, []string{"%s", "Bus %s", "System %s", "Nominal %s", "%s L-L", "%s (L-L)", "LL %s"}), "heading"
		c.heading = fmt.Sprintf(c.heading, c.word)
	case name == "energy" && l.wild(20):
		c.heading, c.where = c.word, "heading"
	case c.where == "heading":
		c.heading = l.withUnit(c.heading, c.word)
	}
	c.heading = l.casing(c.heading)
	l.numberCells(&c)
	return c
}

// withUnit is a heading with its unit.
func (l *layout) withUnit(heading, word string) string {
	forms := []string{"%s (%s)", "%s (%s)", "%s [%s]", "%s\n(%s)", "%s, %s"}
	if !l.plain {
		forms = append(forms, "%s %s", "%s - %s", "%s in %s", "%s {%s}", "%s: %s", "(%[2]s) %[1]s", "%[2]s %[1]s")
	}
	return fmt.Sprintf(pick(l.Rand, forms), heading, word)
}

// casing changes what says nothing: capitals, a mark of a footnote, more blanks.
func (l *layout) casing(heading string) string {
	switch l.IntN(10) {
	case 0:
		heading = strings.ToUpper(heading)
	case 1:
		heading += pick(l.Rand, []string{"*", " *", "¹", " †", "²", " (1)"}[:map[bool]int{true: 4, false: 6}[l.plain]])
	case 2:
		heading = strings.Replace(heading, " ", "  ", 1)
	case 3:
		heading = strings.Replace(heading, " ", "\n", 1)
	}
	return heading
}

// decoy is a column that is not one of locations.csv.
func (l *layout) decoy(used map[string]bool) layoutColumn {
	r := l.Rand
	c := layoutColumn{}
	if chance(r, 4) {
		d := pick(r, textDecoys)
		c.heading = pick(r, d.headings)
		if l.plain && used[fold(c.heading)] {
			c.heading = "Column " + string(rune('A'+len(used)))
		}
		used[fold(c.heading)] = true
		for range l.entries {
			text := pick(r, d.cells)
			if chance(r, 10) {
				text = ""
			}
			c.cells = append(c.cells, textCell(text))
		}
		c.says = make([]says, len(l.entries))
		return c
	}
	d := pick(r, decoys)
	c.heading = pick(r, d.headings)
	if l.plain && used[fold(c.heading)] {
		c.heading = "Column " + string(rune('A'+len(used)))
	}
	used[fold(c.heading)] = true
	c.unit = pick(r, d.units)
	c.where = pick(r, []string{"heading", "heading", "row", "cell", ""})
	c.word = c.unit
	if all := unitSpellings[c.unit]; all != nil {
		c.word = pick(r, all)
	}
	if c.unit == "" {
		c.where = ""
	}
	if c.where == "heading" {
		c.heading = l.withUnit(c.heading, c.word)
	}
	c.heading = l.casing(c.heading)
	style := l.newStyle(&c)
	for range l.entries {
		v := d.from + (d.to-d.from)*r.Float64()
		if d.unit() && c.unit != "" {
			v /= factor(c.unit, l.hertz) / factor(d.units[0], l.hertz)
		}
		if d.from == math.Trunc(d.from) && d.to <= 60 && d.to-d.from > 3 && d.units[0] == "" || d.to == 4 {
			v = math.Ceil(v)
		}
		if v <= 0 {
			v = 1
		}
		cell, _ := l.numberCell(&c, style, v)
		c.cells = append(c.cells, cell)
	}
	c.says = make([]says, len(l.entries))
	return c
}

// unit reports whether a decoy's units can be turned into one another.
func (d *decoy) unit() bool { return unitSpellings[d.units[0]] != nil && d.units[len(d.units)-1] != "" }

func textCell(text string) sheet.Cell {
	if text == "" {
		return sheet.Cell{}
	}
	return sheet.Cell{Shown: text, Kind: sheet.Text}
}

// textCells writes a column of words.
func (l *layout) textCells(c *layoutColumn) {
	r := l.Rand
	c.says = make([]says, len(l.entries))
	form := pick(r, []string{"iso", "iso", "m/d/y", "d/m/y", "d.m.y", "month", "day"})
	if !l.wild(2) {
		form = pick(r, []string{"iso", "month", "day"})
	}
	if form == "day" && !l.workbook {
		form = "iso"
	}
	if l.wild(20) {
		form = "short"
	}
	three := pick(r, []string{"3-phase", "3", "AC3", "ac3", "3PH", "three-phase"})
	one := pick(r, []string{"1-phase", "1", "AC1", "ac1", "1PH", "single-phase"})
	for _, e := range l.entries {
		text := e.words[c.name]
		switch {
		case text == "":
		case c.name == "supply":
			text = map[string]string{"ac3": three, "ac1": one, "dc": "DC"}[text]
		case c.name == "prepared" || c.name == "surveyed":
			if form == "day" {
				c.cells = append(c.cells, sheet.Cell{Shown: pick(r, []string{text, l.date(text, "m/d/y")}), Raw: text, Kind: sheet.Day})
				continue
			}
			text = l.date(text, form)
		case c.name == "class" && chance(r, 3):
			text = strings.ToUpper(text[:1]) + text[1:]
		case c.name == "area" && l.wild(15):
			text = ""
		}
		c.cells = append(c.cells, textCell(text))
	}
}

// date is an ISO date in another form.
func (l *layout) date(iso, form string) string {
	p := strings.Split(iso, "-")
	y, m, d := p[0], strings.TrimPrefix(p[1], "0"), strings.TrimPrefix(p[2], "0")
	month := []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}[int(p[1][0]-'0')*10+int(p[1][1]-'0')-1]
	switch form {
	case "m/d/y":
		return m + "/" + d + "/" + y
	case "d/m/y":
		return d + "/" + m + "/" + y
	case "d.m.y":
		return d + "." + m + "." + y
	case "short":
		return m + "/" + d + "/" + y[2:]
	case "month":
		return pick(l.Rand, []string{d + " " + month + " " + y, month + " " + d + ", " + y})
	}
	return iso
}

// style is how a column writes its numbers.
type style struct {
	digits    int
	number    bool // as a number of a workbook
	format    string
	thousands string
	feet      int // form of feet and inches
}

func (l *layout) newStyle(c *layoutColumn) style {
	r := l.Rand
	s := style{digits: 2 + r.IntN(3), number: l.workbook && !chance(r, 5), format: pick(r, []string{"", "", "0", "0.0", "0.00", "#,##0.0", "unit"}),
		feet: r.IntN(2)}
	switch {
	case c.where == "heading" || c.where == "row":
		s.feet = r.IntN(6)
	case c.where == "":
		s.feet = r.IntN(8)
	}
	if l.wild(10) {
		s.thousands = pick(r, []string{",", ".", " ", "'", "\u00a0"})
	}
	if l.wild(60) {
		s.format = pick(r, []string{"0.0E+00", "# ?/?"})
	}
	return s
}

// numberCells writes a column of numbers, and notes what it states.
func (l *layout) numberCells(c *layoutColumn) {
	r := l.Rand
	s := l.newStyle(c)
	if slices.Contains(must, c.name) && !slices.ContainsFunc(l.entries, func(e *entry) bool { return e.nums[c.name] != 0 }) {
		l.plain = false
	}
	for _, e := range l.entries {
		v := e.nums[c.name]
		if v == 0 {
			text := pick(r, []string{"", "", "", "N/A", "-", "n/a"})
			c.cells, c.says = append(c.cells, textCell(text)), append(c.says, says{})
			continue
		}
		if l.wild(40) {
			text := l.number(digits(v/factor(c.unit, l.hertz), 3))
			cell := pick(r, []string{text + "*", "See note 3", "-" + text, "~" + text, text + "+", "approx. " + text, text + " (est.)", "Dangerous",
				"TBD", text + " / " + text + "9", "#N/A", "? " + text, text + " kVA"})
			c.cells, c.says = append(c.cells, textCell(cell)), append(c.says, says{})
			continue
		}
		of := *c
		if other := unitsFor[c.name]; l.wild(60) { // a cell with a unit of its own
			of.unit, of.where = pick(r, other), "cell"
			of.word = pick(r, unitSpellings[of.unit])
			s := s
			s.number, s.feet = false, s.feet%2
			cell, stated := l.numberCell(&of, s, v/factor(of.unit, l.hertz))
			c.cells, c.says = append(c.cells, cell), append(c.says, says{num: stated})
			continue
		}
		cell, stated := l.numberCell(c, s, v/factor(c.unit, l.hertz))
		say := says{num: stated}
		if c.name == "voltage" && cell.Kind == sheet.Text && chance(r, 5) && c.where != "cell" && e.words["supply"] == "ac3" && strings.Trim(cell.Shown, "0123456789") == "" {
			cell.Shown += pick(r, []string{"Y/", "/"}) + strconv.Itoa(int(v/factor(c.unit, l.hertz)/1.732))
		}
		if c.name == "energy" && e.bound != "" {
			mark := e.bound
			if mark == "≥" && !l.workbook {
				mark = ">="
			}
			cell.Shown = mark + pick(r, []string{"", " "}) + cell.Shown
			say.bound = strings.TrimSpace(mark)
			if cell.Kind == sheet.Number && chance(r, 2) {
				text := mark + l.number(cell.Raw)
				if c.where == "cell" {
					text += " " + c.word
				}
				cell = textCell(text)
			}
		}
		c.cells, c.says = append(c.cells, cell), append(c.says, say)
	}
}

// number is a number as the file writes it.
func (l *layout) number(s string) string { return strings.Replace(s, ".", l.decimal, 1) }

var thousandLike = regexp.MustCompile(`^[1-9]\d{0,2}\.\d{3}$`)

// numberCell writes a number of a column's unit, and what it states in the
// program's own.
func (l *layout) numberCell(c *layoutColumn, s style, v float64) (sheet.Cell, float64) {
	if c.unit == "ft-in" {
		inches := max(1, math.Round(v/25.4))
		f, in := int(inches)/12, int(inches)%12
		text := fmt.Sprintf([]string{`%d'-%d"`, `%d ft %d in`, `%d'-%d`, `%d-%d`, `%d' %d"`, `%d' %d`, `%d-%d`, `%d'-%d"`}[s.feet], f, in)
		return textCell(text), inches * 25.4
	}
	text := digits(v, s.digits)
	if l.plain && thousandLike.MatchString(text) {
		text = text[:len(text)-1] // it can be read in two ways
	}
	read, _ := strconv.ParseFloat(text, 64)
	stated := read * factor(c.unit, l.hertz)
	if s.number {
		cell := sheet.Cell{Raw: strings.TrimSuffix(text, "."), Shown: text, Kind: sheet.Number}
		cell.Raw = strconv.FormatFloat(read, 'f', -1, 64)
		switch s.format {
		case "0", "0.0", "0.00":
			cell.Shown = strconv.FormatFloat(read, 'f', len(s.format)-1-min(1, len(s.format)-1), 64)
		case "#,##0.0":
			cell.Shown = group(strconv.FormatFloat(read, 'f', 1, 64), ",")
		case "unit":
			if c.where == "cell" {
				cell.Shown = text + " " + c.word
			}
		case "0.0E+00":
			cell.Shown = strconv.FormatFloat(read, 'E', 1, 64)
		case "# ?/?":
			if read == math.Trunc(read*2)/2 && read != math.Trunc(read) {
				cell.Shown = strings.TrimSpace(strings.TrimPrefix(fmt.Sprintf("%d 1/2", int(read)), "0"))
			}
		}
		if c.where == "cell" && s.format != "unit" {
			return textCell(text + " " + c.word), stated
		}
		return cell, stated
	}
	text = l.number(text)
	if s.thousands != "" {
		decimal := l.decimal
		if s.thousands == decimal {
			decimal = map[string]string{".": ",", ",": "."}[decimal]
		}
		whole, rest, cut := strings.Cut(text, l.decimal)
		if text = group(whole, s.thousands); cut {
			text += decimal + rest
		}
	}
	if c.where == "cell" {
		text += pick(l.Rand, []string{" ", ""}) + c.word
	}
	return textCell(text), stated
}

// group puts a sign between thousands.
func group(text, sign string) string {
	whole, rest, cut := strings.Cut(text, ".")
	for at := len(whole) - 3; at > 0; at -= 3 {
		whole = whole[:at] + sign + whole[at:]
	}
	if cut {
		return whole + "." + rest
	}
	return whole
}
