package serve

import (
	"context"
	"errors"
	"net/http"
	"runtime"
	"sync"
	"time"
)

// Work that takes memory and time, such as judging a plant again, is carried out by a few requests at
// once. Some wait for their turn; the others are told to come back.

const (
	mostWaiting = 32 // forms at work or waiting
	eachWaiting = 8  // of these, from one address
	mostMaking  = 1024
	eachMaking  = 256
	longestWait = 15 * time.Second
)

// makers is how many pages are made at once: a page is work for one core.
var makers = 2 * runtime.GOMAXPROCS(0)

var errManyWaiting = errors.New("this server is working on as many requests as it can at once")

// turns bounds work of one kind.
type turns struct {
	slots      chan struct{}
	mu         sync.Mutex
	all        int            // at work or waiting
	from       map[string]int // of these, by address
	most, each int
}

func newTurns(slots, most, each int) *turns {
	return &turns{slots: make(chan struct{}, slots), from: map[string]int{}, most: most, each: each}
}

// take waits for a turn. An address that has its share of all who wait gets none, so that there is room
// for others. leave ends the turn.
func (t *turns) take(ctx context.Context, address string) (leave func(), err error) {
	if !t.enter(address) {
		return nil, errManyWaiting
	}
	wait, cancel := context.WithTimeout(ctx, longestWait)
	defer cancel()
	select {
	case t.slots <- struct{}{}:
		return sync.OnceFunc(func() {
			<-t.slots
			t.exit(address)
		}), nil
	case <-wait.Done():
		t.exit(address)
		return nil, errManyWaiting
	}
}

func (t *turns) enter(address string) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.all >= t.most || t.from[address] >= t.each {
		return false
	}
	t.all++
	t.from[address]++
	return true
}

func (t *turns) exit(address string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.all--
	if t.from[address]--; t.from[address] == 0 {
		delete(t.from, address)
	}
}

// busy answers a request for which there is no room.
func (h *Handler) busy(r *http.Request, err error) http.Handler {
	if errors.Is(err, errManyUsed) {
		return h.plain(http.StatusServiceUnavailable, "Try again later",
			"Nothing was written: "+err.Error()+". Send the form again in an hour, or use the commands.", nil)
	}
	means := "Load the page again in a few seconds: " + err.Error() + "."
	if !reading(r) {
		means = "Nothing was written: " + err.Error() + ". Go back, wait a few seconds, and send the form again."
	}
	return h.plain(http.StatusServiceUnavailable, "Try again in a few seconds", means, nil)
}

// made is a page, made when it is its turn.
func (h *Handler) made(r *http.Request, s *snapshot, p show) http.Handler {
	if !reading(r) {
		return p(r, s) // a form has its own turn
	}
	leave, err := h.making.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err)
	}
	defer leave()
	return p(r, s)
}

// retry says of an answer when to come back, where it has to be sent again.
func retry(status int, answer http.Handler) http.Handler {
	if status != http.StatusTooManyRequests {
		return answer
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Retry-After", "1")
		answer.ServeHTTP(w, r)
	})
}
