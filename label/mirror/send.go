package mirror

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"time"

	"vouchmark/label/bucket"
	"vouchmark/label/record"
)

const (
	workers  = 16   // files that are sent at once; lines go one by one
	perHead  = 100  // lines after which a long sending writes a head, to resume from there
	perBatch = 1000 // files after which it does
	listFrom = 64   // files from which on the mirror is asked once which it has
)

// Source is what a site folder has.
type Source struct {
	Folder fs.FS
	Ledger *record.Ledger
	Text   []byte // of the ledger's file
}

// Options say how to send.
type Options struct {
	Until    time.Time           // the store lets nobody change or remove what is sent until then; zero for no lock
	Begin    bool                // begin a mirror where there is none
	All      bool                // send again what the mirror lost, not only what follows its last head
	Progress func(done, all int) // of sending lines; nil for nobody
}

// State is what a mirror has after a sending.
type State struct {
	Lines int       // of the ledger
	There int       // of them in the mirror: it has all up to this one
	Head  string    // the hash of that line; "" for none
	Since time.Time // when the head was stored, by the store's clock; zero where nothing is there, or it was not asked again
	Sent  int       // lines sent now
	Files int       // other files sent now
	Again int       // of both, those that it had lost
	Lacks []string  // files that the ledger names and that could not be sent, with the reason
	Found bool      // the mirror was asked what it has
}

// Waiting is how many lines the mirror does not have.
func (s *State) Waiting() int { return s.Lines - s.There }

type sender struct {
	b bucket.Bucket
	Source
	o     Options
	texts [][]byte // complete lines
	most  int      // how many of them can be sent
	there map[string]bool
	need  map[string]int // see needed; nil before the first question

	mu sync.Mutex
	*State
}

// Send sends what a mirror does not have yet. After an error the state says how far it came, and the next call
// goes on from there. A *ForkError or *AheadError says that the mirror is not that of this ledger: then nothing
// was sent that the ledger has differently.
func Send(ctx context.Context, b bucket.Bucket, src Source, o Options) (*State, error) {
	s := &sender{b: b, Source: src, o: o, State: &State{Lines: len(src.Ledger.Lines)}}
	s.texts = record.SplitLines(src.Text)
	s.texts = s.texts[:min(len(s.texts), s.Lines)]
	s.most = len(s.texts)
	if s.most == s.Lines && src.Ledger.AtWork() { // what it announces may not be there yet
		s.most--
	}
	err := s.find(ctx)
	if err == nil && o.All {
		err = s.again(ctx)
	}
	for err == nil && s.There < s.most {
		err = s.batch(ctx)
	}
	if err == nil && o.All && s.Sent > 0 {
		var newest []bucket.Entry
		if newest, err = b.First(ctx, heads, 1); len(newest) == 1 {
			s.Since = newest[0].Modified
		}
	}
	slices.Sort(s.Lacks)
	return s.State, err
}

// find finds the last head of the mirror, which must be that of the ledger's line.
func (s *sender) find(ctx context.Context) error {
	newest, err := s.b.First(ctx, heads, 1)
	if err != nil {
		return err
	}
	if len(newest) == 0 || s.o.All {
		if err := s.format(ctx, len(newest) > 0); err != nil {
			return err
		}
	}
	if len(newest) == 0 {
		s.Found = true
		return nil
	}
	n, ok := numberOf(newest[0].Key)
	if !ok {
		return fmt.Errorf("%q of the mirror was not written by vouchmark: find out who put it there", newest[0].Key)
	}
	f, err := s.b.Get(ctx, newest[0].Key, mostSmall)
	if err != nil {
		return fmt.Errorf("%s of the mirror: %w", newest[0].Key, err)
	}
	hash, err := readHead(n, f.Data)
	if err != nil {
		return err
	}
	if n > len(s.texts) || hash != s.Ledger.HeadAt(n) {
		return s.parted(ctx, n)
	}
	s.There, s.Head, s.Since, s.Found = n, hash, newest[0].Modified, true
	return nil
}

// format checks that the mirror is one, of this format, or begins it.
func (s *sender) format(ctx context.Context, begun bool) error {
	f, err := s.b.Get(ctx, formatKey, mostSmall)
	switch {
	case err == nil && string(f.Data) == formatText:
		return nil
	case err == nil:
		return errors.New("a later version of vouchmark wrote the mirror, or somebody altered " + formatKey + " there")
	case !errors.Is(err, bucket.ErrMissing):
		return err
	case begun && !s.o.Begin:
		return errors.New(formatKey + " of the mirror was removed; begin with its address again: vouchmark records mirror URL")
	case !s.o.Begin:
		return ErrNotBegun
	case !begun:
		others, err := s.b.First(ctx, "", 1)
		if err != nil {
			return err
		}
		if len(others) > 0 {
			return fmt.Errorf("there are other files at this address, such as %q; use one of its own, such as another prefix", others[0].Key)
		}
	}
	return s.put(ctx, formatKey, []byte(formatText))
}

