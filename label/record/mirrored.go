package record

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"

	"vouchmark/assess/infile"
)

// MirrorFile is where a site folder keeps the address of its mirror.
const MirrorFile = "mirror.toml"

// LedgerText is [Store.Ledger] with the text of the file.
func (s *Store) LedgerText() (*Ledger, []byte, error) {
	data, err := infile.ReadPath(filepath.Join(s.dir, LedgerFile), MostLedger)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return nil, nil, err
	}
	l, err := s.Last.parse(data)
	return l, data, err
}

// ParseNext reads the text of one line, with its end, which must follow a head.
func ParseNext(text []byte, head string) (Line, error) { return parseLine(text, head) }

// AtWork reports whether the last line announces what has no end yet: a writer is at work or was
// interrupted.
func (l *Ledger) AtWork() bool {
	n := len(l.Lines)
	return n > 0 && l.Lines[n-1].Kind.announces()
}

// SplitLines gives the complete lines of a ledger's text, each with its end.
func SplitLines(data []byte) (all [][]byte) {
	for {
		end := bytes.IndexByte(data, '\n')
		if end < 0 {
			return all
		}
		all = append(all, data[:end+1:end+1])
		data = data[end+1:]
	}
}
