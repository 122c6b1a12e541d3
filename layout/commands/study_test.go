package commands_test

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// withColumn is the text of a CSV file with one more column, whose cells follow
// from their row's number.
func withColumn(text, heading string, cell func(row int) string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	for i := range lines {
		value := heading
		if i > 0 {
			value = cell(i + 1)
		}
		lines[i] = value + "," + strings.TrimRight(lines[i], "\r")
	}
	return strings.Join(lines, "\n") + "\n"
}

// mark is the label of a location: its code, that which a print would make, and
// its standing.
type mark struct{ printed, next, standing string }

// marks are the labels of a site.
func marks(t *testing.T, program, dir string) map[string]mark {
	t.Helper()
	check, _ := said(t, program, dir, "check")
	all := map[string]mark{}
	for _, l := range check["locations"].([]any) {
		l := l.(map[string]any)
		all[l["id"].(string)] = mark{fmt.Sprint(l["printed_code"]), fmt.Sprint(l["code"]), fmt.Sprint(l["standing"])}
	}
	return all
}

// A study that is taken into a site whose labels are mounted: the labels stay,
// code and all, where its facts are theirs; the basis, the page and the history
// of each lead to its file, sheet and row; an audit finds the file altered; an
// archive brings it along.
func TestStudyTakenIn(t *testing.T) {
	t.Parallel()
	program := build(t)
	dir := folders(t, program)["creamery"]
	before := marks(t, program, dir)
	has := func(what, text string, want ...string) {
		t.Helper()
		for _, w := range want {
			if !strings.Contains(strings.Join(strings.Fields(text), " "), w) {
				t.Errorf("%s does not have %q:\n%.3000s", what, w, text)
			}
		}
	}
	good := func(args ...string) string {
		t.Helper()
		out, code := call(t, program, dir, args...)
		if code != 0 {
			t.Fatalf("%v: exit %d\n%s", args, code, out)
		}
		return out
	}

	rows, err := os.ReadFile(filepath.Join(dir, assess.LocationsFile))
	if err != nil {
		t.Fatal(err)
	}
	next := withColumn(string(rows), "source", func(row int) string { return fmt.Sprintf("R-2026.xlsx Results %d", row+4) })
	date, err := assess.ParseDate(day)
	if err != nil {
		t.Fatal(err)
	}
	study := []byte("invented study")
	taken, err := record.Open(dir).TakeIn(record.Taken{Date: date, By: "E. Sample, PE", Tool: "test", Study: record.Kept{Name: "R-2026.xlsx", Data: study},
		Files: []record.Replaced{{Name: assess.LocationsFile, Old: rows, New: []byte(next)}}})
	if err != nil {
		t.Fatal(err)
	}
	after := marks(t, program, dir)
	if len(before) != 30 || !maps.Equal(before, after) {
		t.Errorf("%v\nthen %v", before, after)
	}

	const shown = "R-2026.xlsx, Results, row 6"
	known := "studies/R-2026.xlsx, taken in on " + day + " by E. Sample, PE, SHA-256 " + record.SHA256(study)
	has("basis", good("basis", "TNK-US1"), "Source not noted", "Source of the row now "+shown, known)
	pages := filepath.Join(t.TempDir(), "public")
	good("publish", pages)
	page := func(id string) string {
		t.Helper()
		found, _ := filepath.Glob(filepath.Join(pages, "V", "*", id+"-*", "index.html"))
		if len(found) != 1 {
			t.Fatalf("%q", found)
		}
		text, err := os.ReadFile(found[0])
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	has("page", page("TNK-US1"), "<dt>Source of the row now</dt><dd><strong>"+shown+"</strong>", known)
	has("history", good("history", "TNK-US1"), day+" study file R-2026.xlsx taken into the site folder by E. Sample, PE")
	has("audit", good("audit"), "Records intact", "study files: 2")

	// Another voltage is another label, and its own record names the source.
	text := strings.Replace(next, ",13800,", ",13801,", 1)
	if err := os.WriteFile(filepath.Join(dir, assess.LocationsFile), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	good("print", "--only", "TNK-US1", "--out", filepath.Join(t.TempDir(), "l.pdf"))
	basis := good("basis", "TNK-US1")
	if has("basis", basis, " Source "+shown, known); strings.Contains(basis, "Source of the row now") {
		t.Errorf("%s", basis)
	}
	has("history", good("history", "TNK-US1"), "study file R-2026.xlsx taken in")
	const edited = "locations.csv was edited after R-2026.xlsx was taken in on " + day
	has("audit", good("audit"), "Records intact", edited)
	good("audit", "--pdf", filepath.Join(t.TempDir(), "audit.pdf"))

	archive, back := filepath.Join(t.TempDir(), "a.zip"), t.TempDir()
	good("records", "export", "--out", archive)
	if out, code := call(t, program, back, "records", "import", archive); code != 0 || !strings.Contains(out, "studies/R-2026.xlsx, studies/R-2026.locations-before.csv") &&
		!strings.Contains(out, "studies/R-2026.locations-before.csv, studies/R-2026.xlsx") {
		t.Errorf("exit %d\n%s", code, out)
	}
	for name, want := range map[string]string{"studies/R-2026.xlsx": string(study), "studies/R-2026.locations-before.csv": string(rows), "studies/" + taken.Line.Before.File: string(rows)} {
		if got, err := os.ReadFile(filepath.Join(back, name)); string(got) != want || err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if out, code := call(t, program, back, "audit"); code != 0 || strings.Contains(out, "edited since") {
		t.Errorf("exit %d\n%s", code, out)
	}

	file := filepath.Join(dir, "studies", "R-2026.xlsx")
	if err := os.Chmod(file, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte("invented Study"), 0o644); err != nil {
		t.Fatal(err)
	}
	out, code := call(t, program, dir, "audit")
	if has("audit", out, "Records NOT intact: 1 problem", "studies/R-2026.xlsx: its bytes do not match ledger.jsonl, line 3: it was altered or damaged; "+
		"it is the source of the rows of TNK-US1, TNK-SG1", "and the labels of TNK-US1;"); code != 1 {
		t.Errorf("audit: exit %d", code)
	}
	if out, code := call(t, program, dir, "records", "export", "--out", archive); code != 1 || strings.Contains(out, "files") {
		t.Errorf("export: exit %d\n%s", code, out)
	}
}

// The labels of earlier versions keep their codes and their standing when a
// study with their facts is taken in, and lead to its file from then on.
func TestStudyOfEarlierLabels(t *testing.T) {
	t.Parallel()
	program := build(t)
	for _, from := range []string{"../../samples/mill", "../../testdata/records2/mill", "../../testdata/records1/mill"} {
		dir := site(t, from)
		before := marks(t, program, dir)
		rows, err := os.ReadFile(filepath.Join(dir, assess.LocationsFile))
		if err != nil {
			t.Fatal(err)
		}
		next := withColumn(string(rows), "source", func(row int) string { return fmt.Sprintf("QM-24.csv %d", row) })
		date, _ := assess.ParseDate(day)
		_, err = record.Open(dir).TakeIn(record.Taken{Date: date, Study: record.Kept{Name: "QM-24.csv", Data: []byte("invented")},
			Files: []record.Replaced{{Name: assess.LocationsFile, Old: rows, New: []byte(next)}}})
		if err != nil {
			t.Fatal(err)
		}
		after := marks(t, program, dir)
		printed, led := 0, 0
		for id, was := range before {
			is := after[id]
			if was.printed == "<nil>" {
				continue // its first record names the source
			}
			printed++
			if same := was.printed == was.next; was.printed != is.printed || was.standing != is.standing || same != (is.printed == is.next) {
				t.Errorf("%s, %s: %v, then %v", from, id, was, is)
			} else if out, _ := call(t, program, dir, "basis", id); same && strings.Contains(out, "Source of the row now") {
				led++
			}
		}
		if printed < 10 || led < 2 {
			t.Errorf("%s: %d labels, %d lead to the study", from, printed, led)
		}
		if audit, code := said(t, program, dir, "audit"); code != 0 || len(audit["problems"].([]any)) > 0 {
			t.Errorf("%s: audit exits with %d, %v", from, code, audit["problems"])
		}
	}
}
