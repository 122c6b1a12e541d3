package publish

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"vouchmark/label/basis/page"
)

// program is the SHA-256 of the running program: its code, and the templates, styles,
// texts and typefaces in it. "" if it cannot be read: then pages are always made.
var program = sync.OnceValue(func() string {
	self, _ := os.Executable()
	for _, file := range []string{"/proc/self/exe", self} { // the first one is right after an update too
		f, err := os.Open(file)
		if err != nil {
			continue
		}
		defer f.Close()
		if _, sum, err := sumOf(f, make([]byte, 1<<20)); err == nil {
			return sum
		}
	}
	return ""
})

// buffers are for reading files.
var buffers = sync.Pool{New: func() any { b := make([]byte, 64<<10); return &b }}

// ready is a page that can be written, or that the target has already.
type ready struct {
	name string
	made
	size  int64
	kept  bool // nothing has to be written
	data  []byte
	fixed bool
}

// ready makes a page, unless the target has it.
func (w *writer) ready(p *page.Page) (r ready, err error) {
	r = ready{name: p.Name, fixed: p.Fixed}
	data := hex.EncodeToString(p.Digest[:])
	if r.made, r.size, r.kept = w.kept(p, data); r.kept {
		return r, nil
	}
	r.data, err = p.Make()
	sum := sha256.Sum256(r.data)
	r.made = made{Data: data, SHA256: hex.EncodeToString(sum[:])}
	return r, err
}

// write writes a page, unless the target has it.
func (w *writer) write(r *ready) (err error) {
	changed := false
	if !r.kept {
		if r.size, changed, err = w.target.put(&file{r.name, r.data, r.Data, r.fixed}); err != nil {
			return err
		}
	}
	w.note(r, changed)
	return nil
}

// each does something for so many, on all cores. After an error it starts no more.
func each(n int, do func(i int) error, progress func(done, all int)) error {
	return eachOf(cores(), n, do, progress)
}

func cores() int { return runtime.GOMAXPROCS(0) }

// eachOf is each with so many at a time.
func eachOf(workers, n int, do func(i int) error, progress func(done, all int)) error {
	var next, done atomic.Int64
	var mu sync.Mutex
	var failed error
	var wg sync.WaitGroup
	for range min(workers, n) {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				err := do(i)
				mu.Lock()
				if err != nil {
					if !errors.Is(failed, err) { // a bucket gives its first error from then on
						failed = errors.Join(failed, err)
					}
					next.Store(int64(n))
				}
				if progress != nil {
					progress(int(done.Add(1)), n)
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	return failed
}

// dayFile has the day on which all pages count as checked, once it is written.
const dayFile = "checked.html"

// whole writes pages that are not of one label, in their order: the day and the start page when
// all others last. They are made first, on all cores.
func (w *writer) whole(pages []page.Page) error {
	all := make([]ready, len(pages))
	err := each(len(pages), func(i int) (err error) {
		all[i], err = w.ready(&pages[i])
		return err
	}, nil)
	if err != nil {
		return err
	}
	day := slices.IndexFunc(all, func(r ready) bool { return r.name == dayFile })
	if day < 0 {
		day = len(all)
	}
	for _, part := range [][]ready{all[:day], all[day:]} {
		err := eachOf(w.atOnce(), len(part), func(i int) error { return w.write(&part[i]) }, nil)
		if err != nil {
			return err
		}
		if err := w.flush(); err != nil {
			return err
		}
	}
	return nil
}
