package mirror

import (
	"bytes"
	"cmp"
	"context"
	"crypto/md5"
	"errors"
	"fmt"
	"slices"
	"sync"

	"vouchmark/label/bucket"
	"vouchmark/label/record"
)

// check is a file of the mirror and what it must be.
type check struct {
	entry bucket.Entry
	sum   string // SHA-256 that it must have
	md5   []byte // of what the folder has; nil where that is not known
	size  int64
	line  int
}

func md5Of(data []byte) []byte {
	s := md5.Sum(data)
	return s[:]
}

// listed reports whether the store's list says that the file is as it must be. Some stores give another digest
// that looks like an MD5, so that a difference proves nothing.
func (k *check) listed() bool {
	return k.md5 != nil && k.entry.Size == k.size && bytes.Equal(k.entry.MD5, k.md5)
}

// verify compares files, and calls other for each that is not what it must be, with its bytes, in the order of their
// lines and keys, until other has seen enough. What the store's list says is taken for true here; see readBack.
func (c *comparison) verify(ctx context.Context, all []check, other func(k *check, data []byte) (enough bool)) error {
	var ask []check
	for _, k := range all {
		if k.listed() && !c.o.Full {
			c.sample = append(c.sample, k)
		} else {
			ask = append(ask, k)
		}
	}
	return c.get(ctx, ask, other)
}

// get reads files back, several at once.
func (c *comparison) get(ctx context.Context, all []check, other func(k *check, data []byte) (enough bool)) error {
	slices.SortFunc(all, func(a, b check) int {
		return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.entry.Key, b.entry.Key))
	})
	const atOnce = 16
	for from := 0; from < len(all); from += atOnce {
		part := all[from:min(len(all), from+atOnce)]
		texts, errs := make([][]byte, len(part)), make([]error, len(part))
		var work sync.WaitGroup
		for i := range part {
			work.Go(func() {
				var f bucket.File
				f, errs[i] = c.b.Get(ctx, part[i].entry.Key, record.MostStudy)
				texts[i] = f.Data
			})
		}
		work.Wait()
		for i := range part {
			if err := errs[i]; err != nil && !errors.Is(err, bucket.ErrMissing) && !errors.Is(err, bucket.ErrDamaged) { // it was listed a moment ago
				return fmt.Errorf("%s: %w", inMirror(part[i].entry.Key), err)
			}
			c.Read++
			if (errs[i] != nil || sum(texts[i]) != part[i].sum) && other(&part[i], texts[i]) {
				return nil
			}
		}
		if c.o.Progress != nil {
			c.o.Progress(from+len(part), len(all))
		}
	}
	return nil
}

// readBack reads some of the files for which only the store's digest vouches.
func (c *comparison) readBack(ctx context.Context) error {
	slices.SortFunc(c.sample, func(a, b check) int { return cmp.Compare(a.entry.Key, b.entry.Key) })
	n := min(len(c.sample), mostSample)
	for i := range n { // the first n of a shuffle
		k := i + c.o.Pick(len(c.sample)-i)
		c.sample[i], c.sample[k] = c.sample[k], c.sample[i]
	}
	return c.get(ctx, c.sample[:n], func(k *check, _ []byte) bool {
		c.problem("files that differ from the store's list", inMirror(k.entry.Key), "find out who runs the store; compare everything with --full",
			"the store's list gives the right digest, but the file is another one")
		return false
	})
}
