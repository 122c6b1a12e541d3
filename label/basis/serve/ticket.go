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
	mostTickets = 1000 // open at once; the oldest make room for new ones
)

// ticket is a hidden field of one form that was shown. The form can be carried
// out once; sent again, as by a double click, it gets the same answer.
type ticket struct {
	name   string
	issued time.Time

	mu   sync.Mutex // held while the form is carried out
	sent [sha256.Size]byte
	came http.Handler // the answer; nil until it was carried out
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

// once carries out a form, or gives the answer that the same form got before.
// do reports done = false where nothing was carried out and the form may be sent
// again.
func (h *Handler) once(r *http.Request, do func() (answer http.Handler, done bool)) http.Handler {
	one := h.tickets.find(r.PostForm.Get("ticket"), h.now())
	if one == nil {
		return stale
	}
	one.mu.Lock()
	defer one.mu.Unlock()
	sum := digest(r.URL.Path, r.PostForm)
	switch {
	case one.came == nil:
		answer, done := do()
		if done {
			one.came, one.sent = answer, sum
		}
		return answer
	case one.sent != sum:
		return refused(http.StatusForbidden,
			"this form was sent before with a different content; nothing was written now. Open the form again")
	}
	return one.came
}

// digest identifies the content of a form, without the passphrase.
func digest(path string, form url.Values) [sha256.Size]byte {
	said := url.Values{}
	for name, values := range form {
		if name != "passphrase" {
			said[name] = values
		}
	}
	return sha256.Sum256([]byte(path + "?" + said.Encode()))
}

// stale answers a form without a valid ticket.
var stale = refused(http.StatusForbidden, "this form is too old, or was not opened here; nothing was written now. "+
	"If you sent it before, check whether it was saved; otherwise open the form again")
