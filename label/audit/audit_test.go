package audit

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/record"
	"vouchmark/label/seal"
	"vouchmark/testdata/suite"
)

func day(t testing.TB, s string) assess.Date {
	t.Helper()
	d, err := assess.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// example is a record of an invented location.
func example(t testing.TB, id string, energy assess.CalCM2) *record.Record {
	t.Helper()
	prepared := day(t, "2026-03-14")
	s := &assess.Site{
		Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger,
			Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}},
		Locations: []assess.Location{{ID: id, Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2,
			Cases: []assess.Case{{Energy: energy, Boundary: 1200, Fault: 18, Method: assess.Stated, Prepared: prepared}}}},
	}
	return record.New(&s.Assess(prepared)[0])
}

// plant is a small site: studies taken in, prints, a reprint, a withdrawal,
// labels mounted, what was found on the equipment, signatures of a record and of the ledger. It comes as files in memory.
func invented(t testing.TB) (fstest.MapFS, *seal.Keyring) {
	t.Helper()
	dir := t.TempDir()
	s := record.Open(dir)
	today := day(t, "2026-05-01")
	carry := func(kind record.Kind, rs ...*record.Record) {
		j := record.Job{Kind: kind, Date: today, Stock: "4x4", By: "tester", Tool: "v1"}
		for _, r := range rs {
			j.Sheet = append(j.Sheet, record.Sheet{Record: r})
		}
		out, err := record.Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Carry(j, out); err != nil {
			t.Fatal(err)
		}
	}
	takeIn := func(file, text, old, rows string) {
		taken := record.Taken{Date: today, By: "x", Tool: "v1", Files: []record.Replaced{{Name: assess.LocationsFile, New: []byte(rows)}}}
		if old != "" {
			taken.Files[0].Old = []byte(old)
		}
		taken.Study = record.Kept{Name: file, Data: []byte(text)}
		if _, err := s.TakeIn(taken); err != nil {
			t.Fatal(err)
		}
	}
	takeIn("R.csv", "invented\n", "", "rows\n")
	a, b, a2 := example(t, "A", 5), example(t, "B", 6), example(t, "A", 7)
	carry(record.Print, a, b)
	carry(record.Reprint, a)
	carry(record.Print, a2)
	takeIn("S.csv", "another\n", "rows\n", "new rows\n")
	if _, err := s.Mount([]string{"A", "B"}, today, today, "x", "v1"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Withdraw("B", today, "burnt", "x", "v1"); err != nil {
		t.Fatal(err)
	}
	_, there, _ := a.Encode()
	looks := []record.Look{{Location: "A", Code: there.Code()}, {Location: "B", Code: there.Code(), Tick: "tick0123456789abcdef"}, {Location: "B", Text: "x"}}
	if _, err := s.See(looks, true, today, "x", "v1"); err != nil {
		t.Fatal(err)
	}
	key, err := seal.NewKey("e.sample")
	if err != nil {
		t.Fatal(err)
	}
	keys, err := seal.ParseKeys("keys.txt", []byte(key.Public))
	if err != nil {
		t.Fatal(err)
	}
	h, err := s.History(today)
	if err != nil {
		t.Fatal(err)
	}
	for _, what := range []string{"A", seal.Ledger} {
		if _, err := seal.SignInto(s, h, what, key.Private, today, "v1"); err != nil {
			t.Fatal(err)
		}
	}
	os.Remove(filepath.Join(dir, "out.pdf"))
	os.Remove(filepath.Join(dir, assess.LocationsFile)) // the owner's, to edit
	return load(t, dir), keys
}

// load reads a folder into memory.
func load(t testing.TB, dir string) fstest.MapFS {
	t.Helper()
	m := fstest.MapFS{}
	err := fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			var data []byte
			data, err = os.ReadFile(filepath.Join(dir, name))
			m[name] = &fstest.MapFile{Data: data, Mode: 0o444}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func run(t testing.TB, m fs.FS, keys *seal.Keyring, noted string) *Report {
	t.Helper()
	r, err := Run(m, day(t, "2026-05-02"), Options{Keys: keys, Noted: noted, Tool: "v1"})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestSound(t *testing.T) {
	m, keys := invented(t)
	r := run(t, m, keys, "")
	if !r.Sound() || r.Lines != 13 || r.Records != 3 || r.Studies != 3 || r.Prints != 4 || len(r.Labels) != 2 || len(r.Signatures) != 2 {
		t.Fatalf("%+v", r)
	}
	for _, s := range r.Signatures {
		if s.Verdict != seal.Verified || s.By != "e.sample" {
			t.Errorf("%+v", s)
		}
	}
	if l := r.Labels[0]; l.ID != "A" || l.Mounted != day(t, "2026-05-01") || len(l.Signed) != 1 || l.Found != record.FoundOld || l.SeenBy != "x" {
		t.Errorf("%+v", l)
	}
	if again := run(t, m, keys, r.Head); !again.Sound() || !strings.Contains(strings.Join(again.Proves, " "), "0 lines added since") {
		t.Errorf("%+v", again)
	}
}

// counted is a folder that counts how often each file is opened.
type counted struct {
	fs.FS
	sync.Mutex
	opened map[string]int
}

func (c *counted) Open(name string) (fs.File, error) {
	c.Lock()
	defer c.Unlock()
	c.opened[name]++
	return c.FS.Open(name)
}

// Each record is read once, for its name, its place in the ledger and its judgment.
func TestReadOnce(t *testing.T) {
	m, keys := invented(t)
	c := &counted{FS: m, opened: map[string]int{}}
	if r := run(t, c, keys, ""); !r.Sound() || r.Records != 3 {
		t.Fatalf("%+v", r)
	}
	records := 0
	for name, n := range c.opened {
		if recordName.MatchString(path.Base(name)) {
			if records++; n > 1 {
				t.Errorf("%s was opened %d times", name, n)
			}
		}
	}
	if records != 3 {
		t.Errorf("%d records were opened", records)
	}
}

// with is a copy of a folder in which one file is another; nil takes it out.
func with(m fstest.MapFS, name string, data []byte) fstest.MapFS {
	c := maps.Clone(m)
	if data == nil {
		delete(c, name)
		return c
	}
	c[name] = &fstest.MapFile{Data: data, Mode: 0o444}
	return c
}

// Every byte of the ledger and of every record: changed in three ways, taken
// out, and doubled. Each is found, without a noted head. The suite does one of
// these to every third byte, all of them within any 15 bytes, and all of them
// to the ends of the ledger's lines.
func TestEveryByte(t *testing.T) {
	m, keys := invented(t)
	changes := 0
	for _, name := range slices.Sorted(maps.Keys(m)) {
		good := m[name].Data
		for i := range good {
			changed := func(b byte) []byte { c := bytes.Clone(good); c[i] = b; return c }
			tries := [][]byte{changed(good[i] ^ 1), changed(good[i] ^ 0x20), changed(0), append(bytes.Clone(good[:i]), good[i+1:]...), slices.Insert(bytes.Clone(good), i, good[i])}
			for k, bad := range tries {
				lineEnd := name == record.LedgerFile && good[i] == '\n'
				if bytes.Equal(bad, good) || !suite.Exhaustive && !lineEnd && i%15 != 3*k {
					continue
				}
				changes++
				if name == record.LedgerFile && i == len(good)-1 && k == 3 {
					// The last newline alone: an unfinished line, whose bytes are all there.
					if r := run(t, with(m, name, bad), keys, ""); r.Sound() {
						t.Fatal("a last line without its end is not reported")
					}
					continue
				}
				if r := run(t, with(m, name, bad), keys, ""); r.Sound() {
					t.Fatalf("%s: byte %d of %d changed in way %d is not found", name, i, len(good), k)
				}
			}
		}
	}
	t.Logf("%d changes, each found", changes)
}

// Every line taken out, doubled, and swapped with any other; every file taken
// out, added, doubled under another name, and swapped with any other. A cut of
// the newest lines is found by a noted head.
func TestEveryLineAndFile(t *testing.T) {
	m, keys := invented(t)
	head := run(t, m, keys, "").Head
	lines := bytes.SplitAfter(bytes.TrimSuffix(m[record.LedgerFile].Data, nil), []byte("\n"))
	lines = lines[:len(lines)-1]
	ledger := func(l [][]byte) fstest.MapFS { return with(m, record.LedgerFile, bytes.Join(l, nil)) }
	for i := range lines {
		out := slices.Delete(slices.Clone(lines), i, i+1)
		if r := run(t, ledger(out), keys, head); r.Sound() {
			t.Errorf("line %d taken out is not found", i+1)
		}
		if r := run(t, ledger(out), keys, ""); r.Sound() != (i == len(lines)-1) {
			t.Errorf("line %d taken out, no head: sound %v", i+1, r.Sound())
		}
		if r := run(t, ledger(lines[:i]), keys, head); r.Sound() {
			t.Errorf("a cut behind line %d is not found", i)
		}
		if r := run(t, ledger(slices.Insert(slices.Clone(lines), i, lines[i])), keys, ""); r.Sound() {
			t.Errorf("line %d doubled is not found", i+1)
		}
		for j := range i {
			swapped := slices.Clone(lines)
			swapped[i], swapped[j] = swapped[j], swapped[i]
			if r := run(t, ledger(swapped), keys, ""); r.Sound() {
				t.Errorf("lines %d and %d swapped is not found", i+1, j+1)
			}
		}
	}
	names := slices.Sorted(maps.Keys(m))
	for _, name := range names {
		if r := run(t, with(m, name, nil), keys, ""); r.Sound() {
			t.Errorf("%s taken out is not found", name)
		}
		for _, other := range names {
			if other == name {
				continue
			}
			swapped := with(with(m, name, m[other].Data), other, m[name].Data)
			if r := run(t, swapped, keys, ""); r.Sound() {
				t.Errorf("%s and %s swapped is not found", name, other)
			}
		}
	}
	stranger := example(t, "C", 8)
	data, id, err := stranger.Encode()
	if err != nil {
		t.Fatal(err)
	}
	for _, added := range []string{record.Path(id), "records/" + id.String() + ".json", "records/zz/x", "records/aa/bb/c.json", "records/aa/.x.json.1.tmp"} {
		if r := run(t, with(m, added, data), keys, ""); r.Sound() {
			t.Errorf("%s added is not found", added)
		}
	}
}

// An empty folder of records is told: the records that were in it may have been taken away with it.
func TestEmptyFolder(t *testing.T) {
	m, keys := invented(t)
	m["records/00"] = &fstest.MapFile{Mode: fs.ModeDir | 0o755}
	r := run(t, m, keys, "")
	if !r.Sound() || !strings.Contains(strings.Join(r.Notes, "\n"), "records/00 is empty") {
		t.Errorf("%+v, %+v", r.Problems, r.Notes)
	}
}

// A ledger rewritten from its first line is consistent in itself: a chain head
// from outside reveals it, and so do the signatures.
func TestRewritten(t *testing.T) {
	m, keys := invented(t)
	other, _ := invented(t)
	head := run(t, m, keys, "").Head
	if r := run(t, other, keys, head); r.Sound() || !strings.Contains(r.Problems[len(r.Problems)-1].What, "is not in the chain") {
		t.Errorf("%+v", r.Problems)
	}
	r := run(t, other, keys, "")
	for _, s := range r.Signatures {
		if s.Verdict == seal.Verified {
			t.Errorf("a signature by another key of the same name is verified: %+v", s)
		}
	}
}

// Lines keep the order in which they were written: one that was written with an earlier day is noted.
func TestBackdated(t *testing.T) {
	dir := t.TempDir()
	s := record.Open(dir)
	for i, d := range []string{"2026-05-01", "2026-04-01", "2026-05-01"} {
		out, err := record.Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
		if err != nil {
			t.Fatal(err)
		}
		j := record.Job{Kind: record.Print, Date: day(t, d), Sheet: []record.Sheet{{Record: example(t, "A", 5+assess.CalCM2(i))}}, Tool: "v1"}
		if err := s.Carry(j, out); err != nil {
			t.Fatal(err)
		}
	}
	r := run(t, load(t, dir), nil, "")
	var told []string
	for _, n := range r.Notes {
		if strings.Contains(n, "before the line above it") {
			told = append(told, n)
		}
	}
	if want := "ledger.jsonl:3 is dated 2026-04-01, before the line above it (2026-05-01)"; len(told) != 1 || told[0] != want {
		t.Errorf("%q", told)
	}
}

// A line that was given another day than the one that is signed is told, though its signature is valid; one whose
// signed day was altered too has a broken signature.
func TestRedatedSignature(t *testing.T) {
	for _, c := range []struct {
		replace [][2]string
		verdict seal.Verdict
		want    string
	}{
		{[][2]string{{`"date":"2026-05-01"`, `"date":"2026-05-02"`}}, seal.Verified,
			"the signature of e.sample is of 2026-05-01, but its line in the ledger says 2026-05-02"},
		{[][2]string{{`"date":"2026-05-01"`, `"date":"2026-05-02"`}, {`"applied":"2026-05-01"`, `"applied":"2026-05-02"`}}, seal.Broken, ""},
	} {
		m, keys := invented(t)
		text := string(m[record.LedgerFile].Data)
		at := strings.LastIndex(strings.TrimSuffix(text, "\n"), "\n") + 1
		line := text[at:]
		for _, r := range c.replace {
			if !strings.Contains(line, r[0]) {
				t.Fatalf("%s has no %s", line, r[0])
			}
			line = strings.Replace(line, r[0], r[1], 1)
		}
		body, _, _ := strings.Cut(line, `,"hash":`)
		line = fmt.Sprintf("%s,\"hash\":\"%x\"}\n", body, sha256.Sum256([]byte(body)))
		m[record.LedgerFile] = &fstest.MapFile{Data: []byte(text[:at] + line), Mode: 0o444}
		r := run(t, m, keys, "")
		if s := r.Signatures[1]; s.Verdict != c.verdict || r.Sound() != (c.verdict == seal.Verified) || !strings.Contains(strings.Join(r.Notes, "\n"), c.want) {
			t.Errorf("%+v, %+v, %+v", s, r.Problems, r.Notes)
		}
	}
}

// readBack is a record as its file has it, whose outcome is encoded as it is.
func readBack(t *testing.T, r *record.Record) *record.Record {
	t.Helper()
	data, _, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if r, err = record.Decode(data); err != nil {
		t.Fatal(err)
	}
	return r
}

// What does not follow from its inputs, though its file is whole.
func TestDoesNotFollow(t *testing.T) {
	dir := t.TempDir()
	r := readBack(t, example(t, "A", 5))
	r.Shock.Limited /= 2
	out, err := record.Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	if err := record.Open(dir).Carry(record.Job{Kind: record.Print, Date: day(t, "2026-05-01"), Sheet: []record.Sheet{{Record: r}}, Tool: "v0"}, out); err != nil {
		t.Fatal(err)
	}
	got := run(t, os.DirFS(dir), nil, "")
	if got.Sound() || !strings.Contains(got.Problems[0].What, "does not follow from its inputs in this version (v1): limited_mm") || !strings.Contains(got.Problems[0].Do, "version v0") {
		t.Errorf("%v", got.Problems)
	}
}

// A merge of two copies is told apart from damage, and explained.
func TestMerged(t *testing.T) {
	m, keys := invented(t)
	lines := bytes.SplitAfter(m[record.LedgerFile].Data, []byte("\n"))
	union := bytes.Join(append(slices.Clone(lines[:6]), lines[4:]...), nil)
	marked := bytes.Join(append(append(slices.Clone(lines[:6]), []byte("<<<<<<< HEAD\n")), lines[6:]...), nil)
	for _, bad := range [][]byte{union, marked} {
		r := run(t, with(m, record.LedgerFile, bad), keys, "")
		if r.Sound() || !strings.Contains(fmt.Sprint(r.Problems), "two copies of this folder were written, and their ledgers were merged") {
			t.Errorf("%v", r.Problems)
		}
	}
}

// A second ledger, as a drive that synchronizes leaves it, is told where it has lines that the ledger lacks.
func TestCopyOfTheLedger(t *testing.T) {
	m, keys := invented(t)
	all := m[record.LedgerFile].Data
	lines := bytes.SplitAfter(all, []byte("\n"))
	shorter := bytes.Join(lines[:10], nil)
	for name, c := range map[string]struct {
		own, copy []byte
		lacks     string
	}{
		"ledger (conflicted copy).jsonl":         {shorter, all, "a copy of the ledger with 3 lines that ledger.jsonl lacks"},
		"Ledger-OFFICE-PC.jsonl":                 {shorter, append(slices.Clone(all), "{"...), "with 3 lines"},
		"ledger.sync-conflict-20260501-AB.jsonl": {shorter, bytes.Join(lines[:11], nil), "with 1 line "},
		"ledger backup.jsonl":                    {all, shorter, ""},
		"my ledger.json":                         {all, []byte("{}\n"), ""},
	} {
		r := run(t, with(with(m, record.LedgerFile, c.own), name, c.copy), keys, "")
		told := slices.ContainsFunc(r.Problems, func(p Problem) bool { return p.Where == name && strings.Contains(p.What, c.lacks) })
		if told != (c.lacks != "") {
			t.Errorf("%s: %v", name, r.Problems)
		}
	}
}

// A real signature certifies what it signs and nothing else, by whoever signed.
func TestForgedSignature(t *testing.T) {
	for what, forge := range map[string]func(l *record.Line){
		"more records":    func(l *record.Line) { l.Labels = append(l.Labels, record.Printed{ID: "B", Record: l.Labels[0].Record}) },
		"another record":  func(l *record.Line) { l.Labels[0].ID = "B" },
		"another name":    func(l *record.Line) { l.By = "owner" },
		"record and line": func(l *record.Line) { l.Of = l.Prev },
	} {
		m, keys := invented(t)
		dir := t.TempDir()
		if err := os.CopyFS(dir, m); err != nil {
			t.Fatal(err)
		}
		s := record.Open(dir)
		err := s.Note(func(l *record.Ledger) (record.Line, error) {
			for _, line := range l.Lines {
				if line.Kind == record.Signed && len(line.Labels) == 1 {
					line.Labels = slices.Clone(line.Labels)
					forge(&line)
					return line, nil
				}
			}
			return record.Line{}, fmt.Errorf("no signature")
		})
		if err != nil {
			t.Fatal(err)
		}
		if r := run(t, os.DirFS(dir), keys, ""); r.Sound() {
			t.Errorf("%s: %+v", what, r.Signatures)
		}
	}
}

// What cannot be seen is not written into the ledger.
func TestUnprintable(t *testing.T) {
	s := record.Open(t.TempDir())
	for _, reason := range []string{"a\nb", "\x1b[31m", "\u202e", "\u2028"} {
		err := s.Note(func(*record.Ledger) (record.Line, error) {
			return record.Line{Kind: record.Withdrawn, Date: day(t, "2026-05-01"), Reason: reason}, nil
		})
		if err == nil {
			t.Errorf("%q is written", reason)
		}
	}
}

// A record that does not follow is found whatever its line is dated, and
// whatever was printed of it.
func TestDoesNotFollowAnywhere(t *testing.T) {
	for _, j := range []record.Job{{Kind: record.Print, Date: day(t, "2031-05-01")}, {Kind: record.Print, Date: day(t, "2026-05-01"), Thing: "fault"}} {
		dir := t.TempDir()
		bad, good := readBack(t, example(t, "A", 5)), example(t, "A", 6)
		bad.Shock.Limited /= 2
		for _, r := range []*record.Record{bad, good} {
			out, err := record.Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
			if err != nil {
				t.Fatal(err)
			}
			j.Sheet = []record.Sheet{{Record: r}}
			if err := record.Open(dir).Carry(j, out); err != nil {
				t.Fatal(err)
			}
		}
		if r := run(t, os.DirFS(dir), nil, ""); len(r.Problems) != 1 || !strings.Contains(r.Problems[0].What, "does not follow") {
			t.Errorf("%v", r.Problems)
		}
	}
}

func TestNothingHere(t *testing.T) {
	if _, err := Run(fstest.MapFS{}, day(t, "2026-05-02"), Options{}); err != ErrNoLedger {
		t.Errorf("%v", err)
	}
}

// A link in place of the ledger or of the records' folder is not followed.
func TestLinks(t *testing.T) {
	m, keys := invented(t)
	for _, name := range []string{record.LedgerFile, "records"} {
		dir, away := t.TempDir(), t.TempDir()
		if err := os.CopyFS(dir, m); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(filepath.Join(dir, name), filepath.Join(away, name)); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(filepath.Join(away, name), filepath.Join(dir, name)); err != nil {
			t.Skip(err)
		}
		if r := run(t, os.DirFS(dir), keys, ""); r.Sound() {
			t.Errorf("a link in the place of %s is not found", name)
		}
	}
}

// What a line notes of feeds and ties decides which rows a label is judged by, and its gist
// whether the record is read at all, so both must be what the record says.
func TestOtherNotes(t *testing.T) {
	for _, c := range []struct {
		kind record.Kind
		note func(p *record.Printed)
		want string
	}{
		{record.Print, func(p *record.Printed) { p.Joins = record.Joins{Up: []string{"SWB-9"}} }, "other feeds and ties of A than its record has"},
		{record.Print, func(p *record.Printed) { p.Gist = p.Gist[:len(p.Gist)-8] + "00000000" }, "another gist of A than its record has"},
		{record.Mounted, func(p *record.Printed) { p.Joins = record.Joins{Up: []string{"SWB-9"}} }, "it notes feeds or a gist of A and prints no label"},
		{record.Mounted, func(p *record.Printed) { p.Gist = "1-00" }, "it notes feeds or a gist of A and prints no label"},
	} {
		kind, want := c.kind, c.want
		m, keys := invented(t)
		if r := run(t, m, keys, ""); strings.Contains(fmt.Sprint(r.Problems), "feeds") || strings.Contains(fmt.Sprint(r.Problems), "gist") {
			t.Fatal(r.Problems)
		}
		dir := t.TempDir()
		if err := os.CopyFS(dir, m); err != nil {
			t.Fatal(err)
		}
		err := record.Open(dir).Note(func(l *record.Ledger) (record.Line, error) {
			for _, line := range l.Lines {
				if line.Kind == kind && line.Thing == "" {
					line.Labels = slices.Clone(line.Labels)
					c.note(&line.Labels[0])
					return line, nil
				}
			}
			return record.Line{}, fmt.Errorf("no %s", kind)
		})
		if err != nil {
			t.Fatal(err)
		}
		if r := run(t, os.DirFS(dir), keys, ""); !strings.Contains(fmt.Sprint(r.Problems), want) {
			t.Errorf("%s: %v", kind, r.Problems)
		}
	}
}
