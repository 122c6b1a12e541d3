package mirror

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"sort"

	"vouchmark/assess"
	"vouchmark/label/bucket"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// ForkError says that a mirror and a ledger have another line at a number.
type ForkError struct {
	Line           int    // the first one
	Mirror, Ledger string // what the lines are, in words
}

func (e *ForkError) Error() string {
	return fmt.Sprintf("line %d of the mirror differs from that of the ledger (mirror: %s; ledger: %s): the mirror is that of another "+
		"plant, two copies of this folder were written, or its ledger was rewritten", e.Line, e.Mirror, e.Ledger)
}

// AheadError says that a mirror has lines that follow those of a ledger.
type AheadError struct {
	Ledger, Mirror int    // lines
	Next           string // what the first of them is, in words
}

func (e *AheadError) Error() string {
	has := fmt.Sprintf("only the first %d of them", e.Ledger)
	if e.Ledger == 0 {
		has = "none of them"
	}
	return fmt.Sprintf("the mirror has %s, and the ledger has %s (the next: %s): the newest lines of the ledger were removed, "+
		"or another copy of this folder was written", report.Plural(e.Mirror, "line"), has, e.Next)
}

// parted says why the mirror's head of a line is not that of the ledger.
func (s *sender) parted(ctx context.Context, n int) error {
	own := min(n, len(s.texts))
	var failed error
	k := 1 + sort.Search(own, func(i int) bool { // lines of two chains that part never meet again
		if failed != nil {
			return true
		}
		f, err := s.b.Get(ctx, lineKey(i+1), record.MostLine)
		if err != nil {
			failed = ofLine(i+1, err)
		}
		return !bytes.Equal(f.Data, s.texts[i])
	})
	switch {
	case failed != nil:
		return failed
	case k <= own:
		return s.fork(ctx, k)
	case n == own:
		return fmt.Errorf("%s of the mirror is not the head of its lines: it was altered there", headKey(n))
	}
	f, err := s.b.Get(ctx, lineKey(own+1), record.MostLine)
	if err != nil {
		return ofLine(own+1, err)
	}
	return &AheadError{Ledger: own, Mirror: n, Next: words(f.Data)}
}

// ofLine names the line of the mirror that an error is about.
func ofLine(n int, err error) error {
	if errors.Is(err, bucket.ErrMissing) {
		return fmt.Errorf("line %d of the mirror is missing: it was removed there", n)
	}
	return fmt.Errorf("line %d of the mirror: %w", n, err)
}

// fork is the error for a line at which they part.
func (s *sender) fork(ctx context.Context, n int) error {
	f, err := s.b.Get(ctx, lineKey(n), record.MostLine)
	if err != nil && !errors.Is(err, bucket.ErrDamaged) {
		return ofLine(n, err)
	}
	return &ForkError{Line: n, Mirror: words(f.Data), Ledger: words(s.texts[n-1])}
}

var kindForm = regexp.MustCompile(`^[a-z]{1,20}$`)

// words say what a line is: its kind and its day. Nothing else of it is read, whoever wrote it.
func words(text []byte) string {
	var l struct {
		Kind string      `json:"kind"`
		Date assess.Date `json:"date"`
	}
	if json.Unmarshal(text, &l) != nil || !kindForm.MatchString(l.Kind) {
		return "not a line of a ledger"
	}
	return fmt.Sprintf("%s, %s", l.Kind, l.Date)
}
