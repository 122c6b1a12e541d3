package record

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"
)

const ledgerFile = "ledger.jsonl"

// patience is how long a writer waits for another one to finish.
const patience = time.Minute

// Ledger is the log of what was printed, as it was read.
type Ledger struct {
	Lines []Line
	size  int64 // bytes of whole lines
	torn  bool  // something unfinished follows them
}

// Head is the hash of the last line, to which the next one is bound.
func (l *Ledger) Head() string {
	if len(l.Lines) == 0 {
		return firstPrev
	}
	return l.Lines[len(l.Lines)-1].Hash
}

// Done are the hashes of the lines whose print was carried out to its end.
func (l *Ledger) Done() map[string]bool { return l.of(Done) }

// Failed are the hashes of the lines whose print could not be written.
func (l *Ledger) Failed() map[string]bool { return l.of(Failed) }

func (l *Ledger) of(kind Kind) map[string]bool {
	all := map[string]bool{}
	for _, line := range l.Lines {
		if line.Kind == kind {
			all[line.Of] = true
		}
	}
	return all
}

// copies counts how often each record was printed as a thing: a label, "", or
// another.
func (l *Ledger) copies(thing string) map[string]int {
	failed := l.of(Failed)
	n := map[string]int{}
	for _, line := range l.Lines {
		for _, p := range line.Labels {
			if line.Kind.prints() && line.Thing == thing && !failed[line.Hash] {
				n[p.Record]++
			}
		}
	}
	return n
}

// Ledger reads the ledger and checks its chain. A folder without one has an
// empty one. A last line that another process has not finished is left out.
func (s *Store) Ledger() (*Ledger, error) {
	data, err := os.ReadFile(filepath.Join(s.dir, ledgerFile))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, err
	}
	l := &Ledger{}
	for len(data) > 0 {
		end := bytes.IndexByte(data, '\n')
		if end < 0 {
			l.torn = true
			break
		}
		line, err := parseLine(data[:end+1], l.Head())
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w", ledgerFile, len(l.Lines)+1, err)
		}
		l.Lines = append(l.Lines, line)
		l.size += int64(end + 1)
		data = data[end+1:]
	}
	return l, nil
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
	path := filepath.Join(s.dir, ledgerFile)
	lock := flock.New(path, flock.SetFlag(os.O_CREATE|os.O_RDWR), flock.SetPermissions(0o644))
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if _, err := lock.TryLockContext(ctx, 20*time.Millisecond); err != nil {
		if errors.Is(err, context.DeadlineExceeded) {
			err = errors.New("another process has been writing for a minute")
		}
		return nil, &WriteError{path, err}
	}
	w := &writer{lock: lock}
	var err error
	if w.Ledger, err = s.Ledger(); err != nil {
		w.close()
		return nil, err
	}
	if w.file, err = os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0); err == nil && w.torn {
		err = w.file.Truncate(w.size)
	}
	if err == nil {
		err = syncDir(s.dir)
	}
	if err != nil {
		w.close()
		return nil, &WriteError{path, err}
	}
	return w, nil
}

// append writes one line, in one write, and makes sure that it is on disk.
// After an error the file is cut back to the lines before.
func (w *writer) append(l Line) (hash string, err error) {
	b, err := l.seal(w.Head())
	if err != nil {
		return "", err
	}
	if _, err = w.file.Write(b); err == nil {
		err = w.file.Sync()
	}
	if err != nil {
		w.file.Truncate(w.size)
		return "", &WriteError{ledgerFile, err}
	}
	w.size += int64(len(b))
	w.Lines = append(w.Lines, l)
	return l.Hash, nil
}

func (w *writer) close() {
	if w.file != nil {
		w.file.Close()
	}
	w.lock.Unlock()
}
