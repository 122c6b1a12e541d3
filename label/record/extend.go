package record

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
)

// Extend brings a folder's ledger up to another text of it, which must begin
// with the folder's own. Before, under the lock, place puts the records there.
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
		return errors.New(LedgerFile + ": this folder has all of it already")
	case !bytes.HasPrefix(ledger, own):
		return errors.New("the ledger of this folder is another one, or has lines that the other lacks: " +
			"nothing was changed; bring it into a folder without a ledger")
	}
	if err := place(); err != nil {
		return err
	}
	_, err = w.put(ledger[len(own):])
	return err
}
