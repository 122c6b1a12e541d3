package mirror

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/label/record"
)

// named is a file that a line of the ledger names with its hash.
type named struct {
	key, path string // in the mirror and in the site folder
	sum       string // SHA-256
	line      int
}

// namedBy are the files that a line names, and that it or what it announced put there.
func namedBy(l *record.Line, line int) (all []named) {
	if l.Kind.Prints() {
		seen := map[string]bool{}
		for i := range l.Labels {
			name := l.Labels[i].Record
			if id, err := record.ParseID(name); err == nil && !seen[name] {
				seen[name] = true
				all = append(all, named{record.Path(id), record.Path(id), name, line})
			}
		}
	}
	for _, s := range []*record.Stored{l.Study, l.Before} {
		if s != nil && record.StudyFile(s.File) {
			all = append(all, named{studies + s.File, s.Path(), s.SHA256, line})
		}
	}
	if s := l.Torn; s != nil && record.TornFile(s.File) {
		all = append(all, named{torn + s.File, s.File, s.SHA256, line})
	}
	return all
}

// errOther says that a file has not the bytes that the ledger names.
var errOther = errors.New("its bytes are not those that the ledger names")

// read reads a file of the site folder, which must have the bytes of its hash.
func (n *named) read(folder fs.FS) ([]byte, error) {
	data, err := infile.Read(folder, n.path, record.MostStudy)
	if err == nil && sum(data) != n.sum {
		err = errOther
	}
	return data, err
}

func sum(data []byte) string {
	s := sha256.Sum256(data)
	return hex.EncodeToString(s[:])
}

// needed are the records that a ledger proves to have been stored, by name, with the line that does. The
// others are of prints that failed or were interrupted.
func needed(l *record.Ledger) map[string]int {
	all := map[string]int{}
	for name, n := range l.Replay(assess.Date{}, func(record.ID) bool { return false }, nil).Records {
		if n.Valid && n.Needed > 0 {
			all[name] = n.Needed
		}
	}
	return all
}
