package publish

import (
	"cmp"
	"errors"
	"path"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"vouchmark/label/basis/page"
	"vouchmark/label/record"
)

// labels writes the pages of all records that were printed, on all cores.
func (w *writer) labels(progress func(done, all int)) error {
	ids := w.book.Shelf.Printed()
	w.sum.Labels = len(ids)
	var next, done atomic.Int64
	var mu sync.Mutex
	var failed error
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(ids)) {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= len(ids) {
					return
				}
				err := w.label(ids[i])
				mu.Lock()
				if err != nil {
					failed = errors.Join(failed, err)
					next.Store(int64(len(ids))) // the others need not go on
				}
				if progress != nil {
					progress(int(done.Add(1)), len(ids))
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	slices.SortFunc(w.sum.Lost, func(a, b Lost) int { return cmp.Compare(a.Code, b.Code) })
	return failed
}

// label writes the files of one record. If the record cannot be read, its pages say so;
// that is not an error of writing.
func (w *writer) label(id record.ID) error {
	code := string(id.Code())
	files, err := w.book.Label(id)
	if err != nil {
		return w.lose(Lost{Code: code, Why: "the record behind it cannot be read: " + err.Error()})
	}
	if err := w.put(files, nil); err != nil {
		return err
	}
	w.mu.Lock()
	for _, f := range files {
		w.sum.PerLabel += int64(len(f.Data))
	}
	w.mu.Unlock()
	// Pages of this code with other facts are not those of its label.
	return w.disown(code, "a label that says this differs from its record: it was altered", path.Dir(files[0].Name))
}

// strangers finds codes that were published and that the ledger does not know:
// their pages would go on saying that a label holds.
func (w *writer) strangers() error {
	known := map[string]bool{}
	for _, id := range w.book.Shelf.Printed() {
		known[string(id.Code())] = true
	}
	published, err := w.list("V")
	if err != nil {
		return err
	}
	for _, e := range published {
		code := e.Name()
		if _, err := record.ParseCode(code); err != nil || known[code] || !e.IsDir() {
			continue
		}
		if err := w.lose(Lost{code, "no print in the ledger of this site made it", true}); err != nil {
			return err
		}
	}
	return nil
}

// lose says of a code, in the summary and on all its pages, that it is not to
// be relied on.
func (w *writer) lose(lost Lost) error {
	w.mu.Lock()
	w.sum.Lost = append(w.sum.Lost, lost)
	w.mu.Unlock()
	return w.disown(lost.Code, lost.Why, "")
}

// disown makes the pages under a code say that it is not to be relied on. Those
// in the folder kept are left; with none kept, that of the code alone is written
// too.
func (w *writer) disown(code, why, kept string) error {
	place := "V/" + code
	if kept == "" {
		if err := w.put(w.book.LostFiles(record.Code(code), why, place)); err != nil {
			return err
		}
	}
	folders, err := w.list(place)
	if err != nil {
		return err
	}
	for _, e := range folders {
		dir := place + "/" + e.Name()
		if !e.IsDir() || dir == kept {
			continue
		}
		if err := w.put(w.book.LostFiles(record.Code(code), why, dir)); err != nil {
			return err
		}
	}
	return nil
}

// retire overwrites the parts of lists that no longer exist: they would still say what
// once held, under a new day.
func (w *writer) retire(whole []page.File) error {
	for _, dir := range []string{"list", "plant"} {
		entries, err := w.list(dir)
		if err != nil {
			return err
		}
		for _, e := range entries {
			name := dir + "/" + e.Name()
			now := slices.ContainsFunc(whole, func(f page.File) bool { return f.Name == name })
			if now || path.Ext(name) != ".html" {
				continue
			}
			if err := w.put(w.book.Gone(name)); err != nil {
				return err
			}
		}
	}
	return nil
}
