package intake

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// LayoutFile is where a site folder keeps how its study files are read.
const LayoutFile = assess.IntakeFile

// Layout is how files with the same headings are read.
type Layout struct {
	File     string            `toml:"file"`     // that it was made for
	Headings []string          `toml:"headings"` // all of them
	Units    []string          `toml:"units"`    // below them, where there is such a row
	DateForm string            `toml:"date_form"`
	Leave    []string          `toml:"leave"`
	Columns  map[string]string `toml:"columns"` // column with its unit = heading
	Give     map[string]string `toml:"give"`
	Modes    map[string]string `toml:"modes"` // case = normal or maintenance
}

const layoutHeader = `# How to read the study files of this site: written by vouchmark intake --write, with
# a table for each layout. The last one with the headings of a file counts.
`

// ParseLayouts reads intake.toml. Its error is a site.Problems.
func ParseLayouts(data []byte) ([]Layout, error) {
	if err := site.CheckTOML(LayoutFile, data); err != nil {
		return nil, err
	}
	var all struct {
		Layout []Layout `toml:"layout"`
	}
	meta, err := toml.Decode(string(data), &all)
	if err != nil {
		p := site.Problem{File: LayoutFile, Found: err.Error(), Expected: "a TOML file of [[layout]]"}
		if e, ok := err.(toml.ParseError); ok {
			p.Line, p.Found = e.Position.Line, e.Message
		}
		return nil, site.Problems{p}
	}
	var bad site.Collected
	known := []string{"layout", "file", "headings", "units", "date_form", "leave", "columns", "give", "modes"}
	for _, key := range meta.Undecoded() {
		last := key[len(key)-1]
		bad.Add(site.Problem{File: LayoutFile, Column: key.String(), Found: "an unknown key",
			Expected: "one such as " + site.Nearest(last, known)})
	}
	for i := range all.Layout {
		l := &all.Layout[i]
		at := fmt.Sprintf("layout[%d]", i+1)
		for _, name := range slices.Sorted(maps.Keys(l.Columns)) {
			if _, _, err := parseSpelling(name); err != nil {
				bad.Add(site.Problem{File: LayoutFile, Column: at + ".columns." + name, Found: err.Error()})
			}
		}
		for _, name := range slices.Sorted(maps.Keys(l.Give)) {
			if _, err := ParseGiven(name + "=" + l.Give[name]); err != nil {
				bad.Add(site.Problem{File: LayoutFile, Column: at + ".give." + name, Found: err.Error()})
			}
		}
		for _, name := range slices.Sorted(maps.Keys(l.Modes)) {
			if _, err := ParseMode(name + "=" + l.Modes[name]); err != nil {
				bad.Add(site.Problem{File: LayoutFile, Column: at + ".modes." + name, Found: err.Error()})
			}
		}
		if l.DateForm != "" && !slices.Contains(site.DateForms(), l.DateForm) {
			bad.Add(site.Problem{File: LayoutFile, Column: at + ".date_form", Found: fmt.Sprintf("%q", l.DateForm),
				Expected: strings.Join(site.DateForms(), ", ")})
		}
	}
	if wrong := bad.All(); wrong != nil {
		return nil, wrong
	}
	return all.Layout, nil
}

// key is what two files of one layout share: their headings with the units below them, in any order.
func key(headings, units []string) string {
	all := make([]string, 0, len(headings))
	for i, h := range headings {
		unit := ""
		if i < len(units) {
			unit = units[i]
		}
		if h != "" || unit != "" {
			all = append(all, clean(h)+"\x00"+clean(unit))
		}
	}
	slices.Sort(all)
	return strings.Join(all, "\x01")
}

