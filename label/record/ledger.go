package record

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/infile"
)

// LedgerFile is where a site folder keeps its ledger.
const LedgerFile = "ledger.jsonl"

// The largest size of a ledger and of one of its lines, in bytes: a few million lines, and a print
// of hundreds of thousands of labels.
const (
	MostLedger = infile.GiB
	MostLine   = 64 * infile.MiB
)

// patience is how long a writer waits for another one to finish, and asks again each
// lockAgain.
const (
	patience  = time.Minute
	lockAgain = 20 * time.Millisecond
)

// Ledger is the log of what was printed, as read from the file.
type Ledger struct {
	Lines []Line
	size  int64 // bytes of complete lines
	// Torn is what follows the last complete line: a writer is at work or was
	// interrupted, or somebody cut off the end; nil for nothing.
	Torn []byte
	// Lacks is what the last line lacks of its end, where its hash is there and proves
	// the rest; nil for nothing. An editor removed it, or a writer was interrupted.
	Lacks []byte
}

// Head is the hash of the last line; the next line contains it.
func (l *Ledger) Head() string {
	return l.HeadAt(len(l.Lines))
}

// HeadAt is the head after a number of lines.
func (l *Ledger) HeadAt(lines int) string {
	if lines == 0 {
		return firstPrev
	}
	return l.Lines[lines-1].Hash
}

// LocationOf is the location of a label that was printed with a record; "" if no line names
// the record.
func (l *Ledger) LocationOf(c Code) string {
	_, at := l.RecordOf(c)
	return at
}

// RecordOf is the record with a code, and the location of its label; "" if no line names it.
func (l *Ledger) RecordOf(c Code) (id ID, location string) {
	start := c.prefix()
	for i := range l.Lines {
		if l.Lines[i].Kind == Seen { // it may have been found at another location
			continue
		}
		for k := range l.Lines[i].Labels {
			p := &l.Lines[i].Labels[k]
			if strings.HasPrefix(p.Record, start) {
				if id, err := ParseID(p.Record); err == nil && id.Code() == c {
					return id, p.ID
				}
			}
		}
	}
	return ID{}, ""
}

// Labels reports whether a label of a location was printed, or was about to be.
func (l *Ledger) Labels(location string) bool {
	for i := range l.Lines {
		line := &l.Lines[i]
		if line.Thing == "" && line.Kind.Prints() &&
			slices.ContainsFunc(line.Labels, func(p Printed) bool { return p.ID == location }) {
			return true
		}
	}
	return false
}

// Ledger reads the ledger and checks its chain. A folder without a ledger has an
// empty one. A last line that another process has not finished is left out.
func (s *Store) Ledger() (*Ledger, error) {
	path := filepath.Join(s.dir, LedgerFile)
	if l := s.Last.same(path); l != nil {
		return l, nil
	}
	data, err := infile.ReadPath(path, MostLedger)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, err
	}
	return s.Last.parse(data)
}

// ParseLedger reads the text of a ledger and checks its chain.
func ParseLedger(data []byte) (*Ledger, error) { return parseLedger(nil, data) }

// parseLedger reads what follows known lines.
func parseLedger(known []Line, data []byte) (*Ledger, error) {
	const more = 8 // lines that a writer may add; growing would copy all lines
	// No line is shorter than its hashes: a file of newlines asks for no more memory than it has.
	lines := min(bytes.Count(data, []byte("\n")), len(data)/len(firstPrev))
	l := &Ledger{Lines: append(make([]Line, 0, len(known)+lines+more), known...)}
	for len(data) > 0 {
		end := bytes.IndexByte(data, '\n')
		if end < 0 {
			l.last(data)
			break
		}
		line, err := parseLine(data[:end+1], l.Head())
		if err != nil {
			do, why := l.explain(data[:end+1], err)
			return l, &LedgerError{len(l.Lines) + 1, why, do}
		}
		l.Lines = append(l.Lines, line)
		l.size += int64(end + 1)
		data = data[end+1:]
	}
	return l, nil
}

