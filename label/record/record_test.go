package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/testdata/suite"
)

// example is a record of an invented location.
func example(t testing.TB, id string, energy assess.CalCM2) *Record {
	t.Helper()
	prepared, err := assess.ParseDate("2026-03-14")
	if err != nil {
		t.Fatal(err)
	}
	s := &assess.Site{
		Policy: assess.Policy{Name: "Invented", Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger,
			Ladder: []assess.Rung{{Kit: "Kit A", Rating: 8, Wear: assess.Words{"": {"shirt"}}}, {Kit: "Kit B", Rating: 40, Wear: assess.Words{"": {"suit"}, "es": {"traje"}}}}},
		Locations: []assess.Location{{ID: id, Area: "Hall", Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2,
			Cases: []assess.Case{{Energy: energy, Boundary: 1100, Fault: 18.35, Method: assess.Stated, Study: "INV-1", Prepared: prepared}}}},
	}
	a := s.Assess(prepared)
	return New(&a[0])
}

func job(t testing.TB, kind Kind, rs ...*Record) Job {
	d, err := assess.ParseDate("2026-05-01")
	if err != nil {
		t.Fatal(err)
	}
	j := Job{Kind: kind, Date: d, Stock: "4x4", By: "tester", Tool: "test"}
	for _, r := range rs {
		j.Sheet = append(j.Sheet, Sheet{Record: r})
	}
	return j
}

func carry(t testing.TB, dir string, j Job) {
	t.Helper()
	out, err := Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	if err := Open(dir).Carry(j, out); err != nil {
		t.Fatal(err)
	}
}

func TestEncodeDecode(t *testing.T) {
	r := example(t, "MCC-4", 6.518)
	data, id, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if id != sha256.Sum256(data) {
		t.Error("the ID is not the SHA-256 of the bytes")
	}
	back, err := Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	again, _, _ := back.Encode()
	if !bytes.Equal(again, data) {
		t.Error("decoding and encoding changes the bytes")
	}
	for _, forbidden := range []string{"HTTP", "tool", "standing", "today", string(id.Code())} {
		if bytes.Contains(data, []byte(forbidden)) {
			t.Errorf("the record holds %q", forbidden)
		}
	}
}

// The same facts give the same code on every machine. The value was taken from this
// program once, under rules 2: if it changes, labels on doors lose their records.
func TestCodeIsStable(t *testing.T) {
	_, id, err := example(t, "MCC-4", 6.518).Encode()
	if err != nil {
		t.Fatal(err)
	}
	if got, want := id.Code(), Code("MPPB-MRXY-VW4J-5T9P"); got != want {
		t.Errorf("code %s, want %s", got, want)
	}
}

// Crockford's base32: five bits a letter, no I, L, O, U; I and L read as 1
// and O as 0. The vectors follow from that definition.
func TestCode(t *testing.T) {
	var id ID
	copy(id[:], []byte{0x00, 0x44, 0x32, 0x14, 0xC7, 0x42, 0x54, 0xB6, 0x35, 0xCF})
	if got := id.Code(); got != "0123-4567-89AB-CDEF" {
		t.Errorf("code %s", got)
	}
	copy(id[:], []byte{0x84, 0x65, 0x3A, 0x56, 0xD7, 0xC6, 0x75, 0xBE, 0x77, 0xDF})
	if got := id.Code(); got != "GHJK-MNPQ-RSTV-WXYZ" {
		t.Errorf("code %s", got)
	}
	for _, s := range []string{"0123-4567-89AB-CDEF", "0123456789abcdef", "oi23-4567-89ab-cdef", " 0L23456789ABCDEF "} {
		if c, err := ParseCode(s); err != nil || c != "0123-4567-89AB-CDEF" {
			t.Errorf("ParseCode(%q) = %s, %v", s, c, err)
		}
	}
	for _, s := range []string{"", "0123-4567-89AB-CDE", "0123-4567-89AB-CDEFG", "U123-4567-89AB-CDEF", "MCC-4"} {
		if c, err := ParseCode(s); err == nil {
			t.Errorf("ParseCode(%q) = %s, want an error", s, c)
		}
	}
}

