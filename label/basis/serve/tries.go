package serve

import (
	"context"
	"errors"
	"slices"
	"sync"
	"sync/atomic"
	"time"
)

const (
	mostLanes = 4096 // that are kept apart; all others share one
	mostTries = 8    // that wait in a lane
	mostKnown = 256  // owners who have got it right, the newest ones
)

// tries are tries of a secret: a passphrase, or passwords. They are slow, and a guesser makes nobody else wait.
type tries struct {
	failed atomic.Int64
	pause  time.Duration // after a wrong one

	mu    sync.Mutex
	lanes map[string]*lane // in which somebody tries, or tried a moment ago
	known []string         // owners, oldest first
}

// newTries pause for a second after a wrong one.
func newTries() *tries { return &tries{pause: time.Second, lanes: map[string]*lane{}} }

// lane is where those try one after another who may be the same person, so that a guesser makes nobody else
// wait. It is there while somebody tries, and for a second after a wrong try.
type lane struct {
	name    string
	waiting []*waiter
}

// waiter waits for a turn in a lane.
type waiter struct {
	owner string
	turn  chan bool // true when it is its turn, false when it gave way
}

// Who is who tries a secret.
type Who struct{ Address, Owner string }

var errBusy = errors.New("too many tries at once; wait a moment and send the form again")

// try is a try, when it is its turn. right returns nil for a right one, errBusy where it was not looked at, and
// another error for a wrong one. After a wrong one everybody at that address waits a second, so
// that guessing takes longer than a secret stays in use. An owner who has got it right before
// waits only behind wrong ones of their own.
func (p *tries) try(ctx context.Context, who Who, right func() error) error {
	l, w := p.enter(who)
	if w != nil {
		select {
		case mine := <-w.turn:
			if !mine {
				return errBusy
			}
		case <-ctx.Done():
			p.giveUp(l, w)
			return errBusy
		}
	}
	if l == nil {
		return errBusy
	}
	err := right()
	switch {
	case err == nil:
		p.remember(who.Owner)
		fallthrough
	case errors.Is(err, errBusy):
		p.next(l)
		return err
	}
	p.failed.Add(1)
	// The lane stays taken whether or not this client waits for its answer.
	time.AfterFunc(p.pause, func() { p.next(l) })
	return err
}

// enter is the lane of somebody who tries; nil if there is no room to wait. Without a waiter the turn
// has come already.
func (p *tries) enter(who Who) (*lane, *waiter) {
	p.mu.Lock()
	defer p.mu.Unlock()
	name := "address " + who.Address
	if who.Owner != "" && slices.Contains(p.known, who.Owner) {
		name = "owner " + who.Owner
	}
	l := p.lanes[name]
	if l == nil && len(p.lanes) >= mostLanes {
		name = "all others"
		l = p.lanes[name]
	}
	switch {
	case l == nil:
		p.lanes[name] = &lane{name: name}
		return p.lanes[name], nil
	case len(l.waiting) >= mostTries && !l.giveWay(who.Owner):
		return nil, nil
	}
	w := &waiter{who.Owner, make(chan bool, 1)}
	l.waiting = append(l.waiting, w)
	return l, w
}

// giveWay makes room for an owner in a full lane, if another one has more tries there: of the owner with the most,
// the newest gives way.
func (l *lane) giveWay(owner string) bool {
	tries, most := map[string]int{}, 0
	for _, w := range l.waiting {
		tries[w.owner]++
		most = max(most, tries[w.owner])
	}
	if tries[owner] >= most {
		return false
	}
	for i := len(l.waiting) - 1; ; i-- {
		if w := l.waiting[i]; tries[w.owner] == most {
			l.waiting = slices.Delete(l.waiting, i, i+1)
			w.turn <- false
			return true
		}
	}
}

// next gives the turn to whoever has waited longest.
func (p *tries) next(l *lane) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if len(l.waiting) == 0 {
		delete(p.lanes, l.name)
		return
	}
	w := l.waiting[0]
	l.waiting = l.waiting[1:]
	w.turn <- true
}

// giveUp takes somebody out of a lane whose client has left.
func (p *tries) giveUp(l *lane, w *waiter) {
	p.mu.Lock()
	i := slices.Index(l.waiting, w)
	if i >= 0 {
		l.waiting = slices.Delete(l.waiting, i, i+1)
	}
	p.mu.Unlock()
	if i < 0 && <-w.turn { // it has come in this moment
		p.next(l)
	}
}

// remember notes an owner who knows the passphrase.
func (p *tries) remember(owner string) {
	if owner == "" {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.known = slices.DeleteFunc(p.known, func(k string) bool { return k == owner })
	if len(p.known) == mostKnown {
		p.known = p.known[1:]
	}
	p.known = append(p.known, owner)
}

// Failed is how many tries were wrong.
func (p *tries) Failed() int64 { return p.failed.Load() }
