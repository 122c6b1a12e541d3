package serve

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"time"
	"unicode/utf8"
)

const (
	shortest  = 12   // characters in a passphrase, at least
	mostLanes = 4096 // that are kept apart; all others share one
	mostTries = 8    // at once in a lane
	mostKnown = 256  // owners who have known the passphrase, the newest ones
)

// Passphrase is what a person must know to write. Only its hash is stored.
type Passphrase struct {
	hash   [sha256.Size]byte
	failed atomic.Int64
	pause  time.Duration // after a wrong one

	mu    sync.Mutex
	lanes map[string]*lane // in which somebody tries, or tried a moment ago
	known []string         // owners, oldest first
}

// lane is where those try one after another who may be the same person, so that a guesser makes nobody else
// wait.
type lane struct {
	name string
	gate chan struct{} // one try at a time
	used int           // tries in it, and the pause after a wrong one
}

// Who is who tries a passphrase.
type Who struct{ Address, Owner string }

// NewPassphrase is a passphrase of at least 12 characters.
func NewPassphrase(text string) (*Passphrase, error) {
	if n := utf8.RuneCountInString(text); n < shortest {
		return nil, fmt.Errorf("the passphrase has %d characters, expected at least %d", n, shortest)
	}
	return &Passphrase{hash: sha256.Sum256([]byte(text)), pause: time.Second, lanes: map[string]*lane{}}, nil
}

var (
	errBusy  = errors.New("too many tries at once; wait a moment and send the form again")
	errWrong = errors.New("this is not the passphrase")
)

// Check compares a try with the passphrase. After a wrong one everybody at that address waits a second, so
// that guessing takes longer than a passphrase stays in use. An owner who has known the passphrase
// waits only behind wrong ones of their own.
func (p *Passphrase) Check(ctx context.Context, who Who, try string) error {
	l := p.enter(who)
	if l == nil {
		return errBusy
	}
	select {
	case l.gate <- struct{}{}:
	case <-ctx.Done():
		p.exit(l)
		return errBusy
	}
	hash := sha256.Sum256([]byte(try))
	if subtle.ConstantTimeCompare(hash[:], p.hash[:]) == 1 {
		<-l.gate
		p.exit(l)
		p.remember(who.Owner)
		return nil
	}
	p.failed.Add(1)
	// The gate stays closed whether or not this client waits for its answer.
	time.AfterFunc(p.pause, func() {
		<-l.gate
		p.exit(l)
	})
	return errWrong
}

// enter is the lane of somebody who tries; nil if it is full.
func (p *Passphrase) enter(who Who) *lane {
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
	if l == nil {
		l = &lane{name: name, gate: make(chan struct{}, 1)}
		p.lanes[name] = l
	}
	if l.used >= mostTries {
		return nil
	}
	l.used++
	return l
}

func (p *Passphrase) exit(l *lane) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if l.used--; l.used == 0 {
		delete(p.lanes, l.name)
	}
}

// remember notes an owner who knows the passphrase.
func (p *Passphrase) remember(owner string) {
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
func (p *Passphrase) Failed() int64 { return p.failed.Load() }
