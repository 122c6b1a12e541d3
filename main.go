// Command vouchmark checks a site's arc-flash study results, applies the
// owner's PPE ladder and cutoff to them, and prints warning labels, each of
// them vouched for by a stored calculation.
package main

import (
	"os"
	"time"

	"golang.org/x/term"

	"vouchmark/layout/commands"
)

func main() {
	e := &commands.Env{Stdout: commands.StandardOutput{}, Stderr: os.Stderr, Now: time.Now, Width: 100, Getenv: os.Getenv,
		OutIsTerm: term.IsTerminal(int(os.Stdout.Fd())), ErrIsTerm: term.IsTerminal(int(os.Stderr.Fd()))}
	if w, _, err := term.GetSize(int(os.Stdout.Fd())); err == nil && w >= 60 {
		e.Width = w
	}
	os.Exit(commands.Run(e, table, os.Args[1:]))
}
