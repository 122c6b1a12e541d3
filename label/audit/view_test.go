package audit

import (
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"weak"

	"vouchmark/label/record"
)

// What an audit takes from a site leads to nothing of it, so that the site need not stay in memory while records
// are judged again.
func TestViewLeavesThePlant(t *testing.T) {
	dir := ""
	see := func(names bool) (o Options, gone map[string]func() bool) {
		d, site, plant := sourced(t)
		dir, o.Names = d, names
		o.See(plant)
		at, l, history := weak.Make(plant), weak.Make(&site.Locations[0]), weak.Make(plant.History.Ledger)
		of := weak.Make(plant.History.Labels["A"].Record)
		return o, map[string]func() bool{
			"the plant": func() bool { return at.Value() == nil }, "a location": func() bool { return l.Value() == nil },
			"the ledger": func() bool { return history.Value() == nil }, "a record": func() bool { return of.Value() == nil },
		}
	}
	for _, names := range []bool{false, true} {
		o, gone := see(names)
		runtime.GC()
		for what, is := range gone {
			if !is() {
				t.Errorf("names %v: %s is still in memory", names, what)
			}
		}
		r, err := Run(os.DirFS(dir), day(t, "2026-05-02"), o)
		if err != nil || len(r.Labels) != 2 || r.Labels[0].Standing == "" || r.Labels[0].ReviewBy == "" {
			t.Errorf("names %v: %v, %+v", names, err, r.Labels)
		}
	}
}

// An audit of names says which records need not be read again: those whose bytes are the ones of their names.
func TestIntact(t *testing.T) {
	dir, _, v := sourced(t)
	a, d := v.History.Labels["A"].ID, v.History.Labels["D"].ID
	look := func() map[record.ID]bool {
		o := Options{Names: true, Intact: map[record.ID]bool{}}
		o.See(v)
		if _, err := Run(os.DirFS(dir), v.Today, o); err != nil {
			t.Fatal(err)
		}
		return o.Intact
	}
	if got := look(); !maps.Equal(got, map[record.ID]bool{a: true, d: true}) {
		t.Errorf("%v", got)
	}
	file := filepath.Join(dir, filepath.FromSlash(record.Path(a)))
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	data[len(data)/2] ^= 1
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
	if got := look(); !maps.Equal(got, map[record.ID]bool{d: true}) {
		t.Errorf("altered: %v", got)
	}
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	if got := look(); !maps.Equal(got, map[record.ID]bool{d: true}) {
		t.Errorf("lost: %v", got)
	}
}
