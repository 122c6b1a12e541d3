package report

import (
	"io"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/plant"
)

// Check is a plant as check shows it: all of it, or the locations of a filter.
type Check struct {
	plant  *plant.Plant
	all    *plant.Plant
	filter Filter
}

// Filter says which locations are shown: those that meet all of its parts. The zero
// value shows all.
type Filter struct {
	Errors bool     `json:"errors"` // only those with an error, and of their findings only the errors
	Only   []string `json:"only"`   // ids; empty for all
	Area   []string `json:"area"`   // likewise
}

// FewLocations are listed one by one without being asked for; of more there is a summary
// (a house choice: as many as can still be read at a glance).
const FewLocations = 40

// NewCheck shows the chosen locations of a plant: chosen is that plant with only the
// locations that the filter names by id or area.
func NewCheck(all, chosen *plant.Plant, f Filter) *Check {
	f.Only, f.Area = OrEmpty(f.Only), OrEmpty(f.Area)
	c := &Check{plant: chosen, all: all, filter: f}
	if f.Errors {
		shown := *chosen
		shown.Unlisted = nil
		shown.Places = slices.DeleteFunc(slices.Clone(chosen.Places), func(p plant.Place) bool { return countErrors(p.Assessment) == 0 })
		c.plant = &shown
	}
	return c
}

// Stopped reports whether an error stops anything that is shown.
func (c *Check) Stopped() bool { return c.plant.Stopped() }

// Brief reports whether the text is a summary unless every location is asked for.
func (c *Check) Brief() bool { return len(c.plant.Places)+len(c.plant.Unlisted) > FewLocations }

// partial reports whether locations may be missing.
func (c *Check) partial() bool { return c.filter.Errors || len(c.filter.Only)+len(c.filter.Area) > 0 }

// Text writes it for a person: the counts first; then, if every location is wanted, a line
// for each and every finding, else the findings of each kind together.
func (c *Check) Text(w io.Writer, width int, every bool) error {
	var b strings.Builder
	c.head(&b, width, every)
	if c.filter.Errors && len(c.plant.Places) == 0 {
		_, err := io.WriteString(w, b.String())
		return err
	}
	if every {
		c.list(&b, width)
	} else {
		c.brief(&b, width)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// list writes a line for each location, what needs attention first, then every finding in
// full.
func (c *Check) list(b *strings.Builder, width int) {
	v := c.plant
	b.WriteString("\n")
	var table strings.Builder
	if len(v.Places)+len(v.Unlisted) > 0 {
		locations(v, width).write(&table, width)
		b.WriteString(table.String())
	}
	findings(v, b, assess.Error, width)
	if !c.filter.Errors {
		reasons(v, b, width)
		findings(v, b, assess.Caution, width)
	}
	c.suggest(b, width)
	b.WriteString("\n")
	for _, text := range legend(v, strings.Contains(table.String(), "margin ")) {
		b.WriteString(Wrap(text, "", "  ", width))
	}
}

// suggest writes what in site.toml would help.
func (c *Check) suggest(b *strings.Builder, width int) {
	for i, s := range suggestions(c.plant) {
		if i == 0 {
			b.WriteString("\n")
		}
		b.WriteString(Wrap(s.Text, "suggestion: ", "  ", width))
	}
}
