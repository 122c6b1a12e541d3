package press

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/shock"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/layout"
)

func day(t *testing.T, s string) assess.Date {
	t.Helper()
	d, err := assess.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// view is an invented site; ids that begin with X have an error finding, and
// those with OLD have lapsed.
func view(t *testing.T, ids ...string) *plant.Plant {
	t.Helper()
	s := &assess.Site{Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40,
		ReviewMonths: 60, Govern: assess.Larger,
		Languages: []string{"en"}, Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}}}
	for _, id := range ids {
		area, name, _ := strings.Cut(id, "/")
		l := assess.Location{ID: name, Area: area, Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2,
			Cases: []assess.Case{{
				Method: assess.Stated, Energy: 5, Boundary: 42 * assess.MMPerInch, Prepared: day(t, "2026-03-14"),
			}}}
		if strings.HasPrefix(name, "X") {
			l.Cases[0].FedFrom = []string{"nowhere"}
		}
		if strings.HasPrefix(name, "OLD") {
			l.Cases[0].Prepared = day(t, "2020-03-14")
		}
		s.Locations = append(s.Locations, l)
	}
	v, err := plant.New(s, nil, day(t, "2026-05-01"), nil)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

var english = Look{Presentation: label.Presentation{Languages: []string{"en"}}}

// Labels come in the order in which a person walks the plant.
func TestOrder(t *testing.T) {
	p, err := New(view(t, "B/MCC-10", "B/MCC-2", "A/Z-1", "B/MCC-1", "/FIRST"), Choice{}, english)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, i := range p.Items {
		got = append(got, i.Label().ID)
	}
	if want := []string{"FIRST", "Z-1", "MCC-1", "MCC-2", "MCC-10"}; !slices.Equal(got, want) {
		t.Errorf("order %v, want %v", got, want)
	}
}

func TestRefusals(t *testing.T) {
	v := view(t, "A/P-1", "A/X-1", "A/OLD-1")
	p, err := New(v, Choice{}, english)
	if err != nil || len(p.Items) != 1 || len(p.Refused) != 2 {
		t.Fatalf("%+v, %v", p, err)
	}
	var unknown *near.UnknownID
	_, err = New(v, Choice{IDs: []string{"P-1", "P-9"}}, english)
	if !errors.As(err, &unknown) || !slices.Equal(unknown.IDs, []string{"P-9"}) {
		t.Errorf("an unknown id: %v", err)
	}
	if p, err = New(v, Choice{IDs: []string{"P-1"}}, english); err != nil || len(p.Refused) != 0 {
		t.Errorf("what was not asked for is refused: %+v", p.Refused)
	}
}

// A print of the site or of its markings and a walk skip a place with label = no. A
// print that names it is refused.
func TestUnlabeled(t *testing.T) {
	v := view(t, "A/P-1", "A/U-1")
	u := &v.Site.Locations[1]
	u.Unlabeled, u.Cases[0].Fault = true, 22
	v, err := plant.New(v.Site, nil, v.Today, nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := New(v, Choice{}, english)
	if err != nil || len(p.Items) != 1 || len(p.Refused) != 0 {
		t.Errorf("all: %+v, %v", p, err)
	}
	if m, err := NewMarkings(v, Choice{}, english); err != nil || len(m.Items)+len(m.Refused) != 0 {
		t.Errorf("markings: %+v, %v", m, err)
	}
	if p, err = New(v, Choice{IDs: []string{"U-1"}}, english); err != nil || len(p.Items) != 0 || len(p.Refused) != 1 ||
		!strings.Contains(p.Refused[0].Why, "no label") {
		t.Errorf("by name: %+v, %v", p, err)
	}
	if rows := NewWalk(v); len(rows) != 1 || rows[0].ID != "P-1" {
		t.Errorf("walk: %+v", rows)
	}
}

// A label that does not fit on its stock is refused; the others are printed.
func TestMisfit(t *testing.T) {
	v := view(t, "A/P-1", "A/P-2")
	long := v.Site.Locations
	long[1].Equipment = strings.Repeat("Extraordinarily long equipment name ", 5)
	long[1].Area = strings.Repeat("far away ", 20)
	v, err := plant.New(v.Site, nil, v.Today, nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := New(v, Choice{}, english)
	if err != nil {
		t.Fatal(err)
	}
	stock, err := layout.StockNamed("letter-4x3")
	if err != nil {
		t.Fatal(err)
	}
	outputs, err := p.Print(Options{Stock: stock, Start: 1})
	if err != nil || len(outputs) != 1 || len(outputs[0].PDF) == 0 ||
		len(p.Items) != 1 || len(p.Refused) == 0 || p.Refused[0].ID != "P-2" {
		t.Fatalf("%d outputs, %d labels, refused %+v, %v", len(outputs), len(p.Items), p.Refused, err)
	}
	if s := p.Summary(stock, outputs).String(); !strings.Contains(s, "P-2: does not fit on letter-4x3 in legible letters: equipment and place") ||
		!strings.Contains(s, "-> it fits on 70x100: --stock 70x100; or shorten these texts") {
		t.Errorf("summary:\n%s", s)
	}
}

// On preprinted stock the job is split by signal word; copies come after
// each other.
func TestPreprintedAndCopies(t *testing.T) {
	v := view(t, "A/P-1", "A/P-2", "A/P-3")
	v.Site.Locations[1].Cases[0].Energy, v.Site.Locations[1].Cases[0].Boundary = 80, 5000
	v, err := plant.New(v.Site, nil, v.Today, nil)
	if err != nil {
		t.Fatal(err)
	}
	p, err := New(v, Choice{}, english)
	if err != nil {
		t.Fatal(err)
	}
	stock, err := layout.StockNamed("letter-4x4")
	if err != nil {
		t.Fatal(err)
	}
	stock.Preprinted, stock.Panel = true, layout.Inch(0.6)
	outputs, err := p.Print(Options{Stock: stock, Start: 1, Copies: 3})
	if err != nil || len(outputs) != 2 {
		t.Fatalf("%d outputs, %v", len(outputs), err)
	}
	a, b := outputs[0], outputs[1]
	first, second := a.Path("x/labels.pdf"), b.Path("x/labels.pdf")
	if first != "x/labels-warning.pdf" || second != "x/labels-danger.pdf" ||
		len(a.Items) != 6 || len(b.Items) != 3 || a.Items[1].Label().ID != "P-1" || a.Sheets != 2 || b.Sheets != 1 {
		t.Errorf("%d and %d labels on %d and %d sheets, %s", len(a.Items), len(b.Items), a.Sheets, b.Sheets, first)
	}
}
