package serve

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/label/basis/page"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// lookAgain is how long a folder is taken to be unchanged after a check.
const lookAgain = 500 * time.Millisecond

// readAgain is how long for changes that a file's size and time do not show: a
// file that was overwritten by a copy with the same size and time.
const readAgain = 10 * time.Second

// snapshot is a site as it was read. Only its store of rendered pages changes.
type snapshot struct {
	print string // of the folder before it was read, and the day
	bytes string // hash of its files before they were read, see contents
	rest  string // the same without the log of changes and the ledger, which notes its entries
	today assess.Date
	book  *page.Book
	err   error // why it could not be read
	kept  shelfOfPages
	whole func() []page.Page
}

// page is one of the pages of the site as a whole; nil for none.
func (s *snapshot) page(name string) *page.Page {
	all := s.whole()
	if i := slices.IndexFunc(all, func(p page.Page) bool { return p.Name == name }); i >= 0 {
		return &all[i]
	}
	return nil
}

// current is the current site: read again where the folder or the day has
// changed. One request reads, the others wait for it.
func (h *Handler) current() *snapshot {
	if s := h.fresh(); s != nil {
		return s
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	if s := h.fresh(); s != nil {
		return s
	}
	return h.look()
}

// fresh is the snapshot if it was checked a moment ago, else nil.
func (h *Handler) fresh() *snapshot {
	if age := h.now().UnixNano() - h.checked.Load(); age < 0 || age >= int64(lookAgain) {
		return nil
	}
	return h.newest.Load()
}

// Read reads the site before the first request, and returns what is wrong with
// it.
func (h *Handler) Read() (*page.Book, error) {
	s := h.current()
	return s.book, s.err
}

// renew checks the folder at once, after something was written.
func (h *Handler) renew() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.look()
}

func (h *Handler) look() *snapshot {
	today := h.site.Today()
	seen, read, rest := fingerprint(h.site.Folder, today), "", ""
	s := h.newest.Load()
	if s == nil || s.print != seen || h.now().Sub(h.read) >= readAgain {
		read, rest = contents(h.site.Folder)
		h.read = h.now()
	}
	var bad site.Problems
	if s == nil || s.print != seen || read != "" && s.bytes != read || s.err != nil && !errors.As(s.err, &bad) {
		first := s == nil // Read returns this error to its caller
		var before *page.Book
		if s != nil && s.err == nil && rest != "" && s.rest == rest && s.today == today {
			before = s.book
		}
		s = &snapshot{print: seen, bytes: read, rest: rest, today: today, kept: shelfOfPages{most: mostKept}}
		s.book, s.err = h.site.Load(today, before)
		s.whole = sync.OnceValue(func() []page.Page { return slices.Concat(page.Served(), s.book.Whole()) })
		if s.err == nil {
			h.paths.Store(pathsOf(&s.book.Shelf.Site.Site.Policy))
		}
		if s.err != nil && !first {
			h.site.Log.Printf("the folder cannot be shown: %v", s.err)
		}
		h.newest.Store(s)
	}
	h.checked.Store(h.now().UnixNano())
	return s
}

// watched are the files that decide what is shown, apart from the records.
func watched(folder fs.FS) []string {
	names := []string{"site.toml", "locations.csv", assess.ChangesFile, assess.DevicesFile, record.LedgerFile, seal.KeysFile}
	return slices.Concat(names, in(folder, "curves/*"), in(folder, "wording/*"))
}

// in are the files that match a pattern, sorted. Errors show up when the site is
// read.
func in(folder fs.FS, pattern string) []string {
	names, _ := fs.Glob(folder, pattern)
	return names
}

// note identifies a file by its size, its time of writing and its permissions.
func note(w io.Writer, folder fs.FS, name string) {
	if info, err := fs.Stat(folder, name); err == nil {
		fmt.Fprintf(w, "\n%q %d %d %o", name, info.Size(), info.ModTime().UnixNano(), info.Mode())
	}
}

// fingerprint changes as soon as the day changes, or a file that decides what is
// shown. Of the records it covers only which are there.
func fingerprint(folder fs.FS, today assess.Date) string {
	var b strings.Builder
	b.WriteString(today.String())
	for _, name := range slices.Concat(watched(folder), []string{"records"}, in(folder, "records/*")) {
		note(&b, folder, name)
	}
	return b.String()
}

// contents changes as soon as a byte of a watched file changes, or the size or
// time of a record; rest only if that file is neither the log of changes nor the ledger.
func contents(folder fs.FS) (all, rest string) {
	sum, log := sha256.New(), sha256.New()
	for _, name := range watched(folder) {
		to := sum
		if name == assess.ChangesFile || name == record.LedgerFile {
			to = log
		}
		var n int64
		f, err := infile.Open(folder, name, record.MostLedger)
		if err == nil {
			n, err = io.Copy(to, f)
			f.Close()
		}
		fmt.Fprintf(to, "\n%q %d %v\n", name, n, err)
	}
	for _, name := range in(folder, "records/*/*") {
		note(sum, folder, name)
	}
	rest = string(sum.Sum(nil))
	return rest + string(log.Sum(nil)), rest
}
