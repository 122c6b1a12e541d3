// Package publish writes the pages of a site as files that any web server can
// serve, into a folder or a bucket. It deletes nothing that is reachable, makes only the pages that are made of
// something else than before, and leaves files that have the right bytes already.
//
//	publish.go  the order of writing
//	target.go   what a folder and a bucket have in common
//	ground.go   the folder, and one writer at a time
//	mark.go     which state of a site a place shows, and what may be overwritten
//	batch.go    files that last, many at a time
//	disk.go     the disk operations, so that tests can make them fail; disk_linux.go, disk_other.go
//	stored.go   names as a disk stores them
//	pages.go    which pages must be made
//	labels.go   the pages of labels, and what replaces lost ones
//	plain.go    files that are not the pages of a site
//
// and for a bucket alone
//
//	remote.go      what is sent, and what is there already
//	generation.go  the notes about the pages
//	manifest.go    what is known of each page
//	turn.go        one publisher at a time
//	layout.go      where in a bucket a file lies
package publish

import (
	"errors"
	"fmt"
	"strings"
	"sync"

	"vouchmark/label/basis/page"
	"vouchmark/label/report"
)

// Summary is what a publishing made.
type Summary struct {
	Dir       string `json:"dir"`
	Labels    int    `json:"labels"`    // records that have a page
	Written   int    `json:"written"`   // files
	Unchanged int    `json:"unchanged"` // files that were there already
	Made      int    `json:"made"`      // pages; the others were known to be as they must be
	Bytes     int64  `json:"bytes"`     // of all of them
	PerLabel  int64  `json:"bytes_per_label"`
	Lost      []Lost `json:"lost"`
	// Repaired are the files about the pages that were damaged and are written again, from what
	// the other one says.
	Repaired []string `json:"repaired,omitempty"`
	// Traffic is about a bucket.
	Traffic *Traffic `json:"bucket,omitempty"`
}

// Lost is a code whose page says not to rely on its label.
type Lost struct {
	Code string `json:"code"`
	Why  string `json:"why"`
	// Stranger is true where the ledger has no print of it.
	Stranger bool `json:"not_in_the_ledger"`
}

// Write publishes the pages of a book into dir, whose parent exists. The state that
// they show is noted first, and the files that all pages share are written. The pages of the labels and the lists follow; when these last,
// the small file with the day, since from then on all pages count as checked on that day, and
// the start page; then what is known of the pages. To finish an interrupted publishing,
// publish again. progress may be nil.
//
// read gives the book. It is called under the folder's lock, so that an older
// reading never overwrites the pages of another publisher.
//
// Before it writes a page, it refuses a folder that holds anything else, the
// pages of another ledger, or pages of a later day or a later state of the site.
func Write(dir string, read func() (*page.Book, error), progress func(done, all int)) (*Summary, error) {
	g, err := take(dir)
	if err != nil {
		return nil, err
	}
	return publish(g, dir, read, progress)
}

// publish writes all pages into a target, and leaves it.
func publish(to target, name string, read func() (*page.Book, error), progress func(done, all int)) (*Summary, error) {
	defer to.leave()
	b, err := read()
	if err != nil {
		return nil, err
	}
	damaged, err := to.check(newMark(b))
	if err != nil {
		return nil, err
	}
	w := &writer{target: to, book: b, files: map[string]made{}}
	w.sum = Summary{Dir: name, Lost: []Lost{}, Repaired: damaged}
	switch err := w.all(read, progress); {
	case errors.Is(err, errOvertaken):
		return nil, err
	case err != nil:
		return nil, fmt.Errorf("%w; the files written so far are complete; publish again to finish", err)
	}
	if w.sum.Labels > 0 {
		w.sum.PerLabel /= int64(w.sum.Labels)
	}
	return &w.sum, nil
}

// writer counts what it writes. Several goroutines may use it.
type writer struct {
	target
	book  *page.Book
	mu    sync.Mutex // held while the following are added to
	sum   Summary
	files map[string]made
}

// all writes all files, in the order given at [Write].
func (w *writer) all(read func() (*page.Book, error), progress func(done, all int)) (err error) {
	if err := w.start(); err != nil {
		return err
	}
	if err := w.whole(page.Shared()); err != nil { // a page must not ask for what is not there yet
		return err
	}
	if err := w.labels(progress); err != nil {
		return err
	}
	if len(w.sum.Lost) > 0 { // perhaps lost after the site was read: the lists must say so too
		if w.book, err = read(); err != nil {
			return err
		}
		if err := w.start(); err != nil { // it may be a later state
			return err
		}
	}
	if err := w.strangers(); err != nil {
		return err
	}
	whole := w.book.Whole()
	if err := w.retire(whole); err != nil {
		return err
	}
	if err := w.whole(whole); err != nil {
		return err
	}
	m := newMark(w.book)
	m.Names, m.Summary = report.NewNames(w.book.Shelf.Site), w.book.Summary()
	m.Program = program()
	if err := w.put(w.end(m, w.files)); err != nil {
		return err
	}
	if err := w.flush(); err != nil {
		return err
	}
	return w.done()
}

// start notes which state of the site the pages will show.
func (w *writer) start() error {
	if err := w.put(w.begin(newMark(w.book))); err != nil {
		return err
	}
	return w.flush()
}

// put writes files, unless they are there already with the same bytes.
func (w *writer) put(files []page.File, err error) error {
	if err != nil {
		return err
	}
	for _, f := range files {
		size, changed, err := w.target.put(&file{name: f.Name, data: f.Data})
		if err != nil {
			return err
		}
		w.mu.Lock()
		w.sum.count(size, changed)
		w.mu.Unlock()
	}
	return nil
}

func (s *Summary) count(size int64, changed bool) {
	if changed {
		s.Written++
	} else {
		s.Unchanged++
	}
	s.Bytes += size
}

// note counts a page that is in its place now, and remembers it for the mark.
func (w *writer) note(r *ready, changed bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.sum.count(r.size, changed)
	if !r.kept {
		w.sum.Made++
	}
	if strings.HasPrefix(r.name, "V/") {
		w.sum.PerLabel += r.size
	}
	w.files[r.name] = r.made
}
