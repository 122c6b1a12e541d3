package commands

import (
	"fmt"
	"io"
	"regexp"
	"runtime"
	"strings"

	"vouchmark/label/report"
)

// when says when words are colored: the value of --color.
type when string

func (w when) check() error {
	switch w {
	case "auto", "always", "never":
		return nil
	}
	return wrongFlag("color", fmt.Errorf("%q is not auto, always or never", string(w)))
}

// whenOf is the --color of a command line. It is needed for what is said about flags that cannot
// be parsed.
func whenOf(args []string) when {
	found := when("auto")
	for i, a := range args {
		switch value, ok := strings.CutPrefix(a, "--color="); {
		case a == "--":
			return found
		case ok:
			found = when(value)
		case a == "--color" && i+1 < len(args):
			found = when(args[i+1])
		}
	}
	return found
}

// on decides whether a stream has colors: first the flag, then the variables that many programs
// obey, last whether the stream is a terminal that shows them.
func (w when) on(getenv func(string) string, terminal bool) bool {
	switch {
	case w == "always":
		return true
	case w == "never":
		return false
	case getenv("NO_COLOR") != "":
		return false
	case set(getenv("CLICOLOR_FORCE")), set(getenv("FORCE_COLOR")):
		return true
	case getenv("TERM") == "dumb":
		return false
	case runtime.GOOS == "windows" && getenv("WT_SESSION") == "" && getenv("TERM") == "":
		return false // an old console writes the codes as text
	}
	return terminal
}

// set reports whether a variable that turns colors on does so: "0" and "false" do not.
func set(value string) bool { return value != "" && value != "0" && value != "false" }

// The looks of words. A background is a signal word's and nothing else's, as on a label. Green is
// what may be relied on, yellow what needs attention and still counts, red what must not be relied
// on or does not print. Color only adds to words.
const (
	danger  = "\x1b[1;97;41m" // white on red
	warning = "\x1b[30;43m"   // black on orange, as far as terminals have it
	good    = "\x1b[32m"
	attend  = "\x1b[33m"
	bad     = "\x1b[31m"
	usual   = "\x1b[0m"
)

var looks = map[string]string{
	"DANGER": danger, "WARNING": warning,
	"holds": good, "ready to print": good,
	"falls due": attend, "caution": attend, "cautions": attend,
	"error": bad, "errors": bad, "not printed": bad, "refused": bad, "lapsed": bad, "in question": bad,
	"IN QUESTION": bad, "COVER": bad, "replaced": bad, "withdrawn": bad,
	"do not use": bad, "new label blocked": bad, "new label ready": attend, "INTERIM": attend,
}

// cell is such a word where a cell or a sentence of its own begins: at the beginning of a line, after
// the lines and signs of a tree, after two spaces, or after the name of the program. Elsewhere it may
// be a word of the owner's.
var cell = regexp.MustCompile(`(^(?:[│├└─ ]*[^\s\pL\pN] )?|  |^vouchmark: )` +
	`(DANGER|WARNING|holds|ready to print|falls due|cautions?|errors?|not printed|refused|lapsed|in question|` +
	`IN QUESTION|COVER|replaced|withdrawn|do not use|new label blocked|new label ready|INTERIM)(\PL|$)`)

// tinted is a line with its words in color.
func tinted(line string) string {
	return cell.ReplaceAllStringFunc(line, func(m string) string {
		part := cell.FindStringSubmatch(m)
		return part[1] + looks[part[2]] + part[2] + usual + part[3]
	})
}

// plain writes lines of text without anything that a terminal acts on: whatever they quote, no
// character moves the cursor, hides others or reverses them. Only then come the colors.
type plain struct {
	io.Writer
	color bool
}

func (p *plain) Write(b []byte) (int, error) {
	lines := strings.Split(string(b), "\n")
	for i := range lines {
		lines[i] = report.Printable(lines[i])
		if p.color {
			lines[i] = tinted(lines[i])
		}
	}
	if _, err := io.WriteString(p.Writer, strings.Join(lines, "\n")); err != nil {
		return 0, err
	}
	return len(b), nil
}

// open makes the streams of a call.
func (e *Env) open(args []string) {
	if e.Getenv == nil {
		e.Getenv = func(string) string { return "" }
	}
	how := whenOf(args)
	if e.ErrIsTerm {
		e.progress = &progress{w: e.Stderr, now: e.Now, begin: e.Now()}
	}
	e.raw = &after{e.Stdout, e.progress}
	e.Stdout = &plain{e.raw, how.on(e.Getenv, e.OutIsTerm)}
	e.Stderr = &plain{&after{e.Stderr, e.progress}, how.on(e.Getenv, e.ErrIsTerm)}
}

// uncolored is standard output for text that a program reads.
func (e *Env) uncolored() io.Writer { return &plain{e.raw, false} }
