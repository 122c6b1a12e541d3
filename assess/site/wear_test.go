package site

import (
	"strings"
	"testing"

	"vouchmark/assess"
)

// A language of the site in which what is worn has no list of its own is said at
// each location that wears it, with the key that is missing. The plain list is
// taken to be English.
func TestWearUntranslated(t *testing.T) {
	const es, below = "languages = [\"en\", \"es\"]\n", "below_threshold_wear"
	low := over(bare, cells{"energy_cal_cm2": "0.9", "boundary_in": "15"})
	spanish := strings.NewReplacer("wear = [\"shirt\"]", "wear = [\"shirt\"]\nwear_es = [\"camisa\"]")
	for _, c := range []struct {
		name, top string
		row       cells
		ladder    func(string) string
		want      string // the key that the finding names; "" for no finding
	}{
		{"English", "", cells{}, nil, ""},
		{"no list in Spanish", es, cells{}, nil, "wear_es"},
		{"a list in Spanish", es, cells{}, spanish.Replace, ""},
		{"two languages without", "languages = [\"fr\", \"es\"]\n", cells{}, nil, "wear_fr and wear_es"},
		{"below 1.2 nobody lists anything", es, low, nil, ""},
		{"below 1.2 in English alone", es + below + " = [\"gloves\"]\n", low, nil, below + "_es"},
		{"below 1.2 in Spanish alone", es + below + "_es = [\"guantes\"]\n", low, nil, below},
		{"below 1.2 in both", es + below + " = [\"gloves\"]\n" + below + "_es = [\"guantes\"]\n", low, nil, ""},
		{"the kit's list is not worn below 1.2", es, low, nil, ""},
	} {
		ladder := gateLadder
		if c.ladder != nil {
			ladder = c.ladder(ladder)
		}
		folder := gateFolder(c.top, "", over(gatePanel, c.row), gateBoard)
		text := strings.Replace(string(folder["site.toml"].Data), gateLadder, ladder, 1)
		folder["site.toml"].Data = []byte(text)
		s, err := Read(folder, Options{Languages: []string{"en", "es", "fr"}})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		day, _ := assess.ParseDate("2026-05-01")
		got := ""
		for _, f := range s.Assess(day)[0].Findings {
			if f.Code == assess.WearUntranslated {
				got += f.Message
			}
		}
		if _, key, _ := strings.Cut(got, "; add "); key != c.want+" to site.toml" && (c.want != "" || got != "") {
			t.Errorf("%s: %q, want one that names %q", c.name, got, c.want)
		}
	}
}
