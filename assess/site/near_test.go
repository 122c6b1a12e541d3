package site

import (
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
)

// A folder with a problem of the folder as a whole gives the same report, whichever locations
// are asked for; without one, only these are read.
func TestReadNear(t *testing.T) {
	first := func(all []assess.Outline, _ map[string]int, _ *assess.Log, must []string) []bool {
		keep := make([]bool, len(all))
		for i := range all {
			keep[i] = i == 0 || slices.Contains(must, all[i].ID)
		}
		return keep
	}
	policy, err := os.ReadFile("../../samples/creamery/site.toml")
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile("../../samples/creamery/locations.csv")
	if err != nil {
		t.Fatal(err)
	}
	rows := string(data)
	edited := func(old, new string) string {
		if !strings.Contains(rows, old) {
			t.Fatalf("no %q", old)
		}
		return strings.Replace(rows, old, new, 1)
	}
	last := rows[strings.LastIndex(strings.TrimSpace(rows), "\n")+1:]
	header, _, _ := strings.Cut(rows, "\n")
	curved := strings.Replace(header, "note", "note,curve", 1)
	for what, files := range map[string]map[string]string{
		"sound":                      {"locations.csv": rows},
		"an unreadable cell":         {"locations.csv": edited(",480,", ",about 480,")},
		"twice the same id":          {"locations.csv": rows + last},
		"an id in other capitals":    {"locations.csv": rows + strings.ToLower(last[:3]) + last[3:]},
		"a row without an id":        {"locations.csv": rows + last[strings.IndexByte(last, ','):]},
		"more cells than headings":   {"locations.csv": rows + strings.TrimSpace(last) + ",x,y\n"},
		"an unknown place":           {"locations.csv": rows, "changes.toml": "[[change]]\ndate = 2026-04-01\nat = \"NOWHERE\"\nkind = \"fuse replaced\"\nby = \"N. Example\"\n"},
		"an unknown case":            {"locations.csv": rows, "changes.toml": "[[change]]\ndate = 2026-04-01\nat = \"GAL-SB1\"\nkind = \"fuse replaced\"\nby = \"N. Example\"\nnew_fault_ka = 20\nnew_case = \"none such\"\n"},
		"a device at an unknown one": {"locations.csv": rows, "devices.csv": "device,at\nbreaker,NOWHERE\n"},
		"a broken curve elsewhere": {"curves/main.csv": "no curve\n", "locations.csv": curved + rows[len(header):strings.LastIndex(strings.TrimSpace(rows), "\n")+1] +
			strings.TrimSpace(last) + ",main.csv\n"},
	} {
		folder := fstest.MapFS{"site.toml": {Data: policy}}
		for name, text := range files {
			folder[name] = &fstest.MapFile{Data: []byte(text)}
		}
		whole, want := Read(folder, Options{})
		part, got := ReadNear(folder, Options{}, first)
		if text := func(err error) string {
			if err == nil {
				return ""
			}
			return err.Error()
		}; text(got) != text(want) {
			t.Errorf("%s: %v\nwant %v", what, got, want)
		}
		if sound := what == "sound" || what == "an unreadable cell"; sound != (want == nil) {
			t.Errorf("%s: %v", what, want)
		} else if sound && (len(part.Locations) != 1 || len(part.Beyond)+1 != len(whole.Locations)) {
			t.Errorf("%s: %d locations read, %d left out", what, len(part.Locations), len(part.Beyond))
		}
	}
}
