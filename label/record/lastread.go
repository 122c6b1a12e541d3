package record

import (
	"bytes"
	"io"
	"slices"
	"sync"

	"vouchmark/assess/infile"
)

// LastRead is the ledger as it was read last. While a file only grows, as a ledger does, its
// beginning need not be read again. Nil keeps nothing. Many may use it at the same time.
type LastRead struct {
	mu    sync.Mutex
	text  []byte // complete lines
	lines []Line
}

func (k *LastRead) parse(data []byte) (*Ledger, error) {
	if k == nil {
		return ParseLedger(data)
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	var known []Line
	rest := data
	if bytes.HasPrefix(data, k.text) {
		known, rest = k.lines, data[len(k.text):]
	}
	l, err := parseLedger(known, rest)
	l.size += int64(len(data) - len(rest))
	if err == nil && l.Lacks == nil {
		k.text, k.lines = data[:l.size], slices.Clip(l.Lines)
	}
	return l, err
}

// same is the ledger of a file that is byte for byte as it was read last; nil for any other. It takes no
// memory for the text: a long ledger is mostly read again to see that nothing happened.
func (k *LastRead) same(path string) *Ledger {
	if k == nil {
		return nil
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if len(k.text) == 0 {
		return nil
	}
	f, err := infile.OpenPath(path, MostLedger)
	if err != nil {
		return nil
	}
	defer f.Close()
	part := make([]byte, 64*infile.KiB)
	for rest := k.text; ; {
		n, err := f.Read(part)
		if !bytes.HasPrefix(rest, part[:n]) {
			return nil
		}
		rest = rest[n:]
		switch {
		case err == io.EOF && len(rest) == 0:
			return &Ledger{Lines: slices.Clip(k.lines), size: int64(len(k.text))}
		case err != nil:
			return nil
		}
	}
}
