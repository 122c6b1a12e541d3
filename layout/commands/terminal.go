package commands

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"vouchmark/label/record"
)

// progress shows on one line how far long work is: after a second, and then ten times a second at
// most. A nil progress shows nothing. Work on several cores may call it at the same time.
type progress struct {
	w     io.Writer
	now   func() time.Time
	begin time.Time // of the command

	sync.Mutex
	last  time.Time
	shown bool
}

const (
	patience = time.Second            // before the first line
	pause    = 100 * time.Millisecond // between two
)

// of is what long work calls with how much of all is done; what is its name, such as "drawing label".
func (p *progress) of(what string) func(done, all int) {
	if p == nil {
		return nil
	}
	return func(done, all int) {
		p.Lock()
		defer p.Unlock()
		now := p.now()
		switch {
		case done >= all:
			p.remove()
		case now.Sub(p.begin) >= patience && now.Sub(p.last) >= pause:
			fmt.Fprintf(p.w, "\r\x1b[K%s %d of %d", what, done, all)
			p.last, p.shown = now, true
		}
	}
}

// clear removes the line, before anything else is written.
func (p *progress) clear() {
	if p != nil {
		p.Lock()
		defer p.Unlock()
		p.remove()
	}
}

func (p *progress) remove() {
	if p.shown {
		fmt.Fprint(p.w, "\r\x1b[K")
		p.shown = false
	}
}

// after writes to a stream once the line that shows progress is removed.
type after struct {
	io.Writer
	progress *progress
}

func (a *after) Write(b []byte) (int, error) {
	a.progress.clear()
	return a.Writer.Write(b)
}

// StandardOutput is the program's output; a failed write counts as output that
// could not be written.
type StandardOutput struct{}

func (StandardOutput) Write(b []byte) (int, error) {
	n, err := os.Stdout.Write(b)
	if err != nil {
		err = &record.WriteError{Path: "standard output", Err: err}
	}
	return n, err
}
