package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// many makes a site of some copies of the mill, with its policy changed by edit.
func many(t *testing.T, copies int, edit func(policy string) string) (site string, locations int) {
	t.Helper()
	site = t.TempDir()
	mill := filepath.Join("samples", "mill")
	if err := copySite(site, mill); err != nil {
		t.Fatal(err)
	}
	if err := copyFiles(site, mill, history...); err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(filepath.Join(mill, "locations.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	ids := map[string]bool{}
	var b strings.Builder
	out := csv.NewWriter(&b)
	out.Write(rows[0])
	for k := range copies {
		for _, row := range rows[1:] {
			row = slices.Clone(row)
			for _, name := range []string{"id", "fed_from", "device_at"} {
				if i := slices.Index(rows[0], name); row[i] != "" && k > 0 {
					row[i] = fmt.Sprintf("%s-%d", row[i], k)
				}
			}
			ids[row[0]] = true
			out.Write(row)
		}
	}
	out.Flush()
	policy, err := os.ReadFile(filepath.Join(mill, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"locations.csv": b.String(), "site.toml": edit(string(policy))} {
		if err := os.WriteFile(filepath.Join(site, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return site, len(ids)
}

// checked is check --json of a site, as far as these tests need it.
type checked struct {
	Locations []struct {
		ID       string
		Computed *struct{}
		Findings []struct{ Level, Code string }
	}
	Summary struct {
		Locations  int
		All        int `json:"all_locations"`
		WouldPrint int `json:"would_print"`
		WouldNot   int `json:"would_not"`
		Reasons    []struct {
			Code      string
			Locations int
		}
	}
	Suggestions []struct {
		Key       string
		Locations int
		Text      string
	}
	Filter *struct {
		Errors     bool
		Only, Area []string
	}
}

func check(t *testing.T, site string, flags ...string) (c checked) {
	t.Helper()
	text := shownAt(80, append([]string{"check", "--json", "--site", site}, flags...)...)
	if err := json.Unmarshal([]byte(text), &c); err != nil {
		t.Fatalf("%v in\n%.300s", err, text)
	}
	return c
}

// Of 2,000 locations check shows a screen, and everything on request.
func TestCheckOfMany(t *testing.T) {
	t.Parallel()
	site, n := many(t, 44, func(policy string) string { return strings.Replace(policy, "typical = true", "", 1) })
	text := shownAt(80, "check", "--site", site)
	if lines := strings.Count(text, "\n"); n < 2000 || lines > 40 || lines < 20 {
		t.Errorf("%d locations in %d lines:\n%s", n, lines, text)
	}
	first := regexp.MustCompile(`(?s)^(\d+) locations and 1 label without a row: (\d+) would print [^,]*, (\d+) would\s+not\n`).FindStringSubmatch(text)
	c := check(t, site)
	if first == nil || first[1] != fmt.Sprint(n) || first[2] != fmt.Sprint(c.Summary.WouldPrint) || first[3] != fmt.Sprint(c.Summary.WouldNot) ||
		c.Summary.WouldPrint+c.Summary.WouldNot != n || len(c.Locations) != n || c.Filter != nil {
		t.Errorf("%q of %d, %+v", first, n, c.Summary)
	}
	// The counts of findings are those of the findings themselves.
	count := map[string]int{}
	for _, l := range c.Locations {
		seen := map[string]bool{}
		for _, f := range l.Findings {
			if f.Level == "error" && !seen[f.Code] {
				seen[f.Code] = true
				count[f.Code]++
			}
		}
	}
	for i, r := range c.Summary.Reasons {
		if r.Code != "" && r.Locations != count[r.Code] {
			t.Errorf("%d locations with %s, want %d", r.Locations, r.Code, count[r.Code])
		}
		if i > 0 && r.Locations > c.Summary.Reasons[i-1].Locations {
			t.Errorf("%s with %d comes after %d", r.Code, r.Locations, c.Summary.Reasons[i-1].Locations)
		}
		if line := fmt.Sprintf("%5d  ", r.Locations); i < 3 && !strings.Contains(text, line) {
			t.Errorf("reason %d is not in the summary: %s", i, line)
		}
	}
	full := shownAt(80, "check", "--full", "--site", site)
	for _, l := range c.Locations {
		if strings.Count(full, "\n"+l.ID+" ") != 1 {
			t.Fatalf("%s is in %d lines of the list", l.ID, strings.Count(full, "\n"+l.ID+" "))
		}
	}
	if !strings.HasPrefix(full, text[:strings.Index(text, "labels: ")]) {
		t.Errorf("the list begins with\n%.400s", full)
	}
}

// What is suggested helps exactly as many locations as it says.
func TestSuggestions(t *testing.T) {
	t.Parallel()
	less := func(policy string) string {
		policy = strings.Replace(policy, "typical = true", "", 1)
		return strings.Replace(policy, `sources = ["YARD-G1", "YARD-G2"]`, "", 1)
	}
	site, n := many(t, 2, less)
	before := check(t, site)
	if before.Summary.Locations != n || len(before.Suggestions) != 2 || before.Suggestions[0].Key != "typical" || before.Suggestions[1].Key != "sources" {
		t.Fatalf("%+v", before.Suggestions)
	}
	policy := filepath.Join(site, "site.toml")
	old, err := os.ReadFile(policy)
	if err != nil {
		t.Fatal(err)
	}
	sources := regexp.MustCompile(`^sources = \[[^…]*?\]`).FindString(before.Suggestions[1].Text)
	if err := os.WriteFile(policy, slices.Concat([]byte("typical = true\n"+sources+"\n"), old), 0o644); err != nil {
		t.Fatal(err)
	}
	after := check(t, site)
	computed, fed := 0, 0
	lacks := func(c checked, i int) bool {
		return slices.ContainsFunc(c.Locations[i].Findings, func(f struct{ Level, Code string }) bool { return f.Code == "no-feeds" })
	}
	for i := range after.Locations {
		if before.Locations[i].Computed == nil && after.Locations[i].Computed != nil {
			computed++
		}
		if lacks(before, i) && !lacks(after, i) {
			fed++
		}
	}
	if computed == 0 || computed != before.Suggestions[0].Locations || fed == 0 || fed != before.Suggestions[1].Locations {
		t.Errorf("%d recomputed and %d fed after %+v", computed, fed, before.Suggestions)
	}
	if len(after.Suggestions) != 0 {
		t.Errorf("it still suggests %+v", after.Suggestions)
	}
}

// A filter chooses as print does, and every form says so.
func TestCheckFilters(t *testing.T) {
	t.Parallel()
	site := filepath.Join("samples", "mill")
	all := check(t, site)
	for _, c := range []struct {
		flags []string
		shows func(id string) bool
		code  int
	}{
		{[]string{"--only", "CHIP-P3,chip-none"}, nil, 1},
		{[]string{"--area", "nowhere"}, nil, 1},
		{[]string{"--only", ""}, nil, 2},
		{[]string{"--only", "CHIP-P3,CHIP-P7"}, func(id string) bool { return id == "CHIP-P3" || id == "CHIP-P7" }, 0},
		{[]string{"--only", "CHIP-P9"}, func(id string) bool { return false }, 0},
		{[]string{"--area", "incoming YARD"}, func(id string) bool { return strings.HasPrefix(id, "YARD-") }, 1},
		{[]string{"--errors", "--only", "CHIP-P3", "--only", "CHIP-P1"}, func(id string) bool { return id == "CHIP-P1" }, 1},
	} {
		args := append([]string{"check", "--site", site}, c.flags...)
		code, text, said := call(t, args...)
		if code != c.code {
			t.Errorf("%v: exit code %d, want %d: %s", c.flags, code, c.code, said)
		}
		if c.shows == nil {
			continue
		}
		out := check(t, site, c.flags...)
		var want []string
		for _, l := range all.Locations {
			if c.shows(l.ID) {
				want = append(want, l.ID)
			}
			if has := strings.Contains(text, "\n"+l.ID+" "); has != c.shows(l.ID) {
				t.Errorf("%v: the list has %s: %v", c.flags, l.ID, has)
			}
		}
		if len(out.Locations) != len(want) || out.Filter == nil || out.Summary.All != len(all.Locations) || out.Summary.Locations != len(want) {
			t.Errorf("%v: %+v, filter %+v", c.flags, out.Summary, out.Filter)
		}
		if !strings.HasPrefix(text, fmt.Sprintf("shown: %d of 46 locations; only ", len(want))) {
			t.Errorf("%v begins with %.80q", c.flags, text)
		}
		rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(shownAt(80, append(args, "--csv")...), "\ufeff"))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows[1:] {
			if id := row[0]; id != "" && id != "CHIP-P9" && !c.shows(id) || slices.Contains(c.flags, "--errors") && row[7] != "error" {
				t.Errorf("%v: the spreadsheet has %q", c.flags, row)
			}
		}
	}
}

// An empty cell that every label needs is filled by [defaults] where all other rows agree,
// and only then is that suggested.
func TestSuggestDefaults(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, from, to string
		most           int // rows to change
		want           int
	}{
		{"empty cells", ",2026-03-14,", ",,", 3, 3},
		{"one empty cell", ",2026-03-14,", ",,", 1, 0},
		{"another value, not an empty cell", ",2026-03-14,", ",soon,", 3, 0},
	} {
		site := creamery(t)
		file := filepath.Join(site, "locations.csv")
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(strings.Replace(string(data), c.from, c.to, c.most)), 0o644); err != nil {
			t.Fatal(err)
		}
		before := check(t, site)
		if c.want == 0 {
			if len(before.Suggestions) > 0 {
				t.Errorf("%s: %+v", c.name, before.Suggestions)
			}
			continue
		}
		if len(before.Suggestions) != 1 || before.Suggestions[0].Key != "defaults" || before.Suggestions[0].Locations != c.want {
			t.Fatalf("%s: %+v", c.name, before.Suggestions)
		}
		setting := strings.TrimSuffix(regexp.MustCompile(`^.* under`).FindString(before.Suggestions[0].Text), " under")
		policy := filepath.Join(site, "site.toml")
		old, err := os.ReadFile(policy)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(policy, slices.Concat(old, []byte("\n[defaults]\n"+setting+"\n")), 0o644); err != nil {
			t.Fatal(err)
		}
		if after := check(t, site); after.Summary.WouldPrint != before.Summary.WouldPrint+c.want || after.Suggestions == nil || len(after.Suggestions) > 0 {
			t.Errorf("%s: %+v after %+v", c.name, after.Summary, before.Summary)
		}
	}
}
