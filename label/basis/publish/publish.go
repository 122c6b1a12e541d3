// Package publish writes the pages of a site as files, which any web server can
// serve. Nothing that is reachable is deleted, and nothing is written that is already
// there with the same bytes.
//
//	publish.go  the order of writing
//	ground.go   the folder: what may be written over, and one writer at a time
//	labels.go   the pages of labels, and what takes the place of lost ones
package publish

import (
	"encoding/json"
	"fmt"
	"sync"

	"vouchmark/label/basis/page"
)

// Summary is what a publishing made.
type Summary struct {
	Dir       string `json:"dir"`
	Labels    int    `json:"labels"`    // records that have a page
	Written   int    `json:"written"`   // files
	Unchanged int    `json:"unchanged"` // files that stood there already
	Bytes     int64  `json:"bytes"`     // of all of them
	PerLabel  int64  `json:"bytes_per_label"`
	Lost      []Lost `json:"lost"`
}

// Lost is a code whose page says that it is not to be relied on.
type Lost struct {
	Code string `json:"code"`
	Why  string `json:"why"`
	// Stranger is true where the ledger knows no print of it.
	Stranger bool `json:"not_in_the_ledger"`
}

// Write publishes the pages of a book into dir, whose parent exists. The pages
// of the labels come first; then the small file that names the day, since from
// then on all pages are said to have been checked on it; the start page last.
// What stops half way is finished by writing again. progress may be nil.
//
// read gives the book. It is called under the folder's lock: what was read
// before another publisher wrote must not be written over his pages.
//
// It refuses a folder that holds anything else, the pages of another ledger, or
// pages of a later day or a later state of the site, before a page is written.
func Write(dir string, read func() (*page.Book, error), progress func(done, all int)) (*Summary, error) {
	g, err := take(dir)
	if err != nil {
		return nil, err
	}
	defer g.leave()
	b, err := read()
	if err != nil {
		return nil, err
	}
	if err := g.check(b); err != nil {
		return nil, err
	}
	w := &writer{ground: g, book: b, sum: Summary{Dir: dir, Lost: []Lost{}}}
	if err := w.all(read, progress); err != nil {
		return nil, fmt.Errorf("%w; what was written is whole, and publishing again finishes the work", err)
	}
	if w.sum.Labels > 0 {
		w.sum.PerLabel /= int64(w.sum.Labels)
	}
	return &w.sum, nil
}

// writer counts what it writes. Several goroutines may use it.
type writer struct {
	*ground
	book *page.Book
	mu   sync.Mutex // held while the sum is added to
	sum  Summary
}

// all writes all files, in the order that [Write] tells.
func (w *writer) all(read func() (*page.Book, error), progress func(done, all int)) (err error) {
	if err := w.labels(progress); err != nil {
		return err
	}
	if len(w.sum.Lost) > 0 { // perhaps only since the site was read: the lists must say so too
		if w.book, err = read(); err != nil {
			return err
		}
	}
	if err := w.strangers(); err != nil {
		return err
	}
	whole, err := w.book.Whole()
	if err != nil {
		return err
	}
	if err := w.retire(whole); err != nil {
		return err
	}
	data, err := json.MarshalIndent(newMark(w.book), "", "  ")
	return w.put(append(whole, page.File{Name: markFile, Data: append(data, '\n')}), err)
}

// put writes files that were made, unless they are already there.
func (w *writer) put(files []page.File, err error) error {
	if err != nil {
		return err
	}
	for _, f := range files {
		changed, err := w.replace(f.Name, f.Data)
		if err != nil {
			return err
		}
		w.mu.Lock()
		if changed {
			w.sum.Written++
		} else {
			w.sum.Unchanged++
		}
		w.sum.Bytes += int64(len(f.Data))
		w.mu.Unlock()
	}
	return nil
}