func TestStore(t *testing.T) {
	s := Open(t.TempDir())
	r := example(t, "MCC-4", 6.5)
	id, err := s.save(r)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.save(r); err != nil {
		t.Errorf("saving it again: %v", err)
	}
	if got, err := s.Find(id.Code()); err != nil || got != id {
		t.Errorf("Find = %v, %v", got, err)
	}
	if _, err := s.Find("0123-4567-89AB-CDEF"); !errors.Is(err, ErrNotFound) {
		t.Errorf("an unknown code: %v", err)
	}
	left, _ := filepath.Glob(filepath.Join(s.dir, "records", "*", ".*"))
	if len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// Every change of one byte of a record is found.
func TestRecordTamper(t *testing.T) {
	s := Open(t.TempDir())
	id, err := s.save(example(t, "MCC-4", 6.5))
	if err != nil {
		t.Fatal(err)
	}
	good, err := os.ReadFile(s.path(id))
	if err != nil {
		t.Fatal(err)
	}
	file := &fstest.MapFile{Data: good} // a real disk would be slow
	for i := range good {
		file.Data = bytes.Clone(good)
		file.Data[i] ^= 1
		if _, err := LoadFrom(fstest.MapFS{Path(id): file}, id); !errors.Is(err, ErrDamaged) {
			t.Fatalf("byte %d changed: %v", i, err)
		}
	}
	if err := os.Chmod(s.path(id), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(s.path(id), file.Data, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Load(id); !errors.Is(err, ErrDamaged) {
		t.Errorf("on disk: %v", err)
	}
}

// Every change of one byte of the ledger is found, and so is every line that is
// lost, duplicated or moved before the last one.
func TestLedgerTamper(t *testing.T) {
	dir := t.TempDir()
	r := example(t, "MCC-4", 6.5)
	for range 3 {
		carry(t, dir, job(t, Print, r))
	}
	good, err := os.ReadFile(filepath.Join(dir, LedgerFile))
	if err != nil {
		t.Fatal(err)
	}
	try := func(what string, bad []byte) {
		t.Helper()
		l, err := ParseLedger(bad)
		if err == nil && l.Torn == nil {
			t.Fatalf("%s is not found", what)
		}
	}
	for i := range good {
		for _, flip := range []byte{1, 0x20} {
			bad := bytes.Clone(good)
			bad[i] ^= flip
			try("a changed byte", bad)
		}
	}
	lines := bytes.SplitAfter(good, []byte("\n"))
	lines = lines[:len(lines)-1]
	for i := range lines {
		if i < len(lines)-1 {
			try("a line taken out", bytes.Join(append(append([][]byte{}, lines[:i]...), lines[i+1:]...), nil))
			swapped := append([][]byte{}, lines...)
			swapped[i], swapped[i+1] = swapped[i+1], swapped[i]
			try("two lines swapped", bytes.Join(swapped, nil))
		}
		try("a line doubled", bytes.Join(append(append(append([][]byte{}, lines[:i+1]...), lines[i]), lines[i+1:]...), nil))
	}
}

func TestJournal(t *testing.T) {
	dir := t.TempDir()
	s := Open(dir)
	a, b, a2 := example(t, "A", 6.5), example(t, "B", 9.5), example(t, "A", 7.5)
	carry(t, dir, job(t, Print, a, b))
	carry(t, dir, job(t, Reprint, a))
	carry(t, dir, job(t, Print, a2))
	l, err := s.Ledger()
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Lines) != 6 || l.Lines[0].Kind != Print || l.Lines[1].Kind != Done || l.Lines[1].Of != l.Lines[0].Hash {
		t.Errorf("lines: %+v", l.Lines)
	}
	if c := l.Lines[2].Labels[0].Copy; c != 2 {
		t.Errorf("the reprint is copy %d", c)
	}
	_, want, _ := a2.Encode()
	if got := s.Replay(l, job(t, Print).Date, nil).Labels["A"]; got.ID != want || len(got.Earlier) != 1 {
		t.Errorf("newest of A is %v", got)
	}
	if _, ok := s.Replay(l, job(t, Print).Date, nil).Labels["C"]; ok {
		t.Error("a location that was never printed has a newest record")
	}
}

// A print that cannot be written leaves an intent and a line that says so, but no
// label.
func TestFailedOutput(t *testing.T) {
	dir := t.TempDir()
	if _, err := Prepare(filepath.Join(dir, "missing", "out.pdf"), nil, 0o644); err == nil {
		t.Error("a file in a folder that does not exist is written")
	}
	out, err := Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	os.Mkdir(filepath.Join(dir, "out.pdf"), 0o755) // the rename must fail
	os.WriteFile(filepath.Join(dir, "out.pdf", "x"), nil, 0o644)
	var write *WriteError
	if err := Open(dir).Carry(job(t, Print, example(t, "A", 6.5)), out); !errors.As(err, &write) {
		t.Fatalf("got %v", err)
	}
	l, err := Open(dir).Ledger()
	if err != nil || len(l.Lines) != 2 || l.Lines[1].Kind != Failed {
		t.Errorf("%d lines, %v", len(l.Lines), err)
	}
	if id, ok := Open(dir).Replay(l, job(t, Print).Date, nil).Labels["A"]; ok {
		t.Errorf("a print that failed made a label: %s", id.ID)
	}
	os.WriteFile(filepath.Join(dir, "locations.csv"), []byte("id\n"), 0o644)
	os.Symlink("/dev/null", filepath.Join(dir, "link.pdf"))
	for _, name := range []string{"out.pdf", "locations.csv", "link.pdf", "ledger.jsonl"} {
		if _, err := PreparePDF(filepath.Join(dir, name), nil); !errors.As(err, &write) {
			t.Errorf("%s is overwritten: %v", name, err)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*.tmp")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// A file written piece by piece is complete or not there. The writer's own errors
// come back unchanged; errors of the disk name the file, even if the writer ignores
// them.
func TestPrepareFrom(t *testing.T) {
	dir := t.TempDir()
	file, mine := filepath.Join(dir, "a.zip"), errors.New("mine")
	put := func(w io.Writer, end error) error {
		io.WriteString(w, "one ")
		io.WriteString(w, "two")
		return end
	}
	p, err := PrepareFrom(file, 0o640, func(w io.Writer) error { return put(w, nil) })
	if err != nil || p.Commit() != nil || read(t, dir, "a.zip") != "one two" {
		t.Fatal(err)
	}
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	var write *WriteError
	if _, err := PrepareFrom(file, 0o644, func(w io.Writer) error { return put(w, mine) }); !errors.Is(err, mine) || errors.As(err, &write) {
		t.Errorf("%v", err)
	}
	sound := disk
	defer func() { disk = sound }()
	for _, end := range []error{nil, mine} {
		n := 0
		disk.write = func(f *os.File, data []byte) (int, error) {
			if n++; n == 1 {
				return 0, &fs.PathError{Op: "write", Path: f.Name(), Err: syscall.ENOSPC}
			}
			return sound.write(f, data)
		}
		if _, err := PrepareFrom(file, 0o644, func(w io.Writer) error { return put(w, end) }); !errors.Is(err, syscall.ENOSPC) || !errors.As(err, &write) || n != 1 {
			t.Errorf("after %d writes: %v", n, err)
		}
	}
	disk = sound
	if left, _ := filepath.Glob(filepath.Join(dir, ".*")); left != nil || read(t, dir, "a.zip") != "one two" {
		t.Errorf("%q are left", left)
	}
}

// The same facts give the same code: the order of the feeds is not a fact, nor are
// the parts of the policy that did not decide.
func TestCodeIsOfFactsAlone(t *testing.T) {
	prepared, _ := assess.ParseDate("2026-03-14")
	code := func(edit func(*assess.Site)) Code {
		s := &assess.Site{
			Policy: assess.Policy{Units: assess.US, Edition: "NFPA 70E-2024", Cutoff: 40, ReviewMonths: 60, Govern: assess.Larger, TolerancePercent: 5,
				Ladder: []assess.Rung{{Kit: "Kit A", Rating: 40, Wear: assess.Words{"": {"suit"}}}}},
			Locations: []assess.Location{
				{ID: "P", Equipment: "Panel", Supply: shock.AC3, Voltage: 480, Distance: 457.2,
					Cases: []assess.Case{{FedFrom: []string{"A", "B"}, Energy: 5, Boundary: 1000, Method: assess.Stated, Prepared: prepared}}},
			},
		}
		edit(s)
		_, id, err := New(&s.Assess(prepared)[0]).Encode()
		if err != nil {
			t.Fatal(err)
		}
		return id.Code()
	}
	want := code(func(*assess.Site) {})
	for name, edit := range map[string]func(*assess.Site){
		"feeds in reverse order": func(s *assess.Site) { s.Locations[0].Cases[0].FedFrom = []string{"B", "A"} },
		"another tolerance":      func(s *assess.Site) { s.Policy.TolerancePercent = 3 },
		"an unused reason":       func(s *assess.Site) { s.Policy.TwoSecondReason = "open floor" },
		"an unused acceptance":   func(s *assess.Site) { s.Policy.GovernReason = "none" },
		"another link":           func(s *assess.Site) { s.Policy.Link = "HTTPS://X" },
		"another name":           func(s *assess.Site) { s.Policy.Name = "X" },
		"another notice":         func(s *assess.Site) { s.Policy.NoticeDays = 7 },
	} {
		if got := code(edit); got != want {
			t.Errorf("%s: code %s, want %s", name, got, want)
		}
	}
	if code(func(s *assess.Site) { s.Locations[0].Cases[0].Energy = 5.1 }) == want {
		t.Error("another energy has the same code")
	}
}

// readBack is a record as its file has it, whose outcome is encoded as it is.
func readBack(t *testing.T, r *Record) *Record {
	t.Helper()
	data, _, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if r, err = Decode(data); err != nil {
		t.Fatal(err)
	}
	return r
}

// A record whose kit does not follow from its energy was not made by this program.
func TestDecodeRefusesAnInventedKit(t *testing.T) {
	r := readBack(t, example(t, "MCC-4", 6.5))
	r.Energy.Value = 39
	data, _, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Decode(data); err == nil {
		t.Error("39 cal/cm² in a kit of 8")
	}
	for name, forge := range map[string]func(*Record){
		"rules":  func(r *Record) { r.Rules = 99 },
		"units":  func(r *Record) { r.Policy.Units = "yards" },
		"govern": func(r *Record) { r.Policy.Govern = "the smaller" },
	} {
		r := example(t, "MCC-4", 6.5)
		forge(r)
		if data, _, err = r.Encode(); err == nil {
			_, err = Decode(data)
		}
		if err == nil {
			t.Errorf("unknown %s", name)
		}
	}
}

func FuzzDecode(f *testing.F) {
	data, _, err := example(f, "MCC-4", 6.5).Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > suite.Longest {
			return
		}
		var r *Record
		var err error
		suite.Bounded(t, len(data), 2048, 4<<20, func() { r, err = Decode(data) })
		if err != nil {
			return
		}
		again, _, err := r.Encode()
		if err != nil || !bytes.Equal(again, data) {
			t.Errorf("two encodings of one record")
		}
	})
}

// The schema in the package comment names the top keys.
func TestKeys(t *testing.T) {
	data, _, err := example(t, "MCC-4", 6.5).Encode()
	if err != nil {
		t.Fatal(err)
	}
	var m map[string]any
	if err := json.Unmarshal(data, &m); err != nil {
		t.Fatal(err)
	}
	for _, key := range strings.Fields("schema rules inputs outcome") {
		if _, ok := m[key]; !ok {
			t.Errorf("no key %s", key)
		}
		delete(m, key)
	}
	if len(m) > 0 {
		t.Errorf("more keys: %v", m)
	}
}

// save writes a record, unless it is already there.
func (s *Store) save(r *Record) (ID, error) {
	data, id, err := r.Encode()
	if err != nil {
		return ID{}, err
	}
	return id, Place(s.dir, Path(id), data)
}
