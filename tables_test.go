package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"vouchmark/label/report"
	"vouchmark/layout/commands"
)

// shownAt is what a command shows on a terminal of a width.
func shownAt(width int, args ...string) string {
	var out, errs bytes.Buffer
	e := &commands.Env{Stdout: &out, Stderr: &errs, Width: width,
		Now: func() time.Time { return time.Date(2026, 10, 15, 12, 0, 0, 0, time.UTC) }}
	commands.Run(e, table, args)
	return out.String()
}

// What the commands show of the samples fits a terminal of 80 columns, and uses the
// room of a wider one.
func TestTablesFit(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	site := func(name string) string { return filepath.Join(dir, name) }
	for _, name := range []string{"creamery", "mill", "smelter", "bakery"} {
		if err := os.CopyFS(site(name), os.DirFS(filepath.Join("samples", name))); err != nil {
			t.Fatal(err)
		}
	}
	// a change says more of labels that were printed
	shownAt(80, "print", "--site", site("creamery"), "--out", filepath.Join(dir, "labels.pdf"))
	calls := [][]string{
		{"history", "BARK-P1", "--site", site("mill")},
		{"history", "CHIP-P9", "--site", site("mill")},
		{"audit", "--site", site("mill")},
		{"basis", "BARK-P1", "--site", site("mill")},
		{"basis", "GAL-SB1", "--site", site("creamery")},
		{"basis", "MC2-RS", "--site", site("smelter")},
		{"intake", site("bakery") + "/HB-26.csv", "--site", site("bakery")},
		{"suppose", "--site", site("creamery"), "--at", "GAL-SB2", "--fault-ka", "40"},
		{"suppose", "--site", site("smelter"), "--at", "SB1-PL", "--fault-ka", "60"},
		{"change", "add", "--site", site("creamery"), "--at", "TNK-US1", "--kind", "utility source changed", "--by", "N. Example"},
		{"accept", "TURB-B1", "over-rating", "--site", site("mill"), "--by", "N. Example, PE", "--reason", "series rated"},
	}
	for _, name := range []string{"creamery", "mill", "smelter"} {
		calls = append(calls, []string{"check", "--site", site(name)}, []string{"check", "--full", "--site", site(name)},
			[]string{"check", "--errors", "--site", site(name)}, []string{"due", "--site", site(name)},
			[]string{"tree", "--site", site(name)})
	}
	widest := map[int]int{}
	for _, args := range calls {
		for _, width := range []int{80, 120} {
			for line := range strings.Lines(shownAt(width, args...)) {
				line = strings.TrimRight(line, "\n")
				n := report.Width(line)
				if n > width && !strings.Contains(args[0]+line, dir) { // the path of a folder may be of any length
					t.Errorf("%v at %d: %d columns: %s", args[:2], width, n, line)
				}
				widest[width] = max(widest[width], n)
				if strings.HasSuffix(line, " ") {
					t.Errorf("%v at %d: blanks at the end of %q", args[:2], width, line)
				}
			}
		}
	}
	if widest[120] <= 100 {
		t.Errorf("%d of 120 columns are used", widest[120])
	}
}

// check, tree and due count a label alike, and the words for a count are the same.
func TestCountsAgree(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"creamery", "mill", "smelter"} {
		site := filepath.Join("samples", name)
		check, tree := shownAt(300, "check", "--site", site), shownAt(300, "tree", "--site", site)
		_, counts, _ := strings.Cut(check, "\nlabels: ")
		counts, _, _ = strings.Cut(counts, "\n")
		signs := strings.NewReplacer("● ", "", "◔ ", "", "■ ", "", "◆ ", "", "⇄ ", "", "✕ ", "", "⊘ ", "", "○ ", "", "· ", "")
		if !strings.Contains(signs.Replace(tree), ": "+counts+"\n") {
			t.Errorf("%s: check counts %s, and tree otherwise:\n%s", name, counts, tree)
		}
		var due []string // the counts with their cause
		for line := range strings.Lines(shownAt(300, "due", "--site", site)) {
			if cells := strings.Fields(line); len(cells) > 0 && cells[0] == "now" {
				due = append(due, strings.Join(cells[1:], " "))
			}
		}
		for part := range strings.SplitSeq(counts, ", ") {
			_, state, _ := strings.Cut(part, " ")
			if state != "ready to print" && state != "not printed" && state != "lapsed" {
				continue
			}
			if !slices.ContainsFunc(due, func(line string) bool { return strings.HasPrefix(line, part+" ") }) {
				t.Errorf("%s: check counts %s, and due %q", name, part, due)
			}
		}
	}
}

// Where a label does not hold, or cannot be printed, no list shows a signal word, an
// energy or a kit that somebody could take as valid.
func TestNoInvalidValues(t *testing.T) {
	t.Parallel()
	site := filepath.Join("samples", "mill")
	var says struct {
		Locations []struct {
			ID       string
			Ready    bool
			Standing *struct{ Status string }
		}
	}
	if err := json.Unmarshal([]byte(shownAt(300, "check", "--site", site, "--json")), &says); err != nil {
		t.Fatal(err)
	}
	valid, not := 0, 0
	for _, command := range []string{"check --full", "tree"} {
		lines := strings.Split(shownAt(300, append(strings.Fields(command), "--site", site)...), "\n")
		for _, l := range says.Locations {
			i := slices.IndexFunc(lines, func(line string) bool { return slices.Contains(strings.Fields(line), l.ID) })
			if i < 0 {
				t.Fatalf("%s does not list %s", command, l.ID)
			}
			ok := l.Standing == nil && l.Ready || l.Standing != nil && (l.Standing.Status == "holds" || l.Standing.Status == "falls due")
			if shows := strings.Contains(lines[i], "cal/cm²") || strings.Contains(lines[i], "WARNING") ||
				strings.Contains(lines[i], "DANGER") || strings.Contains(lines[i], "CAT 2"); shows != ok {
				t.Errorf("%s shows values: %v, want %v: %s", command, shows, ok, lines[i])
			}
			if ok {
				valid++
			} else {
				not++
			}
		}
	}
	if valid < 10 || not < 60 {
		t.Errorf("%d valid and %d other lines were compared", valid, not)
	}
}
