package record

import (
	"fmt"
	"path/filepath"

	"vouchmark/assess"
)

// Enter adds an entry to changes.toml, under the lock. change returns the new text, given the
// old one and the ledger, and the line that announces the entry. First the line is written,
// then the file is replaced, then a line says done. The next writer ends what a crash left
// open, by what is in the file.
func (s *Store) Enter(change func(old []byte, l *Ledger) ([]byte, Line, error)) error {
	w, err := s.lockLedger()
	if err != nil {
		return err
	}
	defer w.close()
	path := filepath.Join(s.dir, assess.ChangesFile)
	old, err := readOwn(path)
	if err != nil {
		return err
	}
	data, line, err := change(old, w.Ledger)
	if err != nil {
		return err
	}
	line.Log.Was, line.Log.Is = SHA256(old), SHA256(data)
	f, err := prepareOwn(path, data)
	if err != nil {
		return unwritten(err)
	}
	defer f.Discard()
	const (
		unchanged = assess.ChangesFile + " is unchanged"
		announces = LedgerFile + " announces the entry: the next command that writes ends that"
	)
	hash, err := w.append(line)
	switch {
	case err != nil && hash == "":
		return unwritten(err)
	case err != nil:
		return fmt.Errorf("%w; %s", err, unchanged)
	}
	if err = f.Commit(); !f.placed {
		if end, _ := w.append(Line{Kind: Failed, Date: line.Date, Of: hash}); end == "" {
			return fmt.Errorf("%w; %s, but %s", err, unchanged, announces)
		}
		return fmt.Errorf("%w; %s", err, unchanged)
	}
	end := ""
	if err == nil { // else a power failure may undo it: the next writer looks
		end, err = w.append(Line{Kind: Done, Date: line.Date, Of: hash})
	}
	switch {
	case err == nil:
		return nil
	case end == "":
		return fmt.Errorf("%w; %s is changed, and %s", err, assess.ChangesFile, announces)
	}
	return fmt.Errorf("%w; %s is changed", err, assess.ChangesFile)
}

// ended is the end of an announced entry that a crash left open: by the bytes of
// changes.toml, if nobody has edited it since.
func (w *writer) ended(s *Store, line *Line) (Kind, error) {
	data, err := readOwn(filepath.Join(s.dir, assess.ChangesFile))
	if err != nil || line.Log == nil {
		return Unfinished, err
	}
	switch SHA256(data) {
	case line.Log.Is:
		return Done, nil
	case line.Log.Was:
		return Failed, nil
	}
	return Unfinished, nil
}
