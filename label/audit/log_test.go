package audit

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

const (
	oldEntry = "[[review]]\ndate = 2026-01-10\nby = \"x\"\nscope = \"all\"\nfinding = \"right\"\nreason = \"looked at\"\n\n"
	change   = "[[change]]\ndate = 2026-04-10\nat = \"A\"\nkind = \"fuse replaced\"\nby = \"A. Sample\"\nnew_curve = { A = \"gone.csv\" }\n\n"
	settled  = "[[settlement]]\nchange = \"2026-04-10/A\"\ndate = 2026-04-20\nby = \"E. Sample, PE\"\nreason = \"same fuse\"\nscope = \"all\"\n\n"
	wrong    = "[[review]]\ndate = 2026-04-11\nby = \"x\"\nscope = [\"A\"]\nfinding = \"wrong\"\n\n"
)

// logged is the invented site with an entry from before, and a change and a settlement that
// commands added.
func logged(t *testing.T) fstest.MapFS {
	t.Helper()
	dir := t.TempDir()
	s := record.Open(dir)
	text := oldEntry
	for i, more := range []string{change, settled} {
		err := s.Enter(func(_ []byte, l *record.Ledger) ([]byte, record.Line, error) {
			all, err := site.Entries([]byte(text + more))
			if err != nil {
				return nil, record.Line{}, err
			}
			e := slices.MaxFunc(all, func(a, b assess.Entry) int { return a.Line - b.Line })
			line := record.NewLogged(record.Entered, &e)
			line.Date, line.By = day(t, "2026-05-01"), "x"
			if i == 0 {
				was, _ := site.Entries([]byte(text))
				line.Log.Earlier = []string{was[0].Sum}
			} else {
				line.Log.Settles = all[0].Sum
			}
			text += more
			return []byte(text), line, nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return load(t, dir)
}

// Whatever was removed from changes.toml, altered in it, or typed into it is found: as a
// problem where labels could hold because of it, else as a note. An archive shows the same,
// since the text of the file decides.
func TestLog(t *testing.T) {
	m := logged(t)
	text := string(m[assess.ChangesFile].Data)
	if text != oldEntry+change+settled {
		t.Fatalf("%q", text)
	}
	edit := func(old, new string) string {
		if !strings.Contains(text, old) {
			t.Fatalf("no %q", old)
		}
		return strings.Replace(text, old, new, 1)
	}
	typed := strings.Replace(settled, "same fuse", "typed by hand", 1)
	for name, c := range map[string]struct {
		text     string
		problems int
		says     string
	}{
		"nothing":               {text, 0, "note: 1 entry of changes.toml from before entries were noted"},
		"emptied":               {"", 3, "ledger.jsonl:1: the change 2026-04-10/A, by A. Sample, was removed in changes.toml since it was noted"},
		"the change removed":    {edit(change, ""), 1, "the change 2026-04-10/A, by A. Sample, was removed"},
		"the settlement":        {edit(settled, ""), 1, "ledger.jsonl:3: the settlement of 2026-04-10/A, by E. Sample, PE, was removed"},
		"the old one":           {edit(oldEntry, ""), 1, "ledger.jsonl:1: of the entries that changes.toml had when this line was written, 1 removed or altered since"},
		"the old one altered":   {edit(`"looked at"`, `"looked through"`), 2, "the review of 2026-01-10, by x ("},
		"an altered change":     {edit("2026-04-10\nat", "2025-04-10\nat"), 1, "the change 2026-04-10/A, by A. Sample, was removed"},
		"another kind":          {edit("fuse", "breaker"), 1, "the change 2026-04-10/A, by A. Sample, was altered"},
		"a wider settlement":    {edit(`same fuse`, `same`), 2, "the settlement of 2026-04-10/A, by E. Sample, PE, was altered"},
		"a settlement typed in": {text + typed, 1, "a qualified person must note it by name (vouchmark change note), or delete it"},
		"a review typed in":     {text + strings.Replace(oldEntry, "01-10", "01-11", 1), 1, "the review of 2026-01-11, by x ("},
		"a change typed in":     {text + strings.Replace(change, "04-10", "04-11", 1), 0, "note: changes.toml, line 23: the change 2026-04-11/A, by A. Sample ("},
		"a doubt typed in":      {text + wrong, 0, "the review of 2026-04-11, by x ("},
		"broken":                {text + "[[", 1, "the ledger notes entries of it, and it cannot be read"},
		"only spaces":           {edit("by = \"A. Sample\"", "by   =   \"A. Sample\" # him"), 0, ""},
	} {
		r := run(t, with(m, assess.ChangesFile, []byte(c.text)), nil, "")
		if name == "emptied" {
			r = run(t, with(m, assess.ChangesFile, nil), nil, "")
		}
		all := ""
		for _, p := range r.Problems {
			all += p.Where + ": " + p.What + "; " + p.Do + "\n"
		}
		all += "note: " + strings.Join(r.Notes, "\nnote: ")
		if len(r.Problems) != c.problems || !strings.Contains(all, c.says) {
			t.Errorf("%s: %d problems, want %d:\n%s", name, len(r.Problems), c.problems, all)
		}
	}
}

// A folder in which no entry is noted has nothing to compare: its entries are listed.
func TestLogOfAnOlderFolder(t *testing.T) {
	m, keys := invented(t)
	r := run(t, with(m, assess.ChangesFile, []byte(oldEntry+change+settled)), keys, "")
	if !r.Sound() || !strings.Contains(fmt.Sprint(r.Notes), "3 entries of changes.toml from before entries were noted in the ledger: they count") {
		t.Errorf("%v, %q", r.Problems, r.Notes)
	}
	if d := run(t, logged(t), keys, "").Decided; len(d) != 1 || d[0].Labels != "all labels" || labelsOf([]any{"A", "B-2"}) != "A, B-2" {
		t.Errorf("decided: %+v", d)
	}
	if r := run(t, with(m, assess.ChangesFile, []byte("[[")), keys, ""); !r.Sound() {
		t.Errorf("%v", r.Problems)
	}
}

// A command that was stopped before the file was replaced is noted.
func TestLogOfAStoppedCommand(t *testing.T) {
	m := logged(t)
	lines := strings.SplitAfter(string(m[record.LedgerFile].Data), "\n")
	m = with(with(m, record.LedgerFile, []byte(strings.Join(lines[:3], ""))), assess.ChangesFile, []byte(oldEntry+change))
	r := run(t, m, nil, "")
	if !r.Sound() || !strings.Contains(fmt.Sprint(r.Notes), "ledger.jsonl:3 announces the settlement of 2026-04-10/A; the command was stopped, and changes.toml does not have it") {
		t.Errorf("%v, %q", r.Problems, r.Notes)
	}
}
