package serve

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"sync/atomic"
	"time"
	"unicode/utf8"
)

// shortest is the minimum number of characters in a passphrase.
const shortest = 12

// Passphrase is what a person must know to write. Only its hash is stored.
type Passphrase struct {
	hash   [sha256.Size]byte
	gate   chan struct{} // one try at a time, over all clients
	queue  chan struct{} // limits how many wait at the gate
	failed atomic.Int64
	pause  time.Duration // after a wrong one
}

// NewPassphrase is a passphrase of at least 12 characters.
func NewPassphrase(text string) (*Passphrase, error) {
	if n := utf8.RuneCountInString(text); n < shortest {
		return nil, fmt.Errorf("the passphrase has %d characters, expected at least %d", n, shortest)
	}
	return &Passphrase{
		hash: sha256.Sum256([]byte(text)), pause: time.Second,
		gate: make(chan struct{}, 1), queue: make(chan struct{}, 8),
	}, nil
}

var (
	errBusy  = errors.New("too many tries at once; wait a moment and send the form again")
	errWrong = errors.New("this is not the passphrase")
)

// Check compares a try with the passphrase. After a wrong one everybody waits a
// second, so that guessing takes longer than a passphrase stays in use.
func (p *Passphrase) Check(ctx context.Context, try string) error {
	select {
	case p.queue <- struct{}{}:
		defer func() { <-p.queue }()
	default:
		return errBusy
	}
	select {
	case p.gate <- struct{}{}:
	case <-ctx.Done():
		return errBusy
	}
	hash := sha256.Sum256([]byte(try))
	if subtle.ConstantTimeCompare(hash[:], p.hash[:]) == 1 {
		<-p.gate
		return nil
	}
	p.failed.Add(1)
	// The gate stays closed whether or not this client waits for its answer.
	time.AfterFunc(p.pause, func() { <-p.gate })
	return errWrong
}

// Failed is how many tries were wrong.
func (p *Passphrase) Failed() int64 { return p.failed.Load() }
