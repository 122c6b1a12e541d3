package archive

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/shock"
	"vouchmark/label/audit"
	"vouchmark/label/record"
)

func day(t testing.TB) assess.Date {
	t.Helper()
	d, err := assess.ParseDate("2026-05-01")
	if err != nil {
		t.Fatal(err)
	}
	return d
}

const rows, more = "rows\n", "more rows\n"

// made is a folder into which two studies were taken.
func made(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	for _, c := range []struct{ file, text, old, new string }{{"R.xlsx", "invented", "", rows}, {"S.csv", "another", rows, more}} {
		taken := record.Taken{Date: day(t), By: "x", Tool: "v1", Study: record.Kept{Name: c.file, Data: []byte(c.text)},
			Files: []record.Replaced{{Name: assess.LocationsFile, New: []byte(c.new)}}}
		if c.old != "" {
			taken.Files[0].Old = []byte(c.old)
		}
		if _, err := record.Open(dir).TakeIn(taken); err != nil {
			t.Fatal(err)
		}
	}
	l := assess.Location{ID: "A", Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2, Cases: []assess.Case{
		{Energy: 5, Boundary: 1200, Fault: 18, Method: assess.Stated, Prepared: day(t), Source: "R.xlsx Results 2"}}}
	s := &assess.Site{Locations: []assess.Location{l}, Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60,
		Govern: assess.Larger, Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}}}
	out, err := record.Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	sheet := []record.Sheet{{Record: record.New(&s.Assess(day(t))[0])}}
	if err := record.Open(dir).Carry(record.Job{Kind: record.Print, Date: day(t), Stock: "4x4", Tool: "v1", Sheet: sheet}, out); err != nil {
		t.Fatal(err)
	}
	put(t, dir, "keys.txt", "invented+00000000+key\n")
	put(t, dir, "studies/T.csv", "that no line names")
	put(t, dir, "site.toml", "# policy\n")
	return dir
}

func put(t testing.TB, dir, name, text string) {
	t.Helper()
	name = filepath.Join(dir, filepath.FromSlash(name))
	os.Remove(name)
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func write(t testing.TB, dir string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "a.zip")
	files, err := WriteFile(file, os.DirFS(dir))
	if err != nil || files != 7 {
		t.Fatal(files, err)
	}
	return file
}

func open(t testing.TB, file string) *Archive {
	t.Helper()
	z, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { z.Close() })
	return z
}

func problems(t *testing.T, folder fs.FS) []audit.Problem {
	t.Helper()
	r, err := audit.Run(folder, day(t), audit.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r.Problems
}

// The studies that lines name go into an archive and come back, byte for byte;
// an archive that lacks one, or has another, does not verify.
func TestStudies(t *testing.T) {
	file := write(t, made(t))
	z := open(t, file)
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
	}
	var kept string
	if found, _ := fs.Glob(z, "records/??/*.json"); len(found) == 1 {
		kept = found[0]
	}
	want := []string{record.LedgerFile, "site.toml", "keys.txt", kept, "studies/R.xlsx", "studies/S.csv", "studies/S.locations-before.csv"}
	if !slices.Equal(names, want) {
		t.Errorf("%q, want %q", names, want)
	}
	if p := problems(t, z); len(p) > 0 {
		t.Errorf("%v", p)
	}
	back := t.TempDir()
	records, brought, err := Import(z, record.Open(back))
	if err != nil || records != 1 || !slices.Equal(brought, []string{"site.toml", "studies/R.xlsx", "studies/S.csv", "studies/S.locations-before.csv"}) {
		t.Errorf("%d, %q, %v", records, brought, err)
	}
	if _, err := os.Stat(filepath.Join(back, "keys.txt")); err == nil {
		t.Error("keys were brought: whoever made the archive could have added one")
	}
	for name, text := range map[string]string{"studies/R.xlsx": "invented", "studies/S.csv": "another", "studies/S.locations-before.csv": rows} {
		if got, err := os.ReadFile(filepath.Join(back, name)); string(got) != text || err != nil {
			t.Errorf("%s: %q, %v", name, got, err)
		}
	}
	if p := problems(t, os.DirFS(back)); len(p) > 0 {
		t.Errorf("%v", p)
	}
	for what, spoil := range map[string]func(m fstest.MapFS){
		"lost":           func(m fstest.MapFS) { delete(m, "studies/R.xlsx") },
		"altered":        func(m fstest.MapFS) { m["studies/R.xlsx"].Data = []byte("Invented") },
		"a record lost":  func(m fstest.MapFS) { delete(m, kept) },
		"before lost":    func(m fstest.MapFS) { delete(m, "studies/S.locations-before.csv") },
		"before altered": func(m fstest.MapFS) { m["studies/S.locations-before.csv"].Data = nil },
	} {
		m := unpack(t, file)
		spoil(m)
		if p := problems(t, open(t, pack(t, m))); len(p) != 1 {
			t.Errorf("%s: %v", what, p)
		}
	}
}

