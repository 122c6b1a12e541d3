package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// studies are the study files in testdata/studies, of five invented plants, with the
// answers that a person must give for each in addition to its site.toml: mostly whether
// an interrupting rating is the device's or the equipment's.
var studies = []struct {
	plant, file string
	say         []string
	labels      int
}{
	{"granary", "granary.xlsx", []string{"--column", "Interrupting Rating=device_rating_ka"}, 22},
	{"foundry", "foundry.xlsx", []string{"--column", "Device AIC (kA)=device_rating_ka"}, 19},
	{"cannery", "cannery.csv", nil, 16},
	{"ferry", "ferry.txt", []string{"--column", "Item=id", "--column", "Withstand Amps (A)=rating_a", "--column", "Device Rating (A)=device_rating_a"}, 15},
	{"brewery", "brewery.csv", []string{"--column", "AIC (kA)=device_rating_ka"}, 17},
}

// Two commands turn every study file into what expected.csv says, which was written by
// hand, and print its labels.
func TestStudies(t *testing.T) {
	for _, s := range studies {
		t.Run(s.plant, func(t *testing.T) {
			from := filepath.Join("testdata", "studies", s.plant)
			dir := t.TempDir()
			policy, err := os.ReadFile(filepath.Join(from, "site.toml"))
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, "site.toml"), policy, 0o644); err != nil {
				t.Fatal(err)
			}
			args := append([]string{"intake", filepath.Join(from, s.file), "--site", dir, "--today", "2026-05-01", "--write"}, s.say...)
			if code, stdout, stderr := call(t, args...); code != 0 {
				t.Fatalf("exit code %d\n%s%s", code, stdout, stderr)
			}
			got := rowsOf(t, dir)
			pdf := filepath.Join(t.TempDir(), "labels.pdf")
			code, stdout, stderr := call(t, "print", "--site", dir, "--today", "2026-05-01", "--out", pdf)
			if code != 0 || !strings.Contains(stdout, fmt.Sprintf("%d labels", s.labels)) {
				t.Errorf("print: exit code %d, want %d labels\n%s%s", code, s.labels, stdout, stderr)
			}
			expected, err := os.ReadFile(filepath.Join(from, "expected.csv"))
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, "locations.csv"), expected, 0o644); err != nil {
				t.Fatal(err)
			}
			compareRows(t, got, rowsOf(t, dir))
		})
	}
}

func rowsOf(t *testing.T, dir string) map[string]map[string]string {
	t.Helper()
	s, err := site.Read(os.DirFS(dir), site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]map[string]string{}
	for i := range s.Locations {
		l := &s.Locations[i]
		for k := range l.Cases {
			row := map[string]string{}
			for c := range assess.Columns {
				row[assess.Columns[c].Name] = assess.Columns[c].Text(l.Row(k))
			}
			for _, f := range l.Unreadable {
				row["unreadable "+f.Field] = f.Message
			}
			all[l.ID+"/"+l.Cases[k].Name] = row
		}
	}
	return all
}

func compareRows(t *testing.T, got, want map[string]map[string]string) {
	t.Helper()
	for id, row := range want {
		if got[id] == nil {
			t.Errorf("%s is lost", id)
			continue
		}
		for name, value := range row {
			if got[id][name] != value {
				t.Errorf("%s %s: got %q, want %q", id, name, got[id][name], value)
			}
		}
		for name, value := range got[id] {
			if _, there := row[name]; !there {
				t.Errorf("%s %s: %q", id, name, value)
			}
		}
	}
	for id := range got {
		if want[id] == nil {
			t.Errorf("%s is not a location", id)
		}
	}
}
