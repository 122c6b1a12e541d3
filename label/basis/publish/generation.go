package publish

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"iter"
	"maps"
	"strconv"
	"strings"
	"time"

	"vouchmark/label/basis/page"
	"vouchmark/label/bucket"
)

// What is noted in a bucket about its pages, in numbered generations: one for each publishing.
//
//	gen/NUMBER.begin    it began: which state the pages will show, and who may write until when (turn.go)
//	gen/NUMBER.alive.…  the same, again
//	gen/NUMBER.done     it is finished: all pages (manifest.go)
//	gen/NUMBER.left     it ended before that, and nobody needs to wait for it
//	gen/NUMBER.same     it ended, and nothing was to be written
//	gen/NUMBER.asks.…   somebody waits for it, and had to know the store's time
//
// NUMBER is counted down, so that the newest is the first in a list. No note is ever written twice.
const (
	genFolder = "gen/"
	countFrom = 9999999999

	beginPart = "begin"
	alivePart = "alive."
	donePart  = "done"
	leftPart  = "left"
	samePart  = "same"
	asksPart  = "asks."

	keptGenerations = 10
)

// generation is the notes of one publishing.
type generation struct {
	number int64
	parts  map[string]bucket.Entry
}

func genKey(number int64, part string) string {
	return fmt.Sprintf("%s%010d.%s", genFolder, countFrom-number, part)
}

// genOf is the opposite of genKey.
func genOf(key string) (number int64, part string, ok bool) {
	digits, part, dot := strings.Cut(strings.TrimPrefix(key, genFolder), ".")
	n, err := strconv.ParseInt(digits, 10, 64)
	number = countFrom - n
	return number, part, dot && err == nil && number > 0 && genKey(number, part) == key
}

// latest is the last note of the state that the pages of a generation show.
func (g *generation) latest() (e bucket.Entry, ok bool) {
	last := ""
	for part := range g.parts {
		if strings.HasPrefix(part, alivePart) {
			last = max(last, part)
		}
	}
	e, ok = g.parts[cmp.Or(last, beginPart)]
	return e, ok
}

// open reports whether a publisher may still be at work.
func (g *generation) open() bool {
	for _, part := range []string{donePart, leftPart, samePart} {
		if _, over := g.parts[part]; over {
			return false
		}
	}
	_, begun := g.latest()
	return begun
}

// generations are those in the bucket, the newest first.
func (r *remote) generations() (all []generation, err error) {
	for e, err := range r.each(genFolder) {
		if err != nil {
			return nil, err
		}
		number, part, ok := genOf(e.Key)
		if !ok {
			continue
		}
		if len(all) == 0 || all[len(all)-1].number != number {
			all = append(all, generation{number, map[string]bucket.Entry{}})
		}
		all[len(all)-1].parts[part] = e
	}
	return all, nil
}

// silence is how long a store may take for an answer to what only reads.
const silence = time.Minute

// each lists the files whose keys begin with a prefix.
func (r *remote) each(prefix string) iter.Seq2[bucket.Entry, error] {
	return func(yield func(bucket.Entry, error) bool) {
		ctx, cancel := context.WithCancel(r.ctx)
		defer cancel()
		late := time.AfterFunc(silence, cancel)
		defer late.Stop()
		for e, err := range r.Bucket.List(ctx, prefix) {
			if late.Reset(silence); err != nil && ctx.Err() != nil && r.ctx.Err() == nil {
				err = errLate
			}
			if !yield(e, err) || err != nil {
				return
			}
		}
	}
}

func (r *remote) get(key string, most int64) (bucket.File, error) {
	ctx, cancel := context.WithTimeout(r.ctx, silence)
	defer cancel()
	return r.Bucket.Get(ctx, key, most)
}

// past is what is known of earlier publishings.
type past struct {
	generations []generation
	marks       []*mark             // states that the pages may show
	damaged     []string            // notes that cannot be read, if another can
	heads       []map[string]string // types and lifetimes with which pages may have been sent
	quiet       bool                // nothing was sent after the manifest

	// Of the newest manifest that can be read.
	generation int64
	program    string
	text       *manifest // nil for none
}

