package record

import (
	"fmt"
	"path/filepath"

	"vouchmark/assess"
)

// Enter adds an entry to changes.toml, under the lock; see [Store.announced].
func (s *Store) Enter(change func(old []byte, l *Ledger) ([]byte, Line, error)) error {
	return s.announced(assess.ChangesFile, change)
}

// Accept adds an acceptance to site.toml, under the lock; see [Store.announced].
func (s *Store) Accept(change func(old []byte, l *Ledger) ([]byte, Line, error)) error {
	return s.announced(assess.PolicyFile, change)
}

// announced changes one of the owner's files. change returns the new text, given the
// old one and the ledger, and the line that announces it. First the line is written,
// then the file is replaced, then a line says done. The next writer ends what a crash left
// open, by what is in the file.
func (s *Store) announced(file string, change func(old []byte, l *Ledger) ([]byte, Line, error)) error {
	w, err := s.lockLedger()
	if err != nil {
		return err
	}
	defer w.close()
	path := filepath.Join(s.dir, file)
	old, err := readOwn(path)
	if err != nil {
		return err
	}
	data, line, err := change(old, w.Ledger)
	if err != nil {
		return err
	}
	was, is := line.edit()
	*was, *is = SHA256(old), SHA256(data)
	f, err := prepareOwn(path, data)
	if err != nil {
		return unwritten(err)
	}
	defer f.Discard()
	const announces = LedgerFile + " announces the entry: the next command that writes ends that"
	unchanged := file + " is unchanged"
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
		return fmt.Errorf("%w; %s is changed, and %s", err, file, announces)
	}
	return fmt.Errorf("%w; %s is changed", err, file)
}

// edit are the SHA-256 of a file before and after the edit that a line announces; nil for no edit.
func (l *Line) edit() (was, is *string) {
	switch {
	case l.Kind == Entered && l.Log != nil:
		return &l.Log.Was, &l.Log.Is
	case l.Kind == Accepted && l.Accept != nil:
		return &l.Accept.Was, &l.Accept.Is
	}
	return nil, nil
}

// ended is the end of an announced edit that a crash left open: by the bytes of
// the file, if nobody has edited it since.
func (w *writer) ended(s *Store, line *Line) (Kind, error) {
	file := assess.ChangesFile
	if line.Kind == Accepted {
		file = assess.PolicyFile
	}
	data, err := readOwn(filepath.Join(s.dir, file))
	was, is := line.edit()
	if err != nil || was == nil {
		return Unfinished, err
	}
	switch SHA256(data) {
	case *is:
		return Done, nil
	case *was:
		return Failed, nil
	}
	return Unfinished, nil
}
