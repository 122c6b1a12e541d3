package publish

import (
	"bytes"
	"cmp"
	"errors"
	"io/fs"
	"path"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"vouchmark/label/basis/page"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// labels writes the pages of all records that were printed, on all cores.
func (w *writer) labels(s *Summary, progress func(done, all int)) (int, error) {
	ids := w.book.Shelf.Printed()
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
				lost, err := w.label(ids[i])
				mu.Lock()
				if err != nil {
					failed = errors.Join(failed, err)
					next.Store(int64(len(ids))) // the others need not go on
				}
				if lost != nil {
					s.Lost = append(s.Lost, *lost)
				}
				if progress != nil {
					progress(int(done.Add(1)), len(ids))
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	slices.SortFunc(s.Lost, func(a, b Lost) int { return cmp.Compare(a.Code, b.Code) })
	return len(ids), failed
}

// label writes the files of one record. Where it cannot be read, its pages say
// so; that is no error of writing.
func (w *writer) label(id record.ID) (*Lost, error) {
	code := id.Code()
	files, err := w.book.Label(id)
	if err != nil {
		lost := &Lost{Code: string(code), Why: "the record behind it cannot be read: " + err.Error()}
		return lost, w.disown(lost, "")
	}
	for _, f := range files {
		if err := w.put(f); err != nil {
			return nil, err
		}
		w.labelBytes.Add(int64(len(f.Data)))
	}
	// Pages of this code with other facts are not those of its label.
	altered := &Lost{Code: string(code), Why: "a label that says this differs from its record: it was altered"}
	return nil, w.disown(altered, path.Dir(files[0].Name))
}

// strangers finds codes that were published and that the ledger does not know:
// their pages would go on saying that a label holds.
func (w *writer) strangers(s *Summary) error {
	known := map[string]bool{}
	for _, id := range w.book.Shelf.Printed() {
		known[string(id.Code())] = true
	}
	names, err := w.folders("V")
	if err != nil {
		return err
	}
	for _, name := range names {
		if _, err := record.ParseCode(name); err != nil || known[name] {
			continue
		}
		lost := Lost{Code: name, Why: "no print in the ledger of this site made it", Stranger: true}
		s.Lost = append(s.Lost, lost)
		if err := w.disown(&lost, ""); err != nil {
			return err
		}
	}
	return nil
}

// disown makes the pages under a code say that it is not to be relied on. Those
// in the folder kept are left; with none kept, that of the code alone is written
// too.
func (w *writer) disown(lost *Lost, kept string) error {
	code := record.Code(lost.Code)
	place := "V/" + lost.Code
	if kept == "" {
		html, err := w.book.Lost(code, lost.Why, 2)
		if err != nil {
			return err
		}
		if err := w.put(page.File{Name: place + "/index.html", Data: html}); err != nil {
			return err
		}
	}
	names, err := w.folders(place)
	if err != nil {
		return err
	}
	for _, name := range names {
		if path.Join(place, name) == kept {
			continue
		}
		html, err := w.book.Lost(code, lost.Why, 3)
		if err != nil {
			return err
		}
		var data bytes.Buffer
		if err := report.WriteJSON(&data, map[string]any{"code": lost.Code, "problems": []string{lost.Why}}); err != nil {
			return err
		}
		for _, f := range []page.File{
			{Name: path.Join(place, name, "index.html"), Data: html},
			{Name: path.Join(place, name, "basis.json"), Data: data.Bytes()},
		} {
			if err := w.put(f); err != nil {
				return err
			}
		}
	}
	return nil
}

// retire writes over the parts of lists that are none any more: they would go
// on saying what once held, under a new day.
func (w *writer) retire(whole []page.File) error {
	now := map[string]bool{}
	for _, f := range whole {
		now[f.Name] = true
	}
	for _, dir := range []string{"list", "plant"} {
		entries, err := fs.ReadDir(w.root.FS(), dir)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return w.wrong(dir, err)
		}
		for _, e := range entries {
			name := dir + "/" + e.Name()
			if now[name] || path.Ext(name) != ".html" {
				continue
			}
			html, err := w.book.Gone(1)
			if err != nil {
				return err
			}
			if err := w.put(page.File{Name: name, Data: html}); err != nil {
				return err
			}
		}
	}
	return nil
}
