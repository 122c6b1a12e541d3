package serve

import (
	"context"
	"crypto/sha256"
	"errors"
	"net/http"
	"net/url"
	"sync"
	"time"
)

const (
	mostUsed    = 10000 // forms carried out within ticketLife
	mostAnswers = 32    // of these, the newest ones, whose answers are kept
)

// use is a ticket whose form is being carried out, or was.
type use struct {
	number
	ended  chan struct{} // closed when it was carried out, or was not
	until  time.Time     // when its ticket is no longer valid
	sent   [sha256.Size]byte
	answer http.Handler // nil where it is no longer kept
}

// uses are the tickets whose forms were carried out. Only these take memory: who cannot write cannot
// fill it, and no ticket is forgotten while its form could be sent again.
type uses struct {
	mu      sync.Mutex
	running map[number]*use
	carried map[number]*use
	order   []*use // carried out, oldest first
}

var errManyUsed = errors.New("too many forms were carried out in the last hour")

// claim is the use of a ticket. Where its form was carried out already, ended is closed; else the caller
// carries it out, and calls end.
func (u *uses) claim(ctx context.Context, n number, now time.Time) (*use, error) {
	for {
		u.mu.Lock()
		for len(u.order) > 0 && u.order[0].until.Before(now) {
			delete(u.carried, u.order[0].number)
			u.order = u.order[1:]
		}
		if one := u.carried[n]; one != nil {
			u.mu.Unlock()
			return one, nil
		}
		other := u.running[n]
		if other == nil {
			defer u.mu.Unlock()
			if len(u.carried) >= mostUsed {
				return nil, errManyUsed
			}
			if u.running == nil {
				u.running, u.carried = map[number]*use{}, map[number]*use{}
			}
			u.running[n] = &use{number: n, ended: make(chan struct{})}
			return u.running[n], nil
		}
		u.mu.Unlock()
		select { // the same form is being carried out
		case <-other.ended:
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// end notes whether a claimed form was carried out. If not, it may be sent again.
func (u *uses) end(one *use, done bool, now time.Time) {
	u.mu.Lock()
	defer u.mu.Unlock()
	delete(u.running, one.number)
	if done {
		one.until = now.Add(ticketLife)
		u.carried[one.number] = one
		u.order = append(u.order, one)
		if old := len(u.order) - mostAnswers - 1; old >= 0 {
			u.order[old].answer = nil
		}
	}
	close(one.ended)
}

// given is the answer of a form that was carried out, and what was sent; nil where it is no longer kept.
func (u *uses) given(one *use) (answer http.Handler, sent [sha256.Size]byte) {
	u.mu.Lock()
	defer u.mu.Unlock()
	return one.answer, one.sent
}

// ticket is the number of the ticket of the form that was sent.
func (h *Handler) ticket(r *http.Request) (n number, ok bool) {
	return h.tickets.check(r.PostForm.Get("ticket"), r.URL.Path, owner(r), h.now())
}

// once carries out a form, or gives the answer that the same form got before, to whoever knows the
// passphrase. do reports done = false where nothing was carried out and the form may be sent again.
func (h *Handler) once(r *http.Request, do func() (answer http.Handler, done bool)) http.Handler {
	n, ok := h.ticket(r)
	if !ok {
		return stale
	}
	one, err := h.used.claim(r.Context(), n, h.now())
	if err != nil {
		return h.busy(r, err)
	}
	select {
	case <-one.ended:
		return h.again(r, one)
	default:
	}
	var answer http.Handler
	done := false
	defer func() { h.used.end(one, done, h.now()) }()
	if answer, done = do(); done {
		one.answer, one.sent = answer, digest(r.URL.Path, r.PostForm)
	}
	return answer
}

// again answers a form that was carried out before.
func (h *Handler) again(r *http.Request, one *use) http.Handler {
	f := fields{Errors: map[string]string{}}
	if status := h.allowed(r, &f); status != http.StatusOK {
		return retry(status, refused(status, "this form was carried out before; its answer is given again only with the passphrase: "+
			f.Errors["passphrase"]))
	}
	switch answer, sent := h.used.given(one); {
	case answer == nil:
		return refused(http.StatusConflict, "this form was carried out; its answer is no longer kept, and nothing was written now. "+
			"Look at the label's page for what was noted, or open the form again")
	case sent != digest(r.URL.Path, r.PostForm):
		return refused(http.StatusForbidden,
			"this form was sent before with a different content; nothing was written now. Open the form again")
	default:
		return answer
	}
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
var stale = refused(http.StatusForbidden, "this form is too old, or was not opened in this browser; nothing was written now. "+
	"If you sent it before, check whether it was saved; otherwise open the form again, with cookies allowed for this server")
