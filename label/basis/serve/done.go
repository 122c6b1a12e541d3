package serve

import (
	"crypto/rand"
	"net/http"
	"path"
	"sync"
	"time"
)

// A form that was carried out leads to a page that says what was noted (303), so that loading that
// page again does nothing again. Its address is a random word; it is shown to whoever sent the form.

// donePath is what the addresses of these pages begin with.
const donePath = "/done/"

const (
	mostDone      = 256      // pages that are kept, the newest ones
	mostDoneBytes = 64 << 20 // of their files; the newest page keeps its own whatever their size
)

// done is what came of a form that was carried out.
type done struct {
	Title   string
	Lines   []string
	Entered []entered // what was saved
	Moved   *moved    // what it did to the labels; nil for nothing
	Files   []File

	Refused   []Refusal // what was not printed
	RefusedOf string    // see leftOut
	next

	owner string
	until time.Time
}

// File is a file that a form made.
type File struct {
	Name string
	Data []byte // a PDF
}

// dones are the pages by their words.
type dones struct {
	mu    sync.Mutex
	all   map[string]*done
	order []string // oldest first
	bytes int
}

// keep keeps a page, and gives its word.
func (d *dones) keep(one *done, now time.Time) string {
	word := rand.Text()
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.all == nil {
		d.all = map[string]*done{}
	}
	one.until = now.Add(ticketLife)
	d.all[word], d.order = one, append(d.order, word)
	d.bytes += one.size()
	for len(d.order) > 1 && (len(d.order) > mostDone || d.bytes > mostDoneBytes || d.all[d.order[0]].until.Before(now)) {
		d.bytes -= d.all[d.order[0]].size()
		delete(d.all, d.order[0])
		d.order = d.order[1:]
	}
	return word
}

func (o *done) size() (n int) {
	for i := range o.Files {
		n += len(o.Files[i].Data)
	}
	return n
}

// of is the page with a word, for its owner; nil for none.
func (d *dones) of(word, owner string, now time.Time) *done {
	d.mu.Lock()
	defer d.mu.Unlock()
	if one := d.all[word]; one != nil && one.owner == owner && !one.until.Before(now) {
		return one
	}
	return nil
}

// finish keeps what came of a form, and leads to its page.
func (h *Handler) finish(r *http.Request, one *done) http.Handler {
	one.owner = owner(r)
	return seeOther(donePath[1:] + h.dones.keep(one, h.now()) + "/")
}

// seeOther is a redirect that a browser follows by reading (RFC 9110, 15.4.4).
func seeOther(place string) http.Handler {
	to := redirect(place)
	return noStore(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		to.ServeHTTP(&otherStatus{w}, r)
	}))
}

type otherStatus struct{ http.ResponseWriter }

func (w *otherStatus) WriteHeader(int) { w.ResponseWriter.WriteHeader(http.StatusSeeOther) }

// done shows what came of a form, or one of its files.
func (h *Handler) done(r *http.Request, s *snapshot) http.Handler {
	one := h.dones.of(r.PathValue("word"), owner(r), h.now())
	if one == nil {
		return noStore(h.framed(r, s, http.StatusNotFound, "No longer kept", "gone.html", nil))
	}
	file := r.PathValue("file")
	if file == "" {
		return noStore(h.framed(r, s, http.StatusOK, one.Title, "done.html", one))
	}
	for i := range one.Files {
		if f := &one.Files[i]; f.Name == file {
			return f
		}
	}
	return h.missing(r, s)
}

// ServeHTTP gives the file out.
func (f *File) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	head := w.Header()
	head.Set("Content-Type", "application/pdf")
	head.Set("Content-Disposition", `attachment; filename="`+path.Base(f.Name)+`"`)
	head.Set("Cache-Control", "no-store")
	if r.Method != http.MethodHead {
		w.Write(f.Data)
	}
}
