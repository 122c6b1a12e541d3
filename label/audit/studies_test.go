package audit

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// What became of a file in studies/ is told by its name, with the line that
// names it and with what to do.
func TestStudies(t *testing.T) {
	m, keys := invented(t)
	const study, before = "studies/R.csv", "studies/S.locations-before.csv"
	large := &fstest.MapFile{Data: bytes.Repeat([]byte("x"), record.MostStudy+2)}
	link := with(m, study, []byte("x"))
	link[study].Mode = fs.ModeSymlink | 0o777
	big := with(m, study, nil)
	big[study] = large
	swapped := with(with(m, study, m["studies/S.csv"].Data), "studies/S.csv", m[study].Data)
	for what, c := range map[string]struct {
		folder fs.FS
		want   []string
	}{
		"altered": {with(m, study, []byte("Invented\n")), []string{"studies/R.csv: its bytes do not match ledger.jsonl, line 1: it was altered or damaged; " +
			"restore the file from a backup, or take the same study file in again"}},
		"a byte more": {with(m, study, []byte("invented\n\n")), []string{"studies/R.csv: its bytes do not match ledger.jsonl, line 1: it was altered"}},
		"large":       {big, []string{"studies/R.csv: its bytes do not match"}},
		"missing":     {with(m, study, nil), []string{"ledger.jsonl, line 1: studies/R.csv is missing, a study that was taken in on 2026-05-01; restore"}},
		"swapped": {swapped, []string{"studies/R.csv: its bytes do not match ledger.jsonl, line 1: it has the bytes of studies/S.csv; restore",
			"studies/S.csv: its bytes do not match ledger.jsonl, line 8: it has the bytes of studies/R.csv; restore"}},
		"before altered": {with(m, before, []byte("x")), []string{before + ": its bytes do not match ledger.jsonl, line 8: it was altered or damaged; " +
			"restore the file from a backup"}},
		"before missing": {with(m, before, nil), []string{"ledger.jsonl, line 8: " + before + " is missing, the locations.csv that a study replaced; " +
			"restore the file from a backup"}},
		"a link": {link, []string{"studies/R.csv: it is not a regular file; find out what replaced it"}},
		"a folder": {with(with(m, study, nil), study+"/x", []byte("x")),
			[]string{"studies/R.csv: it is not a regular file"}},
		"all in one": {with(with(with(with(m, study, nil), "studies/S.csv", nil), before, nil), "studies", []byte("x")),
			[]string{"studies: it is not a folder", "ledger.jsonl, line 1: studies/R.csv is missing", "ledger.jsonl, line 8: studies/S.csv is missing", "ledger.jsonl, line 8: " + before + " is missing"}},
	} {
		r := run(t, c.folder, keys, "")
		var got []string
		for _, p := range r.Problems {
			got = append(got, p.String())
		}
		if !slices.EqualFunc(got, c.want, strings.HasPrefix) {
			t.Errorf("%s: %q\nwant %q", what, got, c.want)
		}
		for i := range min(len(got), len(c.want)) {
			if do := "or take the same study file in again"; strings.Contains(got[i], "locations-before") && strings.Contains(got[i], do) {
				t.Errorf("%s: a locations.csv is not taken in: %s", what, got[i])
			}
		}
	}
}

// Files that no line names are not damage, and are noted.
func TestUnnamedStudies(t *testing.T) {
	m, keys := invented(t)
	for name, note := range map[string]string{
		"studies/T.csv":            "1 file in studies/ not named by any line of the ledger, so nothing proves where they came from: T.csv",
		"studies/a b.csv":          "nothing proves where they came from: a b.csv",
		"studies/r.csv":            "nothing proves where they came from: r.csv",
		"studies/deep/T.csv":       "nothing proves where they came from: deep",
		"studies/.hidden":          "nothing proves where they came from: .hidden",
		"studies/R.tmp":            "nothing proves where they came from: R.tmp",
		"studies/.R.csv.12345.tmp": "1 temporary file in studies/ left by a crash or by a command that is writing now",
	} {
		r := run(t, with(m, name, []byte("x")), keys, "")
		if !r.Sound() || r.Passing || len(r.Notes) < 1 || !slices.ContainsFunc(r.Notes, func(n string) bool { return strings.Contains(n, note) }) {
			t.Errorf("%s: %v, %q", name, r.Problems, r.Notes)
		}
	}
	for _, n := range run(t, m, keys, "").Notes {
		if strings.Contains(n, "studies") {
			t.Errorf("%q", n)
		}
	}
}

