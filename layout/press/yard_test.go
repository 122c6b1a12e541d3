package press

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// yard is an invented plant of a few panels, one below the other, in two areas,
// whose labels are printed into a ledger on disk.
type yard struct {
	*testing.T
	site  *assess.Site
	store *record.Store
	today assess.Date
}

func newYard(t *testing.T, n int) *yard {
	t.Helper()
	y := &yard{t, &assess.Site{Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40,
		ReviewMonths: 60, Govern: assess.Larger, Sources: []string{"P0"}, Languages: []string{"en"},
		Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}}}, record.Open(t.TempDir()), day(t, "2026-05-01")}
	for i := range n {
		y.add(i)
	}
	return y
}

// add adds the row of a panel.
func (y *yard) add(i int) {
	l := assess.Location{ID: fmt.Sprintf("P%d", i), Area: []string{"East", "West"}[i%2], Equipment: "Panel", Supply: shock.AC3,
		Voltage: 480, Distance: 457.2, Cases: []assess.Case{{Method: assess.Stated, Energy: 5, Boundary: 42 * assess.MMPerInch,
			Fault: 22, Prepared: day(y.T, "2026-03-14")}}}
	if i > 0 {
		l.Cases[0].FedFrom = []string{"P0"}
	}
	y.site.Locations = append(y.site.Locations, l)
}

func (y *yard) row(id string) *assess.Location {
	i := slices.IndexFunc(y.site.Locations, func(l assess.Location) bool { return l.ID == id })
	return &y.site.Locations[i]
}

// drop takes a row out of the site.
func (y *yard) drop(id string) {
	y.site.Locations = slices.DeleteFunc(y.site.Locations, func(l assess.Location) bool { return l.ID == id })
}

// study gives a row another energy, by a newer study.
func (y *yard) study(id string, energy assess.CalCM2) {
	c := &y.row(id).Cases[0]
	c.Energy, c.Prepared = energy, y.today
	c.Boundary = c.Boundary * assess.MM(1+float64(energy)/100)
}

// change logs a change at a place, which puts what it feeds in question.
func (y *yard) change(at string) {
	id := fmt.Sprintf("%s/%s/%d", y.today, at, len(y.site.Log.Changes))
	y.site.Log.Changes = append(y.site.Log.Changes, assess.Change{ID: id, Date: y.today, At: at, Kind: assess.ChangeKinds[0]})
}

// settle clears every change.
func (y *yard) settle() {
	for i := range y.site.Log.Changes {
		y.site.Log.Settlements = append(y.site.Log.Settlements, assess.Settlement{Change: y.site.Log.Changes[i].ID, Date: y.today,
			By: "E. Sample, PE", Reason: "the same fuse", Scope: assess.Scope{All: true}})
	}
}

// review finds every study right.
func (y *yard) review() {
	y.site.Log.Reviews = append(y.site.Log.Reviews, assess.Review{Date: y.today, By: "E. Sample, PE", Scope: assess.Scope{All: true},
		Finding: assess.FoundRight, Reason: "walked through"})
}

func (y *yard) view() *plant.Plant {
	y.Helper()
	h, err := y.store.History(y.today)
	if err != nil {
		y.Fatal(err)
	}
	s := *y.site // the rows as they are now, whatever the yard does later
	s.Locations = slices.Clone(s.Locations)
	for i := range s.Locations {
		s.Locations[i].Cases = slices.Clone(s.Locations[i].Cases)
	}
	v, err := plant.New(&s, h, y.today, nil)
	if err != nil {
		y.Fatal(err)
	}
	return v
}

// print prints a plan into the ledger and gives the ids of what it made.
func (y *yard) print(kind record.Kind, p *Plan, err error, interim string) []string {
	y.Helper()
	if err != nil {
		y.Fatal(err)
	}
	var ids []string
	j := record.Job{Kind: kind, Date: y.today, Thing: string(p.Thing), Interim: interim, By: "A", Tool: "test"}
	for i := range p.Items {
		ids = append(ids, p.Items[i].Record.Location.ID)
		j.Sheet = append(j.Sheet, record.Sheet{Record: p.Items[i].Record, Strip: p.Items[i].interim()})
	}
	if len(ids) > 0 {
		if err := y.store.Carry(j); err != nil {
			y.Fatal(err)
		}
	}
	return ids
}

func (y *yard) labels(c Choice) []string {
	y.Helper()
	p, err := New(y.view(), c, english)
	return y.print(record.Print, p, err, "")
}

func (y *yard) interim(c Choice) []string {
	y.Helper()
	look := english
	look.Interim = "night shift"
	p, err := New(y.view(), c, look)
	return y.print(record.Print, p, err, look.Interim)
}

func (y *yard) reprint(id string) []string {
	y.Helper()
	p, err := New(y.view(), Choice{IDs: []string{id}}, english)
	return y.print(record.Reprint, p, err, "")
}

func (y *yard) overlays(c Choice) []string {
	y.Helper()
	p, err := NewOverlays(y.view(), c, english)
	return y.print(record.Print, p, err, "")
}

func (y *yard) markings(c Choice) []string {
	y.Helper()
	p, err := NewMarkings(y.view(), c, english)
	return y.print(record.Print, p, err, "")
}

// note notes what was done on the equipment.
func (y *yard) note(kind record.Kind, thing string, ids ...string) {
	y.Helper()
	var deeds []record.Deed
	v := y.view()
	for _, id := range ids {
		deeds = append(deeds, record.Deed{Kind: kind, Thing: thing, Location: id, Reason: v.OutOfUse(id)})
	}
	if _, err := y.store.Tell(deeds, y.today, "A", "test"); err != nil {
		y.Fatal(err)
	}
}

func (y *yard) mounted(ids ...string) { y.Helper(); y.note(record.Mounted, "", ids...) }

func (y *yard) withdraw(id string) {
	y.Helper()
	if _, err := y.store.Withdraw(id, y.today, "burnt", "A", "test"); err != nil {
		y.Fatal(err)
	}
}

// code is that of the label of a location printed last, or the one n before it.
func (y *yard) code(id string, n int) string {
	y.Helper()
	l := y.view().History.Labels[id]
	if n == 0 {
		return string(l.ID.Code())
	}
	return string(l.Earlier[len(l.Earlier)-n].ID.Code())
}

// walk is the rows of a walk, with "new" and "old" for the codes of the label
// printed last and of the one before it.
func (y *yard) walk() []string {
	y.Helper()
	var all []string
	for _, r := range NewWalk(y.view()) {
		text := r.ID + ": " + string(r.Do)
		for _, c := range []struct {
			what string
			code record.Code
		}{{"off", r.Off}, {"on", r.On}, {"over", r.Stays}} {
			switch {
			case c.code == "":
			case string(c.code) == y.code(r.ID, 0):
				text += " " + c.what + " new"
			default:
				text += " " + c.what + " " + strings.ReplaceAll(string(c.code), y.code(r.ID, 1), "old")
			}
		}
		if r.Note != "" {
			text += " (" + r.Note + ")"
		}
		if r.First != "" {
			text += " -> " + r.First
		}
		all = append(all, text)
	}
	return all
}

// look compares a walk with what it should be.
func (y *yard) look(what string, want ...string) {
	y.Helper()
	if got := y.walk(); !slices.Equal(got, want) {
		y.Errorf("%s: the walk is\n  %s\nwant\n  %s", what, strings.Join(got, "\n  "), strings.Join(want, "\n  "))
	}
}

func (y *yard) next() { y.today = y.today.AddDays(1) }
