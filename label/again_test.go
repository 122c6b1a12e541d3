package label

import (
	"fmt"
	"reflect"
	"slices"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/record"
)

// A print uses the record of the label printed last again only if its label is the
// same to the last letter, and always if nothing of weight changed. The test changes
// each column of the table and each decision of the owner in turn.
func TestRecordIsUsedAgainForTheSameLabel(t *testing.T) {
	first := assessed(func(*assess.Site) {})
	printed := record.New(&first)
	look := Presentation{Link: "HTTPS://LABELS.EXAMPLE.ORG", Languages: []string{"en", "es"}}
	words := func(r *record.Record) *Label { return Compose(r, "7K3M-9QTD-RC4A-0W2E", look) }
	marking := func(r *record.Record) *Marking { return ComposeMarking(r, "7K3M-9QTD-RC4A-0W2E", look) }
	try := func(name string, weight bool, edit func(*assess.Site)) {
		t.Helper()
		a := assessed(edit)
		again := record.Next(printed, record.New(&a)) == printed
		now := record.New(&a)
		if again && (!reflect.DeepEqual(words(printed), words(now)) || !reflect.DeepEqual(marking(printed), marking(now))) {
			t.Errorf("%s: the old record is used for another label", name)
		}
		if again == weight {
			t.Errorf("%s: the old record is used again: %v", name, again)
		}
	}
	try("nothing", false, func(*assess.Site) {})
	for i := range assess.Columns {
		c := &assess.Columns[i]
		if c.Name == "label" {
			continue // a place with label = no prints none
		}
		for k := range 2 {
			for _, v := range values(c) {
				site := invented()
				row := site.Locations[0].Row(k)
				was := c.Text(row)
				c.Set(row, v)
				weight := c.Text(row) != was && (c.Weight != assess.Neither || c.Name == "case" || c.Name == "accepted_by")
				try(fmt.Sprintf("%s of case %d becomes %v", c.Name, k, v), weight,
					func(s *assess.Site) { c.Set(s.Locations[0].Row(k), v) })
			}
		}
	}
	p := func(edit func(*assess.Policy)) func(*assess.Site) { return func(s *assess.Site) { edit(&s.Policy) } }
	for name, edit := range map[string]func(*assess.Policy){
		"units":            func(p *assess.Policy) { p.Units = assess.Both },
		"edition":          func(p *assess.Policy) { p.Edition = "NFPA 70E-2021" },
		"cutoff":           func(p *assess.Policy) { p.Cutoff = 12 },
		"a kit's name":     func(p *assess.Policy) { p.Ladder[0].Kit = "Shirt" },
		"a rating":         func(p *assess.Policy) { p.Ladder[2].Rating = 65 },
		"the list":         func(p *assess.Policy) { p.Ladder[1].Wear = assess.Words{"": {"hood", "shirt"}} },
		"a language":       func(p *assess.Policy) { p.Ladder[1].Wear["es"] = []string{"capucha"} },
		"glove class":      func(p *assess.Policy) { p.MinimumGloveClass = "2" },
		"the interval":     func(p *assess.Policy) { p.ReviewMonths = 36 },
		"what governs":     func(p *assess.Policy) { p.Govern, p.GovernAcceptedBy = assess.GovernStudy, "E. Sample, PE" },
		"a kit for little": func(p *assess.Policy) { p.Ladder = slices.Insert(p.Ladder, 0, assess.Rung{Kit: "Kit 0", Rating: 2}) },
	} {
		try(name, true, p(edit))
	}
	for name, edit := range map[string]func(*assess.Policy){
		"tolerance":          func(p *assess.Policy) { p.TolerancePercent = 2 },
		"notice":             func(p *assess.Policy) { p.NoticeDays = 7 },
		"another kit's list": func(p *assess.Policy) { p.Ladder[2].Wear = assess.Words{"": {"heavy suit"}} },
		"the list below 1.2": func(p *assess.Policy) { p.BelowThresholdWear = assess.Words{"": {"shirt"}} },
		"an unused row": func(p *assess.Policy) {
			p.Approach = []shock.Row{{Supply: shock.AC3, Above: 15000, Upto: 36000, Fixed: 1829, Limit: 838, Rule: shock.AtDistance, Name: "x", Source: "y"}}
		},
		"the link": func(p *assess.Policy) { p.Link = "HTTPS://X" },
	} {
		try(name, false, p(edit))
	}
	study := func(edition string) func(*assess.Site) {
		return func(s *assess.Site) { s.Locations[0].Cases[0].Edition = edition }
	}
	try("a study of another edition", false, study("NFPA 70E-2027"))
	try("a study of an older edition, of which a finding warns", true, study("NFPA 70E-2021"))
	try("a review", true, func(s *assess.Site) {
		s.Log.Reviews = []assess.Review{{Date: on("2026-04-01"), By: "E. Sample, PE", Scope: assess.Scope{All: true}, Finding: assess.FoundRight}}
	})
}

// values are some of the values that a column may have.
func values(c *assess.Column) []any {
	switch c.Kind {
	case assess.Quantity:
		return []any{1.0, 777.0}
	case assess.List:
		return []any{[]string{"other"}}
	case assess.Day:
		return []any{assess.Date{}, on("2025-01-02")}
	case assess.Choice:
		var all []any
		for _, w := range c.Choices {
			all = append(all, w)
		}
		return all
	}
	return []any{"other"}
}

// invented is a site of one location with two cases.
func invented() *assess.Site {
	return &assess.Site{
		Policy: assess.Policy{
			Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger,
			TolerancePercent: 5,
			Ladder: []assess.Rung{
				{Kit: "Kit A", Rating: 4, Wear: assess.Words{"": {"shirt"}}}, {Kit: "Kit B", Rating: 8, Wear: assess.Words{"": {"jacket"}}},
				{Kit: "Kit C", Rating: 40, Wear: assess.Words{"": {"suit"}}},
			},
		},
		Locations: []assess.Location{{
			ID: "P", Area: "Hall", Equipment: "Panel", Class: "panelboard", Supply: shock.AC3, Voltage: 480, Rating: 22,
			Distance: 457.2,
			Cases: []assess.Case{
				{Name: "maximum", FedFrom: []string{"S"}, Electrodes: "VCBB", Gap: 25, Height: 355.6, Width: 304.8, Depth: 203.2, Fault: 16, Energy: 6.5, Boundary: 1200, Clear: 50, ClearReduced: 50, Device: "52-1", DeviceAt: "S", DeviceRating: 65,
					Method: assess.Stated, Study: "A-1", Revision: "1", Surveyed: on("2026-01-10"), Prepared: on("2026-03-14"), Engineer: "E. Sample, PE"},
				{Name: "minimum", FedFrom: []string{"S"}, Electrodes: "VCBB", Gap: 25, Height: 355.6, Width: 304.8, Depth: 203.2, Fault: 9, Energy: 5.5, Boundary: 1100, Clear: 60, ClearReduced: 80,
					Method: assess.IEEE1584, Study: "A-1", Revision: "1", Prepared: on("2026-03-14")},
			},
		}},
	}
}

// assessed is its assessment after an edit.
func assessed(edit func(*assess.Site)) assess.Assessment {
	s := invented()
	edit(s)
	return s.Assess(on("2026-05-01"))[0]
}

func on(s string) assess.Date {
	d, err := assess.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return d
}