// last reads the last line, which has no newline: it counts where its hash is there, so
// that no more than a few known bytes can be missing.
func (l *Ledger) last(text []byte) {
	const end = "\"}\n" // after the hash
	hash := bytes.LastIndex(text, []byte(`,"hash":"`))
	for n := 1; n <= len(end) && hash >= 0 && len(text) < MostLine; n++ {
		lacks := []byte(end[len(end)-n:])
		if line, err := parseLine(slices.Concat(text, lacks), l.Head()); err == nil {
			l.Lines, l.size, l.Lacks = append(l.Lines, line), l.size+int64(len(text)), lacks
			return
		}
	}
	l.Torn = text
}

// LedgerError says at which line the chain of a ledger breaks, and what to do.
type LedgerError struct {
	Line int
	Err  error
	Do   string
}

func (e *LedgerError) Error() string {
	return fmt.Sprintf("%s:%d: %v; nothing is printed with this ledger: %s, and see vouchmark audit", LedgerFile, e.Line, e.Err, e.Do)
}

func (e *LedgerError) Unwrap() error { return e.Err }

// explain says what may have caused a line that does not follow, and what to do.
func (l *Ledger) explain(text []byte, err error) (do string, why error) {
	const merged = "keep the complete ledger of one copy and all files of records/, print the other copy's labels again, " +
		"and from now on write to one copy only"
	two := errors.New("two copies of this folder were written, and their ledgers were merged")
	// From a version control system that left the merge to a person.
	for _, mark := range []string{"<<<<<<<", "=======", ">>>>>>>"} {
		if bytes.HasPrefix(text, []byte(mark)) {
			return merged, two
		}
	}
	var line Line
	if errors.Is(err, errNotNext) && json.Unmarshal(text, &line) == nil {
		if line.Prev == firstPrev || slices.ContainsFunc(l.Lines, func(k Line) bool { return k.Hash == line.Prev }) {
			return merged, fmt.Errorf("%w: the line follows an earlier line than the last one", two)
		}
	}
	return "restore ledger.jsonl from a copy of the folder", err
}

// writer is the ledger under the lock, open for appending.
type writer struct {
	*Ledger
	role Role // see [Store]
	told func(lines int)
	file *os.File
	lock io.Closer
	last time.Time // when the ledger was last written, as found
	// again sweeps once more at the end; nil where nothing failed.
	again func()
}

// lockLedger waits for other writers, reads the ledger, and settles what a crash or
// somebody left at its end.
func (s *Store) lockLedger() (*writer, error) {
	w, err := s.openLedger()
	if err != nil {
		return nil, err
	}
	if err := w.repair(s); err != nil {
		w.close()
		return nil, err
	}
	return w, nil
}

// openLedger waits for other writers, then reads the ledger.
func (s *Store) openLedger() (*writer, error) {
	path := filepath.Join(s.dir, LedgerFile)
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	lock, err := lockFile(ctx, path)
	if err != nil {
		if errors.Is(err, context.DeadlineExceeded) {
			err = errors.New("another process has been writing for a minute")
		}
		return nil, unwritten(&WriteError{path, err})
	}
	w := &writer{lock: lock, role: s.Role, told: s.Wrote}
	if info, err := os.Stat(path); err == nil {
		w.last = info.ModTime()
	}
	if w.Ledger, err = s.Ledger(); err != nil {
		w.close()
		return nil, err
	}
	if w.file, err = disk.openFile(path, os.O_WRONLY|os.O_APPEND, 0); err == nil {
		err = syncDir(s.dir)
	}
	if err != nil {
		w.close()
		return nil, unwritten(&WriteError{path, err})
	}
	return w, nil
}

