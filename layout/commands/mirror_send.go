package commands

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync/atomic"
	"time"

	"vouchmark/label/mirror"
	"vouchmark/label/report"
)

// What a command wrote is in the folder first. Then it is sent to the mirror, for a short time: whatever happens
// there, the command has done its work, and what waits is sent with the next one.

// mirrorTime is how long a command waits; tests lower it.
var mirrorTime = 10 * time.Second

const (
	mirrorAgain  = time.Minute      // after which a server tries again, then twice as long,
	mirrorSeldom = time.Hour        // up to this
	mirrorLong   = 10 * time.Minute // for which a server tries at most
)

// wrote counts the lines that were added to the ledger and not yet sent. Nil counts nothing.
type wrote struct {
	lines atomic.Int64
	more  chan struct{} // a server waits for it
}

func (w *wrote) add(lines int) {
	w.lines.Add(int64(lines))
	select {
	case w.more <- struct{}{}:
	default: // nobody waits, or it is told already
	}
}

func (w *wrote) take() int64 { return w.lines.Swap(0) }

// mirrored sends what a command wrote, and says on stderr what waits.
func (e *Env) mirrored() {
	lines := int(e.wrote.take())
	if lines == 0 {
		return
	}
	ctx, cancel := context.WithTimeout(context.Background(), mirrorTime)
	defer cancel()
	came := make(chan unsent, 1)
	go func() { came <- e.sendWritten(ctx, lines) }() // a disk that does not answer cannot be told to stop
	var u unsent
	select {
	case u = <-came:
	case <-time.After(mirrorTime + mirrorTime/5):
		u = waits(atLeast(lines), errLate)
	}
	if u.text != "" {
		e.progress.clear()
		fmt.Fprintf(e.Stderr, "vouchmark: %s\n", short(u.text))
	}
}

// unsent is what a person must know after a sending; zero where the mirror has everything, or there is none.
type unsent struct {
	text string
	why  string // the same as long as the cause is
	wait bool   // something waits that may be sent later
}

var errLate = errors.New("it did not answer in time")

func waits(what string, err error) unsent {
	why := strings.ReplaceAll(err.Error(), "\n", "; ")
	return unsent{fmt.Sprintf("%s for the mirror: %s; vouchmark records mirror sends them", what, why), why, true}
}

// waiting says how many lines wait.
func waiting(lines int) string {
	if lines == 1 {
		return "1 ledger line waits"
	}
	return report.Plural(lines, "ledger line") + " wait"
}

// atLeast is that where only the lines written now are known.
func atLeast(lines int) string {
	if lines == 0 {
		return "ledger lines may wait"
	}
	return "at least " + waiting(lines)
}

// sendWritten sends what waits for the mirror of the folder, if it has one, after so many lines were written.
func (e *Env) sendWritten(ctx context.Context, lines int) unsent {
	set, err := e.mirror()
	if err != nil {
		return unsent{atLeast(lines) + " for the mirror: mirror.toml cannot be read; vouchmark records mirror says why", "mirror.toml", true}
	}
	if set == nil {
		return unsent{}
	}
	s, err := e.send(ctx, set, mirror.Options{})
	var fork *mirror.ForkError
	var ahead *mirror.AheadError
	switch {
	case err == nil && len(s.Lacks) > 0:
		lacks := report.Few(s.Lacks)
		return unsent{fmt.Sprintf("the mirror lacks %s (%s): run vouchmark audit", report.Plural(len(s.Lacks), "file"), lacks), lacks, false}
	case err == nil:
		return unsent{}
	case errors.As(err, &fork), errors.As(err, &ahead):
		return unsent{fmt.Sprintf("the mirror takes nothing from this folder: %v; vouchmark audit --mirror compares them", err), err.Error(), true}
	case ctx.Err() != nil:
		err = errLate
	}
	if s != nil && s.Found {
		return waits(waiting(s.Waiting()), err)
	}
	return waits(atLeast(lines), err)
}

// keepMirror sends what the forms of a server write, until ctx ends. It says what a person must know once, and when
// that is over.
func (e *Env) keepMirror(ctx context.Context, say func(format string, a ...any)) {
	told, pause := "", mirrorAgain
	for {
		lines := e.wrote.take()
		one, cancel := context.WithTimeout(ctx, mirrorLong)
		u := e.sendWritten(one, int(lines))
		cancel()
		if u.wait {
			e.wrote.lines.Add(lines) // the end of the server is one more occasion
		}
		if ctx.Err() != nil {
			return
		}
		switch {
		case u.text != "" && u.why != told:
			say("%s", u.text)
		case u.text == "" && told != "":
			say("the mirror has all lines of the ledger again")
		}
		told = u.why
		var later <-chan time.Time
		if u.wait {
			later, pause = time.After(pause), min(2*pause, mirrorSeldom)
		} else {
			pause = mirrorAgain
		}
		select {
		case <-ctx.Done():
			return
		case <-e.wrote.more:
		case <-later:
		}
	}
}