// unpack reads the files of an archive, pack makes one of files.
func unpack(t testing.TB, file string) fstest.MapFS {
	t.Helper()
	z, m := open(t, file), fstest.MapFS{}
	for _, f := range z.File {
		data, err := fs.ReadFile(z, f.Name)
		if err != nil {
			t.Fatal(err)
		}
		m[f.Name] = &fstest.MapFile{Data: data}
	}
	return m
}

func pack(t *testing.T, m fstest.MapFS) string {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for name, f := range m {
		w, err := z.Create(name)
		if err == nil && f.Data != nil {
			_, err = w.Write(f.Data)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "b.zip")
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// A file that the folder has already stays; one that differs is refused before
// anything is written.
func TestImportInto(t *testing.T) {
	z := open(t, write(t, made(t)))
	dir := t.TempDir()
	put(t, dir, "studies/R.xlsx", "invented")
	if _, brought, err := Import(z, record.Open(dir)); err != nil || !slices.Equal(brought, []string{"site.toml", "studies/S.csv", "studies/S.locations-before.csv"}) {
		t.Errorf("%q, %v", brought, err)
	}
	dir = t.TempDir()
	put(t, dir, "studies/S.csv", "mine")
	if _, brought, err := Import(z, record.Open(dir)); err == nil || brought != nil || !strings.Contains(err.Error(), "this folder has a different studies/S.csv: nothing was changed") {
		t.Errorf("%q, %v", brought, err)
	}
	for _, name := range []string{"studies/R.xlsx", "site.toml", "records"} {
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			t.Errorf("%s was written", name)
		}
	}
	if data, err := os.ReadFile(filepath.Join(dir, record.LedgerFile)); len(data) > 0 {
		t.Errorf("%q, %v", data, err)
	}
}

// A file of an archive has a name that this program gives, once, and is not too
// large. What the ledger of it does not name is not brought.
func TestArchiveNames(t *testing.T) {
	m := unpack(t, write(t, made(t)))
	for name, want := range map[string]bool{
		"studies/T.csv": true, "studies/a/T.csv": false, "studies/../T.csv": false, "studies/.T.csv": false, "studies/": false,
		"ledger.torn-5-0123456789ab": true, "ledger.torn-5-0123456789abc": false, "ledger.torn-0-0123456789ab": false,
		"studies/ledger.torn-5-0123456789ab": false, "studies/T": false, "studies/con.csv": false, "Studies/T.csv": false, "locations.csv": false, "studies/T 1.csv": false,
		`studies\T.csv`: false, "studies/studies/T.csv": false,
	} {
		n := maps.Clone(m)
		n[name] = &fstest.MapFile{Data: []byte("x")}
		if strings.HasSuffix(name, "/") {
			n[name].Data = nil
		}
		z, err := Open(pack(t, n))
		if (err == nil) != want {
			t.Errorf("%s: %v", name, err)
		}
		if err != nil {
			continue
		}
		dir := t.TempDir()
		if _, brought, err := Import(z, record.Open(dir)); err != nil || slices.Contains(brought, name) {
			t.Errorf("%s: %q, %v", name, brought, err)
		}
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			t.Errorf("%s was brought, which no line names", name)
		}
		z.Close()
	}
}

