package commands

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
)

// Command is one command of a table.
type Command struct {
	name, args, short string
	operands          [2]int // least and most; -1 for any number
	setup             Setup
	options           []Option
}

// Setup makes the flags of a command and gives what it does.
type Setup func(fs *pflag.FlagSet) func(e *Env, args []string) error

// Option says which of the common flags a command does not have.
type Option int

// The options.
const (
	NoSite Option = iota // it reads no site folder, and judges none by a day
	NoJSON               // it writes no JSON
)

// New is a command that takes from least to most operands; most -1 is any
// number.
func New(name, args, short string, least, most int, setup Setup, options ...Option) Command {
	return Command{name, args, short, [2]int{least, most}, setup, options}
}

const exitCodes = `Exit codes:
  0  fine; cautions and lapsed labels may be listed
  1  an error finding, a refusal, an unknown id, or damage found by audit
  2  wrong usage
  3  bad input in the site folder
  4  the output could not be written
`

// Run carries out one call of the commands of a table and gives its exit code.
func Run(world *Env, commands []Command, args []string) int {
	e := new(*world)
	e.raw, e.Stdout, e.Stderr = world.Stdout, plain{world.Stdout}, plain{world.Stderr}
	if len(args) == 0 || args[0] == "--help" || args[0] == "-h" || args[0] == "help" && len(args) == 1 {
		fmt.Fprint(e.Stdout, help(commands))
		return 0
	}
	if args[0] == "--version" {
		fmt.Fprintln(e.Stdout, "vouchmark", version())
		return 0
	}
	if args[0] == "help" {
		args = append(args[1:], "--help")
	}
	var of []string
	for _, c := range commands {
		if words := strings.Fields(c.name); len(args) >= len(words) && slices.Equal(words, args[:len(words)]) {
			return e.exit(c.call(e, args[len(words):]))
		}
		if strings.HasPrefix(c.name, args[0]+" ") {
			of = append(of, c.name)
		}
	}
	if of == nil {
		return e.exit(&usageError{fmt.Sprintf("no command %q; vouchmark --help lists them", args[0])})
	}
	which := args[0] + " is one of: " + strings.Join(of, ", ")
	if last := args[len(args)-1]; last != "--help" && last != "-h" {
		return e.exit(&usageError{which})
	}
	fmt.Fprintln(e.Stdout, which+"; each has a --help")
	return 0
}

// call parses the flags of a command and runs it.
func (c *Command) call(e *Env, args []string) error {
	fs := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	fs.SetOutput(io.Discard)
	fs.SortFlags = false
	today := ""
	if !slices.Contains(c.options, NoSite) {
		fs.StringVar(&e.site, "site", ".", "the site folder")
		fs.StringVar(&today, "today", "", "the date to use as today, such as 2026-05-01 (default: today)")
	}
	if !slices.Contains(c.options, NoJSON) {
		fs.BoolVar(&e.json, "json", false, "write JSON to standard output")
	}
	do := c.setup(fs)
	if err := fs.Parse(args); errors.Is(err, pflag.ErrHelp) {
		fmt.Fprintf(e.Stdout, "Usage: vouchmark %s\n%s.\n\n%s\n%s",
			c.usage(), strings.ToUpper(c.short[:1])+c.short[1:], fs.FlagUsages(), exitCodes)
		return nil
	} else if err != nil {
		return &usageError{err.Error()}
	}
	if n := fs.NArg(); n < c.operands[0] || c.operands[1] >= 0 && n > c.operands[1] {
		return &usageError{"usage: vouchmark " + c.usage()}
	}
	e.today = assess.DateOf(e.Now())
	if today != "" {
		d, err := assess.ParseDate(today)
		if err != nil {
			return wrongFlag("today", err)
		}
		e.today, e.todayGiven = d, true
	}
	return do(e, fs.Args())
}

func (c *Command) usage() string { return strings.TrimSpace(c.name + " [flags] " + c.args) }

func help(commands []Command) string {
	var b strings.Builder
	b.WriteString("vouchmark prints arc-flash labels, each vouched for by a stored calculation.\n\n" +
		"Usage: vouchmark COMMAND [flags]\n\nCommands:\n")
	for _, c := range commands {
		fmt.Fprintf(&b, "  %-22s %s\n", c.name+" "+c.args, c.short)
	}
	b.WriteString("\nvouchmark COMMAND --help shows the flags of a command; vouchmark --version shows the version.\n\n" + exitCodes)
	b.WriteString("\nFor qualified persons. The owner of the equipment is responsible for the labels.\n")
	return b.String()
}

// version is what the Go toolchain recorded when it built the program.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && (v == "" || v == "(devel)") {
			v = s.Value[:min(12, len(s.Value))]
		}
	}
	return v
}
