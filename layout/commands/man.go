package commands

import (
	"fmt"
	"strings"
	"time"
	"unicode"

	"github.com/spf13/pflag"

	"vouchmark/label/report"
)

// Man is the command of that name.
func Man(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, _ []string) error {
		day := build().Time
		if day.IsZero() { // not built from a checkout
			day = e.Now()
		}
		_, err := fmt.Fprint(e.raw, manual(e.table, day))
		return err
	}
}

// manual is the manual page of a table of commands, in mdoc.
func manual(table []Command, day time.Time) string {
	m := &mdoc{}
	m.macro("Dd", day.UTC().Format("January"), fmt.Sprint(day.UTC().Day())+",", fmt.Sprint(day.UTC().Year()))
	m.macro("Dt", "VOUCHMARK", "1")
	m.macro("Os")
	m.macro("Sh", "NAME")
	m.macro("Nm", "vouchmark")
	m.macro("Nd", "print arc-flash labels, each vouched for by a stored calculation")
	m.macro("Sh", "SYNOPSIS")
	m.macro("Nm", "vouchmark")
	m.line(".Ar command", ".Op Ar operand ...", ".Op Ar flag ...")
	m.macro("Sh", "DESCRIPTION")
	m.text("The program checks the results of an arc-flash study, applies the owner's ladder of PPE and the owner's cutoff, " +
		"and prints warning labels. The calculation behind each label is stored; the QR code on the label leads to it.")
	m.macro("Pp")
	m.text(responsible + " A label does not replace the risk assessment before the task.")
	m.macro("Sh", "COMMANDS")
	for g := range groups {
		m.macro("Ss", g.String())
		m.line(".Bl -tag -width Ds")
		for i := range table {
			if table[i].For == g {
				m.command(&table[i])
			}
		}
		m.line(".El")
	}
	m.macro("Ss", "Flags of most commands")
	m.line(".Bl -tag -width Ds")
	usual := Command{Setup: func(*pflag.FlagSet) func(*Env, []string) error { return nil }}
	m.flags(usual.flags(&Env{}).common)
	m.line(".El")
	m.macro("Ss", "Words")
	m.line(".Bl -tag -width Ds")
	for _, w := range glossary {
		m.macro("It", w[0])
		m.text(strings.ToUpper(w[1][:1]) + w[1][1:] + ".")
	}
	m.line(".El")
	m.macro("Sh", "ENVIRONMENT")
	m.line(".Bl -tag -width Ds", ".It Ev NO_COLOR")
	m.text("If it is not empty, nothing is in color.")
	m.line(".It Ev CLICOLOR_FORCE , FORCE_COLOR")
	m.text("If one of them is not empty, 0 or false, words are in color, also in a pipe.")
	m.line(".It Ev TERM")
	m.text("If it is dumb, nothing is in color. The flag --color comes before all of these.")
	m.line(".El")
	m.macro("Sh", "FILES")
	m.line(".Bl -tag -width Ds")
	for _, f := range [][2]string{
		{"site.toml", "the owner's policy"},
		{"locations.csv", "the study's results, a row for each location and case"},
		{"changes.toml", "changes to the power system, settlements and reviews"},
		{"devices.csv", "protective devices and when each was maintained"},
		{"curves/, studies/", "clearing curves; the files of the studies as received"},
		{"records/, ledger.jsonl", "what the program stores: never edit them"},
	} {
		m.line(".It Pa " + escaped(f[0]))
		m.text(strings.ToUpper(f[1][:1]) + f[1][1:] + ".")
	}
	m.line(".El")
	m.macro("Sh", "EXIT STATUS")
	m.line(".Bl -tag -width Ds")
	for i, text := range exits {
		m.macro("It", fmt.Sprint(i))
		m.text(strings.ToUpper(text[:1]) + text[1:] + ".")
	}
	m.line(".El")
	return m.String()
}

// mdoc is a page in the macros of manual pages, mdoc(7).
type mdoc struct{ strings.Builder }

func (m *mdoc) line(lines ...string) {
	for _, l := range lines {
		m.WriteString(l + "\n")
	}
}

// macro is a line with a macro. Its arguments are text, whatever they look like.
func (m *mdoc) macro(name string, args ...string) {
	m.WriteString("." + name)
	for _, a := range args {
		for _, word := range strings.Fields(a) {
			text := escaped(word)
			if len(word) < 4 && unicode.IsUpper(rune(word[0])) { // it could be the name of a macro
				text = `\&` + text
			}
			m.WriteString(" " + text)
		}
	}
	m.WriteString("\n")
}

// text is filled text: each sentence begins on a line of its own, as mdoc(7) advises.
func (m *mdoc) text(text string) {
	for sentence := range strings.SplitAfterSeq(text, ". ") {
		for line := range strings.Lines(report.Wrap(escaped(sentence), "", "", 78)) {
			if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
				line = `\&` + line
			}
			m.WriteString(line)
		}
	}
}

func (m *mdoc) command(c *Command) {
	m.line(".It Xo", ".Cm "+escaped(c.Name))
	if c.Args != "" {
		m.line(".Ar " + escaped(c.Args))
	}
	m.line(".Xc")
	m.text(strings.ToUpper(c.Short[:1]) + c.Short[1:] + ". " + c.About)
	f := c.flags(&Env{})
	if f.own.HasFlags() {
		m.line(".Bl -tag -width Ds")
		m.flags(f.own)
		m.line(".El")
	}
	m.line(".Pp", ".Bd -literal -compact")
	for line := range strings.SplitSeq(c.Example, "\n") {
		m.line(strings.TrimRight(escaped(example(line, 76)), "\n"))
	}
	m.line(".Ed")
}

func (m *mdoc) flags(fs *pflag.FlagSet) {
	fs.VisitAll(func(f *pflag.Flag) {
		value, text := described(f)
		item := ".It Fl " + escaped("-"+f.Name)
		if value != "" {
			item += " Ar " + escaped(value)
		}
		m.line(item)
		m.text(strings.ToUpper(text[:1]) + text[1:] + ".")
	})
}

// escaped is a text in which nothing is a command of roff.
func escaped(s string) string {
	return strings.NewReplacer(`\`, `\e`, "-", `\-`, "|", `\(ba`).Replace(s)
}
