package record

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/gofrs/flock"

	"vouchmark/assess"
)

// LedgerFile is where a site folder keeps its ledger.
const LedgerFile = "ledger.jsonl"

// patience is how long a writer waits for another one to finish.
const patience = time.Minute

// Ledger is the log of what was printed, as it was read.
type Ledger struct {
	Lines []Line
	size  int64 // bytes of whole lines
	// Torn is what stands behind the last whole line: of a writer at work, or of
	// one that was stopped; nil for nothing.
	Torn []byte
	// Unended is true where the last whole line lacks its newline: an editor
	// took it off, or a writer was stopped at its last byte.
	Unended bool
}

// Head is the hash of the last line, to which the next one is bound.
func (l *Ledger) Head() string {
	return l.HeadAt(len(l.Lines))
}

// HeadAt is the head after so many lines.
func (l *Ledger) HeadAt(lines int) string {
	if lines == 0 {
		return firstPrev
	}
	return l.Lines[lines-1].Hash
}

// Ledger reads the ledger and checks its chain. A folder without one has an
// empty one. A last line that another process has not finished is left out.
func (s *Store) Ledger() (*Ledger, error) {
	data, err := os.ReadFile(filepath.Join(s.dir, LedgerFile))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, err
	}
	return ParseLedger(data)
}

// ParseLedger reads the text of a ledger and checks its chain.
func ParseLedger(data []byte) (*Ledger, error) {
	const more = 8 // lines that a writer may add; growing would copy all
	l := &Ledger{Lines: make([]Line, 0, bytes.Count(data, []byte("\n"))+more)}
	for len(data) > 0 {
		end := bytes.IndexByte(data, '\n')
		if end < 0 {
			if line, err := parseLine(append(bytes.Clone(data), '\n'), l.Head()); err == nil {
				l.Lines, l.size, l.Unended = append(l.Lines, line), l.size+int64(len(data)), true
			} else {
				l.Torn = data
			}
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

// LedgerError says at which line the chain of a ledger breaks, and what to do.
type LedgerError struct {
	Line int
	Err  error
	Do   string
}

func (e *LedgerError) Error() string {
	return fmt.Sprintf("%s:%d: %v; nothing is printed on it: %s, and see vouchmark audit", LedgerFile, e.Line, e.Err, e.Do)
}

func (e *LedgerError) Unwrap() error { return e.Err }

// explain tells what a line that does not follow may come from, and what to do.
func (l *Ledger) explain(text []byte, err error) (do string, why error) {
	const merged = "keep the ledger of one copy whole and all files of records/, print the other copy's labels anew, " +
		"and write in one place from now on"
	two := errors.New("two copies of this folder were written, and their ledgers were merged")
	// Of a version control that left the merge to a person.
	for _, mark := range []string{"<<<<<<<", "=======", ">>>>>>>"} {
		if bytes.HasPrefix(text, []byte(mark)) {
			return merged, two
		}
	}
	var line Line
	if json.Unmarshal(text, &line) == nil && errors.Is(err, errNotNext) {
		if line.Prev == firstPrev || slices.ContainsFunc(l.Lines, func(k Line) bool { return k.Hash == line.Prev }) {
			return merged, fmt.Errorf("%w: the line follows an earlier one than the last", two)
		}
	}
	return "bring ledger.jsonl back from a copy of the folder", err
}

// writer is the ledger under the lock, open for appending.
type writer struct {
	*Ledger
	file *os.File
	lock *flock.Flock
}

// lockLedger waits for other writers, then reads the ledger. What a crash
// left unfinished after the last whole line was never promised to anybody and
// is cut off.
func (s *Store) lockLedger() (*writer, error) {
	path := filepath.Join(s.dir, LedgerFile)
	lock := flock.New(path, flock.SetFlag(os.O_CREATE|os.O_RDWR), flock.SetPermissions(0o644))
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if _, err := lock.TryLockContext(ctx, 20*time.Millisecond); err != nil {
		if errors.Is(err, context.DeadlineExceeded) {
			err = errors.New("another process has been writing for a minute")
		}
		return nil, unwritten(&WriteError{path, err})
	}
	w := &writer{lock: lock}
	var err error
	if w.Ledger, err = s.Ledger(); err != nil {
		w.close()
		return nil, err
	}
	if w.file, err = disk.openFile(path, os.O_WRONLY|os.O_APPEND, 0); err == nil && w.Torn != nil {
		err = disk.truncate(w.file, w.size)
	}
	if err == nil && w.Unended {
		if _, err = disk.write(w.file, []byte("\n")); err == nil {
			w.size++
			w.Unended = false
		}
	}
	if err == nil {
		err = syncDir(s.dir)
	}
	if err == nil {
		err = w.settle(s)
	}
	if err != nil {
		w.close()
		return nil, unwritten(&WriteError{path, err})
	}
	return w, nil
}

// settle ends what a crash left open: whoever announced it held the lock, and
// does not any more.
func (w *writer) settle(s *Store) error {
	for _, line := range s.Replay(w.Ledger, assess.Date{}, Locations()).Open {
		if _, err := w.append(Line{Kind: Unfinished, Date: line.Date, Of: line.Hash}); err != nil {
			return err
		}
	}
	s.sweep()
	w.Torn = nil
	return nil
}

// append writes lines, all of them or nothing. After an error the file is cut
// back to the lines before, and hash is empty. Where that fails too, half a line
// is for the next writer to cut off; whole ones stand, and hash is the hash of
// the last one beside the error.
func (w *writer) append(lines ...Line) (hash string, err error) {
	var all []byte
	head := w.Head()
	for i := range lines {
		l := &lines[i]
		if text := l.Unprintable(); text != "" {
			return "", unseen(text)
		}
		b, err := l.seal(head)
		if err != nil {
			return "", err
		}
		all, head = append(all, b...), l.Hash
	}
	stands, err := w.put(all)
	switch {
	case err == nil:
		w.Lines = append(w.Lines, lines...)
		return head, nil
	case stands:
		return head, fmt.Errorf("%w; the line stands in it all the same, but may not outlast a power cut", err)
	}
	return "", err
}

// put writes behind the last line, in one write, and makes sure that it is on
// disk. After an error the file is cut back; stands is true where it is not and
// all was written.
func (w *writer) put(text []byte) (stands bool, err error) {
	n, err := disk.write(w.file, text)
	if err == nil {
		err = disk.sync(w.file)
	}
	if err != nil {
		e := disk.truncate(w.file, w.size)
		return e != nil && n == len(text), &WriteError{LedgerFile, err}
	}
	w.size += int64(n)
	return true, nil
}

func (w *writer) close() {
	if w.file != nil {
		disk.close(w.file)
	}
	w.lock.Unlock()
}
