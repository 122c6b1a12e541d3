package publish

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"iter"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"vouchmark/label/basis/page"
	"vouchmark/label/bucket"
	"vouchmark/label/bucket/buckettest"
	"vouchmark/testdata/suite"
)

// gated is a bucket as one of several publishers reaches it. The gate is called before each request.
type gated struct {
	bucket.Bucket
	gate func()
}

func (g gated) Put(ctx context.Context, key string, data []byte, how bucket.How) (string, error) {
	g.gate()
	return g.Bucket.Put(ctx, key, data, how)
}

func (g gated) Get(ctx context.Context, key string, most int64) (bucket.File, error) {
	g.gate()
	return g.Bucket.Get(ctx, key, most)
}

func (g gated) First(ctx context.Context, prefix string, n int) ([]bucket.Entry, error) {
	g.gate()
	return g.Bucket.First(ctx, prefix, n)
}

func (g gated) List(ctx context.Context, prefix string) iter.Seq2[bucket.Entry, error] {
	return func(yield func(bucket.Entry, error) bool) {
		g.gate()
		g.Bucket.List(ctx, prefix)(yield)
	}
}

func (g gated) Delete(ctx context.Context, key string) error {
	g.gate()
	return g.Bucket.Delete(ctx, key)
}

// from is a bucket in memory with some files.
func from(files map[string][]byte) *buckettest.Memory {
	m := buckettest.NewMemory()
	for key, data := range files {
		m.Alter(key, data)
	}
	return m
}

