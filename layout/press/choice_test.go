package press

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/record"
	"vouchmark/layout"
)

// made are the ids that a plan prints, and that it refuses.
func made(t *testing.T, p *Plan, err error) (printed, refused []string) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	for _, i := range p.Items {
		printed = append(printed, i.Record.Location.ID)
	}
	for _, r := range p.Refused {
		refused = append(refused, r.ID)
	}
	return printed, refused
}

// Areas are chosen in capitals or not, and together with ids what is in both; one
// that is not there is named beside those that are.
func TestAreas(t *testing.T) {
	y := newYard(t, 5)
	y.row("P3").Area = ""
	for _, c := range []struct {
		choice Choice
		want   string
	}{
		{Choice{}, "P3 P0 P2 P4 P1"}, {Choice{Areas: []string{"west"}}, "P1"}, {Choice{Areas: []string{"EAST", "West"}}, "P0 P2 P4 P1"},
		{Choice{Areas: []string{"East"}, IDs: []string{"P1", "P2"}}, "P2"}, {Choice{Areas: []string{"West"}, IDs: []string{"P2"}}, ""},
	} {
		p, err := New(y.view(), c.choice, english)
		if printed, _ := made(t, p, err); strings.Join(printed, " ") != c.want {
			t.Errorf("%+v prints %q", c.choice, printed)
		}
	}
	var unknown *UnknownAreaError
	for _, plan := range []func() (*Plan, error){
		func() (*Plan, error) { return New(y.view(), Choice{Areas: []string{"east", "Nord", ""}}, english) },
		func() (*Plan, error) { return NewMarkings(y.view(), Choice{Areas: []string{"Nord"}}, english) },
		func() (*Plan, error) { return NewOverlays(y.view(), Choice{Areas: []string{"Nord"}}, english) },
	} {
		if _, err := plan(); !errors.As(err, &unknown) || !slices.Contains(unknown.Areas, "Nord") ||
			!slices.Equal(unknown.There, []string{"East", "West"}) || !strings.Contains(err.Error(), "East; West") {
			t.Errorf("%v", err)
		}
	}
	for _, l := range []string{"P0", "P1", "P2", "P4"} {
		y.row(l).Area = ""
	}
	if _, err := New(y.view(), Choice{Areas: []string{"Nord"}}, english); !strings.Contains(err.Error(), "has no areas") {
		t.Errorf("%v", err)
	}
}

// Due is what was never printed, differs by the facts, or is refused; not what is
// as it was, in another ladder of words only, nor what was withdrawn.
func TestChanged(t *testing.T) {
	y := newYard(t, 5)
	y.labels(Choice{IDs: []string{"P0", "P1", "P2", "P3"}})
	changed := func(what string, printed, refused string, look Look, c Choice) {
		t.Helper()
		c.Changed = true
		p, err := New(y.view(), c, look)
		a, b := made(t, p, err)
		if strings.Join(a, " ") != printed || strings.Join(b, " ") != refused {
			t.Errorf("%s: prints %q, refuses %q", what, a, b)
		}
		if s := p.Summary(mustStock(t), nil).String(); strings.Contains(s, "nothing is due") != (printed+refused == "") && printed == "" {
			t.Errorf("%s: %q, refused %+v", what, s, p.Refused)
		}
	}
	changed("never printed", "P4", "", english, Choice{})
	changed("in its area", "P4", "", english, Choice{Areas: []string{"east"}})
	changed("in the other", "", "", english, Choice{Areas: []string{"west"}})
	changed("by name", "", "", english, Choice{IDs: []string{"P1"}})
	y.next()
	y.row("P0").Cases[0].Note = "painted red" // of no weight
	y.study("P1", 6)
	changed("a newer study", "P4 P1", "", english, Choice{})
	y.withdraw("P1")
	changed("withdrawn", "P4", "", english, Choice{})
	changed("withdrawn, by name", "", "", english, Choice{IDs: []string{"P1"}})
	y.row("P2").Cases[0].FedFrom = []string{"nowhere"}
	changed("an error", "P4", "P2", english, Choice{})
	y.row("P4").Unlabeled = true
	changed("no label", "", "P2", english, Choice{})
	if p, _ := y.view().Place("P4"); p.Due() || p.Differs() {
		t.Error("a place with label = no is due")
	}
	changed("no label, by name", "", "P4", english, Choice{IDs: []string{"P4"}})

	y.row("P2").Cases[0].FedFrom = []string{"P0"}
	y.study("P2", 6)
	y.change("P3")
	changed("in question, and printed as it is", "P2", "", english, Choice{})
	night := english
	night.Interim = "night"
	changed("with a strip", "P2 P3", "", night, Choice{})
	y.interim(Choice{IDs: []string{"P3"}})
	changed("and it has the strip", "P2", "", night, Choice{})
	y.next()
	y.settle()
	changed("cleared", "P2 P3", "", english, Choice{})
	y.labels(Choice{Changed: true})
	changed("printed", "", "", english, Choice{})

	preview := english
	preview.Preview = true
	y.site.Policy.Findings = []assess.Finding{{Level: assess.Error, Code: assess.StarterPolicy, Message: "invented"}}
	y.study("P0", 7)
	changed("a preview", "P0", "", preview, Choice{})
}

