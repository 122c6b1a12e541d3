package publish

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"vouchmark/label/bucket"
)

// One publisher writes at a time. Who begins a generation has its turn until it ends, but not longer than a lease
// after its last note, by its own clock, from before it sent that note. It sends no page later than that. Others wait until the lease and a margin have passed since that note by the store's clock. So a publisher that
// was slow, or stopped and went on, does not write over the pages of a later one, not even where a page has
// the same bytes again that it had before, which no condition on the bytes would notice.

const lease = 2 * time.Minute

// margin is for a request that the store carries out late, and for times in whole seconds.
const margin = lease / 4

const (
	longestTurn = 15 * time.Minute // that others wait
	grace       = 10 * time.Second // for requests on their way when somebody stops the program
)

// turn is the right to write.
type turn struct {
	r      *remote
	number int64
	id     string
	ended  bool // its end is noted

	mu    sync.Mutex // held while the following are used, and while a note is sent
	state *mark
	notes int
	sent  time.Time // the last note that arrived
	over  error     // nil while it lasts
	why   error     // the last error of a note

	stop func() // ends the notes that are sent by time
}

// note is the state as a file.
func (t *turn) note() []byte {
	data, err := json.Marshal(newBeginning(t.state, t.id))
	if err != nil {
		panic(err) // it has nothing that cannot be written
	}
	return data
}

func (t *turn) key(part string) string { return genKey(t.number, part) }

func noteHow(zipped bool) bucket.How {
	how := bucket.How{Type: "application/json", Cache: "no-cache", New: true}
	if zipped {
		how.Type = "application/gzip"
	}
	return how
}

// claim begins the generation after the newest. It fails with errAgain if somebody else did.
func (r *remote) claim(m *mark) (*turn, error) {
	t := &turn{r: r, number: 1, id: rand.Text(), state: m, sent: time.Now()}
	if all := r.past.generations; len(all) > 0 {
		t.number = all[0].number + 1
	}
	err := t.write(context.WithoutCancel(r.ctx), t.key(beginPart), t.note(), noteHow(false))
	if errors.Is(err, bucket.ErrChanged) {
		return nil, errAgain
	}
	if err != nil {
		return nil, err
	}
	ctx, cancel := context.WithCancel(context.WithoutCancel(r.ctx))
	var ended sync.WaitGroup
	ended.Go(func() { t.keep(ctx) })
	t.stop = func() { cancel(); ended.Wait() }
	return t, nil
}

// left is how long the turn lasts. A computer that slept may not have counted that, so both of its clocks count.
func (t *turn) left() (time.Duration, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	now := time.Now()
	rest := lease - max(now.Sub(t.sent), now.Round(0).Sub(t.sent.Round(0)))
	if t.over == nil && rest <= 0 {
		t.over = fmt.Errorf("this publisher had to stop: for %s it noted nothing in the store, so another one may have taken over", lease)
		if t.why != nil {
			t.over = fmt.Errorf("%w: %w", t.over, t.why)
		}
	}
	return rest, t.over
}

// write sends a file, while the turn lasts.
func (t *turn) write(ctx context.Context, key string, data []byte, how bucket.How) error {
	r := t.r
	if r.ctx.Err() != nil {
		return errStopped
	}
	left, err := t.left()
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, left)
	defer cancel()
	defer context.AfterFunc(r.ctx, func() { time.AfterFunc(grace, cancel) })()
	_, err = r.Bucket.Put(ctx, key, data, how)
	if errors.Is(err, bucket.ErrUnanswered) && !strings.HasPrefix(key, genFolder) {
		r.unsure.Store(true)
	}
	if err == nil {
		r.bytes.Add(int64(len(data)))
	}
	return err
}

