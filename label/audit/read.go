package audit

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"runtime"

	"vouchmark/assess/cores"
	"vouchmark/label/record"
)

// read reads each record in the folder once, on all cores, and gives its bytes to
// look, which must not keep them. A record that is not there has none.
func (a *audit) read(look func(*file, []byte)) {
	cores.Workers(runtime.GOMAXPROCS(0), len(a.records), a.o.Progress, func() func(int) {
		var b bytes.Buffer // one for many, so that memory does not grow with them
		return func(i int) {
			f := &a.records[i]
			b.Reset()
			if f.there {
				if f.err = readInto(&b, a.folder, f.path(), record.MostRecord); f.err == nil {
					sum := sha256.Sum256(b.Bytes())
					f.sum = hex.EncodeToString(sum[:])
				}
			}
			if f.err == nil {
				look(f, b.Bytes())
			}
		}
	})
}

// readInto reads a file, or the first bytes of one that is larger than most.
func readInto(to *bytes.Buffer, folder fs.FS, name string, most int64) error {
	f, err := folder.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = to.ReadFrom(io.LimitReader(f, most))
	return err
}

// hash gives the SHA-256 of files in their order, read on all cores; of each
// file at most this many bytes.
func hash(folder fs.FS, names []string, most int64) ([]string, error) {
	sums, errs := make([]string, len(names)), make([]error, len(names))
	cores.Each(len(names), nil, func(i int) { sums[i], errs[i] = hashOne(folder, names[i], most) })
	return sums, errors.Join(errs...)
}

// hashOne is the SHA-256 of a file, or of its first bytes where it is too large.
func hashOne(folder fs.FS, name string, most int64) (string, error) {
	f, err := folder.Open(name)
	if err != nil {
		return "", err
	}
	return hashOf(struct {
		io.Reader
		io.Closer
	}{io.LimitReader(f, most), f}, nil)
}

// hashOf is the SHA-256 of a file that was opened, and closes it.
func hashOf(f io.ReadCloser, err error) (string, error) {
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	_, err = io.Copy(h, f)
	return hex.EncodeToString(h.Sum(nil)), err
}