// With adds what a known layout says to the answers of a person, which take precedence; the layout is
// nil if none has the headings of the file.
func (a *Answers) With(layouts []Layout, h *Heading) (*Answers, *Layout) {
	for i := len(layouts) - 1; i >= 0; i-- {
		l := &layouts[i]
		if key(l.Headings, l.Units) != key(h.Texts, h.Below) {
			continue
		}
		b := *a
		b.used = nil
		if b.DateForm == "" {
			b.DateForm = l.DateForm
		}
		taken := func(heading, column string) bool {
			c, _, _ := parseSpelling(column)
			return slices.ContainsFunc(a.Leave, func(x string) bool { return sameHeading(x, heading) }) ||
				slices.ContainsFunc(a.Columns, func(x Answer) bool {
					o, _, _ := parseSpelling(x.Column)
					return sameHeading(x.Heading, heading) || c != nil && o == c
				})
		}
		b.Columns = slices.Clone(a.Columns)
		for _, name := range slices.Sorted(maps.Keys(l.Columns)) {
			if !taken(l.Columns[name], name) {
				b.Columns = append(b.Columns, Answer{l.Columns[name], name, true})
			}
		}
		b.Leave = slices.Clone(a.Leave)
		for _, heading := range l.Leave {
			if !taken(heading, "") {
				b.Leave = append(b.Leave, heading)
			}
		}
		b.Give = slices.Clone(a.Give)
		for _, name := range slices.Sorted(maps.Keys(l.Give)) {
			if !slices.ContainsFunc(a.Give, func(g Given) bool { return g.Column == name }) {
				b.Give = append(b.Give, Given{name, l.Give[name]})
			}
		}
		b.Modes = slices.Clone(a.Modes) // the first one counts
		for _, name := range slices.Sorted(maps.Keys(l.Modes)) {
			b.Modes = append(b.Modes, Given{name, l.Modes[name]})
		}
		return &b, l
	}
	return a, nil
}

// AppendLayout adds how a study was read to the text of intake.toml; the text is unchanged if a layout
// already says so.
func (s *Study) AppendLayout(old []byte) ([]byte, error) {
	l := s.layout()
	layouts, err := ParseLayouts(old)
	if err != nil {
		return nil, err
	}
	for i := len(layouts) - 1; i >= 0; i-- {
		if x := &layouts[i]; key(x.Headings, x.Units) == key(l.Headings, l.Units) {
			if x.DateForm == l.DateForm && slices.Equal(x.Leave, l.Leave) && maps.Equal(x.Columns, l.Columns) &&
				maps.Equal(x.Give, l.Give) && maps.Equal(x.Modes, l.Modes) {
				return old, nil
			}
			break
		}
	}
	var b bytes.Buffer
	b.Write(old)
	if len(bytes.TrimSpace(old)) == 0 {
		b.Reset()
		b.WriteString(layoutHeader)
	} else if !bytes.HasSuffix(old, []byte("\n")) {
		b.WriteString("\n")
	}
	b.WriteString("\n[[layout]]\n")
	line := func(name string, value any) {
		text, err := toml.Marshal(map[string]any{name: value})
		if err != nil {
			panic(err) // only texts and lists of texts come here
		}
		b.Write(text)
	}
	line("file", l.File)
	line("headings", l.Headings)
	if l.Units != nil {
		line("units", l.Units)
	}
	if l.DateForm != "" {
		line("date_form", l.DateForm)
	}
	if l.Leave != nil {
		line("leave", l.Leave)
	}
	for _, table := range []struct {
		name string
		of   map[string]string
	}{{"columns", l.Columns}, {"give", l.Give}, {"modes", l.Modes}} {
		if len(table.of) == 0 {
			continue
		}
		fmt.Fprintf(&b, "[layout.%s]\n", table.name)
		for _, name := range slices.Sorted(maps.Keys(table.of)) {
			line(name, table.of[name])
		}
	}
	return b.Bytes(), nil
}

// layout is how a study was read.
func (s *Study) layout() Layout {
	l := Layout{File: s.File, Headings: s.Heading.Texts, DateForm: s.DateForm, Columns: map[string]string{},
		Give: map[string]string{}, Modes: map[string]string{}}
	if s.Heading.Units > 0 {
		l.Units = s.Heading.Below
	}
	for i := range s.Columns {
		c := &s.Columns[i]
		for k := range c.Means {
			l.Columns[c.Means[k].Spelling()] = c.Heading
		}
		if c.Left && c.Filled > 0 {
			l.Leave = append(l.Leave, c.Heading)
		}
	}
	for i := len(s.Answers.Modes) - 1; i >= 0; i-- {
		l.Modes[s.Answers.Modes[i].Column] = s.Answers.Modes[i].Value
	}
	for _, g := range s.Answers.Give {
		if !restated(g.Column) && g.Column != "surveyed" { // those belong to one study
			l.Give[g.Column] = g.Value
		}
	}
	return l
}
