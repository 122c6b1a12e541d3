package main

import (
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"
)

// Every test that DEVELOPERS.md names exists, and each threat names what shows that it is stopped or
// revealed: a test or a script.
func TestThreatsNameTests(t *testing.T) {
	exists := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^func (Test\w+)\(`)
	err := fs.WalkDir(os.DirFS("."), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, "_test.go") {
			return err
		}
		data, err := os.ReadFile(name)
		for _, m := range declared.FindAllSubmatch(data, -1) {
			exists[string(m[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	guide, err := os.ReadFile("DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	named := regexp.MustCompile("`(Test\\w+)`")
	for _, m := range named.FindAllSubmatch(guide, -1) {
		if !exists[string(m[1])] {
			t.Errorf("DEVELOPERS.md names %s, which does not exist", m[1])
		}
	}
	_, table, found := strings.Cut(string(guide), "\n## Threats\n")
	table, _, ended := strings.Cut(table, "\n## ")
	if !found || !ended {
		t.Fatal("no table of threats")
	}
	const nobodyLooks = "copies a good label onto other equipment" // only a reader can find that
	rows := 0
	for line := range strings.Lines(table) {
		if !strings.HasPrefix(line, "| ") || strings.HasPrefix(line, "| who | does |") || strings.HasPrefix(line, "| ---") {
			continue
		}
		rows++
		if !named.MatchString(line) && !strings.Contains(line, "`testdata/script/") && !strings.Contains(line, nobodyLooks) {
			t.Errorf("no test is named: %s", line)
		}
	}
	if rows < 20 {
		t.Errorf("%d threats", rows)
	}
}
