package serve

import (
	"crypto/rand"
	"crypto/sha256"
	"net/http"
	"net/url"
	"sync"
	"time"
)

const (
	ticketLife  = time.Hour
	mostTickets = 1000 // open at once; the oldest make room
)

// answer is what a form came to.
type answer struct {
	status int
	page   []byte
	pdf    *Printed // in place of a page
}

// ticket stands in one form that was shown. The form can be carried out once;
// sent again, as by a double click, it gets the same answer.
type ticket struct {
	name   string
	issued time.Time

	mu   sync.Mutex // held while the form is carried out
	sent [sha256.Size]byte
	came *answer // nil until it was carried out
}

// tickets are those of the forms that are open.
type tickets struct {
	mu    sync.Mutex
	all   map[string]*ticket
	order []*ticket // oldest first
}

// issue makes the ticket of a form.
func (t *tickets) issue(now time.Time) string {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.all == nil {
		t.all = map[string]*ticket{}
	}
	for len(t.order) > 0 && (len(t.order) >= mostTickets || now.Sub(t.order[0].issued) > ticketLife) {
		delete(t.all, t.order[0].name)
		t.order = t.order[1:]
	}
	one := &ticket{name: rand.Text(), issued: now}
	t.all[one.name] = one
	t.order = append(t.order, one)
	return one.name
}

// find is the live ticket of a name, or nil.
func (t *tickets) find(name string, now time.Time) *ticket {
	t.mu.Lock()
	defer t.mu.Unlock()
	one := t.all[name]
	if one == nil || now.Sub(one.issued) > ticketLife {
		return nil
	}
	return one
}

// once carries a form out, or gives the answer that the same form got before.
// do gives nil where nothing was carried out and the form may be sent again.
func (h *Handler) once(w http.ResponseWriter, r *http.Request, do func() *answer) {
	one := h.tickets.find(r.PostForm.Get("ticket"), h.now())
	if one == nil {
		h.stale(w)
		return
	}
	one.mu.Lock()
	defer one.mu.Unlock()
	sum := digest(r.URL.Path, r.PostForm)
	if one.came != nil && one.sent != sum {
		http.Error(w, "this form was sent before with other words; nothing was written now. Open the form again",
			http.StatusForbidden)
		return
	}
	if one.came == nil {
		one.came, one.sent = do(), sum
		if one.came == nil {
			return // do has answered
		}
	}
	h.give(w, r, one.came)
}

// digest is what a form says, without the passphrase.
func digest(path string, form url.Values) [sha256.Size]byte {
	said := url.Values{}
	for name, values := range form {
		if name != "passphrase" {
			said[name] = values
		}
	}
	return sha256.Sum256([]byte(path + "?" + said.Encode()))
}

func (h *Handler) give(w http.ResponseWriter, r *http.Request, a *answer) {
	if a.pdf == nil {
		h.page(w, r, a.status, a.page, nil)
		return
	}
	head := w.Header()
	head.Set("Content-Type", "application/pdf")
	head.Set("Content-Disposition", `attachment; filename="`+a.pdf.Name+`"`)
	head.Set("Cache-Control", "no-store")
	w.Write(a.pdf.PDF)
}

// stale answers to a form without a live ticket.
func (h *Handler) stale(w http.ResponseWriter) {
	http.Error(w, "this form is too old, or was never shown; nothing was written now. "+
		"If you sent it before, look whether it was saved; else open the form again", http.StatusForbidden)
}
