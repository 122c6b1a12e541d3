package plant

import (
	"fmt"
	"math/rand/v2"
	"os"
	"reflect"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// With another log, a plant is judged as if it had been read with it.
func TestWithAnotherLog(t *testing.T) {
	today := day(t, "2026-06-30")
	r := rand.New(rand.NewPCG(18, 5))
	moved := 0
	noted := 0
	for _, folder := range []string{"../../samples/mill", "../../testdata/records2/mill", "../../samples/creamery", "../../testdata/records1/mill"} {
		s, h := read(t, folder, today)
		before, err := New(s, h, today, nil)
		if err != nil {
			t.Fatal(err)
		}
		kept := fmt.Sprintf("%+v", before.all)
		old, _ := os.ReadFile(folder + "/changes.toml")
		for range 30 {
			l := &s.Locations[r.IntN(len(s.Locations))]
			kind := assess.ChangeKinds[r.IntN(len(assess.ChangeKinds))]
			text := fmt.Sprintf("%s\n[[change]]\ndate = 2026-06-%02d\nat = %q\nkind = %q\nby = \"N. Example\"\n", old, 1+r.IntN(29), l.ID, kind.Name)
			if r.IntN(2) == 0 {
				text += fmt.Sprintf("new_fault_ka = %d\n", 5+r.IntN(60))
			}
			if r.IntN(4) == 0 {
				text += fmt.Sprintf("[[review]]\ndate = 2026-06-29\nby = \"N. Example\"\nscope = [%q]\nfinding = \"wrong\"\nreason = \"looked at\"\n", l.ID)
			}
			now := h
			if all, err := site.Entries([]byte(text)); err != nil {
				t.Fatal(err)
			} else if r.IntN(3) > 0 { // some are noted, one of which is gone or has another text
				notes := h.Notes
				for _, e := range all {
					line := record.NewLogged(record.Noted, &e)
					if line.Log.Earlier = []string{all[0].Sum}; r.IntN(3) > 0 {
						notes, noted = notes.With(line), noted+1
					}
				}
				e := assess.NewEntry(assess.ChangeEntry, "2026-06-15/"+l.ID, map[string]any{"date": "2026-06-15", "at": l.ID, "kind": kind.Name, "by": "x"}, 0)
				now = h.Noted(notes.With(record.NewLogged(record.Noted, &e)))
			}
			changed := site.With(os.DirFS(folder), "changes.toml", []byte(text))
			o := site.Options{Languages: []string{"en", "es"}}
			log, err := site.ReadLog(changed, o, s)
			if err != nil {
				t.Fatal(err)
			}
			got, err := before.With(log, now)
			if err != nil {
				t.Fatal(err)
			}
			whole, err := site.Read(changed, o)
			if err != nil {
				t.Fatal(err)
			}
			want, err := New(whole, now, today, nil)
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(got.Findings, want.Findings) || !reflect.DeepEqual(log.Log, whole.Log) {
				t.Fatalf("%s: %+v, want %+v", text, got.Findings, want.Findings)
			}
			for i := range want.Places {
				a, b := &got.Places[i], &want.Places[i]
				if !reflect.DeepEqual(a.Row, b.Row) || !reflect.DeepEqual(a.Printed, b.Printed) && !reflect.DeepEqual(a.Printed.Standing, b.Printed.Standing) ||
					a.Code() != b.Code() || !reflect.DeepEqual(a.Assessment.Findings, b.Assessment.Findings) ||
					!reflect.DeepEqual(a.Refusal(true), b.Refusal(true)) {
					t.Fatalf("%s\n%s: %+v\nwant %+v", text, b.ID(), a, b)
				}
				if a.State() != before.Places[i].State() {
					moved++
				}
			}
			if !reflect.DeepEqual(got.Unlisted, want.Unlisted) {
				t.Fatalf("%s: %+v, want %+v", text, got.Unlisted, want.Unlisted)
			}
		}
		if now := fmt.Sprintf("%+v", before.all); now != kept {
			t.Errorf("%s: the assessments by the rows were changed", folder)
		}
	}
	if noted < 100 {
		t.Errorf("only %d entries were noted", noted)
	}
	if moved < 20 {
		t.Errorf("only %d standings moved", moved)
	}
}
