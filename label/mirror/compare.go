package mirror

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"vouchmark/assess/infile"
	"vouchmark/label/bucket"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Problem is something that a comparison found, and what to do about it.
type Problem struct{ Where, What, Do string }

// Compared is what came of a comparison. The lists of problems and notes are complete up to [mostOfKind] of a kind.
type Compared struct {
	Address  string    `json:"address"`        // as messages name it
	Lines    int       `json:"lines"`          // of the mirror
	Same     int       `json:"same"`           // of them, from the first on, those that the ledger has too
	Waiting  int       `json:"waiting"`        // lines of the ledger after the mirror's last one
	Files    int       `json:"files"`          // other files that both must have, and that are the same
	Read     int       `json:"read_back"`      // lines and files that were read back; the others by the store's digests
	Since    time.Time `json:"since,omitzero"` // when the newest line was stored, by the store's clock
	Problems []Problem `json:"-"`              // an audit has them among its own
	Notes    []string  `json:"-"`
}

// Comparing says how to compare.
type Comparing struct {
	Full    bool // read every file back
	Archive bool // the folder is an archive, made some time ago: the mirror may have more
	// Pick gives a number below n, to choose what is read back; a store must not be able to foresee it.
	Pick     func(n int) int
	Progress func(done, all int)
}

const (
	mostSample = 100 // files that are read back to see whether the store's digests are true
	mostOfKind = 20  // problems of a kind
)

type comparison struct {
	*Compared
	b      bucket.Bucket
	o      Comparing
	folder fs.FS

	lines, heads map[int]bucket.Entry
	files        map[string]bucket.Entry
	ledger       *record.Ledger // up to where its chain is intact
	texts        [][]byte       // all lines, also those after that
	top          int            // the last line of the mirror, or of which it has a head
	end          int            // files and heads are compared up to this line: where they part, or one of them ends
	parted       bool
	sample       []check // what only the store's digest vouches for
	kinds        map[string]int
}

// ErrNoMirror says that there is nothing to compare with.
var ErrNoMirror = errors.New("there is no mirror at this address")

// Compare compares a mirror with a site folder, or with an archive of one: all lines and heads, and all files that
// lines name. It lists the mirror first and reads the folder then, so that what is being written now is only
// what waits.
func Compare(ctx context.Context, b bucket.Bucket, folder fs.FS, o Comparing) (*Compared, error) {
	c := &comparison{Compared: &Compared{}, b: b, o: o, folder: folder, lines: map[int]bucket.Entry{}, heads: map[int]bucket.Entry{},
		files: map[string]bucket.Entry{}, kinds: map[string]int{}}
	for _, step := range []func(context.Context) error{c.list, c.read, c.compareLines, c.compareHeads, c.compareFiles, c.readBack} {
		if err := step(ctx); err != nil {
			return nil, err
		}
	}
	for kind, n := range c.kinds {
		if n > mostOfKind {
			c.Notes = append(c.Notes, fmt.Sprintf("the mirror: %d more %s", n-mostOfKind, kind))
		}
	}
	slices.Sort(c.Notes)
	return c.Compared, nil
}

// problem adds a problem of a kind.
func (c *comparison) problem(kind, where, do, what string, args ...any) {
	if c.kinds[kind]++; c.kinds[kind] <= mostOfKind {
		c.Problems = append(c.Problems, Problem{where, fmt.Sprintf(what, args...), do})
	}
}

// inMirror names a file of the mirror.
func inMirror(key string) string { return "mirror, " + key }

// list lists everything in the mirror, in the order of the keys: heads, lines, then the files that lines name.
// Each was stored before what is listed earlier.
func (c *comparison) list(ctx context.Context) error {
	all, begun := 0, false
	for e, err := range c.b.List(ctx, "") {
		if err != nil {
			return err
		}
		all++
		n, numbered := numberOf(e.Key)
		part, _, _ := strings.Cut(e.Key, "/")
		switch part += "/"; {
		case e.Key == formatKey:
			begun = true
		case numbered && part == lines:
			c.lines[n], c.top, c.Lines = e, max(c.top, n), c.Lines+1
			if e.Modified.After(c.Since) {
				c.Since = e.Modified
			}
		case numbered && part == heads:
			c.heads[n], c.top = e, max(c.top, n)
		case part == records || part == studies || part == torn:
			c.files[e.Key] = e
		default:
			c.problem("strange files", inMirror(e.Key), "find out who put it there", "vouchmark puts no such file there")
		}
	}
	if all == 0 || !begun && c.top == 0 {
		return ErrNoMirror
	}
	if !begun {
		c.problem("format", inMirror(formatKey), "find out who removed it; vouchmark records mirror URL puts it there again", "it is missing")
		return nil
	}
	f, err := c.b.Get(ctx, formatKey, mostSmall)
	if err == nil && string(f.Data) != formatText {
		err = errors.New("a later version of vouchmark wrote the mirror, or somebody altered " + formatKey + " there")
	}
	return err
}

// read reads the folder's ledger. Its chain may be broken: that is told by an audit.
func (c *comparison) read(context.Context) error {
	data, err := infile.Read(c.folder, record.LedgerFile, record.MostLedger)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	var broken *record.LedgerError
	if c.ledger, err = record.ParseLedger(data); err != nil && !errors.As(err, &broken) {
		return err
	}
	c.texts = record.SplitLines(data)
	if l := c.ledger.Lacks; l != nil && len(c.texts) == len(c.ledger.Lines)-1 { // its hash proves the rest
		last := data[strings.LastIndexByte(string(data), '\n')+1:]
		c.texts = append(c.texts, slices.Concat(last, l))
	}
	return nil
}

// compareHeads compares the heads up to where both have the same lines.
func (c *comparison) compareHeads(ctx context.Context) error {
	var all []check
	for n, e := range c.heads {
		if n <= c.end {
			text := headText(n, c.ledger.HeadAt(n))
			all = append(all, check{entry: e, sum: sum(text), md5: md5Of(text), size: int64(len(text)), line: n})
		}
	}
	return c.verify(ctx, all, func(k *check, _ []byte) bool {
		c.problem("altered heads", inMirror(k.entry.Key), "find out who can write to the mirror",
			"it is not the head of line %d: it was altered in the mirror", k.line)
		return false
	})
}

// count is how many lines, for a sentence.
func count(n int) string { return report.Plural(n, "line") }
