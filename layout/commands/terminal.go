package commands

import (
	"fmt"
	"os"

	"vouchmark/label/record"
)

// ShowProgress counts labels on one line, and clears it at the end.
func ShowProgress(done, all int) {
	const few = 100 // they are drawn before a person has read the line
	switch {
	case all < few:
	case done == all:
		fmt.Fprint(os.Stderr, "\r\033[K")
	case done%10 == 0:
		fmt.Fprintf(os.Stderr, "\rdrawing label %d of %d", done, all)
	}
}

// StandardOutput is the program's output; what it does not take is an output
// that could not be written.
type StandardOutput struct{}

func (StandardOutput) Write(b []byte) (int, error) {
	n, err := os.Stdout.Write(b)
	if err != nil {
		err = &record.WriteError{Path: "standard output", Err: err}
	}
	return n, err
}
