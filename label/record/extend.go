package record

import (
	"bytes"
	"errors"
	"path/filepath"
	"time"

	"vouchmark/assess/infile"
)

// Extend replaces a folder's ledger with a longer one, which must start with the
// folder's own. Before that, under the lock, place puts the records there. Where the
// folder's own ends in the middle of what the other has, or in a print that the other
// knows the end of, it is continued as it is.
func (s *Store) Extend(ledger []byte, place func() error) error {
	w, err := s.openLedger()
	if err != nil {
		return err
	}
	defer w.close()
	file := filepath.Join(s.dir, LedgerFile)
	own, err := infile.ReadPath(file, MostLedger)
	if err == nil && !bytes.HasPrefix(ledger, own) {
		if err := w.repair(s); err != nil {
			return err
		}
		own, err = infile.ReadPath(file, MostLedger)
	}
	switch {
	case err != nil:
		return err
	case bytes.HasPrefix(own, ledger):
		return errors.New(LedgerFile + ": this folder already has all of it")
	case !bytes.HasPrefix(ledger, own):
		return errors.New("the ledger of this folder is a different one, or has lines that the other lacks: " +
			"nothing was changed; import it into a folder without a ledger")
	}
	s.sweep() // what an interrupted import left
	s.sweepRecords(time.Time{})
	if err := place(); err != nil {
		return err
	}
	w.size = int64(len(own))
	_, err = w.put(ledger[len(own):])
	return err
}