// failing is a folder of which one file or folder cannot be read.
type failing struct {
	fstest.MapFS
	name string
}

func (f failing) Open(name string) (fs.File, error) {
	if name == f.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return f.MapFS.Open(name)
}

func (f failing) ReadDir(name string) ([]fs.DirEntry, error) {
	if name == f.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return f.MapFS.ReadDir(name)
}

// What cannot be read is not taken for sound.
func TestUnreadableStudies(t *testing.T) {
	m, keys := invented(t)
	for _, name := range []string{"studies", "studies/R.csv", "studies/S.locations-before.csv"} {
		if _, err := Run(failing{m, name}, day(t, "2026-05-02"), Options{Keys: keys}); !errors.Is(err, fs.ErrPermission) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// sourced is a folder in which a study was taken in and labels of two locations
// were printed, and the site as it is.
func sourced(t *testing.T) (string, *assess.Site, *plant.Plant) {
	t.Helper()
	dir := t.TempDir()
	today := day(t, "2026-05-01")
	location := func(id string, sources ...string) assess.Location {
		l := assess.Location{ID: id, Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2}
		for i, s := range sources {
			l.Cases = append(l.Cases, assess.Case{Name: strings.Repeat("x", i), Energy: 5, Boundary: 1200, Fault: 18, Method: assess.Stated, Prepared: day(t, "2026-03-14"), Source: s})
		}
		return l
	}
	s := &assess.Site{
		Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger,
			Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}},
		Locations: []assess.Location{location("A", "R.xlsx Results 17", "R.xlsx Results 18"), location("B", "R.xlsx Results 19"),
			location("C", "report of 2026"), location("D", "Q.csv 4", "R.xlsx Results 20"), location("E", "before.csv 2")},
	}
	rows := []byte("rows\n")
	_, err := record.Open(dir).TakeIn(record.Taken{Date: today, By: "x", Tool: "v1", Study: record.Kept{Name: "R.xlsx", Data: []byte("invented")},
		Files: []record.Replaced{{Name: assess.LocationsFile, New: rows}}})
	if err != nil {
		t.Fatal(err)
	}
	assessed := s.Assess(today)
	out, err := record.Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	j := record.Job{Kind: record.Print, Date: today, Stock: "4x4", By: "x", Tool: "v1"}
	for _, i := range []int{0, 3} {
		j.Sheet = append(j.Sheet, record.Sheet{Record: record.New(&assessed[i])})
	}
	if err := record.Open(dir).Carry(j, out); err != nil {
		t.Fatal(err)
	}
	h, err := record.Open(dir).History(today)
	if err != nil {
		t.Fatal(err)
	}
	v, err := plant.New(s, h, today, nil)
	if err != nil {
		t.Fatal(err)
	}
	return dir, s, v
}

// seen are the options of an audit that says the standing of the labels of a site.
func seen(v *plant.Plant, tool string) Options {
	o := Options{Tool: tool}
	if v != nil {
		o.See(v)
	}
	return o
}

