package overview

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/label/report"
)

// Owned is a plant and its policy.
type Owned struct {
	Place    string           `json:"place"`
	Site     string           `json:"site"`
	Settings []report.Setting `json:"-"`
}

// Policies compares the policies of plants.
type Policies struct {
	Plants []Owned     `json:"plants"`
	Same   int         `json:"same"`     // settings that are the same everywhere
	Differ []Different `json:"differ"`   // in the order of [report.Settings]
	Alike  []Different `json:"the_same"` // those that are the same
}

// Different is a setting with its value at each plant; nil where the plant has nothing of that name, such as
// a kit.
type Different struct {
	Key    string    `json:"key"`
	Kit    string    `json:"kit,omitempty"`
	Values []*string `json:"values"` // in the order of the plants
}

// Compare compares the policies of plants. What a kit is made of is compared between plants that have
// a kit of that name; that the others have none is said once, by their ladders.
func Compare(plants []Owned) *Policies {
	p := &Policies{Plants: plants, Differ: []Different{}, Alike: []Different{}}
	type name struct{ key, kit string }
	var names []name
	values := make([]map[name]*string, len(plants))
	kits := make([]map[string]bool, len(plants))
	for i := range plants {
		values[i], kits[i] = map[name]*string{}, map[string]bool{"": true}
		at := 0 // what one plant alone has comes after what it follows there
		for k := range plants[i].Settings {
			s := &plants[i].Settings[k]
			n := name{s.Key, s.Kit}
			values[i][n], kits[i][s.Kit] = &s.Value, true
			if known := slices.Index(names, n); known >= 0 {
				at = known + 1
				continue
			}
			names = slices.Insert(names, at, n)
			at++
		}
	}
	for _, n := range names {
		d := Different{Key: n.key, Kit: n.kit}
		have, texts := 0, map[string]bool{}
		for i := range plants {
			v := values[i][n]
			if n.kit != "" && v == nil && kits[i][n.kit] {
				v = new(string) // not in this language
			}
			d.Values = append(d.Values, v)
			if n.kit == "" || v != nil {
				have++
				texts[words(v)] = true
			}
		}
		switch {
		case have < 2:
		case len(texts) == 1:
			p.Same++
			p.Alike = append(p.Alike, d)
		default:
			p.Differ = append(p.Differ, d)
		}
	}
	return p
}

// name is the setting for a person.
func (d *Different) name() string { return d.Key + report.After(" of ", d.Kit) }

// words is a value for a person.
func words(value *string) string {
	switch {
	case value == nil:
		return "-"
	case *value == "":
		return "not given"
	}
	return *value
}

// Text writes what differs for a person: a column for each plant where that fits, else the plants that have
// a value next to it.
func (p *Policies) Text(all bool, w io.Writer, width int) error {
	var b strings.Builder
	names := p.names()
	b.WriteString(report.Wrap(p.Says(), "", "  ", width))
	list := func(head string, of []Different) {
		if len(of) == 0 {
			return
		}
		b.WriteString("\n")
		rows := [][]string{{head}}
		if len(names) <= max(2, (width-30)/24) {
			rows[0] = append(rows[0], names...)
			for i := range of {
				row := []string{of[i].name()}
				for _, v := range of[i].Values {
					row = append(row, words(v))
				}
				rows = append(rows, row)
			}
		} else {
			rows[0] = append(rows[0], "VALUE", "PLANTS")
			for i := range of {
				rows = append(rows, of[i].grouped(names)...)
			}
		}
		report.Columns(&b, width, rows) // memory takes all
	}
	list("DIFFERENT", p.Differ)
	if all {
		list("THE SAME", p.Alike)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Says is how much differs, in a sentence.
func (p *Policies) Says() string {
	if len(p.Differ) == 0 {
		return fmt.Sprintf("The policies of %s are the same in all %d settings.", report.Plural(len(p.Plants), "plant"), p.Same)
	}
	return fmt.Sprintf("The policies of %s differ in %s; %d are the same.", report.Plural(len(p.Plants), "plant"),
		report.Plural(len(p.Differ), "setting"), p.Same)
}

// names are those of the plants; of plants with the same name, the places.
func (p *Policies) names() []string {
	var names []string
	for i := range p.Plants {
		name := p.Plants[i].Site
		for k := range p.Plants {
			if k != i && p.Plants[k].Site == name {
				name = p.Plants[i].Place
			}
		}
		names = append(names, name)
	}
	return names
}

// grouped are the values of a setting, each with the plants that have it, the commonest first.
func (d *Different) grouped(names []string) [][]string {
	var values []string
	of := map[string][]string{}
	for i, v := range d.Values {
		if v == nil && d.Kit != "" {
			continue
		}
		text := words(v)
		if of[text] == nil {
			values = append(values, text)
		}
		of[text] = append(of[text], names[i])
	}
	slices.SortStableFunc(values, func(a, b string) int { return len(of[b]) - len(of[a]) })
	var rows [][]string
	for i, text := range values {
		key := d.name()
		if i > 0 {
			key = ""
		}
		who := strings.Join(of[text], ", ")
		if n := len(of[text]); n > 3 {
			who = fmt.Sprintf("%s: %s", report.Plural(n, "plant"), report.Few(of[text]))
		}
		rows = append(rows, []string{key, text, who})
	}
	return rows
}
