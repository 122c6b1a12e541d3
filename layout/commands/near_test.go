package commands

import (
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// randomPlant writes random plants: feeds, ties, devices elsewhere, cases, voltages.
type randomPlant struct {
	*rand.Rand
	n int
}

func (r *randomPlant) some(most int, from []string) string {
	var ids []string
	for range r.IntN(most + 1) {
		ids = append(ids, from[r.IntN(len(from))])
	}
	return strings.Join(ids, ";")
}

func (r *randomPlant) pick(of ...string) string { return of[r.IntN(len(of))] }

// rows are the rows of locations.csv: those of the first round, or edited ones.
func (r *randomPlant) rows(again bool) string {
	var ids []string
	for i := range r.n {
		ids = append(ids, fmt.Sprintf("P%d", i))
	}
	var b strings.Builder
	b.WriteString("id,case,equipment,fed_from,tied_to,device,device_at,device_rating_ka,supply,voltage_v,fault_ka,energy_cal_cm2,boundary_in,distance_in,clear_ms,surveyed,prepared,note\n")
	for i, id := range ids {
		names := [][]string{{""}, {""}, {""}, {"A"}, {"A", "B"}, {"", "B"}, {"normal", "C"}}[r.IntN(7)]
		voltage := r.pick("480", "480", "480", "208", "4160")
		up := ids
		if i > 0 && r.IntN(8) > 0 { // seldom a loop
			up = ids[:i]
		}
		for _, name := range names {
			tied, device := "", ""
			if r.IntN(4) == 0 {
				tied = r.some(1, ids)
			}
			if r.IntN(2) == 0 {
				device = r.some(1, ids)
			}
			prepared := "2024-02-01"
			if again && r.IntN(3) == 0 {
				prepared = r.pick("2024-02-01", "2025-01-10", "2025-06-01")
			}
			fmt.Fprintf(&b, "%s,%s,%s,%s,%s,breaker,%s,%s,ac3,%s,%s,%d.5,%d,18,%s,%s,%s,%s\n", id, name, "Panel "+id, r.some(2, up), tied, device,
				r.pick("", "22", "65"), voltage, r.pick("10", "20", "20", "30", "65"), 2+r.IntN(3), 30+r.IntN(9), r.pick("", "50", "90"),
				r.pick("", "2024-01-20"), prepared, r.pick("", "", "generator", "UPS"))
		}
	}
	return b.String()
}

func (r *randomPlant) site() string {
	s := `name = "Invented"
units = "us"
edition = "NFPA 70E-2024"
cutoff_cal_cm2 = 40.0
review_months = 60
sources = ["P0"]
[[ladder]]
kit = "Kit A"
rating_cal_cm2 = 40.0
wear = ["arc-rated suit"]
`
	for i := range r.n {
		if r.IntN(5) == 0 {
			s += fmt.Sprintf("[[transformer]]\nat = \"P%d\"\nkva = %d\nimpedance_percent = 5.75\nsecondary_v = 480\n", i, 300+r.IntN(900))
		}
	}
	return s
}

func (r *randomPlant) changes() string {
	var b strings.Builder
	place := func() string { return fmt.Sprintf("P%d", r.IntN(r.n)) }
	names := map[string]bool{}
	var known []string
	for range r.IntN(4) {
		kind := assess.ChangeKinds[r.IntN(9)] // those that reach what is below
		if r.IntN(4) == 0 {
			kind = assess.ChangeKinds[r.IntN(len(assess.ChangeKinds))]
		}
		at, day := place(), r.pick("2024-01-10", "2024-05-01", "2025-03-01", "2025-08-01")
		name := day + "/" + at
		if names[name] {
			continue
		}
		names[name] = true
		known = append(known, name)
		fmt.Fprintf(&b, "[[change]]\ndate = %s\nat = %q\nkind = %q\nby = \"N. Example\"\n", day, at, kind.Name)
		if r.IntN(3) == 0 {
			fmt.Fprintf(&b, "new_fault_ka = { %q = %d }\n", place(), 5+r.IntN(60))
		}
	}
	for _, name := range known {
		if r.IntN(3) == 0 {
			fmt.Fprintf(&b, "[[settlement]]\nchange = %q\ndate = 2025-09-01\nby = \"N. Example\"\nreason = \"looked at\"\nscope = %s\n", name,
				r.pick(`"all"`, fmt.Sprintf("[%q]", place())))
		}
	}
	return b.String()
}

// notes are lines of the ledger about some entries of changes.toml, and about some that it does
// not have.
func (r *randomPlant) notes(t *testing.T, log string) (lines []record.Line) {
	if r.IntN(3) == 0 {
		return nil
	}
	of := func(text string) []assess.Entry {
		all, err := site.Entries([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		return all
	}
	here := of(log)
	for _, e := range append(here, of(r.changes())...) {
		if r.IntN(3) == 0 {
			continue
		}
		line := record.NewLogged(record.Noted, &e)
		line.Date, _ = assess.ParseDate("2025-09-01")
		for _, c := range here {
			if e.Table == assess.SettlementEntry && c.Table == assess.ChangeEntry && c.Name == e.Name && r.IntN(8) > 0 {
				line.Log.Settles = c.Sum
			}
			if lines == nil && r.IntN(3) == 0 {
				line.Log.Earlier = append(line.Log.Earlier, c.Sum)
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// wordsOf is everything that is said about a label, as text.
func wordsOf(t *testing.T, v *plant.Plant, id string) string {
	t.Helper()
	p, ok := v.Place(id)
	if !ok {
		for i := range v.Unlisted {
			if v.Unlisted[i].ID == id {
				b, err := json.Marshal(v.Unlisted[i].Standing)
				if err != nil {
					t.Fatal(err)
				}
				return string(b)
			}
		}
		return "none"
	}
	refusal := ""
	if f := p.Refusal(true); f != nil {
		refusal = f.Why + v.Do(f)
	}
	worse := ""
	if p.Printed != nil {
		worse = p.Printed.Worse
	}
	b, err := json.MarshalIndent(map[string]any{"row": p.Row, "printed": p.Printed.Standing, "findings": p.Assessment.Findings,
		"code": p.Code(), "worse": worse, "refusal": refusal, "understated": p.Printed.Standing.Understated(),
		"touched": v.Touched()[p.Number], "feeds": p.Assessment.Feeds}, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// firstDifference shows two texts from a little before the first line that differs.
func firstDifference(got, want string) string {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	i := 0
	for i < min(len(a), len(b))-1 && a[i] == b[i] {
		i++
	}
	part := func(l []string) string { return strings.Join(l[max(0, i-6):min(len(l), i+8)], "\n") }
	return part(a) + "\nin the whole:\n" + part(b)
}

// A label is judged alone as it is judged with the whole plant: by the rows, by records of labels
// that differ from them, by changes that reach it over either, and by what its neighbors can supply.
func TestOneLabelAsInTheWhole(t *testing.T) {
	t.Parallel()
	rounds := 150
	if os.Getenv("VOUCHMARK_EXHAUSTIVE") != "" {
		rounds = 1500
	}
	smaller, judged, lost := 0, 0, 0
	states := map[string]int{}
	for seed := range rounds {
		r := &randomPlant{rand.New(rand.NewPCG(uint64(seed), 18)), 0}
		r.n = 3 + r.IntN(14)
		dir := t.TempDir()
		write := func(name, text string) {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		e := &Env{Stdout: io.Discard, Stderr: io.Discard, Now: time.Now, site: dir}
		carry := func(day string) {
			var err error
			if e.today, err = assess.ParseDate(day); err != nil {
				t.Fatal(err)
			}
			v, _, err := e.view()
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			job := record.Job{Kind: record.Print, Date: e.today, Stock: "4x4", By: "N. Example"}
			for i := range v.Places {
				if p := &v.Places[i]; p.Record != nil && r.IntN(4) > 0 {
					job.Sheet = append(job.Sheet, record.Sheet{Record: p.Record})
				}
			}
			if err := record.Open(dir).Carry(job); err != nil {
				t.Fatal(err)
			}
		}
		write("site.toml", r.site())
		write("locations.csv", r.rows(false))
		carry("2024-03-01")
		if r.IntN(2) == 0 {
			write("locations.csv", r.rows(true))
			if r.IntN(2) == 0 {
				carry("2025-07-01")
				write("locations.csv", r.rows(true))
			}
		}
		log := r.changes()
		write("changes.toml", log)
		lines := r.notes(t, log)
		if err := record.Open(dir).NoteAll(func(*record.Ledger) ([]record.Line, error) { return lines, nil }); err != nil {
			t.Fatal(err)
		}
		e.today, _ = assess.ParseDate("2025-10-01")
		whole, _, err := e.view()
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for i := range whole.Places {
			p := &whole.Places[i]
			if p.Printed == nil {
				continue
			}
			one, _, err := e.viewOf(p.ID())
			if err != nil {
				t.Fatalf("seed %d: %s: %v", seed, p.ID(), err)
			}
			judged++
			lost += len(one.Logged.Lost)
			if a, b := one.LogFindings(), whole.LogFindings(); !reflect.DeepEqual(a, b) {
				t.Fatalf("seed %d: %+v, in the whole %+v", seed, a, b)
			}
			states[string(p.Printed.Standing.Status)]++
			if len(one.Site.Locations) < len(whole.Site.Locations) {
				smaller++
			}
			if got, want := wordsOf(t, one, p.ID()), wordsOf(t, whole, p.ID()); got != want {
				t.Fatalf("seed %d: %s alone, of %v:\n%s", seed, p.ID(), one.Site.IDs(), firstDifference(got, want))
			}
		}
	}
	t.Logf("%d labels, of %d only a part of the plant was judged: %v", judged, smaller, states)
	if lost < judged/20 {
		t.Errorf("of %d labels only %d entries were lost", judged, lost)
	}
	if smaller < judged/10 {
		t.Errorf("of only %d of %d labels a part of the plant was judged", smaller, judged)
	}
}

// An operating condition that only rows elsewhere name counts for a row with its name: that is
// judged in this condition alone.
func TestConditionNamedElsewhere(t *testing.T) {
	const heading = "id,case,equipment,fed_from,device,device_at,supply,voltage_v,fault_ka,energy_cal_cm2,boundary_in,distance_in,prepared\n"
	row := func(id, name, fed, device string) string {
		return fmt.Sprintf("%s,%s,Panel,%s,breaker,%s,ac3,480,20,2.5,30,18,2024-02-01\n", id, name, fed, device)
	}
	sources := strings.Replace((&randomPlant{rand.New(rand.NewPCG(1, 1)), 0}).site(), `["P0"]`, `["S", "S2"]`, 1)
	rest := row("S", "", "", "") + row("C", "", "S", "") + row("D", "", "S", "") + row("S2", "", "", "")
	e := &Env{Stdout: io.Discard, Stderr: io.Discard, Now: time.Now, site: t.TempDir()}
	e.today, _ = assess.ParseDate("2025-10-01")
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(e.site, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("site.toml", sources)
	write("locations.csv", heading+rest+row("B", "", "D", "")+row("A", "night", "B", "D"))
	v, _, err := e.view()
	if err != nil {
		t.Fatal(err)
	}
	a, _ := v.Place("A")
	if err := e.store().Carry(record.Job{Kind: record.Print, Date: e.today, Stock: "4x4", By: "N. Example",
		Sheet: []record.Sheet{{Record: a.Record}}}); err != nil {
		t.Fatal(err)
	}
	write("locations.csv", heading+rest+row("B", "", "C", "")+row("B", "day", "D", "")+row("A", "night", "B", "D")+
		row("X", "", "S2", "")+row("X", "night", "S2", ""))
	if v, _, err = e.view(); err != nil {
		t.Fatal(err)
	}
	one, _, err := e.viewOf("A")
	if err != nil {
		t.Fatal(err)
	}
	want := wordsOf(t, v, "A")
	if _, read := one.Site.Location("X"); read || !strings.Contains(want, "is not upstream of A") {
		t.Fatalf("the example does not show it: %v %s", one.Site.IDs(), want)
	}
	if got := wordsOf(t, one, "A"); got != want {
		t.Errorf("alone:\n%s", firstDifference(got, want))
	}
}
