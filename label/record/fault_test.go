package record

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"vouchmark/assess"
	"vouchmark/testdata/suite"
)

const (
	oldPDF, newPDF = "%PDF-old", "%PDF-new"
	oldLog, newLog = "# old\n", "# old\n# and new\n"
)

const halfLine = `{"schema":1,"kind":"do`

// ruined is the number of lines that ruin leaves.
const ruined = 3

// ruin is a folder in which a label was printed; then a crash interrupted a print
// while it stored a record, and left half a line.
func ruin(t *testing.T, dir string) {
	t.Helper()
	put := func(file, text string) {
		if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	carry(t, dir, job(t, Print, example(t, "A", 6.5)))
	w, err := Open(dir).lockLedger()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.append(Line{Kind: Print, Date: job(t, Print).Date, Count: 1}); err != nil {
		t.Fatal(err)
	}
	w.file.WriteString(halfLine)
	w.close()
	old, _ := filepath.Glob(filepath.Join(dir, "records", "*"))
	put(filepath.Join("records", filepath.Base(old[0]), ".left.json.1.tmp"), "{")
	put("out.pdf", oldPDF)
	put(assess.ChangesFile, oldLog)
}

// works are what the tests try on a failing disk.
var works = map[string]func(t *testing.T, dir string) error{
	"print": func(t *testing.T, dir string) error {
		return printOver(t, dir, job(t, Print, example(t, "B", 7.5), example(t, "C", 9.5)))
	},
	"reprint": func(t *testing.T, dir string) error {
		return printOver(t, dir, job(t, Reprint, example(t, "A", 6.5)))
	},
	"edit": func(t *testing.T, dir string) error {
		return Open(dir).Edit(assess.ChangesFile, func([]byte) ([]byte, error) { return []byte(newLog), nil })
	},
	"enter": func(t *testing.T, dir string) error {
		return Open(dir).Enter(func([]byte, *Ledger) ([]byte, Line, error) {
			line := NewLogged(Entered, &anEntry)
			line.Date = job(t, Print).Date
			return []byte(newLog), line, nil
		})
	},
	"withdraw": func(t *testing.T, dir string) error {
		_, err := Open(dir).Withdraw("A", job(t, Print).Date, "torn", "tester", "test")
		return err
	},
	"mount": func(t *testing.T, dir string) error {
		_, err := Open(dir).Mount([]string{"A"}, job(t, Print).Date, job(t, Print).Date, "tester", "test")
		return err
	},
}

var anEntry = assess.NewEntry(assess.ReviewEntry, "2026-05-01", map[string]any{"date": "2026-05-01", "finding": "wrong"}, 0)

func printOver(t *testing.T, dir string, j Job) error {
	out, err := PreparePDF(filepath.Join(dir, "out.pdf"), []byte(newPDF))
	if err != nil {
		return fmt.Errorf("%w; nothing was printed", err) // as in press.Carry
	}
	return Open(dir).Carry(j, out)
}

// Whichever disk operation fails, in whatever way: the folder is as before or as
// after, the message says which, and the next writer finds everything in order. The
// suite fails each operation in each way, with the errors in turn.
func TestFaults(t *testing.T) {
	sync := disk.sync
	disk.sync = func(*os.File) error { return nil } // power does not fail here, and a real disk would be slow
	defer func() { disk.sync = sync }()
	for name, work := range works {
		t.Run(name, func(t *testing.T) {
			var all fault
			dir := t.TempDir()
			ruin(t, dir)
			mend := all.inject()
			err := work(t, dir)
			mend()
			if err != nil || len(all.seen) < 10 {
				t.Fatalf("%v, %v", all.seen, err)
			}
			errnos := []error{syscall.ENOSPC, syscall.EROFS, syscall.EACCES, syscall.EIO}
			for i, op := range all.seen {
				ways := []fault{{}, {onward: true}}
				if op == "write" {
					ways = append(ways, fault{half: true}, fault{half: true, onward: true})
				}
				for k, way := range ways {
					for e, errno := range errnos {
						if !suite.Exhaustive && e != (i+k)%len(errnos) {
							continue
						}
						try(t, name, &fault{n: i + 1, err: errno, onward: way.onward, half: way.half})
					}
				}
			}
		})
	}
}

func try(t *testing.T, name string, f *fault) {
	t.Helper()
	dir := t.TempDir()
	ruin(t, dir)
	mend := f.inject()
	err := works[name](t, dir)
	mend()
	is := look(t, dir)
	if wrong := is.wrong(name, err); wrong != "" {
		t.Errorf("%v: %s: %v", f, wrong, err)
	}
	next(t, name, f, dir, is)
}

// next is the next writer, in a folder in a state.
func next(t *testing.T, name string, f *fault, dir string, is state) {
	t.Helper()
	if err := works[name](t, dir); err != nil && name != "withdraw" { // it may be withdrawn already
		t.Errorf("%v: the next writer: %v", f, err)
	}
	after := look(t, dir)
	if after.temps > 0 || len(after.ledger.Torn) > 0 || len(after.replay.Open) > 0 {
		t.Errorf("%v: after the next writer: %d temporary files, %q, open: %v", f, after.temps, after.ledger.Torn, after.replay.Open)
	}
	all := after.ledger.Asides()
	if !slices.ContainsFunc(all, func(a Aside) bool { return read(t, dir, a.File) == halfLine }) {
		t.Errorf("%v: after the next writer: half a line is not kept: %v", f, all)
	}
	if len(after.ledger.Lines) < len(is.ledger.Lines) || !slices.EqualFunc(is.ledger.Lines, after.ledger.Lines[:len(is.ledger.Lines)], sameHash) {
		t.Errorf("%v: the next writer lost a line", f)
	}
}

// A process that does one of the works, for TestKilled, which kills it at a disk operation.
func TestWorkProcess(t *testing.T) {
	dir := os.Getenv("VOUCHMARK_WORK_IN")
	if dir == "" {
		t.Skip("part of TestKilled")
	}
	n, err := strconv.Atoi(os.Getenv("VOUCHMARK_KILL_AT"))
	if err != nil {
		t.Fatal(err)
	}
	f := &fault{n: n, err: syscall.EIO, die: true, half: os.Getenv("VOUCHMARK_HALF") != ""}
	f.inject()
	err = works[os.Getenv("VOUCHMARK_WORK")](t, dir)
	fmt.Printf("operations: %s\n", strings.Join(f.seen, " "))
	if err != nil {
		t.Fatal(err)
	}
}

// A process that is killed before any disk operation, or in the middle of a write, leaves a
// state that is as before or as after, and the next writer puts everything in order. The
// suite kills one at every third operation, except where an entry is added.
func TestKilled(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a file that is open cannot be replaced there")
	}
	kills := 0
	for name := range works {
		run := func(dir string, at int, half bool) (ops []string, killed bool) {
			c := exec.Command(os.Args[0], "-test.run=^TestWorkProcess$", "-test.v")
			c.Env = append(os.Environ(), "VOUCHMARK_WORK="+name, "VOUCHMARK_WORK_IN="+dir, fmt.Sprint("VOUCHMARK_KILL_AT=", at))
			if half {
				c.Env = append(c.Env, "VOUCHMARK_HALF=1")
			}
			out, err := c.Output()
			_, after, _ := strings.Cut(string(out), "operations: ")
			line, _, done := strings.Cut(after, "\n")
			if done == (err != nil) {
				t.Fatalf("%s, operation %d: %v\n%s", name, at, err, out)
			}
			return strings.Fields(line), !done
		}
		dir := t.TempDir()
		ruin(t, dir)
		all, killed := run(dir, 0, false)
		if killed || len(all) < 10 {
			t.Fatalf("%s: %q", name, all)
		}
		for i, op := range all {
			for _, half := range []bool{false, true} {
				if half && op != "write" || !suite.Exhaustive && name != "enter" && (i+len(name))%3 > 0 {
					continue
				}
				dir := t.TempDir()
				ruin(t, dir)
				if _, killed := run(dir, i+1, half); !killed {
					t.Errorf("%s, operation %d, %s: it was not killed", name, i+1, op)
				}
				kills++
				f := &fault{n: i + 1, err: errors.New(name + " killed at " + op), half: half}
				next(t, name, f, dir, look(t, dir))
			}
		}
	}
	t.Logf("%d kills", kills)
}