// page is what is known of a page; the zero value for nothing.
func (p *past) page(name string) placed {
	if p.text == nil {
		return placed{}
	}
	return p.text.Placed[name]
}

// same reports whether a manifest says nothing new.
func (p *past) same(m *manifest) bool {
	return p.text != nil && p.quiet && len(p.damaged) == 0 && p.text.Program == m.Program && m.Program != "" &&
		maps.Equal(p.text.Heads, m.Heads) && maps.Equal(p.text.Placed, m.Placed)
}

// approach waits until nobody publishes, and reads what is known of the pages.
func approach(ctx context.Context, to *Store) (*remote, error) {
	r := &remote{Store: to, ctx: ctx, pages: map[string]placed{}, sent: map[string][]byte{}, heads: page.Heads()}
	all, err := r.await()
	if err != nil {
		return nil, r.wrong(genFolder, err)
	}
	if err := r.recall(all); err != nil {
		return nil, err
	}
	layout := ""
	for _, m := range r.past.marks {
		if layout = m.Layout; layout != "" {
			break
		}
	}
	if r.named, err = choose(to.Name, layout, to.Layout); err != nil {
		return nil, err
	}
	r.layout = layouts[r.named]
	return r, nil
}

// recall reads notes, the newest first, as far as the newest manifest that can be read.
func (r *remote) recall(all []generation) error {
	p := &r.past
	p.generations, p.quiet = all, true
	for i := range all {
		g := &all[i]
		if _, same := g.parts[samePart]; same {
			continue
		}
		if e, finished := g.parts[donePart]; finished {
			m, err := r.manifest(e)
			if err == nil {
				p.text, p.generation, p.program = m, g.number, m.Program
				p.marks, p.heads = append(p.marks, &m.mark), append(p.heads, m.Heads)
				return nil
			}
			if !errors.Is(err, errDamaged) {
				return r.wrong(e.Key, err)
			}
			p.damaged, p.quiet = append(p.damaged, e.Key), false
		}
		e, begun := g.latest()
		if !begun {
			continue
		}
		p.quiet = false
		n, err := r.beginning(e)
		switch {
		case err == nil:
			p.marks, p.heads = append(p.marks, &n.mark), append(p.heads, n.Heads)
		case errors.Is(err, errDamaged):
			p.damaged = append(p.damaged, e.Key)
		default:
			return r.wrong(e.Key, err)
		}
	}
	p.quiet = false
	if len(p.marks) == 0 {
		return r.unnoted()
	}
	return nil
}

// unnoted is about a bucket without notes. It is new if it is empty; else its site.json must say which state the
// pages show.
func (r *remote) unnoted() error {
	such := ""
	for e, err := range r.each("") {
		if err != nil {
			return r.wrong("", err)
		}
		if such = e.Key; !strings.HasPrefix(such, genFolder) {
			break
		}
	}
	if such == "" {
		return nil
	}
	m, foreign, missing, err := r.site()
	if err != nil {
		return r.wrong(markFile, err)
	}
	start, err := r.Bucket.First(r.ctx, indexFile, 1)
	if err != nil {
		return r.wrong(indexFile, err)
	}
	begun := strings.HasPrefix(such, genFolder) || len(start) > 0 && start[0].Key == indexFile
	switch {
	case m != nil:
		r.past.marks, r.past.damaged = []*mark{m}, append(r.past.damaged, genFolder)
		return nil
	case foreign:
		return fmt.Errorf("%s has a %s that vouchmark did not write; choose a new prefix", r.Name, markFile)
	case !missing || begun:
		return fmt.Errorf("%s has neither readable notes (%s) nor a readable %s, which say what state of the site its pages show, so "+
			"an older copy of the site could replace newer pages; publish from the newest site folder into a new prefix, and lead the "+
			"link in site.toml there", r.Name, genFolder, markFile)
	}
	return fmt.Errorf("%s holds other files, such as %s; choose a new prefix or an empty one", r.Name, such)
}

const indexFile = "index.html"

// beginning is the note of a state.
type beginning struct {
	mark
	ID    string            `json:"id"` // of the publisher
	Heads map[string]string `json:"heads"`
}

func newBeginning(m *mark, id string) *beginning {
	return &beginning{mark: *m, ID: id, Heads: page.Heads()}
}
