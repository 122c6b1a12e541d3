// Command vouchmark checks a site's arc-flash study results, applies the
// owner's PPE ladder and cutoff to them, and prints warning labels, each of
// them vouched for by a stored calculation.
package main

import (
	"os"
	"strconv"
	"time"

	"golang.org/x/term"

	"vouchmark/layout/commands"
)

func main() {
	e := &commands.Env{Stdout: commands.StandardOutput{}, Stderr: os.Stderr, Now: time.Now, Width: width(), Getenv: os.Getenv,
		OutIsTerm: term.IsTerminal(int(os.Stdout.Fd())), ErrIsTerm: term.IsTerminal(int(os.Stderr.Fd()))}
	os.Exit(commands.Run(e, table, os.Args[1:]))
}

// width is the number of columns to fill: those of the terminal, also where a pager
// reads the output, or those of $COLUMNS; else 80.
func width() int {
	for _, f := range []*os.File{os.Stdout, os.Stderr} {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
			return max(60, w)
		}
	}
	if w, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && w > 0 {
		return max(60, w)
	}
	return 80
}
