package record

import (
	"hash/maphash"
	"io"
	"slices"
	"sync"

	"vouchmark/assess/infile"
)

// LastRead is the ledger as it was read last. While a file only grows, as a ledger does, its
// beginning need not be read again. Of its text only a hash is kept. Nil keeps nothing. Many may
// use it at the same time.
type LastRead struct {
	mu    sync.Mutex
	size  int64  // of complete lines
	text  uint64 // their hash
	lines []Line
}

// seed makes hashes of texts that only this process compares: nobody can make another text with the same.
var seed = maphash.MakeSeed()

func (k *LastRead) parse(data []byte) (*Ledger, error) {
	if k == nil {
		return ParseLedger(data)
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	var known []Line
	rest := data
	if k.size > 0 && int64(len(data)) >= k.size && maphash.Bytes(seed, data[:k.size]) == k.text {
		known, rest = k.lines, data[k.size:]
	}
	l, err := parseLedger(known, rest)
	l.size += int64(len(data) - len(rest))
	if err == nil && l.Lacks == nil {
		k.size, k.text, k.lines = l.size, maphash.Bytes(seed, data[:l.size]), slices.Clip(l.Lines)
	}
	return l, err
}

// same is the ledger of a file that is as it was read last; nil for any other. It takes no memory for
// the text: a long ledger is mostly read again to see that nothing happened.
func (k *LastRead) same(path string) *Ledger {
	if k == nil {
		return nil
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.size == 0 {
		return nil
	}
	f, err := infile.OpenPath(path, MostLedger)
	if err != nil {
		return nil
	}
	defer f.Close()
	var h maphash.Hash
	h.SetSeed(seed)
	if n, err := io.Copy(&h, io.LimitReader(f, k.size+1)); err != nil || n != k.size || h.Sum64() != k.text {
		return nil
	}
	return &Ledger{Lines: slices.Clip(k.lines), size: k.size}
}