// repair removes what was left under temporary names, and puts the end of the ledger in order: a line
// that lacks a few bytes is completed, half a line is moved into a file, what is open is ended.
func (w *writer) repair(s *Store) error {
	open := s.Replay(w.Ledger, assess.Date{}, Locations()).Open
	s.sweep()
	if s.sweepRecords(w.since(open)) != nil { // before the ledger is written, which hides what changed before
		w.again = func() { s.sweepRecords(time.Time{}) }
	}
	var err error
	if w.Torn != nil {
		err = w.setAside(s)
	}
	if n := len(w.Lacks); err == nil && n > 0 {
		if _, err = disk.write(w.file, w.Lacks); err == nil {
			w.size += int64(n)
			w.Lacks = nil
		}
	}
	if err == nil {
		err = w.noteAside(s)
	}
	if err == nil {
		err = w.settle(s, open)
	}
	if err != nil {
		return unwritten(&WriteError{filepath.Join(s.dir, LedgerFile), err})
	}
	return nil
}

// since is the time from which a folder of records may have what a writer left that was interrupted:
// after one that ended in order none was changed later than the ledger.
func (w *writer) since(open []*Line) time.Time {
	failed := len(w.Lines) > 0 && w.Lines[len(w.Lines)-1].Kind == Failed
	if failed || w.Torn != nil || w.Lacks != nil || open != nil {
		return time.Time{}
	}
	return w.last
}

// settle ends what a crash left open: whoever announced it held the lock and no
// longer does. Labels whose records are there may have been made, and are named: from
// then on their records are required.
func (w *writer) settle(s *Store, open []*Line) error {
	for _, line := range open {
		end := Line{Kind: Unfinished, Date: line.Date, Of: line.Hash}
		if line.Kind.edits() {
			var err error
			if end.Kind, err = w.ended(s, line); err != nil {
				return err
			}
		}
		seen := map[string]bool{}
		for i := range line.Labels {
			p := &line.Labels[i]
			id, err := ParseID(p.Record)
			if err == nil && !seen[p.ID+" "+p.Record] && s.has(id) {
				seen[p.ID+" "+p.Record] = true
				end.Labels = append(end.Labels, Printed{ID: p.ID, Record: p.Record})
			}
		}
		if _, err := w.append(end); err != nil {
			return err
		}
	}
	return nil
}

// append writes lines, all of them or nothing. After an error the file is cut back
// to the lines before, and hash is empty. If that fails too, the next writer cuts
// off an incomplete line; if all lines are complete they remain, and hash is that
// of the last one, returned with the error.
func (w *writer) append(lines ...Line) (hash string, err error) {
	var all []byte
	head := w.Head()
	for i := range lines {
		l := &lines[i]
		if l.By != "" { // what nobody says has no role
			l.Role = w.role
		}
		if text := l.Unprintable(); text != "" {
			return "", unseen(text)
		}
		b, err := l.seal(head)
		if err != nil {
			return "", err
		}
		if len(b) > MostLine {
			return "", fmt.Errorf("a line of the ledger would have more than %s: do it for fewer labels at once", infile.Size(MostLine))
		}
		all, head = append(all, b...), l.Hash
	}
	if w.size+int64(len(all)) > MostLedger {
		return "", fmt.Errorf("%s would have more than %s, and no command would read it", LedgerFile, infile.Size(MostLedger))
	}
	remains, err := w.put(all)
	switch {
	case err == nil:
		w.Lines = append(w.Lines, lines...)
		return head, nil
	case remains:
		return head, fmt.Errorf("%w; the line is in the ledger, but a power failure may undo it", err)
	}
	return "", err
}

// put writes after the last line, in one write, and makes sure that it is on disk.
// After an error the file is cut back; remains is true where that failed and
// everything was written.
func (w *writer) put(text []byte) (remains bool, err error) {
	n, err := disk.write(w.file, text)
	if err == nil {
		err = disk.sync(w.file)
	}
	if err != nil {
		e := disk.truncate(w.file, w.size)
		return e != nil && n == len(text), &WriteError{LedgerFile, err}
	}
	w.size += int64(n)
	if w.told != nil {
		w.told(bytes.Count(text, []byte("\n")))
	}
	return true, nil
}

func (w *writer) close() {
	if w.again != nil {
		w.again()
	}
	if w.file != nil {
		disk.close(w.file)
	}
	w.lock.Close()
}
