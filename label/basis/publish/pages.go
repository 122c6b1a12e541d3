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

// known are the pages in the folder that this program made, as the mark says.
func (g *ground) known() map[string]made {
	if m := g.last; m != nil && m.Program != "" && m.Program == program() {
		return m.Files
	}
	return nil
}

// buffers are for reading files.
var buffers = sync.Pool{New: func() any { b := make([]byte, 64<<10); return &b }}

// ready is a page that can be written, or that the folder has already.
type ready struct {
	name string
	made
	size int64
	kept bool // nothing has to be written
	data []byte
}

// ready makes a page, unless the folder has it: made by this program of the same
// data, with every byte still as it was written.
func (w *writer) ready(p *page.Page) (ready, error) {
	r := ready{name: p.Name, made: w.old[p.Name]}
	if data := hex.EncodeToString(p.Digest[:]); r.Data == data {
		buf := buffers.Get().(*[]byte)
		defer buffers.Put(buf)
		size, sum, err := w.hash(p.Name, *buf)
		if err == nil && sum == r.SHA256 {
			r.size, r.kept = size, true
			return r, nil
		}
	} else {
		r.Data = data
	}
	data, err := p.Make()
	sum := sha256.Sum256(data)
	r.SHA256, r.size, r.data = hex.EncodeToString(sum[:]), int64(len(data)), data
	return r, err
}

// write writes pages, apart from those that the folder has.
func (w *writer) write(all []ready) error {
	for i := range all {
		r := &all[i]
		changed := false
		if !r.kept {
			var err error
			if changed, err = w.replace(r.name, r.data); err != nil {
				return err
			}
		}
		w.note(r, changed)
	}
	return nil
}

// each does something for so many, on all cores. After an error it starts no more.
func each(n int, do func(i int) error, progress func(done, all int)) error {
	return eachOf(runtime.GOMAXPROCS(0), n, do, progress)
}

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
					failed = errors.Join(failed, err)
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
		if err := w.write(part); err != nil {
			return err
		}
		if err := w.flush(); err != nil {
			return err
		}
	}
	return nil
}