// A label that holds is due as long as an overlay may be over it.
func TestChangedBelowOverlay(t *testing.T) {
	y := newYard(t, 1)
	y.labels(Choice{})
	y.mounted("P0")
	y.next()
	y.change("P0")
	y.overlays(Choice{})
	if got := y.labels(Choice{Changed: true}); got != nil {
		t.Errorf("in question: %q", got)
	}
	y.next()
	y.settle()
	p, _ := y.view().Place("P0")
	if !p.Due() {
		t.Error("the overlay may be on")
	}
	y.note(record.Removed, record.Overlay, "P0")
	if p, _ = y.view().Place("P0"); p.Due() {
		t.Error("the overlay is off")
	}
	y.next()
	y.change("P0")
	y.overlays(Choice{})
	y.note(record.Mounted, record.Overlay, "P0")
	y.next()
	y.settle()
	if got := y.labels(Choice{Changed: true}); !slices.Equal(got, []string{"P0"}) {
		t.Errorf("below an overlay: %q", got)
	}
	if got := y.labels(Choice{Changed: true}); got != nil {
		t.Errorf("printed already: %q", got)
	}
}

// A marking is due if its text differs from the one printed last, or if none was
// printed.
func TestChangedMarkings(t *testing.T) {
	y := newYard(t, 3)
	y.row("P2").Cases[0].Fault = 0 // which has none
	c := Choice{Changed: true}
	if got := y.markings(c); !slices.Equal(got, []string{"P0", "P1"}) {
		t.Errorf("at first %q", got)
	}
	y.labels(Choice{})
	y.next()
	y.study("P1", 6)
	c1 := &y.row("P1").Cases[0]
	c1.Prepared = day(t, "2026-03-14") // the marking says the date of the study
	if got := y.markings(c); got != nil {
		t.Errorf("another energy: %q", got)
	}
	c1.Fault = 21
	if got := y.markings(c); !slices.Equal(got, []string{"P1"}) {
		t.Errorf("another fault current: %q", got)
	}
	// A print that could not be written made none, nor one that is dated ahead.
	file := filepath.Join(t.TempDir(), "f.pdf")
	out, err := record.PreparePDF(file, []byte("%PDF"))
	if err != nil {
		t.Fatal(err)
	}
	c1.Fault = 20
	p, err := NewMarkings(y.view(), c, english)
	if err != nil || len(p.Items) != 1 {
		t.Fatal(p, err)
	}
	os.Mkdir(file, 0o755)
	if err := y.store.Carry(record.Job{Kind: record.Print, Date: y.today, Thing: "fault", Sheet: []record.Sheet{{Record: p.Items[0].Record}}}, out); err == nil {
		t.Fatal("a folder was written over")
	}
	y.next()
	if got := y.markings(c); !slices.Equal(got, []string{"P1"}) {
		t.Errorf("after a print that failed: %q", got)
	}
	y.today = y.today.AddDays(-1)
	if got := y.markings(c); !slices.Equal(got, []string{"P1"}) {
		t.Errorf("before a print that is dated ahead: %q", got)
	}
	y.next()
	// One whose record states no fault current says nothing that could be the same.
	v := y.view()
	none, _ := v.Place("P2")
	y.row("P2").Cases[0].Fault = 22
	y.print(record.Print, &Plan{Thing: Markings, Items: []Item{{Record: none.Record}}}, nil, "")
	if got := y.markings(c); !slices.Equal(got, []string{"P2"}) {
		t.Errorf("a fault current that was not there: %q", got)
	}
	y.row("P2").Cases[0].Fault = 0
	if got := y.markings(c); got != nil {
		t.Errorf("a fault current that is gone: %q", got)
	}
	p, err = NewMarkings(y.view(), c, english)
	if s := p.Summary(mustStock(t), nil); err != nil || !strings.Contains(s.String(), "nothing is due: no fault current marking") {
		t.Errorf("%q, %v", s.String(), err)
	}
	// What is refused and says the same is not due; what nobody knows is.
	y.change("P0")
	c1.FedFrom = []string{"nowhere"}
	p, err = NewMarkings(y.view(), c, english)
	if printed, refused := made(t, p, err); printed != nil || !slices.Equal(refused, []string{"P1"}) {
		t.Errorf("prints %q, refuses %q", printed, refused)
	}
	y.withdraw("P0")
	y.row("P0").Cases[0].Fault = 23
	p, err = NewMarkings(y.view(), c, english)
	if printed, refused := made(t, p, err); printed != nil || !slices.Equal(refused, []string{"P1"}) {
		t.Errorf("withdrawn: prints %q, refuses %q", printed, refused)
	}
	// By the areas, and by name: a location without a fault current is refused.
	p, err = NewMarkings(y.view(), Choice{IDs: []string{"P2"}}, english)
	if printed, refused := made(t, p, err); printed != nil || !slices.Equal(refused, []string{"P2"}) {
		t.Errorf("prints %q, refuses %q", printed, refused)
	}
	p, err = NewMarkings(y.view(), Choice{Areas: []string{"west"}, IDs: []string{"P2"}}, english)
	if printed, refused := made(t, p, err); printed != nil || refused != nil {
		t.Errorf("prints %q, refuses %q", printed, refused)
	}
}

