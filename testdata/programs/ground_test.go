package programs

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// grounds are folders in which the writing commands run: a small site with a label that is
// mounted and one that is not, an archive's target, a study, keys, and an earlier output.
type grounds struct {
	program, base, key string
}

func newGrounds(t *testing.T) *grounds {
	t.Helper()
	g := &grounds{program: program(t), base: t.TempDir()}
	for _, dir := range []string{"site", "other", "out"} {
		if err := os.Mkdir(filepath.Join(g.base, dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	read := func(file string) string { return string(content(t, filepath.Join(root, "samples", "creamery", file))) }
	policy, _, _ := strings.Cut(read("site.toml"), "[[transformer]]")
	var rows []string
	for line := range strings.Lines(read("locations.csv")) {
		if id, _, _ := strings.Cut(line, ","); slices.Contains([]string{"id", "TNK-US1", "TNK-SG1", "GAL-BY1", "GAL-DC1"}, id) {
			rows = append(rows, strings.Replace(line, ",9.4,25,", ",9.4,8,", 1)) // a finding that can be accepted
		}
	}
	for file, text := range map[string]string{"site/site.toml": policy, "site/locations.csv": strings.Join(rows, ""),
		"other/site.toml": policy, "other/locations.csv": strings.Join(rows, ""),
		"out/study.csv": strings.Replace(strings.Join(rows, ""), "duration as the utility states it", "another note", 1)} {
		if err := os.WriteFile(filepath.Join(g.base, file), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, args := range []string{"print --site site --only GAL-BY1,GAL-DC1 --out out/labels.pdf --by tester", "mounted GAL-BY1 --site site --by tester",
		"key new tester --out out/key"} {
		said := g.run(t, g.base, words(args)...)
		if said.code != 0 {
			t.Fatalf("%s: %+v", args, said)
		}
		g.key = last(said.out)
	}
	return g
}

func last(text string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	return lines[len(lines)-1]
}

// dated is a command line with the day of all these tests, where it has one.
func dated(args []string) []string {
	if args[0] == "init" || args[0] == "person" || args[0] == "key" && args[1] == "new" {
		return args
	}
	return append(slices.Clone(args), "--today", "2026-05-01")
}
