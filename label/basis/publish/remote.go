package publish

import (
	"bytes"
	"cmp"
	"context"
	"crypto/md5"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"vouchmark/label/basis/page"
	"vouchmark/label/bucket"
	"vouchmark/label/record"
)

// Store is a bucket into which pages are published.
type Store struct {
	Bucket bucket.Bucket
	Name   string            // its address without settings, for messages
	Layout string            // the layout that was asked for; "" for that of the pages there, or Index
	Say    func(line string) // tells a person why it takes longer; nil for nobody
}

// Traffic is what a publishing into a bucket cost, and what it found there.
type Traffic struct {
	Layout   string `json:"layout"`
	Requests int64  `json:"requests"`
	Bytes    int64  `json:"bytes_sent"` // of files and notes
	// Altered files were as they must be when they were published last, and had been altered or removed since.
	Altered int `json:"altered"`
}

// uploads is how many files are sent at a time.
const uploads = 16

// Publish is [Write] for a bucket. Where another publisher is at work it waits, and reads the site after that.
// When ctx ends it sends nothing more and fails; a request that is on its way is waited for.
func Publish(ctx context.Context, to *Store, read func() (*page.Book, error), progress func(done, all int)) (*Summary, error) {
	for {
		r, err := approach(ctx, to)
		if err != nil {
			return nil, err
		}
		s, err := publish(r, to.Name, read, progress)
		if errors.Is(err, errAgain) {
			continue
		}
		if err == nil {
			s.Traffic = &Traffic{r.named, to.Bucket.Requests(), r.bytes.Load(), r.altered}
		}
		return s, err
	}
}

var (
	errAgain   = errors.New("another publisher began at the same moment")
	errStopped = errors.New("stopped before everything was written")
	errLate    = errors.New("the store did not answer in time")
)

// remote is the pages in a bucket.
type remote struct {
	*Store
	ctx    context.Context
	named  string // the layout
	layout *layout
	heads  map[string]string // today's content types and cache lifetimes
	past   past
	turn   *turn // from the first begin on

	there map[string]bucket.Entry // files by key, as they were listed when the turn began
	names []string                // of these, in order
	last  *mark                   // of end

	mu      sync.Mutex // held while the following are used
	pages   map[string]placed
	sent    map[string][]byte // MD5 of what was sent, by name
	altered int
	broken  error // the first error; nothing is sent after it

	bytes  atomic.Int64
	unsure atomic.Bool // a request had no answer: it may be carried out later
}

// wrong is an error about a key below the prefix.
func (r *remote) wrong(key string, err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, errAgain), errors.Is(err, errOvertaken):
		return err
	case r.ctx.Err() != nil:
		err = errStopped
	case errors.Is(err, context.DeadlineExceeded):
		err = errLate
	}
	return &record.WriteError{Path: r.Name + key, Err: err}
}

func (r *remote) check(m *mark) (damaged []string, err error) {
	for _, old := range r.past.marks {
		if err := m.follows(old, r.Name, "prefix"); err != nil {
			return nil, err
		}
	}
	return r.past.damaged, nil
}

func (r *remote) begin(m *mark) ([]page.File, error) {
	m.Layout = r.named
	if r.turn != nil { // a later state
		return nil, r.wrong(genFolder, r.turn.renew(context.WithoutCancel(r.ctx), m))
	}
	t, err := r.claim(m)
	if err != nil {
		return nil, r.wrong(genFolder, err)
	}
	r.turn = t
	if r.there, err = r.list(); err != nil {
		return nil, r.wrong("", err)
	}
	for key := range r.there {
		if name, ok := r.layout.name(key); ok {
			r.names = append(r.names, name)
		}
	}
	slices.Sort(r.names)
	return nil, nil
}

// list is all files below the prefix. It fails if another publisher took over.
func (r *remote) list() (map[string]bucket.Entry, error) {
	all, newest := map[string]bucket.Entry{}, ""
	for e, err := range r.each("") {
		switch {
		case err != nil:
			return nil, err
		case !strings.HasPrefix(e.Key, genFolder):
			all[e.Key] = e
		case newest == "":
			newest = e.Key
		}
	}
	return all, r.turn.newest(newest)
}

func (r *remote) kept(p *page.Page, data string) (m made, size int64, ok bool) {
	old, there := r.past.page(p.Name), r.there[r.layout.key(p.Name)]
	if program() == "" || r.past.program != program() || old.Data != data || old.Tag == "" || old.Tag != there.Tag || !r.headed(p.Name, p.Fixed) {
		return made{}, 0, false
	}
	r.note(p.Name, old)
	return old.made, there.Size, true
}

func (r *remote) note(name string, n placed) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.pages[name] = n
}

// headed reports whether what is in the bucket was sent with the content type and cache lifetime that it would be
// sent with now.
func (r *remote) headed(name string, fixed bool) bool {
	now, kind, cache := r.heads, path.Ext(name), page.OtherCache
	if now[kind] == "" {
		kind = ""
	}
	if fixed {
		cache = page.FixedCache
	}
	return len(r.past.heads) > 0 && !slices.ContainsFunc(r.past.heads, func(was map[string]string) bool {
		return was[kind] != now[kind] || was[cache] != now[cache]
	})
}