// A study file is larger than a record may be, and has its own limit.
func TestArchiveLimits(t *testing.T) {
	dir := t.TempDir()
	large := bytes.Repeat([]byte("invented "), (record.MostRecord+9)/9)
	_, err := record.Open(dir).TakeIn(record.Taken{Date: day(t), Study: record.Kept{Name: "R.csv", Data: large},
		Files: []record.Replaced{{Name: assess.LocationsFile, New: []byte(rows)}}})
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "a.zip")
	if _, err := WriteFile(file, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	m := unpack(t, file)
	if !bytes.Equal(m["studies/R.csv"].Data, large) {
		t.Errorf("%d bytes", len(m["studies/R.csv"].Data))
	}
	m["studies/R.csv"].Data = make([]byte, record.MostStudy+1)
	if _, err := Open(pack(t, m)); err == nil {
		t.Error("a study of more than the limit is read")
	}
	m["studies/R.csv"].Data, m["site.toml"] = large, &fstest.MapFile{Data: make([]byte, infile.MiB+1)}
	if _, err := Open(pack(t, m)); err == nil {
		t.Error("a policy as large as a study is read")
	}
	// Nor is one written.
	put(t, dir, "site.toml", string(make([]byte, infile.MiB+1)))
	whole, _ := os.ReadFile(file)
	if _, err := WriteFile(file, os.DirFS(dir)); err == nil || !strings.Contains(err.Error(), "site.toml: found a file of more than 1 MiB") {
		t.Errorf("%v", err)
	}
	if now, err := os.ReadFile(file); !bytes.Equal(now, whole) || err != nil {
		t.Errorf("the archive that was there: %d bytes of %d, %v", len(now), len(whole), err)
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(file), ".*")); left != nil {
		t.Errorf("%q are left", left)
	}
}

// What may be in an archive, by its directory: each file once, none too large,
// nor all of them together, and always a ledger.
func TestSound(t *testing.T) {
	type file = zip.FileHeader
	ledger := func(n uint64) file { return file{Name: record.LedgerFile, UncompressedSize64: n} }
	study := func(name string) file { return file{Name: "studies/" + name, UncompressedSize64: record.MostStudy} }
	link := study("R.csv")
	link.SetMode(fs.ModeSymlink | 0o777)
	var full []file
	for i := range most.total / record.MostStudy {
		full = append(full, study(fmt.Sprintf("R-%d.csv", i)))
	}
	for what, c := range map[string]struct {
		files []file
		want  bool
	}{
		"a ledger":          {[]file{ledger(1)}, true},
		"a large one":       {[]file{ledger(record.MostLedger)}, true},
		"too large":         {[]file{ledger(record.MostLedger + 1)}, false},
		"none":              {[]file{study("R.csv")}, false},
		"nothing":           {nil, false},
		"two":               {[]file{ledger(1), ledger(1)}, false},
		"a study":           {[]file{ledger(1), study("R.csv")}, true},
		"it twice":          {[]file{ledger(1), study("R.csv"), study("R.csv")}, false},
		"a link":            {[]file{ledger(1), link}, false},
		"as much as can be": {append([]file{ledger(0)}, full...), true},
		"more":              {append([]file{ledger(1)}, full...), false},
		"a large record":    {[]file{ledger(1), {Name: "records/ab/abcd.json", UncompressedSize64: record.MostRecord}}, true},
		"too large for one": {[]file{ledger(1), {Name: "records/ab/abcd.json", UncompressedSize64: record.MostRecord + 1}}, false},
	} {
		var all []*zip.File
		for _, f := range c.files {
			all = append(all, &zip.File{FileHeader: f})
		}
		if err := sound("a.zip", all, count(most.packed)); (err == nil) != c.want {
			t.Errorf("%s: %v", what, err)
		}
	}
	a := writer{zip: zip.NewWriter(io.Discard), bytes: most.total - 1}
	if err := a.add("records/ab/a.json", strings.NewReader("x")); err != nil || a.files != 1 {
		t.Error(err)
	}
	if err := a.add("records/ab/b.json", strings.NewReader("x")); err == nil || !strings.Contains(err.Error(), "larger than 4 GiB together") {
		t.Error(err)
	}
}

// A folder whose ledger cannot be read has no archive, and a file that cannot be
// read is not an archive.
func TestNoArchive(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.zip")
	for what, folder := range map[string]fstest.MapFS{"no ledger": {}, "a broken one": {record.LedgerFile: &fstest.MapFile{Data: []byte("{}\n")}}} {
		if _, err := WriteFile(file, folder); err == nil {
			t.Errorf("%s: an archive is written", what)
		}
		if _, _, err := Import(folder, record.Open(t.TempDir())); err == nil {
			t.Errorf("%s: it is imported", what)
		}
	}
	if _, err := Open(file); err == nil {
		t.Error("a file that is not there is opened")
	}
	put(t, filepath.Dir(file), "a.zip", "text")
	if _, err := Open(file); err == nil || !strings.Contains(err.Error(), "is not an archive") {
		t.Error(err)
	}
	if _, err := WriteFile(file, os.DirFS(made(t))); err == nil || !strings.Contains(err.Error(), "this file exists and is not an archive") {
		t.Error(err)
	}
}