// A lost study is told with the rows and labels that name it; a source that no
// line took in is noted, and so is a locations.csv that was edited since.
func TestSources(t *testing.T) {
	dir, _, v := sourced(t)
	look := func(v *plant.Plant) (problems, notes string) {
		t.Helper()
		r, err := Run(os.DirFS(dir), day(t, "2026-05-02"), seen(v, "v1"))
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Problems {
			problems += p.String() + "\n"
		}
		return problems, strings.Join(r.Notes, "\n")
	}
	const unknown = "Q.csv was never taken in, although it is the source of the rows of D and the labels of D: nothing proves what it said"
	problems, notes := look(v)
	if problems != "" || strings.Count(notes, "was never taken in") != 2 || !strings.Contains(notes, unknown) ||
		!strings.Contains(notes, "before.csv was never taken in, although it is the source of the rows of E: nothing") || strings.Contains(notes, "was edited") {
		t.Errorf("%s%s", problems, notes)
	}
	// Without the rows, as in an archive, labels alone name sources.
	if problems, notes := look(nil); problems != "" || !strings.Contains(notes, "Q.csv was never taken in, although it is the source of the labels of D: nothing") || strings.Contains(notes, "before.csv") {
		t.Errorf("%s%s", problems, notes)
	}
	if err := os.WriteFile(filepath.Join(dir, assess.LocationsFile), []byte("rows by hand\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	const edited = "locations.csv was edited after R.xlsx was taken in on 2026-05-01: its rows may differ from the study that they name"
	if problems, notes := look(v); problems != "" || !strings.Contains(notes, edited) {
		t.Errorf("%s%s", problems, notes)
	}
	if err := os.Remove(filepath.Join(dir, "studies", "R.xlsx")); err != nil {
		t.Fatal(err)
	}
	want := "ledger.jsonl, line 1: studies/R.xlsx is missing, a study that was taken in on 2026-05-01; it is the source of the rows of A, B, D and the labels of A, D; "
	if problems, _ := look(v); !strings.HasPrefix(problems, want) {
		t.Errorf("%s", problems)
	}
	if err := os.WriteFile(filepath.Join(dir, "studies", "R.xlsx"), []byte("Invented"), 0o644); err != nil {
		t.Fatal(err)
	}
	want = "studies/R.xlsx: its bytes do not match ledger.jsonl, line 1: it was altered or damaged; it is the source of the rows of A, B, D and the"
	if problems, _ := look(v); !strings.HasPrefix(problems, want) {
		t.Errorf("%s", problems)
	}
}

// A locations.csv that was kept is not a study: rows that name it name nothing
// that was taken in.
func TestSourceIsNoStudy(t *testing.T) {
	dir, s, v := sourced(t)
	rows, err := os.ReadFile(filepath.Join(dir, assess.LocationsFile))
	if err != nil {
		t.Fatal(err)
	}
	_, err = record.Open(dir).TakeIn(record.Taken{Date: day(t, "2026-05-01"), Study: record.Kept{Name: "Q.csv", Data: []byte("invented")},
		Files: []record.Replaced{{Name: assess.LocationsFile, Old: rows, New: []byte("more rows\n")}}})
	if err != nil {
		t.Fatal(err)
	}
	s.Locations[4].Cases[0].Source = "Q.locations-before.csv 2"
	r, err := Run(os.DirFS(dir), day(t, "2026-05-02"), seen(v, ""))
	if err != nil || !r.Sound() {
		t.Fatal(err, r.Problems)
	}
	notes := strings.Join(r.Notes, "\n")
	if strings.Contains(notes, "Q.csv was never") || !strings.Contains(notes, "Q.locations-before.csv was never taken in, although it is the source of the rows of E") {
		t.Errorf("%s", notes)
	}
}

// A line that names files in a way that no command does is reported, and never
// leads outside studies/.
func TestForgedIntake(t *testing.T) {
	m, keys := invented(t)
	sum := record.SHA256([]byte("x"))
	for what, line := range map[string]record.Line{
		"a path":         {Kind: record.Intake, Study: &record.Stored{File: "../ledger.jsonl", SHA256: sum, Bytes: 1}, Locations: sum},
		"no study":       {Kind: record.Intake, Locations: sum},
		"no locations":   {Kind: record.Intake, Study: &record.Stored{File: "T.csv", SHA256: sum, Bytes: 1}},
		"another's name": {Kind: record.Intake, Study: &record.Stored{File: "R.csv", SHA256: sum, Bytes: 1}, Locations: sum},
		"another kind":   {Kind: record.Mounted, Study: &record.Stored{File: "R.csv", SHA256: sum, Bytes: 1}},
	} {
		dir := t.TempDir()
		if err := os.CopyFS(dir, m); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, assess.LocationsFile), []byte("rows\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		line.Date = day(t, "2026-05-01")
		if err := record.Open(dir).Note(func(*record.Ledger) (record.Line, error) { return line, nil }); err != nil {
			t.Fatal(err)
		}
		r := run(t, os.DirFS(dir), keys, "")
		if r.Sound() || !strings.HasPrefix(r.Problems[0].String(), "ledger.jsonl, line 14: ") || len(r.Problems) > 2 {
			t.Errorf("%s: %v", what, r.Problems)
		}
	}
}
