package record

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"vouchmark/assess"
)

// ErrNotFound is the error for a record that is not in the folder.
var ErrNotFound = errors.New("no such record")

// ErrDamaged is the error for a file whose bytes are not what its name or the
// chain of the ledger says.
var ErrDamaged = errors.New("damaged")

// Store is the records and the ledger of one site folder.
type Store struct{ dir string }

// Open is the store of a site folder. Nothing is read or made yet.
func Open(site string) *Store { return &Store{site} }

func (s *Store) folder(hex string) string { return filepath.Join(s.dir, "records", hex[:2]) }

func (s *Store) path(id ID) string {
	hex := id.String()
	return filepath.Join(s.folder(hex), hex+".json")
}

// Save writes a record, unless it is there already.
func (s *Store) Save(r *Record) (ID, error) {
	data, id, err := r.Encode()
	if err != nil {
		return ID{}, err
	}
	path := s.path(id)
	old, err := os.ReadFile(path)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return ID{}, err // it may be there: never written twice
	}
	if err == nil {
		if !bytes.Equal(old, data) {
			return ID{}, fmt.Errorf("%s: %w: its bytes are not those of its name", path, ErrDamaged)
		}
		return id, nil
	}
	for _, dir := range []string{filepath.Join(s.dir, "records"), filepath.Dir(path)} {
		if err := mkdir(dir); err != nil {
			return ID{}, err
		}
	}
	return id, WriteFile(path, data, 0o444)
}

// has reports whether a record's file is there.
func (s *Store) has(id ID) bool {
	_, err := os.Stat(s.path(id))
	return err == nil
}

// Load reads a record and checks it against its name.
func (s *Store) Load(id ID) (*Record, error) {
	path := s.path(id)
	data, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w", id.Code(), ErrNotFound)
	}
	if err != nil {
		return nil, err
	}
	if sha256.Sum256(data) != id {
		return nil, fmt.Errorf("%s: %w: its bytes are not those of its name", path, ErrDamaged)
	}
	r, err := Decode(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return r, nil
}

// Find is the ID of the record that a code names.
func (s *Store) Find(c Code) (ID, error) {
	start := c.prefix()
	files, err := os.ReadDir(s.folder(start))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return ID{}, err
	}
	for _, f := range files {
		if hex, ok := strings.CutSuffix(f.Name(), ".json"); ok && strings.HasPrefix(hex, start) {
			return ParseID(hex)
		}
	}
	return ID{}, fmt.Errorf("%s: %w", c, ErrNotFound)
}

// sweep removes the temporary files that a crash or a failing disk left. It is for a writer
// under the lock: nobody else makes such files in these places.
func (s *Store) sweep() {
	for _, pattern := range []string{filepath.Join("records", "??", ".*.tmp"), "." + assess.ChangesFile + ".*.tmp"} {
		left, _ := filepath.Glob(filepath.Join(s.dir, pattern))
		for _, f := range left {
			disk.remove(f)
		}
	}
}
