package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
	"vouchmark/label/archive"
	"vouchmark/label/basis/people"
	"vouchmark/label/mirror"
	"vouchmark/label/record"
	"vouchmark/label/seal"
	"vouchmark/layout/commands"
	"vouchmark/layout/press"
)

// A block of README marked console is a session: lines that begin with $ are
// commands, the lines below are what they print. A line with only … stands for any
// number of lines.
var console = regexp.MustCompile("(?ms)^```console\n(.*?)^```$")

// prompt finds a command, with its continued lines, and what it is to print.
var prompt = regexp.MustCompile(`(?m)^\$ ((?:.*\\\n)*.*)\n((?:[^$].*\n|\n)*)`)

// exitCode is said behind a command that does not end well.
var exitCode = regexp.MustCompile(`\s+# exit code (\d)$`)

// README's sessions run one after the other, beside the samples, and print what
// README shows on a terminal of 80 columns; -update writes what they print.
func TestReadmeSessions(t *testing.T) {
	readme, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	samples, err := filepath.Abs("samples")
	if err != nil {
		t.Fatal(err)
	}
	home, err := filepath.Abs("README.md")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, plant := range []string{"creamery", "mill", "smelter", "bakery"} {
		if err := copySite(filepath.Join(dir, "samples", plant), filepath.Join(samples, plant)); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
	sessions := 0
	now := console.ReplaceAllStringFunc(string(readme), func(block string) string {
		sessions++
		return prompt.ReplaceAllStringFunc(block, func(one string) string {
			parts := prompt.FindStringSubmatch(one)
			said := run(t, parts[1])
			want := strings.TrimSuffix(parts[2], "```")
			if matches(want, said) {
				return one
			}
			if !*update {
				t.Errorf("README.md shows for %s\n%s\nit prints\n%s", parts[1], want, said)
			}
			return "$ " + parts[1] + "\n" + said + strings.TrimPrefix(parts[2], want)
		})
	})
	if sessions == 0 {
		t.Fatal("README.md shows no session")
	}
	if *update {
		if err := os.WriteFile(home, []byte(now), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// run carries out a command of README and gives what it prints.
func run(t *testing.T, line string) string {
	t.Helper()
	want := "0"
	if m := exitCode.FindStringSubmatch(line); m != nil {
		line, want = strings.TrimSuffix(line, m[0]), m[1]
	}
	args := words(strings.ReplaceAll(line, "\\\n", " "))
	switch args[0] {
	case "cp": // -r FROM TO
		if err := os.CopyFS(args[3], os.DirFS(args[2])); err != nil {
			t.Fatal(err)
		}
		return ""
	case "vouchmark":
	default:
		t.Fatalf("README.md runs %q, which this test does not know", args[0])
	}
	var out bytes.Buffer
	e := &commands.Env{Stdout: &out, Stderr: &out, Width: 80, Now: func() time.Time { return time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC) }}
	if code := commands.Run(e, table, args[1:]); fmt.Sprint(code) != want {
		t.Errorf("%s: exit code %d, want %s\n%s", line, code, want, out.String())
	}
	said := out.String()
	if said != "" && !strings.HasSuffix(said, "\n") {
		said += "\n"
	}
	return said
}

// words splits a command as a shell does; quotation marks keep a word together.
func words(line string) []string {
	var all []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		all = append(all, m[1]+m[2])
	}
	return all
}

// matches reports whether a text is what README shows, where … stands for any lines.
func matches(shown, said string) bool {
	var re strings.Builder
	for line := range strings.Lines(shown) {
		if line == "…\n" {
			re.WriteString(`(?:.*\n)*`)
		} else {
			re.WriteString(regexp.QuoteMeta(line))
		}
	}
	return regexp.MustCompile(`\A` + re.String() + `\z`).MatchString(said)
}

// README's lists of columns and of findings follow from their tables; -update
// writes them.
func TestReadmeLists(t *testing.T) {
	data, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	readme := string(data)
	for name, want := range map[string]string{"columns": columnList(), "findings": findingList(), "limits": limitList()} {
		begin, end := "<!-- "+name+" -->\n", "<!-- /"+name+" -->"
		head, rest, ok := strings.Cut(readme, begin)
		list, tail, closed := strings.Cut(rest, end)
		if !ok || !closed {
			t.Fatalf("README.md has no place for the %s", name)
		}
		if list != want && !*update {
			t.Errorf("README.md lists\n%s\nwant\n%s\n(go test . -run ReadmeLists -update writes it)", list, want)
		}
		readme = head + begin + want + end + tail
	}
	if *update {
		if err := os.WriteFile("README.md", []byte(readme), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// findingList is the table of findings in Markdown: errors that may be
// accepted have a star.
func findingList() string {
	var b strings.Builder
	b.WriteString("| finding | | when |\n| --- | --- | --- |\n")
	for _, c := range assess.Codes {
		level := string(c.Level)
		if c.Acceptable {
			level += " \\*"
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", c.Code, level, c.Meaning)
	}
	return b.String()
}

// limits are all limits of what is read.
func limits() []infile.Limit {
	return slices.Concat(site.Limits(), sheet.Limits(), record.Limits(), archive.Limits(), seal.Limits(), press.Limits(), people.Limits(), mirror.Limits(), commands.Limits())
}

// limitList is their table in Markdown.
func limitList() string {
	var b strings.Builder
	b.WriteString("| what | at most |\n| --- | --- |\n")
	for _, l := range limits() {
		fmt.Fprintf(&b, "| %s | %s |\n", l.What, l.Most)
	}
	return b.String()
}

// edges are the tests that try each limit at its edge: as much as it allows, and a little more.
var edges = map[string][]string{
	"`locations.csv`, `devices.csv`": {"TestTableLimits", "TestLargestTable"},
	"`site.toml`, a wording":         {"TestLimits"},
	"`changes.toml`, `intake.toml`":  {"TestLimits"},
	"in any of these TOML files":     {"TestScanTOML"},
	"`people.toml`":                  {"TestPeopleLimits"},
	"`mirror.toml`":                  {"TestLargestSetting"},
	"a clearing curve":               {"TestLimits", "TestLargestFiles"},
	"a name, an id, a note or reason, a sentence of a wording": {"TestLongestTexts"},
	"a report of problems": {"TestCollected"},
	"a study's file":       {"TestLargestFiles"},
	"a sheet of it":        {"TestLimitsOfText", "TestLimitsOfWorkbooks"},
	"a workbook, unpacked": {"TestLimitsOfWorkbooks"},
	"a file in `studies/`, and a `locations.csv` that a study replaces": {"TestSound"},
	"a record (more than a thousand cases)":                             {"TestSound"},
	"`ledger.jsonl`":                                                    {"TestLongestLine", "TestLargestFiles"},
	"an archive":                                                        {"TestMostFiles", "TestLongDirectory", "TestLargestFiles"},
	"an archive, unpacked":                                              {"TestRatio", "TestSound"},
	"`keys.txt`, or the list given with `--keys`":                       {"TestLargestFiles", "TestMostKeys"},
	"a private key":                                                     {"TestLargestFiles"},
	"a walk list, or a list of a round, filled in":                      {"TestLargestFiles"},
	"a certificate, its key":                                            {"TestLargestFiles"},
	"a list of places":                                                  {"TestListOfPlaces"},
	"the start of a published `site.json`, up to the end of its summary": {"TestPublished"},
}

// Each limit has a test that tries its edge.
func TestLimitsHaveTests(t *testing.T) {
	there := map[string]bool{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		data, err := os.ReadFile(path)
		for _, m := range regexp.MustCompile(`(?m)^func (Test\w+)\(`).FindAllSubmatch(data, -1) {
			there[string(m[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range limits() {
		if len(edges[l.What]) == 0 {
			t.Errorf("nothing tests %s: %s", l.What, l.Most)
		}
		for _, name := range edges[l.What] {
			if !there[name] {
				t.Errorf("%s: no %s", l.What, name)
			}
		}
	}
	if len(edges) != len(limits()) {
		t.Errorf("%d limits, tests of %d", len(limits()), len(edges))
	}
}

// columnList is the table of columns in Markdown.
func columnList() string {
	var b strings.Builder
	b.WriteString("| column | meaning | in a study report |\n| --- | --- | --- |\n")
	for i := range assess.Columns {
		c := &assess.Columns[i]
		if c.Noted {
			continue
		}
		names := c.Spellings()
		for k := range names {
			names[k] = "`" + names[k] + "`"
		}
		name := strings.Join(names, " ")
		if c.Needed {
			name = "**" + name + "**"
		}
		if c.PerCase {
			name += " ‡"
		}
		meaning := c.Meaning
		if c.Choices != nil {
			meaning += " (`" + strings.Join(c.Choices, "`, `") + "`)"
		}
		fmt.Fprintf(&b, "| %s | %s | %s |\n", name, meaning, c.Report)
	}
	return b.String()
}

// Every command and flag that README names exists.
func TestReadmeCommands(t *testing.T) {
	data, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, readme, _ := strings.Cut(strings.ReplaceAll(string(data), "\\\n", " "), "\n## ")
	var named []string
	for _, m := range regexp.MustCompile("(?m)(?:`|^|^\\$ )vouchmark ([a-z][^`\n]*)").FindAllStringSubmatch(readme, -1) {
		named = append(named, m[1])
	}
	for _, m := range regexp.MustCompile("(?m)^\\| `([^`]*)` \\| .*$").FindAllStringSubmatch(section(readme, "## Commands"), -1) {
		named = append(named, m[1])
	}
	if len(named) < 40 {
		t.Errorf("only %d commands found in README.md", len(named))
	}
	for _, line := range named {
		args := words(line)
		code, help, errs := call(t, args[0], "--help")
		if strings.Contains(help, " is one of: ") && len(args) > 1 {
			code, help, errs = call(t, args[0], args[1], "--help")
		}
		if code != 0 {
			t.Errorf("README.md says vouchmark %s: %s", line, errs)
		}
		for _, flag := range args {
			flag, _, _ = strings.Cut(flag, "=")
			if strings.HasPrefix(flag, "--") && flag != "--help" && !regexp.MustCompile(regexp.QuoteMeta(flag)+`\b`).MatchString(help) {
				t.Errorf("README.md says vouchmark %s, which has no %s", line, flag)
			}
		}
	}
}

// section is the part of a page below a heading.
func section(page, heading string) string {
	_, rest, _ := strings.Cut(page, heading+"\n")
	part, _, _ := strings.Cut(rest, "\n## ")
	return part
}