func (s *sender) put(ctx context.Context, key string, data []byte) error {
	how := bucket.How{Type: "application/json", Digest: sum(data), New: true, Until: s.o.Until}
	if strings.HasPrefix(key, studies) || strings.HasPrefix(key, torn) {
		how.Type = "application/octet-stream"
	}
	_, err := s.b.Put(ctx, key, data, how)
	if !errors.Is(err, bucket.ErrChanged) {
		return err
	}
	switch f, e := s.b.Get(ctx, key, record.MostStudy); { // what is said of it must be sure
	case errors.Is(e, bucket.ErrDamaged):
	case e != nil:
		return fmt.Errorf("%s of the mirror: %w", key, e)
	case bytes.Equal(f.Data, data):
		return nil
	}
	return errDiffers
}

// errDiffers says that the mirror has a file with other bytes.
var errDiffers = errors.New("the mirror has other bytes there: it was altered in the mirror")

// batch sends some lines: first the files that they name, then the lines in their order, then a head.
func (s *sender) batch(ctx context.Context) error {
	var files []named
	end := s.There
	for end < s.most && end-s.There < perHead && len(files) < perBatch {
		end++
		files = append(files, namedBy(&s.Ledger.Lines[end-1], end)...)
	}
	if s.there == nil && len(files) >= listFrom {
		if err := s.list(ctx); err != nil {
			return err
		}
	}
	if err := s.files(ctx, files); err != nil {
		return err
	}
	for n := s.There + 1; n <= end; n++ {
		if err := s.line(ctx, n); err != nil {
			return err
		}
	}
	hash := s.Ledger.HeadAt(end)
	if err := s.put(ctx, headKey(end), headText(end, hash)); err != nil {
		return fmt.Errorf("%s: %w", headKey(end), err)
	}
	s.There, s.Head = end, hash
	if s.o.Progress != nil {
		s.o.Progress(end, s.most)
	}
	return nil
}

// line sends a line. Another one at its number is where the ledger and the mirror part.
func (s *sender) line(ctx context.Context, n int) error {
	err := s.put(ctx, lineKey(n), s.texts[n-1])
	if errors.Is(err, errDiffers) {
		return s.fork(ctx, n)
	}
	if err == nil {
		s.Sent++
	}
	return err
}

// list asks which of the files the mirror has.
func (s *sender) list(ctx context.Context) error {
	there := map[string]bool{}
	for _, part := range []string{records, studies, torn} {
		for e, err := range s.b.List(ctx, part) {
			if err != nil {
				return err
			}
			there[e.Key] = true
		}
	}
	s.there = there
	return nil
}

// files sends files, several at once, up to the first error.
func (s *sender) files(ctx context.Context, all []named) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	next := make(chan *named)
	var work sync.WaitGroup
	for range min(workers, len(all)) {
		work.Go(func() {
			for n := range next {
				if err := s.file(ctx, n); err != nil {
					stop(err)
				}
			}
		})
	}
	sent := map[string]bool{} // a record of several prints is one file
	for i := range all {
		if key := all[i].key; !s.there[key] && !sent[key] && ctx.Err() == nil {
			sent[key] = true
			next <- &all[i]
		}
	}
	close(next)
	work.Wait()
	return context.Cause(ctx)
}

// file sends a file. One that the folder lacks, or that is damaged there or in the mirror,
// keeps no line from being sent.
func (s *sender) file(ctx context.Context, n *named) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	data, err := n.read(s.Folder)
	if err == nil {
		if err = s.put(ctx, n.key, data); err == nil {
			s.mu.Lock()
			s.Files++
			s.mu.Unlock()
		}
		if !errors.Is(err, errDiffers) {
			return err
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if errors.Is(err, fs.ErrNotExist) {
		if s.need == nil {
			s.need = needed(s.Ledger)
		}
		if strings.HasPrefix(n.key, records) && s.need[n.sum] == 0 {
			return nil // its print failed or was interrupted
		}
		err = errors.New("it is missing")
	}
	s.Lacks = append(s.Lacks, n.path+": "+err.Error())
	return nil
}
