package record

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
)

// Extend replaces a folder's ledger with a longer one, which must start with the
// folder's own. Before that, under the lock, place puts the records there.
func (s *Store) Extend(ledger []byte, place func() error) error {
	w, err := s.lockLedger()
	if err != nil {
		return err
	}
	defer w.close()
	own, err := os.ReadFile(filepath.Join(s.dir, LedgerFile))
	switch {
	case err != nil:
		return err
	case bytes.HasPrefix(own, ledger):
		return errors.New(LedgerFile + ": this folder already has all of it")
	case !bytes.HasPrefix(ledger, own):
		return errors.New("the ledger of this folder is a different one, or has lines that the other lacks: " +
			"nothing was changed; import it into a folder without a ledger")
	}
	if err := place(); err != nil {
		return err
	}
	_, err = w.put(ledger[len(own):])
	return err
}
