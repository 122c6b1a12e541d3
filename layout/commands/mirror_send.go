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

const (
	mirrorTime   = 10 * time.Second // for which a command waits
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
	said := make(chan string, 1)
	go func() { // a disk that does not answer cannot be told to stop
		text, _ := e.sendWritten(ctx, lines)
		said <- text
	}()
	text := ""
	select {
	case text = <-said:
	case <-time.After(mirrorTime + mirrorTime/5):
		text = waits(atLeast(lines), errLate)
	}
	if text != "" {
		e.progress.clear()
		fmt.Fprintf(e.Stderr, "vouchmark: %s\n", short(text))
	}
}

var errLate = errors.New("it did not answer in time")

// wait says how many lines wait.
func wait(lines int) string {
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
	return "at least " + wait(lines)
}

func waits(what string, err error) string {
	return fmt.Sprintf("%s for the mirror: %s; vouchmark records mirror sends them", what, strings.ReplaceAll(err.Error(), "\n", "; "))
}

// sendWritten sends what waits for the mirror of the folder, if it has one, after so many lines were written. text says what a person must know; "" for
// nothing. again is true where it may come right by itself.
func (e *Env) sendWritten(ctx context.Context, lines int) (text string, again bool) {
	set, err := e.mirror()
	if err != nil {
		return waits(atLeast(lines), err), true
	}
	if set == nil {
		return "", false
	}
	s, err := e.send(ctx, set, mirror.Options{})
	var fork *mirror.ForkError
	var ahead *mirror.AheadError
	switch {
	case err == nil && len(s.Lacks) > 0:
		return fmt.Sprintf("the mirror lacks %s (%s): run vouchmark audit", report.Plural(len(s.Lacks), "file"), report.Few(s.Lacks)), false
	case err == nil:
		return "", false
	case errors.As(err, &fork), errors.As(err, &ahead):
		return fmt.Sprintf("the mirror takes nothing from this folder: %v; vouchmark audit --mirror compares them", err), true
	case ctx.Err() != nil:
		err = errLate
	}
	if s != nil && s.Found {
		return waits(wait(s.Waiting()), err), true
	}
	return waits(atLeast(lines), err), true
}

// keepMirror sends what the forms of a server write, until ctx ends. It says what a person must know once, and when
// that is over.
func (e *Env) keepMirror(ctx context.Context, say func(format string, a ...any)) {
	told, pause := "", mirrorAgain
	for {
		lines := int(e.wrote.take())
		one, cancel := context.WithTimeout(ctx, mirrorLong)
		text, again := e.sendWritten(one, lines)
		cancel()
		if again || ctx.Err() != nil {
			e.wrote.lines.Add(1) // the end of the server is one more occasion
		}
		if ctx.Err() != nil {
			return
		}
		switch {
		case text != "" && text != told:
			say("%s", text)
		case text == "" && told != "":
			say("the mirror has all lines of the ledger again")
		}
		told = text
		timer := time.NewTimer(pause)
		if !again {
			timer.Stop()
			pause = mirrorAgain
		} else {
			pause = min(2*pause, mirrorSeldom)
		}
		select {
		case <-ctx.Done():
			timer.Stop()
			return
		case <-e.wrote.more:
		case <-timer.C:
		}
		timer.Stop()
	}
}
