package record

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/infile"
)

// recordsDir is where a site folder keeps its records.
const recordsDir = "records"

// KeysFile is where a site folder keeps the public keys that it trusts.
const KeysFile = "keys.txt"

// ErrNotFound is the error for a record that is not in the folder.
var ErrNotFound = errors.New("no such record")

// ErrDamaged is the error for a file whose bytes do not match its name or the chain
// of the ledger.
var ErrDamaged = errors.New("damaged")

// Store is the records and the ledger of one site folder.
type Store struct {
	dir  string
	Last *LastRead // shared by stores of the folder; nil for none

	// Role is the role of the person who signed in and for whom lines are written: each line with a name gets
	// it. "" where nobody signed in.
	Role Role

	Progress func(done, all int) // of reading or writing many records; nil for nobody
	Say      func(text string)   // what a writer found and settled that a person must look at; nil for nobody
	Wrote    func(lines int)     // after lines were added, under the lock; nil for nobody
}

// say tells a person what a writer found.
func (s *Store) say(text string, args ...any) {
	if s.Say != nil {
		s.Say(fmt.Sprintf(text, args...))
	}
}

// Dir is the site folder.
func (s *Store) Dir() string { return s.dir }

// Open is the store of a site folder. It does not read or make anything yet.
func Open(site string) *Store { return &Store{dir: site} }

func (s *Store) path(id ID) string { return filepath.Join(s.dir, filepath.FromSlash(Path(id))) }

// Place writes a file of a site folder, whose name has slashes, and the folders
// that contain it. The file is read-only from then on. If a file with other bytes
// is already there, it refuses.
func Place(site, name string, data []byte) error {
	f, err := preparePlace(site, name, data)
	if err != nil || f == nil {
		return err
	}
	return f.Commit()
}

// preparePlace is Place up to the temporary file. It returns nil for a file that is there.
func preparePlace(site, name string, data []byte) (*Pending, error) {
	file := filepath.Join(site, filepath.FromSlash(name))
	old, err := infile.ReadPath(file, MostStudy)
	switch {
	case err == nil && !bytes.Equal(old, data):
		return nil, fmt.Errorf("%s: %w: its bytes are not those of its name", file, ErrDamaged)
	case err == nil:
		return nil, nil
	case !errors.Is(err, os.ErrNotExist):
		return nil, err // it may exist: never write it twice
	}
	dir := site
	for _, part := range strings.Split(path.Dir(name), "/") {
		dir = filepath.Join(dir, part)
		if err := mkdir(dir); err != nil {
			return nil, err
		}
	}
	return Prepare(file, data, 0o444)
}

// has reports whether a record's file is there.
func (s *Store) has(id ID) bool {
	_, err := os.Stat(s.path(id))
	return err == nil
}

// there tells whether a record's file is there. For many records the folders are listed
// instead of asking for each.
func (s *Store) there(many int) func(ID) bool {
	const few = 64
	if many <= few {
		return s.has
	}
	all := make(map[ID]struct{}, many)
	dirs, _ := os.ReadDir(filepath.Join(s.dir, recordsDir)) // what cannot be listed is not there
	for _, d := range dirs {
		files, _ := os.ReadDir(filepath.Join(s.dir, recordsDir, d.Name()))
		for _, f := range files {
			hex, ok := strings.CutSuffix(f.Name(), ".json")
			if id, err := ParseID(hex); ok && err == nil && strings.HasPrefix(hex, d.Name()) {
				all[id] = struct{}{}
			}
		}
	}
	return func(id ID) bool {
		_, there := all[id]
		return there
	}
}

// lost is the error for a record that is not in the folder.
func lost(id ID) error { return fmt.Errorf("%s: %w", id.Code(), ErrNotFound) }

// Load reads a record and checks it against its name.
func (s *Store) Load(id ID) (*Record, error) { return LoadFrom(os.DirFS(s.dir), id) }

// Check reads a record's file and compares its bytes with its name, for a record whose
// contents are known already.
func (s *Store) Check(id ID) error {
	_, err := readFrom(os.DirFS(s.dir), id)
	return err
}

// LoadFrom is Store.Load from a copy of a site folder.
func LoadFrom(folder fs.FS, id ID) (*Record, error) {
	data, err := readFrom(folder, id)
	if err != nil {
		return nil, err
	}
	r, err := Decode(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", Path(id), err)
	}
	return r, nil
}

// readFrom reads the file of a record and checks it against its name.
func readFrom(folder fs.FS, id ID) ([]byte, error) {
	name := Path(id)
	data, err := infile.Read(folder, name, MostStudy)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, lost(id)
	}
	if err != nil {
		return nil, err
	}
	if sha256.Sum256(data) != id {
		return nil, fmt.Errorf("%s: %w: its bytes are not those of its name", name, ErrDamaged)
	}
	return data, nil
}

// Path is where a site folder keeps a record, with slashes.
func Path(id ID) string {
	hex := id.String()
	return path.Join(recordsDir, hex[:2], hex+".json")
}

// Find is the ID of the record with a code.
func (s *Store) Find(c Code) (ID, error) {
	start := c.prefix()
	files, err := os.ReadDir(filepath.Join(s.dir, recordsDir, start[:2]))
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

// sweep removes the temporary files that a crash or a failing disk left next to the owner's files. Only
// a writer under the lock may call it: nobody else makes such files in these places.
func (s *Store) sweep() {
	patterns := []string{filepath.Join(StudiesFolder, ".*.tmp"), "." + tornFiles + ".tmp"}
	for _, file := range []string{assess.ChangesFile, assess.PolicyFile, assess.LocationsFile, assess.IntakeFile, KeysFile, MirrorFile} {
		patterns = append(patterns, "."+file+".*.tmp")
	}
	for _, pattern := range patterns {
		left, _ := filepath.Glob(filepath.Join(s.dir, pattern))
		for _, f := range left {
			disk.remove(f)
		}
	}
}

// sweepRecords is sweep for the folders of records, and removes empty ones. Listing a folder takes time
// for every record in it: one that was not changed since a time is left out.
func (s *Store) sweepRecords(since time.Time) (err error) {
	folders, _ := filepath.Glob(filepath.Join(s.dir, recordsDir, "[0-9a-f][0-9a-f]"))
	for _, dir := range folders {
		if info, gone := os.Stat(dir); gone == nil && !info.ModTime().Before(since) {
			err = errors.Join(err, sweepFolder(dir))
		}
	}
	return err
}

// sweepFolder is sweepRecords for one folder: the names are read once and not sorted, there may be many.
func sweepFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	names, err := f.Readdirnames(-1)
	f.Close()
	for _, name := range names {
		if strings.HasPrefix(name, ".") && strings.HasSuffix(name, ".tmp") {
			err = errors.Join(err, disk.remove(filepath.Join(dir, name)))
		}
	}
	if len(names) == 0 && err == nil { // a print that failed made it
		err = disk.remove(dir)
	}
	return err
}
