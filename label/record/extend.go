package record

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// ErrHasAll is the error for a ledger that goes no farther than the folder's own.
var ErrHasAll = errors.New("this folder has all of it already")

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
		return fmt.Errorf("%s: %w", LedgerFile, ErrHasAll)
	case !bytes.HasPrefix(ledger, own):
		return fmt.Errorf("the ledger of this folder is another one, or has lines that the other lacks: " +
			"nothing was changed; bring it into a folder without a ledger")
	}
	if err := place(); err != nil {
		return err
	}
	_, err = w.put(ledger[len(own):])
	return err
}