// keep renews the turn before it ends.
func (t *turn) keep(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(lease / 3):
			t.mu.Lock()
			state := t.state
			t.mu.Unlock()
			if err := t.renew(ctx, state); err != nil { // it is told if the turn ends because of it
				t.mu.Lock()
				t.why = err
				t.mu.Unlock()
			}
		}
	}
}

// renew notes a state again, or a later one, and looks whether another publisher took over.
func (t *turn) renew(ctx context.Context, m *mark) error {
	t.mu.Lock()
	t.notes++
	t.state = m
	key, data, sent := t.key(fmt.Sprintf("%s%06d", alivePart, t.notes)), t.note(), time.Now()
	t.mu.Unlock()
	if err := t.write(ctx, key, data, noteHow(false)); err != nil {
		return err
	}
	t.mu.Lock()
	if sent.After(t.sent) {
		t.sent = sent
	}
	t.mu.Unlock()
	ctx, cancel := context.WithTimeout(ctx, lease/3)
	defer cancel()
	first, err := t.r.Bucket.First(ctx, genFolder, 1)
	if err != nil || len(first) == 0 {
		return err
	}
	return t.newest(first[0].Key)
}

// newest ends the turn if the newest generation is not its own.
func (t *turn) newest(key string) error {
	if number, _, ok := genOf(key); ok && number == t.number {
		return nil
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.over = fmt.Errorf("%w: its notes in %s%s are newer; what it writes counts", errOvertaken, t.r.Name, genFolder)
	return t.over
}

// same ends a turn in which nothing was to be written.
func (t *turn) same() error {
	if err := t.r.send(t.key(samePart), []byte("{}\n"), noteHow(false)); err != nil {
		return err
	}
	t.ended = true
	for _, part := range []string{beginPart, samePart} { // a begin alone would be waited for
		if t.r.Bucket.Delete(t.r.ctx, t.key(part)) != nil {
			break
		}
	}
	t.r.tidy()
	return nil
}

// leave ends the turn. If it was not finished, it notes that nobody needs to wait, unless a request may still be carried out.
func (t *turn) leave() {
	t.stop()
	if t.ended || t.r.unsure.Load() {
		return
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(t.r.ctx), grace)
	defer cancel()
	t.r.Bucket.Put(ctx, t.key(leftPart), []byte("{}\n"), noteHow(false)) // if it fails, others wait
}

// await waits until no publisher is at work.
func (r *remote) await() ([]generation, error) {
	began := time.Now()
	asks, asked := bucket.Entry{}, time.Time{}
	key, pause := asksPart+rand.Text(), 50*time.Millisecond
	for {
		all, err := r.generations()
		if err != nil || len(all) == 0 || !all[0].open() {
			return all, err
		}
		g := &all[0]
		last, _ := g.latest()
		for i := range all {
			if e, there := all[i].parts[key]; there {
				asks = e
			}
		}
		pause = min(2*pause, lease/24)
		switch {
		case asks.Key == "": // nothing tells the store's time but what it writes
			if !asked.IsZero() {
				return nil, errors.New("the store does not list what was written into it")
			}
			if r.Say != nil {
				r.Say(fmt.Sprintf("another publisher is at work in %s, or was killed; waiting until it ends, or has noted nothing for %s",
					r.Name, lease+margin))
			}
			if err := r.ask(genKey(g.number, key)); err != nil {
				return nil, err
			}
			asked = time.Now()
			continue
		case asks.Modified.Add(time.Since(asked)).Sub(last.Modified) >= lease+margin:
			return all, nil
		case time.Since(began) > longestTurn:
			return nil, fmt.Errorf("another publisher has been at work here for %s", longestTurn)
		}
		select {
		case <-time.After(pause):
		case <-r.ctx.Done():
			return nil, errStopped
		}
	}
}

func (r *remote) ask(key string) error {
	ctx, cancel := context.WithTimeout(r.ctx, silence)
	defer cancel()
	_, err := r.Bucket.Put(ctx, key, []byte("{}\n"), noteHow(false))
	return err
}
