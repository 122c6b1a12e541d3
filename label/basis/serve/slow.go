package serve

import (
	"context"
	"crypto/sha256"
	"sync"
	"time"
)

const (
	mostSlow   = 4096 // names with wrong passwords that are remembered, the newest ones
	slowStep   = 250 * time.Millisecond
	slowest    = 5 * time.Second  // nobody is locked out: whoever knows the password waits this long at most
	slowForget = 10 * time.Minute // after the last wrong one
)

// slow makes tries of one name slower after wrong passwords, from wherever they come. It knows
// names only by their hashes, and those that nobody has as well: the time tells no name.
type slow struct {
	mu    sync.Mutex
	wrong map[[sha256.Size]byte]*slowName
	order [][sha256.Size]byte // oldest first
}

type slowName struct {
	count int
	last  time.Time
}

// wait is how long a try of a name waits.
func (s *slow) wait(name string, now time.Time) time.Duration {
	s.mu.Lock()
	defer s.mu.Unlock()
	is := s.wrong[sha256.Sum256([]byte(name))]
	if is == nil || now.Sub(is.last) > slowForget {
		return 0
	}
	return min(time.Duration(is.count)*slowStep, slowest)
}

// note notes what came of a try.
func (s *slow) note(name string, right bool, now time.Time) {
	s.mu.Lock()
	defer s.mu.Unlock()
	key := sha256.Sum256([]byte(name))
	is := s.wrong[key]
	switch {
	case right && is != nil:
		is.count = 0
	case right:
	case is == nil:
		if s.wrong == nil {
			s.wrong = map[[sha256.Size]byte]*slowName{}
		}
		if len(s.order) == mostSlow {
			delete(s.wrong, s.order[0])
			s.order = s.order[1:]
		}
		s.wrong[key], s.order = &slowName{1, now}, append(s.order, key)
	default:
		if now.Sub(is.last) > slowForget {
			is.count = 0
		}
		is.count, is.last = is.count+1, now
	}
}

// pause waits, and reports whether the client is still there.
func pause(ctx context.Context, d time.Duration) bool {
	if d <= 0 {
		return ctx.Err() == nil
	}
	wait := time.NewTimer(d)
	defer wait.Stop()
	select {
	case <-wait.C:
		return true
	case <-ctx.Done():
		return false
	}
}