// states are two states of a small site, the second the later one, and what a bucket has after the first.
func states(t *testing.T) (first, second *page.Book, published map[string][]byte) {
	t.Helper()
	dir, old := invented(t, 3), filepath.Join(t.TempDir(), "old")
	if err := os.CopyFS(old, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	logged(t, dir)
	first, second = book(t, old, "2026-05-01"), book(t, dir, "2026-05-02")
	m := buckettest.NewMemory()
	if _, err := into(t, m, first); err != nil {
		t.Fatal(err)
	}
	return first, second, m.Files()
}

// Whichever request fails, is the last one before the program is killed, or is carried out without an answer: every file is whole,
// the day and the start page come after all other pages, an older site is refused once a newer page is there, nobody waits for a
// publisher that could say that it ended, and the next publishing finishes.
func TestStoppedAtEveryRequest(t *testing.T) {
	older, next, old := states(t)
	m := from(old)
	if _, err := into(t, m, next); err != nil {
		t.Fatal(err)
	}
	after := bucketed(m)
	for what, before := range map[string]map[string][]byte{"first": nil, "again": old} {
		m := from(before)
		if _, err := into(t, m, next); err != nil {
			t.Fatal(err)
		}
		all := int(m.Requests())
		for n := 1; n <= all; n++ {
			for how, waits := range map[string]bool{"fails": false, "killed": true, "lost": false, "unanswered": true} {
				if (what == "first" || how != "killed") && !sampled(n, all) || what == "first" && how != "killed" && !suite.Exhaustive {
					continue
				}
				synctest.Test(t, func(t *testing.T) {
					stoppedAt(t, from(before), n, how, waits, older, next, bucketed(from(before)), after)
				})
			}
		}
	}
}

// sampled chooses of so many requests all, or the first, the last and some in between.
func sampled(n, all int) bool { return suite.Exhaustive || n <= 3 || n > all-4 || n%17 == 0 }

func stoppedAt(t *testing.T, m *buckettest.Memory, n int, how string, waits bool, older, next *page.Book, before, after map[string]string) {
	var mu sync.Mutex
	seen, at := 0, ""
	power := fmt.Errorf("power")
	if how == "unanswered" {
		power = fmt.Errorf("%w: power", bucket.ErrUnanswered)
	}
	count := func(what, key string) error {
		mu.Lock()
		defer mu.Unlock()
		if seen++; seen == n {
			at = what + " " + key
		}
		if seen == n || seen > n && how == "killed" {
			return power
		}
		return nil
	}
	if how == "lost" || how == "unanswered" {
		m.After = count
	} else {
		m.Before = count
	}
	_, err := into(t, m, next)
	m.Before, m.After = nil, nil
	fine := strings.HasPrefix(at, "delete") || strings.HasPrefix(at, "list gen/") && how != "killed" // tidying up
	if err == nil && !fine {
		t.Errorf("%s %s, and nothing is said", at, how)
	}
	if err != nil && (!errors.Is(err, power) || !strings.HasPrefix(err.Error(), "cannot write "+place)) {
		t.Errorf("%s %s: %v", at, how, err)
	}
	left, newer := bucketed(m), false
	for key, data := range left {
		if data != before[key] && data != after[key] {
			t.Errorf("%s %s: %s is neither old nor new", at, how, key)
		}
		newer = newer || data != before[key] && strings.HasPrefix(key, "V/")
	}
	for _, last := range []string{dayFile, indexFile} {
		if left[last] == before[last] {
			continue
		}
		for key := range after {
			if key != dayFile && key != indexFile && left[key] != after[key] {
				t.Fatalf("%s %s: %s is there before %s", at, how, last, key)
			}
		}
	}
	stopped := m.Files()
	began := time.Now()
	if _, err := into(t, m, next); err != nil || !maps.Equal(bucketed(m), after) {
		t.Errorf("%s %s: %v", at, how, err)
	}
	waits = waits || strings.HasSuffix(at, "."+beginPart) && how == "lost"                           // perhaps it was not its own
	late := how == "unanswered" && strings.HasPrefix(at, "put ") && !strings.Contains(at, genFolder) // it may be carried out later
	if waited := time.Since(began); waited > lease+2*margin || !waits && waited > 0 || late && waited < lease {
		t.Errorf("%s %s: the next one waits for %s", at, how, waited)
	}
	if newer && (n%3 == 0 || suite.Exhaustive) {
		if _, err := into(t, from(stopped), older); err == nil || !strings.Contains(err.Error(), "later state") && !strings.Contains(err.Error(), "were checked on") {
			t.Errorf("%s %s: an older copy: %v", at, how, err)
		}
	}
	if n%5 > 0 {
		return
	}
	if s, err := into(t, m, next); err != nil || s.Written != 0 {
		t.Errorf("%s %s: then %+v, %v", at, how, s, err)
	}
}

// One publisher stops at any request and goes on later, while another publishes a later state, or, what no condition on the bytes
// notices, pages that are as they were before the first one began: what the second one wrote stays, whenever the first goes on.
func TestTwoPublishersAtEveryRequest(t *testing.T) {
	first, second, old := states(t)
	dir := invented(t, 3)
	policy := filepath.Join(dir, "site.toml")
	text, err := os.ReadFile(policy)
	if err != nil {
		t.Fatal(err)
	}
	usual := book(t, dir, "2026-05-01")
	if err := os.WriteFile(policy, bytes.Replace(text, []byte(`ask = "R. Example`), []byte(`ask = "Q. Example`), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	asked := book(t, dir, "2026-05-01")
	m := buckettest.NewMemory()
	if _, err := into(t, m, usual); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name         string
		slow, second *page.Book
		before       map[string][]byte
	}{
		{"as it was before", asked, usual, m.Files()},
		{"a later state", first, second, nil},
		{"the same state", second, second, old},
	} {
		own, want := asFolder(t, c.slow), asFolder(t, c.second)
		m := from(c.before)
		begins := 3 // the request with which it begins, after a list and the manifest, or a list of all files
		if _, err := into(t, m, c.slow); err != nil {
			t.Fatal(err)
		}
		all := int(m.Requests())
		for k := 1; k <= all; k++ {
			if !sampled(k, all) {
				continue
			}
			for _, pause := range []time.Duration{lease / 4, time.Hour} {
				if pause < lease && k%2 == 0 && !suite.Exhaustive {
					continue
				}
				synctest.Test(t, func(t *testing.T) {
					m := from(c.before)
					err := slowAndSecond(t, m, k, pause, c.slow, c.second)
					if got := bucketed(m); k <= begins && err == nil && maps.Equal(got, own) {
						return // it began after the second
					} else if !maps.Equal(got, want) {
						t.Errorf("%s, %s at request %d: the first one, which ends with %v, wrote over the second", c.name, pause, k, err)
					}
					if s, err := into(t, m, c.second); err != nil || s.Written != 0 {
						t.Errorf("%s, %s at request %d: then %+v %v", c.name, pause, k, s, err)
					}
				})
			}
		}
	}
}

// slowAndSecond stops one publisher at request k for some time, in which another one begins. It gives the error of the first.
func slowAndSecond(t *testing.T, m *buckettest.Memory, k int, pause time.Duration, slow, second *page.Book) error {
	var mu sync.Mutex
	n, stopped := 0, make(chan bool)
	var goOn time.Time
	gate := func() {
		mu.Lock()
		if n++; n == k {
			goOn = time.Now().Add(pause)
			close(stopped)
		}
		until := goOn
		mu.Unlock()
		if !until.IsZero() { // all of its requests, as if the computer slept
			time.Sleep(time.Until(until))
		}
	}
	ended := make(chan error, 1)
	go func() {
		_, err := Publish(t.Context(), &Store{Bucket: gated{m, gate}, Name: place}, of(slow), nil)
		ended <- err
	}()
	select {
	case <-stopped:
	case err := <-ended:
		t.Fatalf("it ended before request %d: %v", k, err)
	}
	if _, err := into(t, m, second); err != nil {
		t.Errorf("the second publisher, at request %d: %v", k, err)
	}
	err := <-ended
	fine := func(say string) bool { return strings.Contains(err.Error(), say) }
	if err != nil && !errors.Is(err, errOvertaken) && !fine("had to stop") && !fine("later state") && !fine("were checked") && !fine("did not answer in time") {
		t.Errorf("the first publisher, stopped at request %d for %s: %v", k, pause, err)
	}
	return err
}

// Of several that begin at the same moment one has its turn, and the others wait.
func TestPublishersAtOnce(t *testing.T) {
	_, next, old := states(t)
	want := asFolder(t, next)
	synctest.Test(t, func(t *testing.T) {
		m := from(old)
		begin, all := make(chan bool), sync.WaitGroup{}
		type end struct {
			s   *Summary
			err error
		}
		ends := make(chan end, 4)
		all.Add(cap(ends))
		for range cap(ends) {
			n := 0
			b := gated{m, func() {
				if n++; n == 3 { // all have read what is there before one begins
					all.Done()
					<-begin
				}
			}}
			go func() {
				s, err := Publish(t.Context(), &Store{Bucket: b, Name: place}, of(next), nil)
				ends <- end{s, err}
			}()
		}
		all.Wait()
		close(begin)
		wrote := 0
		for range cap(ends) {
			if e := <-ends; e.err != nil {
				t.Error(e.err)
			} else if e.s.Written > 0 {
				wrote++
			}
		}
		if wrote != 1 || !maps.Equal(bucketed(m), want) {
			t.Errorf("%d of them wrote", wrote)
		}
	})
}

// A long publishing keeps its turn, and others wait.
func TestLongPublishing(t *testing.T) {
	_, next, old := states(t)
	synctest.Test(t, func(t *testing.T) {
		m := from(old)
		slow := func() { time.Sleep(lease / 8) }
		ended := make(chan error, 1)
		go func() {
			_, err := Publish(t.Context(), &Store{Bucket: gated{m, slow}, Name: place}, of(next), nil)
			ended <- err
		}()
		time.Sleep(lease)
		said := ""
		s, err := Publish(t.Context(), &Store{Bucket: m, Name: place, Say: func(line string) { said += line }}, of(next), nil)
		if err != nil || s.Written != 0 || !strings.Contains(said, "another publisher is at work in "+place) {
			t.Errorf("%+v %v %s", s, err, said)
		}
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}

// When somebody stops the program, what is on its way is waited for, nothing else is sent, and nobody waits for it.
func TestPublishingStopped(t *testing.T) {
	_, next, old := states(t)
	synctest.Test(t, func(t *testing.T) {
		m := from(old)
		ctx, stop := context.WithCancel(t.Context())
		var late sync.Once
		m.Before = func(what, key string) error {
			if strings.HasPrefix(key, "V/") {
				late.Do(func() { stop(); time.Sleep(time.Second) })
			}
			return nil
		}
		_, err := Publish(ctx, &Store{Bucket: m, Name: place}, of(next), nil)
		if err == nil || !strings.Contains(err.Error(), "stopped before everything was written") || strings.Count(err.Error(), "stopped") != 1 {
			t.Error(err)
		}
		began := time.Now()
		if _, err := into(t, m, next); err != nil || time.Since(began) > 0 {
			t.Errorf("%v after %s", err, time.Since(began))
		}
	})
}

// odd is a store whose tags are not the MD5 of the bytes.
type odd struct{ *buckettest.Memory }

func (o odd) List(ctx context.Context, prefix string) iter.Seq2[bucket.Entry, error] {
	return func(yield func(bucket.Entry, error) bool) {
		for e, err := range o.Memory.List(ctx, prefix) {
			if e.MD5 = nil; !yield(e, err) {
				return
			}
		}
	}
}

// Where tags are not the MD5 of the bytes, what was sent is read once, and after that nothing is sent that is there.
func TestOddTags(t *testing.T) {
	_, next, _ := states(t)
	m := odd{buckettest.NewMemory()}
	if _, err := into(t, m, next); err != nil || !maps.Equal(bucketed(m.Memory), asFolder(t, next)) {
		t.Fatal(err)
	}
	if s, err := into(t, m, next); err != nil || s.Written != 0 || s.Made != 0 {
		t.Errorf("%+v %v", s, err)
	}
	m.Alter("list/1.html", []byte("altered"))
	if s, err := into(t, m, next); err != nil || s.Written != 1 || s.Traffic.Altered != 1 {
		t.Errorf("%+v %v", s, err)
	}
}

// Somebody who writes without conditions in the meantime is found before the pages count as known.
func TestSomebodyWritesMeanwhile(t *testing.T) {
	_, next, old := states(t)
	for _, to := range []string{"V/", "404.html"} { // what is sent, and what is not
		m := from(old)
		lists := 0
		m.Before = func(what, key string) error {
			if what != "list" || key != "" {
				return nil
			}
			if lists++; lists == 2 {
				for name := range bucketed(m) {
					if strings.HasPrefix(name, to) {
						m.Alter(name, []byte("altered"))
					}
				}
			}
			return nil
		}
		if _, err := into(t, m, next); err == nil || !strings.Contains(err.Error(), bucket.ErrChanged.Error()) {
			t.Errorf("%s: %v", to, err)
		}
		m.Before = nil
		if _, err := into(t, m, next); err != nil || !maps.Equal(bucketed(m), asFolder(t, next)) {
			t.Errorf("%s: %v", to, err)
		}
	}
}

// Old notes are removed, or stay where that is not allowed; the newest manifest always stays.
func TestOldNotes(t *testing.T) {
	dir := invented(t, 1)
	for _, denied := range []bool{false, true} {
		m := buckettest.NewMemory()
		m.Before = func(what, _ string) error {
			if what == "delete" && denied {
				return errors.New("access denied")
			}
			return nil
		}
		b := book(t, dir, "2026-05-01")
		if _, err := into(t, m, b); err != nil {
			t.Fatal(err)
		}
		for range keptGenerations + 2 {
			if s, err := into(t, m, b); err != nil || s.Written != 0 || s.Made != 0 {
				t.Fatal(s, err)
			}
		}
		for day := range keptGenerations + 2 {
			if _, err := into(t, m, book(t, dir, fmt.Sprintf("2026-05-%02d", day+2))); err != nil {
				t.Fatal(err)
			}
		}
		notes := 0
		for key := range m.Files() {
			if strings.HasPrefix(key, genFolder) {
				notes++
			}
		}
		if want := map[bool]int{false: 2 * keptGenerations, true: 2 + 4*(keptGenerations+2)}[denied]; notes != want {
			t.Errorf("denied %v: %d notes, want %d", denied, notes, want)
		}
	}
}