func sameHash(a, b Line) bool { return a.Hash == b.Hash }

// claims are what a message can say about the folder, and when it is true.
var claims = map[string]func(s *state) bool{
	"nothing was written":          func(s *state) bool { return s.pdf == oldPDF && s.log == oldLog && s.added() == 0 },
	"nothing was printed":          func(s *state) bool { return s.pdf == oldPDF && s.done == 1 },
	"labels are in":                func(s *state) bool { return s.pdf == newPDF },
	"leaves the print open":        func(s *state) bool { return s.open() && s.ended() == 0 },
	"the line is in the ledger":    func(s *state) bool { return s.added() > 0 },
	"is changed":                   func(s *state) bool { return s.log == newLog },
	"is unchanged":                 func(s *state) bool { return s.log == oldLog },
	"announces the entry":          func(s *state) bool { return s.open() && s.ended() == 0 },
	"out.pdf is in its place":      func(s *state) bool { return s.pdf == newPDF },
	"changes.toml is in its place": func(s *state) bool { return s.log == newLog },
}

// wrong says where the message and the folder disagree.
func (s *state) wrong(name string, err error) string {
	prints, edits := strings.HasSuffix(name, "print"), name == "edit" || name == "enter"
	lines := map[string]int{"print": 2, "reprint": 2, "edit": 0, "enter": 2}
	if err == nil {
		want, given := lines[name]
		if !given {
			want = 1
		}
		if s.added() != want || (s.pdf == newPDF) != prints || (s.log == newLog) != edits {
			return "it says that all is well"
		}
		return ""
	}
	var write *WriteError
	says := func(text string) bool { return strings.Contains(err.Error(), text) }
	switch {
	case !errors.As(err, &write):
		return "no file is named"
	case says(".tmp"):
		return "it names a temporary file"
	case !says("nothing was") && !says("labels are in") && !says("changed") && !says("is in its place") && !says("the line is in the ledger"):
		return "it says neither before nor after"
	}
	if s.open() && !says("leaves the print open") && !says("announces the entry") && !says("the line is in the ledger") {
		return "it does not say that the print is open"
	}
	for text, so := range claims {
		if says(text) && !so(s) {
			return fmt.Sprintf("it is not so that %q", text)
		}
	}
	return ""
}