// Overlays are chosen by area too, also of a location that locations.csv no longer
// has; due is one where none was printed.
func TestChosenOverlays(t *testing.T) {
	y := newYard(t, 5)
	y.labels(Choice{})
	y.next()
	y.change("P1")
	y.change("P2")
	y.row("P3").Area = "North"
	y.labels(Choice{IDs: []string{"P3"}})
	y.drop("P3")
	for _, c := range []struct {
		choice Choice
		want   string
	}{
		{Choice{Areas: []string{"east"}}, "P2"}, {Choice{Areas: []string{"north"}}, "P3"}, {Choice{}, "P2 P3 P1"},
		{Choice{Areas: []string{"west", "east"}, IDs: []string{"P1"}}, "P1"},
	} {
		p, err := NewOverlays(y.view(), c.choice, english)
		if printed, _ := made(t, p, err); strings.Join(printed, " ") != c.want {
			t.Errorf("%+v prints %q", c.choice, printed)
		}
	}
	y.overlays(Choice{IDs: []string{"P1"}})
	if got := y.overlays(Choice{Changed: true}); !slices.Equal(got, []string{"P2", "P3"}) {
		t.Errorf("due: %q", got)
	}
}

// What says that there is nothing says of what.
func TestNothing(t *testing.T) {
	y := newYard(t, 2)
	y.labels(Choice{})
	for _, c := range []struct {
		choice Choice
		thing  Thing
		want   string
	}{
		{Choice{Changed: true}, Labels, "nothing is due: no label differs from its last print; nothing was printed\n"},
		{Choice{Changed: true, Areas: []string{"west"}, IDs: []string{"P1"}}, Labels,
			"nothing is due: no label in west for the named locations differs from its last print; nothing was printed\n"},
		{Choice{Areas: []string{"west"}, IDs: []string{"P0"}}, Labels,
			"no label to print in west for the named locations; nothing was printed\n"},
		{Choice{}, Overlays, "no printed label is in question or has lapsed; nothing was printed\n"},
		{Choice{Changed: true}, Overlays, "nothing is due: every printed label that does not hold has its overlay; nothing was printed\n"},
	} {
		plan := map[Thing]func() (*Plan, error){
			Labels:   func() (*Plan, error) { return New(y.view(), c.choice, english) },
			Overlays: func() (*Plan, error) { return NewOverlays(y.view(), c.choice, english) },
		}[c.thing]
		p, err := plan()
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Summary(mustStock(t), nil).String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	// What a label in doubt needs is another thing, and is named.
	y.change("P0")
	p, err := New(y.view(), Choice{Changed: true}, english)
	if err != nil {
		t.Fatal(err)
	}
	if got := p.Summary(mustStock(t), nil).String(); !strings.Contains(got, "Labels that do not hold: 2; check the site lists why") {
		t.Errorf("%q", got)
	}
	y.withdraw("P0")
	for _, c := range []struct {
		choice Choice
		says   string
	}{
		{Choice{Changed: true}, "Labels that do not hold: 1;"}, {Choice{Changed: true, Areas: []string{"west"}}, "Labels that do not hold: 1;"},
		{Choice{Changed: true, Areas: []string{"east"}}, ""}, {Choice{Areas: []string{"west"}, IDs: []string{"P0"}}, ""},
	} {
		p, err := New(y.view(), c.choice, english)
		if err != nil {
			t.Fatal(err)
		}
		if got := p.Summary(mustStock(t), nil).String(); !strings.Contains(got, c.says) || c.says == "" && strings.Contains(got, "hold") {
			t.Errorf("%+v: %q", c.choice, got)
		}
	}
}

func mustStock(t *testing.T) layout.Stock {
	t.Helper()
	s, err := layout.StockNamed("4x4")
	if err != nil {
		t.Fatal(err)
	}
	return s
}
