package commands

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout/press"
)

// What another writer or a person does between the judgment of a label and the lock counts: the label is judged
// again under the lock.
func TestJudgedAgainUnderTheLock(t *testing.T) {
	replace := func(file, old, text string) func(t *testing.T, dir string) {
		return func(t *testing.T, dir string) {
			t.Helper()
			path := filepath.Join(dir, file)
			data, err := os.ReadFile(path)
			if err != nil && !errors.Is(err, os.ErrNotExist) {
				t.Fatal(err)
			}
			changed := bytes.Replace(data, []byte(old), []byte(text), 1)
			if bytes.Equal(changed, data) {
				t.Fatalf("%s has no %q", file, old)
			}
			if err := os.WriteFile(path, changed, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	commands := func(all ...[]string) func(t *testing.T, dir string) {
		return func(t *testing.T, dir string) {
			t.Helper()
			for _, args := range all {
				if code, _, stderr := run(append(args, "--site", dir, "--today", "2026-05-01")...); code != 0 {
					t.Fatal(stderr)
				}
			}
		}
	}
	const change = "[[change]]\ndate = 2026-05-01\nat = \"REP-TX3\"\nkind = \"fuse replaced\"\nby = \"x\"\n"
	newer := func(t *testing.T, dir string) {
		data, err := os.ReadFile(filepath.Join(dir, "locations.csv"))
		if err != nil {
			t.Fatal(err)
		}
		before, row, _ := strings.Cut(string(data), "\nREP-LP1,")
		row, after, _ := strings.Cut(row, "\n")
		row = strings.ReplaceAll(row, "2026-03-14", "2026-04-20")
		if err := os.WriteFile(filepath.Join(dir, "locations.csv"), []byte(before+"\nREP-LP1,"+row+"\n"+after), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		name    string
		between func(t *testing.T, dir string)
		refused string // in the summary; "" for none
		printed bool   // it is printed even so
	}{
		{"nothing", func(*testing.T, string) {}, "", true},
		{"another location's label printed", commands([]string{"print", "--only", "BRN-MC5", "--out", filepath.Join(t.TempDir(), "x.pdf")}), "", true},
		{"a change logged", commands([]string{"change", "add", "--at", "REP-TX3", "--kind", "fuse replaced", "--by", "x"}), "in question since 2026-05-01", false},
		{"a change typed in", func(t *testing.T, dir string) {
			if err := os.WriteFile(filepath.Join(dir, "changes.toml"), []byte(change), 0o644); err != nil {
				t.Fatal(err)
			}
		}, "in question since 2026-05-01", false},
		{"withdrawn", commands([]string{"withdraw", "REP-LP1", "--reason", "torn"}), "withdrawn", false},
		{"the policy", replace("site.toml", "review_months = 60", "review_months = 36"), "", false},
		{"the row", newer, "", false},
		{"bad input", replace("site.toml", "units = ", "nonsense = "), "", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := printed(t)
			today, err := assess.ParseDate("2026-05-01")
			if err != nil {
				t.Fatal(err)
			}
			e := &Env{Stdout: io.Discard, Stderr: io.Discard, Now: time.Now, Width: 100, site: dir, today: today, todayGiven: true}
			out := filepath.Join(t.TempDir(), "label.pdf")
			j := job{kind: record.Reprint, whole: true, of: []string{"REP-LP1"}, out: &out, start: 1, copies: 1, reason: "burnt", by: "x"}
			find := e.again(func(s *basis.Shelf) (*basis.View, error) { return s.Find("REP-LP1") })
			var lines int
			planned := 0
			made, _, err := j.carry(e, func(v *plant.Plant, look press.Look) (*press.Plan, error) {
				p, err := find(v, look)
				if planned++; planned == 1 {
					c.between(t, dir)
					l, err := record.Open(dir).Ledger()
					if err != nil {
						t.Fatal(err)
					}
					lines = len(l.Lines)
				}
				return p, err
			})
			l, e2 := record.Open(dir).Ledger()
			if e2 != nil {
				t.Fatal(e2)
			}
			_, there := os.Lstat(out)
			if reprinted := len(l.Lines) > lines; reprinted != c.printed || (there == nil) != c.printed {
				t.Errorf("printed: %v, a file: %v; %v", reprinted, there == nil, err)
			}
			why := ""
			if err != nil {
				why = err.Error()
			}
			for _, r := range made.Refused {
				why += r.Why
			}
			if (why == "") != c.printed || !strings.Contains(why, c.refused) {
				t.Errorf("it says %q", why)
			}
			left, _ := filepath.Glob(filepath.Join(filepath.Dir(out), ".*"))
			if len(left) > 0 {
				t.Errorf("%v is left", left)
			}
		})
	}
}

// A print of many labels counts what happens in between too, and prints what is right afterwards.
func TestPrintJudgedAgainUnderTheLock(t *testing.T) {
	dir := printed(t)
	today, err := assess.ParseDate("2026-05-01")
	if err != nil {
		t.Fatal(err)
	}
	e := &Env{Stdout: io.Discard, Stderr: io.Discard, Now: time.Now, Width: 100, site: dir, today: today, todayGiven: true}
	out := filepath.Join(t.TempDir(), "labels.pdf")
	j := job{kind: record.Print, out: &out, start: 1, copies: 1, by: "x"}
	planned := 0
	made, _, err := j.carry(e, func(v *plant.Plant, look press.Look) (*press.Plan, error) {
		p, err := press.New(v, press.Choice{IDs: []string{"TUB-MC4", "REP-LP1", "FRO-LP2"}}, look)
		if planned++; planned == 1 {
			if code, _, stderr := run("change", "add", "--site", dir, "--today", "2026-05-01", "--at", "REP-TX3", "--kind", "fuse replaced", "--by", "x"); code != 0 {
				t.Fatal(stderr)
			}
		}
		return p, err
	})
	if err != nil || len(made.Refused) != 2 {
		t.Errorf("%v, %+v", err, made.Refused)
	}
	l, err := record.Open(dir).Ledger()
	if err != nil {
		t.Fatal(err)
	}
	if intent := l.Lines[len(l.Lines)-2]; intent.Count != 1 || intent.Labels[0].ID != "TUB-MC4" {
		t.Errorf("the ledger has %+v", intent)
	}
}

// A site that changes each time is not printed for ever.
func TestOvertakenAgainAndAgain(t *testing.T) {
	dir := printed(t)
	today, err := assess.ParseDate("2026-05-01")
	if err != nil {
		t.Fatal(err)
	}
	e := &Env{Stdout: io.Discard, Stderr: io.Discard, Now: time.Now, Width: 100, site: dir, today: today, todayGiven: true}
	out := filepath.Join(t.TempDir(), "labels.pdf")
	j := job{kind: record.Print, out: &out, start: 1, copies: 1, by: "x"}
	n := 0
	_, _, err = j.carry(e, func(v *plant.Plant, look press.Look) (*press.Plan, error) {
		ids := []string{"TUB-MC4", "REP-LP1"}
		if n++; n%2 == 1 {
			ids = ids[:1]
		}
		if err := os.WriteFile(filepath.Join(dir, assess.DevicesFile),
			[]byte("device,at,maintained,interval_months,result,by,note\n"+strings.Repeat("\n", n)), 0o644); err != nil {
			t.Fatal(err)
		}
		return press.New(v, press.Choice{IDs: ids}, look)
	})
	if !errors.Is(err, errOvertaken) || !strings.Contains(err.Error(), "nothing was printed") || n != 2*attempts {
		t.Errorf("%v after %d plans", err, n)
	}
}
