package record

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// sampleRecords are those that the samples would print, as made and as read back.
func sampleRecords(t *testing.T, each func(made, read *Record)) {
	t.Helper()
	today, err := assess.ParseDate("2026-06-30")
	if err != nil {
		t.Fatal(err)
	}
	for _, folder := range []string{"creamery", "mill", "smelter"} {
		s, err := site.Read(os.DirFS(filepath.Join("../../samples", folder)), site.Options{Languages: []string{"en", "es", "fr"}})
		if err != nil {
			t.Fatal(err)
		}
		all := s.Assess(today)
		for i := range all {
			if all[i].Prints() {
				made := New(&all[i])
				each(made, readBack(t, made))
			}
		}
	}
}

// leaves calls try with each text, number and truth value in v set to another value.
func leaves(v reflect.Value, try func()) {
	alter := func(to reflect.Value) {
		was := reflect.ValueOf(v.Interface())
		v.Set(to)
		try()
		v.Set(was)
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			leaves(v.Elem(), try)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				leaves(v.Field(i), try)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			leaves(v.Index(i), try)
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			if one := v.MapIndex(k); one.Kind() == reflect.Pointer {
				leaves(one, try)
			}
		}
	case reflect.String:
		alter(reflect.ValueOf(v.String() + "x").Convert(v.Type()))
	case reflect.Float64:
		alter(reflect.ValueOf(v.Float() + 1).Convert(v.Type()))
	case reflect.Int, reflect.Int64:
		alter(reflect.ValueOf(v.Int() + 1).Convert(v.Type()))
	case reflect.Bool:
		alter(reflect.ValueOf(!v.Bool()).Convert(v.Type()))
	}
}

// A record has the same gist as made and as read back, alone and with what it shares; and
// whatever in it is altered and stored, apart from a step, alters it.
func TestGist(t *testing.T) {
	shared := new(Shared)
	all := map[Gist]ID{}
	sampleRecords(t, func(made, read *Record) {
		is, err := made.Gist()
		if err != nil || !is.comparable() {
			t.Fatal(is, err)
		}
		again, _ := read.Gist()
		third, _ := shared.Gist(made)
		if is != again || is != third {
			t.Errorf("%s: %s, read back %s, shared %s", made.Location.ID, is, again, third)
		}
		id, _ := made.Hash()
		if was, known := all[is]; known && was != id {
			t.Errorf("%s and %s have one gist", id.Code(), was.Code())
		}
		all[is] = id

		read.Computed, read.Proven = withoutSteps(read.Computed), withoutSteps(read.Proven)
		sound, _, _ := read.Encode()
		tried := 0
		leaves(reflect.ValueOf(read), func() {
			data, _, err := read.Encode()
			if err != nil || bytes.Equal(data, sound) {
				return // not stored, or not valid
			}
			tried++
			if other, err := read.Gist(); err == nil && other == is {
				t.Errorf("%s: the same gist for\n%s", made.Location.ID, data)
			}
		})
		if tried < 50 {
			t.Errorf("%s: only %d values altered", made.Location.ID, tried)
		}
	})
	if len(all) < 30 {
		t.Errorf("%d records", len(all))
	}
}

// A gist has the form that ledgers note, as encoding/json alone writes it.
func TestGistForm(t *testing.T) {
	sum := func(rows []byte, v any) string {
		t.Helper()
		text, err := encodeTo(rows, v, "")
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprintf("1-%x", sha256.Sum256(text))[:len("1-")+32]
	}
	n := map[string]int{}
	sampleRecords(t, func(made, read *Record) {
		for _, r := range []*Record{made, read} {
			rows, err := r.Location.MarshalJSON()
			if err != nil {
				t.Fatal(err)
			}
			curves, feeds := map[string]string{}, ""
			for name, c := range r.Curves {
				curves[name] = sum(nil, c)
				n["curve"]++
			}
			if r.Feeds != nil {
				feeds = sum(nil, r.Feeds)
				n["feeds"]++
			}
			o := *r.Outcome
			o.Computed, o.Proven = withoutSteps(o.Computed), withoutSteps(o.Proven)
			want := sum(rows, struct {
				Schema, Rules int
				Curves        map[string]string `json:",omitempty"`
				Policy, Feeds string
				Reviewed      *assess.Review      `json:",omitempty"`
				Accept        []assess.Acceptance `json:",omitempty"`
				Outcome       *assess.Outcome
			}{r.Schema, r.Rules, curves, sum(nil, r.Policy), feeds, r.Reviewed, r.Accept, &o})
			if got, err := r.Gist(); err != nil || string(got) != want {
				t.Errorf("%s: %s, %v, want %s", r.Location.ID, got, err, want)
			}
			if r.Reviewed != nil {
				n["review"]++
			}
			n["acceptances"] += len(r.Accept)
		}
	})
	if n["feeds"] == 0 || n["acceptances"] == 0 {
		t.Error(n)
	}
}

// A line that notes the gist of another record takes the row for it, but nothing is printed.
func TestForgedGist(t *testing.T) {
	dir := t.TempDir()
	s := Open(dir)
	stored, row := example(t, "MCC-4", 6.5), example(t, "MCC-4", 3)
	job := Job{Kind: Print, Date: stored.Prepared, Stock: "4x4", By: "test", Sheet: []Sheet{{Record: stored}}}
	if err := s.Carry(job); err != nil {
		t.Fatal(err)
	}
	gist, _ := row.Gist()
	err := s.NoteAll(func(l *Ledger) ([]Line, error) {
		forged := l.Lines[0]
		forged.Labels = []Printed{forged.Labels[0]}
		forged.Labels[0].Gist = gist
		return []Line{forged}, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	l, err := s.Ledger()
	if err != nil {
		t.Fatal(err)
	}
	l.Lines = l.Lines[2:] // as if it were the only print
	read, printed := s.HistoryOf(l, stored.Prepared).Reader(new(Shared)).Read("MCC-4", row)
	if !printed || read.Record != row {
		t.Fatal("the row is not taken for the record: this test shows nothing")
	}
	job.Sheet[0].Record = row
	if err := s.Carry(job); !errors.Is(err, ErrDamaged) {
		t.Error(err)
	}
}
