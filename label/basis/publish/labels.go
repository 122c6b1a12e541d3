package publish

import (
	"cmp"
	"path"
	"slices"

	"vouchmark/label/basis/page"
	"vouchmark/label/record"
)

// labels writes the pages of all records that were printed, on all cores.
func (w *writer) labels(progress func(done, all int)) error {
	ids := w.book.Shelf.Printed()
	w.sum.Labels = len(ids)
	err := eachOf(max(cores(), w.atOnce()), len(ids), func(i int) error { return w.label(ids[i]) }, progress)
	slices.SortFunc(w.sum.Lost, func(a, b Lost) int { return cmp.Compare(a.Code, b.Code) })
	return err
}

// label writes the files of one record. Where it cannot be read, its pages say
// so; that is not an error of publishing.
func (w *writer) label(id record.ID) error {
	code := string(id.Code())
	pages, err := w.book.Label(id)
	all := make([]ready, len(pages))
	for i := 0; i < len(pages) && err == nil; i++ {
		all[i], err = w.ready(&pages[i])
	}
	if err != nil {
		return w.lose(Lost{Code: code, Why: "the record behind it cannot be read: " + err.Error()})
	}
	for i := range all {
		if err := w.write(&all[i]); err != nil {
			return err
		}
	}
	// Pages of this code with other facts do not belong to its label.
	return w.disown(code, "a label with this text differs from its record: it was altered", path.Dir(pages[0].Name))
}

// strangers finds published codes that the ledger does not name: their pages
// would go on saying that a label holds.
func (w *writer) strangers() error {
	known := map[string]bool{}
	for _, id := range w.book.Shelf.Printed() {
		known[string(id.Code())] = true
	}
	published, err := w.below("V")
	if err != nil {
		return err
	}
	for _, e := range published {
		code := e.name
		if _, err := record.ParseCode(code); err != nil || known[code] || !e.dir {
			continue
		}
		if err := w.lose(Lost{code, "no label with this code was printed at this site", true}); err != nil {
			return err
		}
	}
	return nil
}

// lose says of a code, in the summary and on all its pages, not to rely on its
// label.
func (w *writer) lose(lost Lost) error {
	w.mu.Lock()
	w.sum.Lost = append(w.sum.Lost, lost)
	w.mu.Unlock()
	return w.disown(lost.Code, lost.Why, "")
}

// disown makes the pages under a code say not to rely on its label. Those in the
// folder kept are left; with none kept, the page of the code alone is written
// too.
func (w *writer) disown(code, why, kept string) error {
	place := "V/" + code
	if kept == "" {
		if err := w.put(w.book.LostFiles(record.Code(code), why, place)); err != nil {
			return err
		}
	}
	folders, err := w.below(place)
	if err != nil {
		return err
	}
	for _, e := range folders {
		dir := place + "/" + e.name
		if !e.dir || dir == w.stored(kept) {
			continue
		}
		if err := w.put(w.book.LostFiles(record.Code(code), why, dir)); err != nil {
			return err
		}
	}
	return nil
}

// retire overwrites the pages of lists that have become shorter: they would go on
// saying what once held, under a new day.
func (w *writer) retire(whole []page.Page) error {
	for _, dir := range []string{"list", "walk", "plant", "plant/trouble", "plant/drawing", "findings", "audit/labels", "compare"} {
		entries, err := w.below(dir)
		if err != nil {
			return err
		}
		for _, e := range entries {
			name := dir + "/" + e.name
			now := slices.ContainsFunc(whole, func(p page.Page) bool { return p.Name == name })
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
