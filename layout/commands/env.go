package commands

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os/user"
	"strings"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/near"
	"vouchmark/assess/site"
	"vouchmark/label/logbook"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Env is what the program sees of the world; tests fill in their own.
type Env struct {
	Stdout, Stderr       io.Writer
	Now                  func() time.Time
	Width                int                    // of the terminal
	OutIsTerm, ErrIsTerm bool                   // Stdout and Stderr are terminals
	Stdin                io.Reader              // nil for nothing
	Secret               func() (string, error) // reads a line that is typed on a terminal without showing it; nil where Stdin is none
	Getenv               func(string) string    // nil for an empty environment
	table                []Command
	args                 []string  // of the call
	progress             *progress // shows long work; nil where Stderr is not a terminal
	color                when      // set by the flags of a call
	json                 bool
	raw                  io.Writer // Stdout, for formats other than lines of text
	site                 string
	last                 *record.LastRead // of the ledger of the site
	wrote                *wrote           // to the ledger
	role                 record.Role      // of the person who signed in and for whom the server writes; "" for nobody
	today                assess.Date
	todayGiven           bool // today is from --today, not from the clock
	shown                bool // the JSON with the problems is already written
}

// errSilent ends with exit code 1 when the output has already said why.
var errSilent = errors.New("see above")

// usageError is a mistake on the command line.
type usageError struct {
	text string
	try  []string // the command line that may be meant; nil for none
}

func (e *usageError) Error() string { return e.text }

// wrongFlag adds the name of the flag to an error; nil stays nil.
func wrongFlag(flag string, err error) error {
	if err == nil {
		return nil
	}
	return &usageError{text: fmt.Sprintf("--%s: %v", flag, err)}
}

// verdict is err, or errSilent if the output has already said what is wrong.
func verdict(err error, fine bool) error {
	if err == nil && !fine {
		return errSilent
	}
	return err
}

// show writes data for a program, or text for a person.
func (e *Env) show(data any, text func(w io.Writer, width int) error) error {
	if e.json {
		return report.WriteJSON(e.Stdout, data)
	}
	return text(e.Stdout, e.Width)
}

// tell is show for a text of one sentence.
func (e *Env) tell(data any, format string, values ...any) error {
	return e.show(data, func(w io.Writer, _ int) error {
		_, err := fmt.Fprintf(w, format, values...)
		return err
	})
}

// exit reports what went wrong and returns the exit code.
func (e *Env) exit(err error) int {
	var bad site.Problems
	var usage *usageError
	var wrong *logbook.WrongError
	var write *record.WriteError
	var in *infile.Error
	e.progress.clear()
	if errors.As(err, &in) && !errors.As(err, &bad) && !errors.As(err, &usage) {
		err = site.Problems{{File: in.File, Found: in.Found, Expected: in.Expected, Do: in.Do}}
	}
	switch {
	case err == nil:
		return 0
	case errors.Is(err, errSilent):
		return 1
	case errors.As(err, &bad):
		if e.json && !e.shown {
			report.WriteJSON(e.Stdout, map[string]any{"problems": bad})
		}
		report.Problems(e.Stderr, bad)
		return 3
	}
	if e.json {
		report.WriteJSON(e.Stdout, map[string]any{"problems": []map[string]string{{"message": err.Error()}}})
	}
	fmt.Fprintf(e.Stderr, "vouchmark: %s\n", short(err.Error()))
	if try := e.try(err); try != nil {
		for i := range try {
			try[i] = quote(try[i])
		}
		fmt.Fprintf(e.Stderr, "  try: vouchmark %s\n", short(strings.Join(try, " ")))
	}
	switch {
	case errors.As(err, &usage), errors.As(err, &wrong):
		return 2
	case errors.As(err, &write):
		return 4
	}
	return 1
}

// try is the command line that may be meant; nil for none.
func (e *Env) try(err error) []string {
	var usage *usageError
	var id *near.UnknownID
	switch {
	case errors.As(err, &usage):
		return usage.try
	case errors.As(err, &id) && len(id.IDs) == 1 && id.Capitals(id.IDs[0]) != "":
		return retype(e.args, id.IDs[0], id.Capitals(id.IDs[0]))
	}
	return nil
}

// short shortens a message to what a person reads: it may quote anything.
func short(text string) string {
	const most = 1000 // of a line
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		if r := []rune(l); len(r) > most {
			lines[i] = string(r[:most]) + "…"
		}
	}
	return strings.Join(lines, "\n")
}

// said makes one line of a flag's text, for the ledger.
func said(flag string, text *string, longest int) error {
	line, err := record.OneLine(*text, longest)
	if err == nil {
		*text = line
	}
	return wrongFlag(flag, err)
}

// printer is who prints: from the flag, else from the policy, else the login name.
func printer(flag, policy string) string {
	if by := cmp.Or(flag, policy); by != "" {
		return by
	}
	if u, err := user.Current(); err == nil {
		return u.Username
	}
	return "unknown"
}
