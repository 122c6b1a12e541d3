package serve

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/basis"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// lookAgain is how old the knowledge may be that a folder did not change.
const lookAgain = 500 * time.Millisecond

// readAgain is how old it may be where size and time of a file say nothing: a
// file that was copied over another with both kept.
const readAgain = 10 * time.Second

// snapshot is a site as it was read: nothing of it is altered but what it
// keeps of rendered pages.
type snapshot struct {
	print string // of the folder before it was read, and the day
	bytes string // of its files before they were read, see contents
	shelf *basis.Shelf
	pages Pages
	err   error // why it could not be read
	kept  shelfOfPages
	whole func() (map[string][]byte, error)
}

// snapshotPointer is the newest snapshot, and when it was last found to be
// that.
type snapshotPointer struct {
	at      atomic.Pointer[snapshot]
	checked atomic.Int64 // unix nanoseconds
	read    time.Time    // when the bytes were compared last; under the handler's lock
}

// current is the site as it is: read anew where the folder or the day is
// another. One request reads, the others wait for it.
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

// fresh is the snapshot where it was looked after a moment ago.
func (h *Handler) fresh() *snapshot {
	if age := h.now().UnixNano() - h.snapshot.checked.Load(); age < 0 || age >= int64(lookAgain) {
		return nil
	}
	return h.snapshot.at.Load()
}

// Read reads the site before anybody asks for it, and says what is wrong with
// it.
func (h *Handler) Read() (*basis.Shelf, error) {
	s := h.current()
	return s.shelf, s.err
}

// renew looks at the folder at once, after something was written.
func (h *Handler) renew() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.look()
}

func (h *Handler) look() *snapshot {
	today := h.site.Today()
	seen, read := fingerprint(h.site.Folder, today), ""
	s := h.snapshot.at.Load()
	if s == nil || s.print != seen || h.now().Sub(h.snapshot.read) >= readAgain {
		read, h.snapshot.read = contents(h.site.Folder), h.now()
	}
	var bad site.Problems
	if s == nil || s.print != seen || read != "" && s.bytes != read || s.err != nil && !errors.As(s.err, &bad) {
		first := s == nil // Read gives its error to the caller
		s = &snapshot{print: seen, bytes: read, kept: shelfOfPages{most: mostKept}}
		s.shelf, s.pages, s.err = h.site.Load(today)
		s.whole = sync.OnceValues(s.makeWhole)
		if s.err != nil && !first {
			h.site.Log.Printf("the folder cannot be shown: %v", s.err)
		}
		h.snapshot.at.Store(s)
	}
	h.snapshot.checked.Store(h.now().UnixNano())
	return s
}

func (s *snapshot) makeWhole() (map[string][]byte, error) {
	files, err := s.pages.Whole()
	if err != nil {
		return nil, err
	}
	all := make(map[string][]byte, len(files))
	for _, f := range files {
		all[f.Name] = f.Data
	}
	return all, nil
}

// watched are the files that decide what is shown, beside the records.
func watched(folder fs.FS) []string {
	names := []string{"site.toml", "locations.csv", assess.ChangesFile, record.LedgerFile, seal.KeysFile}
	for _, dir := range []string{"curves", "wording"} {
		entries, _ := fs.ReadDir(folder, dir) // sorted; what cannot be read, reading says
		for _, e := range entries {
			names = append(names, dir+"/"+e.Name())
		}
	}
	return names
}

// fingerprint is another one as soon as a file that decides what is shown, or
// the day, is another: by size, time of writing and who may read it. Of the
// records it sees which are there.
func fingerprint(folder fs.FS, today assess.Date) string {
	var b strings.Builder
	b.WriteString(today.String())
	names := append(watched(folder), "records")
	entries, _ := fs.ReadDir(folder, "records")
	for _, e := range entries {
		names = append(names, "records/"+e.Name())
	}
	for _, name := range names {
		if info, err := fs.Stat(folder, name); err == nil {
			fmt.Fprintf(&b, "\n%q %d %d %o", name, info.Size(), info.ModTime().UnixNano(), info.Mode())
		}
	}
	return b.String()
}

// contents is another one as soon as a byte of a watched file is another, or
// the size or time of a record.
func contents(folder fs.FS) string {
	sum := sha256.New()
	for _, name := range watched(folder) {
		data, err := fs.ReadFile(folder, name)
		fmt.Fprintf(sum, "%q %d %v\n", name, len(data), err)
		sum.Write(data)
	}
	fs.WalkDir(folder, "records", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return nil // what cannot be read, reading says
		}
		if info, err := d.Info(); err == nil {
			fmt.Fprintf(sum, "%q %d %d\n", path, info.Size(), info.ModTime().UnixNano())
		}
		return nil
	})
	return string(sum.Sum(nil))
}