// state is a folder as a new reader finds it.
type state struct {
	ledger   *Ledger
	replay   *Replay
	done     int // prints
	pdf, log string
	temps    int // in records/ and next to changes.toml
}

// added counts the lines of the work itself: those after ruin's lines that do not
// end what a crash or a fault left.
func (s *state) added() int {
	n := 0
	for _, line := range s.ledger.Lines[ruined:] {
		if line.Kind != Unfinished && line.Kind != Failed && line.Kind != Torn {
			n++
		}
	}
	return n
}

// ended counts the lines that end the work's print.
func (s *state) ended() int {
	n := 0
	for _, line := range s.ledger.Lines[ruined:] {
		if line.Kind == Done || line.Kind == Failed {
			n++
		}
	}
	return n
}

// open reports whether the work announced something and did not end it.
func (s *state) open() bool {
	n := len(s.replay.Open)
	return n > 0 && s.replay.Open[n-1].Hash != s.ledger.Lines[ruined-1].Hash
}

// look reads a folder and checks what must be true at any time: a sound chain,
// complete records under their names, files that are old or new, and each record that
// a line vouches for.
func look(t *testing.T, dir string) state {
	t.Helper()
	l, err := Open(dir).Ledger()
	if err != nil {
		t.Fatal(err)
	}
	s := state{ledger: l, replay: Open(dir).Replay(l, job(t, Print).Date, nil), pdf: read(t, dir, "out.pdf"), log: read(t, dir, assess.ChangesFile)}
	if s.pdf != oldPDF && s.pdf != newPDF || s.log != oldLog && s.log != newLog {
		t.Errorf("neither old nor new: %q, %q", s.pdf, s.log)
	}
	files, _ := filepath.Glob(filepath.Join(dir, "records", "*", "*"))
	for _, f := range files {
		data, err := os.ReadFile(f)
		sum := sha256.Sum256(data)
		name, whole := strings.CutSuffix(filepath.Base(f), ".json")
		switch {
		case strings.HasSuffix(name, ".tmp"):
			s.temps++
		case err != nil || !whole || name != hex.EncodeToString(sum[:]) || name[:2] != filepath.Base(filepath.Dir(f)):
			t.Errorf("%s is not a record, %v", f, err)
		}
	}
	temps, _ := filepath.Glob(filepath.Join(dir, "."+assess.ChangesFile+"*"))
	s.temps += len(temps)
	for _, line := range l.Lines {
		if line.Kind == Done {
			s.done++
		}
	}
	for _, n := range l.Notes().All {
		if n.Ended.Failed && s.log == newLog && len(l.Notes().All) == 1 || n.Ended.Done && s.log == oldLog {
			t.Errorf("changes.toml is %q, and the entry %+v", s.log, n.Ended)
		}
	}
	for _, n := range s.replay.Records {
		if n.Needed > 0 && !Open(dir).has(n.ID) {
			t.Errorf("line %d needs the record %s, which is not there", n.Needed, n.ID)
		}
	}
	return s
}

func read(t *testing.T, dir, file string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, file))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// If the disk neither keeps a line for certain nor removes it, the error says so:
// whoever withdrew a label must not believe that it is safe.
func TestNoteThatMayNotLast(t *testing.T) {
	dir := t.TempDir()
	carry(t, dir, job(t, Print, example(t, "A", 6.5)))
	sound := disk
	defer func() { disk = sound }()
	disk.sync = func(f *os.File) error {
		if filepath.Base(f.Name()) != LedgerFile {
			return sound.sync(f)
		}
		return &fs.PathError{Op: "sync", Path: f.Name(), Err: syscall.EIO}
	}
	disk.truncate = func(f *os.File, _ int64) error {
		return &fs.PathError{Op: "truncate", Path: f.Name(), Err: syscall.EIO}
	}
	_, err := Open(dir).Withdraw("A", job(t, Print).Date, "burnt", "me", "test")
	if err == nil || !strings.Contains(err.Error(), "a power failure may undo it") {
		t.Errorf("%v", err)
	}
	disk = sound
	l, err := Open(dir).Ledger()
	if err != nil || l.Lines[len(l.Lines)-1].Kind != Withdrawn {
		t.Errorf("the line is not there: %v", err)
	}
}
