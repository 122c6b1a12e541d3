package commands

import (
	"fmt"
	"io"
	"os"
	"strings"

	"vouchmark/label/record"
	"vouchmark/label/report"
)

// ShowProgress counts labels on one line, and clears the line at the end.
func ShowProgress(done, all int) {
	const few = 100 // few labels are drawn before anyone could read the line
	switch {
	case all < few:
	case done == all:
		fmt.Fprint(os.Stderr, "\r\033[K")
	case done%10 == 0:
		fmt.Fprintf(os.Stderr, "\rdrawing label %d of %d", done, all)
	}
}

// plain writes lines of text without anything that a terminal acts on: whatever
// they quote, no character moves the cursor, hides others or reverses them.
type plain struct{ io.Writer }

func (p plain) Write(b []byte) (int, error) {
	lines := strings.Split(string(b), "\n")
	for i := range lines {
		lines[i] = report.Printable(lines[i])
	}
	if _, err := io.WriteString(p.Writer, strings.Join(lines, "\n")); err != nil {
		return 0, err
	}
	return len(b), nil
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