func (r *remote) put(f *file) (size int64, changed bool, err error) {
	key := r.layout.key(f.name)
	data, err := r.layout.bytes(f.name, f.data)
	if err != nil {
		return 0, false, r.wrong(key, err)
	}
	sum, digest := md5.Sum(data), sha256.Sum256(data)
	n := placed{made: made{f.page, hex.EncodeToString(digest[:])}}
	there, exists := r.there[key]
	old, size := r.past.page(f.name), int64(len(data))
	same := old.SHA256 == n.SHA256 && old.Tag == there.Tag
	if exists && (same || bytes.Equal(there.MD5, sum[:])) && r.headed(f.name, f.fixed) {
		n.Tag = there.Tag
		r.note(f.name, n)
		return size, false, nil
	}
	err = r.send(key, data, bucket.How{Type: page.TypeOf(f.name), Cache: page.CacheOf(f.fixed), Digest: n.SHA256, New: !exists, Was: there.Tag})
	if err != nil {
		return 0, false, err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.pages[f.name], r.sent[f.name] = n, sum[:]
	if r.past.quiet && old.SHA256 == n.SHA256 && !same {
		r.altered++
	}
	return size, true, nil
}

// send writes a file, while the turn lasts and nothing failed yet. Its error names the file.
func (r *remote) send(key string, data []byte, how bucket.How) error {
	r.mu.Lock()
	err := r.broken
	r.mu.Unlock()
	if err != nil {
		return err
	}
	if err = r.turn.write(context.WithoutCancel(r.ctx), key, data, how); err == nil {
		return nil
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.broken = cmp.Or(r.broken, r.wrong(key, err))
	return r.broken
}

func (r *remote) flush() error { return nil } // a store answers when a file lasts

func (r *remote) atOnce() int { return uploads }

func (r *remote) stored(name string) string { return name }

func (r *remote) below(folder string) (all []entry, err error) {
	folder += "/"
	first, _ := slices.BinarySearch(r.names, folder)
	for _, name := range r.names[first:] {
		rest, in := strings.CutPrefix(name, folder)
		if !in {
			break
		}
		e := entry{name: rest}
		e.name, _, e.dir = strings.Cut(rest, "/")
		if len(all) == 0 || all[len(all)-1] != e {
			all = append(all, e)
		}
	}
	return all, nil
}

// end gives site.json, which is read from afar: so it does not have the list of files.
func (r *remote) end(m *mark, _ map[string]made) ([]page.File, error) {
	short := *m
	short.Layout, short.Program = r.named, ""
	r.last = &short
	return short.file(markFile)
}

// done checks what was sent, and notes all pages as the store has them.
func (r *remote) done() error {
	if len(r.sent) > 0 {
		if err := r.verify(); err != nil {
			return err
		}
	}
	text := &manifest{mark: *r.last, Generation: r.turn.number, Heads: r.heads, Placed: r.pages}
	text.Names, text.Summary, text.Program = "", nil, program()
	if len(r.sent) == 0 && r.past.same(text) {
		return r.turn.same()
	}
	data, err := text.bytes()
	if err != nil {
		return err
	}
	if err := r.send(r.turn.key(donePart), data, noteHow(true)); err != nil {
		return err
	}
	r.turn.ended = true
	r.tidy()
	return nil
}

// verify lists all files again: those that were sent must be there with their bytes, the others as they were. It
// notes the tags that the store gave them.
func (r *remote) verify() error {
	now, err := r.list()
	if err != nil {
		return r.wrong("", err)
	}
	var asked []string // whose tag is not the MD5 of the bytes
	for name, n := range r.pages {
		key := r.layout.key(name)
		sum, sent := r.sent[name]
		switch there := now[key]; {
		case !sent && there.Tag != n.Tag, there.Tag == "":
			return r.wrong(key, bucket.ErrChanged)
		case sent && !bytes.Equal(there.MD5, sum):
			asked = append(asked, name)
		default:
			n.Tag = there.Tag
			r.pages[name] = n
		}
	}
	slices.Sort(asked)
	return eachOf(uploads, len(asked), func(i int) error {
		name := asked[i]
		key := r.layout.key(name)
		file, err := r.get(key, now[key].Size)
		if err != nil {
			return r.wrong(key, err)
		}
		r.mu.Lock()
		defer r.mu.Unlock()
		n, digest := r.pages[name], sha256.Sum256(file.Data)
		if n.Tag = now[key].Tag; file.Tag != n.Tag || hex.EncodeToString(digest[:]) != n.SHA256 {
			return r.wrong(key, bucket.ErrChanged)
		}
		r.pages[name] = n
		return nil
	}, nil)
}

// tidy removes the notes of old generations, as far as that is allowed.
func (r *remote) tidy() {
	for _, g := range r.past.generations {
		if g.number > r.turn.number-keptGenerations || g.number == r.past.generation {
			continue
		}
		for _, part := range slices.Sorted(maps.Keys(g.parts)) {
			if r.Bucket.Delete(r.ctx, g.parts[part].Key) != nil {
				return
			}
		}
	}
}

func (r *remote) leave() {
	if r.turn != nil {
		r.turn.leave()
	}
}