// A study that is altered or lost while the archive is written, or before, is
// not archived: whoever made it would believe that it is safe.
func TestExportOfAltered(t *testing.T) {
	for _, text := range []string{"Invented", "invented\n", ""} {
		dir := made(t)
		put(t, dir, "studies/R.xlsx", text)
		if text == "" {
			os.Remove(filepath.Join(dir, "studies", "R.xlsx"))
		}
		file := filepath.Join(t.TempDir(), "a.zip")
		if _, err := WriteFile(file, os.DirFS(dir)); err == nil || !strings.Contains(err.Error(), "studies/R.xlsx") {
			t.Errorf("%q: %v", text, err)
		}
		if _, err := os.Stat(file); err == nil {
			t.Errorf("%q: an archive is there", text)
		}
	}
}

// The record of a label whose print was interrupted goes into an archive, and comes back:
// the label may be mounted. Without it no archive is written.
func TestInterruptedPrint(t *testing.T) {
	dir := made(t)
	ledger := filepath.Join(dir, record.LedgerFile)
	data, err := os.ReadFile(ledger)
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.SplitAfter(data, []byte("\n"))
	put(t, dir, record.LedgerFile, string(bytes.Join(lines[:len(lines)-2], nil))) // killed before its last line
	if err := record.Open(dir).NoteAll(func(*record.Ledger) ([]record.Line, error) { return nil, nil }); err != nil {
		t.Fatal(err)
	}
	z := open(t, write(t, dir))
	if p := problems(t, z); len(p) > 0 {
		t.Errorf("%v", p)
	}
	back := t.TempDir()
	if records, _, err := Import(z, record.Open(back)); err != nil || records != 1 {
		t.Errorf("%d, %v", records, err)
	}
	if p := problems(t, os.DirFS(back)); len(p) > 0 {
		t.Errorf("%v", p)
	}
	found, _ := fs.Glob(os.DirFS(dir), "records/??/*.json")
	os.Remove(filepath.Join(dir, found[0]))
	file := filepath.Join(t.TempDir(), "a.zip")
	if _, err := WriteFile(file, os.DirFS(dir)); err == nil || !strings.Contains(err.Error(), "is missing, which ledger.jsonl:") {
		t.Errorf("%v", err)
	}
	if _, err := os.Stat(file); err == nil {
		t.Error("an archive is there")
	}
}

// Half a line that the ledger once ended in goes into an archive, and comes back. A ledger
// of which only the end was cut off is continued by an archive that has the rest.
func TestHalfLine(t *testing.T) {
	dir := made(t)
	whole := read(t, dir, record.LedgerFile)
	file := filepath.Join(t.TempDir(), "whole.zip")
	if _, err := WriteFile(file, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	for off := 1; off < 400; off += 7 {
		put(t, dir, record.LedgerFile, whole[:len(whole)-off])
		if _, _, err := Import(open(t, file), record.Open(dir)); err != nil || read(t, dir, record.LedgerFile) != whole {
			t.Fatalf("%d bytes off: not continued: %v", off, err)
		}
	}
	put(t, dir, record.LedgerFile, whole+"half a line") // perhaps a command is writing now
	file = filepath.Join(t.TempDir(), "now.zip")
	if _, err := WriteFile(file, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	if p := problems(t, open(t, file)); len(p) > 0 {
		t.Errorf("%v", p)
	}
	if err := record.Open(dir).NoteAll(func(*record.Ledger) ([]record.Line, error) { return nil, nil }); err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "a.zip")
	if files, err := WriteFile(file, os.DirFS(dir)); err != nil || files != 8 {
		t.Fatal(files, err)
	}
	z := open(t, file)
	if p := problems(t, z); len(p) > 0 {
		t.Errorf("%v", p)
	}
	back := t.TempDir()
	if _, brought, err := Import(z, record.Open(back)); err != nil || !slices.Contains(brought, record.TornName(5, []byte("half a line"))) {
		t.Errorf("%q, %v", brought, err)
	}
	if p := problems(t, os.DirFS(back)); len(p) > 0 {
		t.Errorf("%v", p)
	}
	if got := read(t, back, record.TornName(5, []byte("half a line"))); got != "half a line" {
		t.Errorf("%q", got)
	}
	os.Remove(filepath.Join(dir, record.TornName(5, []byte("half a line"))))
	if _, err := WriteFile(filepath.Join(t.TempDir(), "b.zip"), os.DirFS(dir)); err == nil {
		t.Error("an archive is written without the half line")
	}
}

func read(t *testing.T, dir, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
