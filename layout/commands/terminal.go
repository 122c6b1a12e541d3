package commands

import (
	"fmt"
	"io"
	"os"
	"time"

	"vouchmark/label/record"
)

// progress shows on one line how far long work is: after a second, and then ten times a second at
// most. A nil progress shows nothing.
type progress struct {
	w           io.Writer
	now         func() time.Time
	begin, last time.Time
	shown       bool
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
	p.begin = p.now()
	return func(done, all int) {
		now := p.now()
		switch {
		case done >= all:
			p.clear()
		case now.Sub(p.begin) >= patience && now.Sub(p.last) >= pause:
			fmt.Fprintf(p.w, "\r\x1b[K%s %d of %d", what, done, all)
			p.last, p.shown = now, true
		}
	}
}

// clear removes the line.
func (p *progress) clear() {
	if p != nil && p.shown {
		fmt.Fprint(p.w, "\r\x1b[K")
		p.shown = false
	}
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
