package commands

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/label/record"
)

// Command is one command of a table.
type Command struct {
	Name     string // one or two words
	Args     string // its operands, as help shows them; completion follows from their names
	For      Group  // who uses it most
	Short    string // what it does, without a period
	About    string // what it writes and refuses, in sentences
	Example  string // one or more lines
	Operands [2]int // least and most; -1 for any number
	Setup    Setup
	NoSite   bool // it reads no site folder, and judges none by a day
	NoJSON   bool // it writes no JSON
}

// Setup makes the flags of a command and gives what it does.
type Setup func(fs *pflag.FlagSet) func(e *Env, args []string) error

// Run carries out one call of the commands of a table and gives its exit code.
func Run(world *Env, table []Command, args []string) int {
	e := new(*world)
	e.table, e.args, e.last = table, args, &record.LastRead{}
	e.wrote = &wrote{more: make(chan struct{}, 1)}
	e.open(args)
	if len(args) > 0 && args[0] == completing {
		e.complete(args[1:])
		return 0
	}
	if len(args) == 0 || args[0] == "--help" || args[0] == "-h" {
		args = []string{"help"}
	}
	if args[0] == "--version" {
		fmt.Fprintln(e.Stdout, "vouchmark", version())
		return 0
	}
	c, rest := find(table, args)
	if c == nil && len(args) == 2 && (args[1] == "--help" || args[1] == "-h") {
		args = []string{"help", args[0]}
		c, rest = find(table, args)
	}
	if c == nil {
		return e.exit(e.unknown(args))
	}
	code := e.exit(c.call(e, rest))
	e.mirrored()
	return code
}

// find is the command that the first words name, and the words after it; nil for none.
func find(table []Command, words []string) (*Command, []string) {
	for i := range table {
		if name := strings.Fields(table[i].Name); len(words) >= len(name) && slices.Equal(name, words[:len(name)]) {
			return &table[i], words[len(name):]
		}
	}
	return nil, words
}

// call parses the flags of a command and runs it.
func (c *Command) call(e *Env, args []string) error {
	f := c.flags(e)
	if err := f.all.Parse(args); errors.Is(err, pflag.ErrHelp) {
		return e.explain(c)
	} else if err != nil {
		return e.wrongFlags(f, err)
	}
	if e.json {
		e.Stdout = e.uncolored()
	}
	if err := isFolder(e); err != nil {
		return err
	}
	if n := f.all.NArg(); n < c.Operands[0] || c.Operands[1] >= 0 && n > c.Operands[1] {
		return e.wrongOperands(c, f.all.Args())
	}
	if err := errors.Join(e.color.check(), e.checkOutputs(f.all)); err != nil {
		return err
	}
	e.today = assess.DateOf(e.Now())
	if f.today != "" {
		d, err := assess.ParseDate(f.today)
		if err != nil {
			return wrongFlag("today", err)
		}
		e.today, e.todayGiven = d, true
	}
	return f.do(e, f.all.Args())
}

// unknown is the error about words that name no command.
func (e *Env) unknown(args []string) error {
	if strings.HasPrefix(args[0], "-") {
		return &usageError{text: "the command comes first, then its flags: vouchmark COMMAND [flags]; vouchmark help lists the commands"}
	}
	var of, second, first []string
	for _, c := range e.table {
		word, rest, two := strings.Cut(c.Name, " ")
		if !slices.Contains(first, word) {
			first = append(first, word)
		}
		if two && word == args[0] {
			of, second = append(of, c.Name), append(second, rest)
		}
		if two && rest == args[0] { // as in "settle"
			return e.meant(args, 1, []string{c.Name})
		}
	}
	if of == nil {
		words := near.Words(args[0], first)
		if len(words) == 1 && len(args) > 1 { // as in "chnage add"
			if c, _ := find(e.table, append(words, args[1:]...)); c == nil {
				return &usageError{text: fmt.Sprintf("no command %q; did you mean %q?", args[0], words[0])}
			}
		}
		return e.meant(args, 1, words)
	}
	if len(args) > 1 && !strings.HasPrefix(args[1], "-") {
		words := near.Words(args[1], second)
		for i := range words {
			words[i] = args[0] + " " + words[i]
		}
		if words != nil {
			return e.meant(args, 2, words)
		}
	}
	return &usageError{text: args[0] + " is one of: " + strings.Join(of, ", ") + "; each has a --help"}
}

// meant is the error about the first n words, which may mean one of some commands.
func (e *Env) meant(args []string, n int, names []string) error {
	text := fmt.Sprintf("no command %q", strings.Join(args[:n], " "))
	switch len(names) {
	case 0:
		return &usageError{text: text + "; vouchmark help lists the commands"}
	case 1:
		return &usageError{text: fmt.Sprintf("%s; did you mean %q?", text, names[0]),
			try: append(strings.Fields(names[0]), args[n:]...)}
	}
	return &usageError{text: text + "; did you mean " + near.Quoted(names) + "?"}
}

// wrongFlags is the error about flags that cannot be parsed.
func (e *Env) wrongFlags(f *flags, err error) error {
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) {
		return &usageError{text: err.Error()}
	}
	name, hyphens := unknown.GetSpecifiedName(), "--"
	if all := unknown.GetSpecifiedShortnames(); all != "" { // no flag has one letter
		name, hyphens = all, "-"
	}
	name, _, _ = strings.Cut(name, "=")
	var known []string
	f.all.VisitAll(func(f *pflag.Flag) { known = append(known, f.Name) })
	wrong := &usageError{text: fmt.Sprintf("no flag %s%s", hyphens, name)}
	words := near.Words(name, known)
	switch len(words) {
	case 0:
		wrong.text += fmt.Sprintf("; vouchmark %s --help lists the flags", f.all.Name())
	case 1:
		wrong.text += fmt.Sprintf("; did you mean --%s?", words[0])
		wrong.try = retype(e.args, hyphens+name, "--"+words[0])
	default:
		for i := range words {
			words[i] = "--" + words[i]
		}
		wrong.text += "; did you mean " + near.Either(words) + "?"
	}
	return wrong
}

// wrongOperands is the error about too few or too many operands. One too many may
// be the site folder.
func (e *Env) wrongOperands(c *Command, args []string) error {
	wrong := &usageError{text: "usage: vouchmark " + c.usage()}
	if len(args) <= c.Operands[1] {
		return wrong
	}
	extra := args[len(args)-1]
	wrong.text += fmt.Sprintf("; %q is one word too many", extra)
	dir := siteOf(extra)
	if dir == "" || c.NoSite {
		return wrong
	}
	wrong.text = fmt.Sprintf("%s is a site folder; name it with --site %s", dir, quote(dir))
	if dir != extra {
		wrong.text = fmt.Sprintf("%s is a file of the site folder %s; name the folder with --site %s", extra, dir, quote(dir))
	}
	if i := slices.Index(e.args, extra); i >= 0 {
		wrong.try = append(append(slices.Clone(e.args[:i]), "--site", dir), e.args[i+1:]...)
	}
	return wrong
}

// isFolder refuses a --site that names a file.
func isFolder(e *Env) error {
	if e.site == "" {
		return nil
	}
	if info, err := os.Stat(e.site); err != nil || info.IsDir() {
		return nil // what is missing in the folder is said where it is read
	}
	dir := siteOf(e.site)
	if dir == "" {
		return &usageError{text: fmt.Sprintf("--site: %s is a file; name the folder that has site.toml and locations.csv", e.site)}
	}
	return &usageError{text: fmt.Sprintf("--site: %s is a file; name its folder: --site %s", e.site, quote(dir)),
		try: retype(e.args, e.site, dir)}
}

// siteOf is the site folder that a path names or in which it names a file; "" if it is not one.
func siteOf(path string) string {
	for _, dir := range []string{path, filepath.Dir(path)} {
		if info, err := os.Stat(filepath.Join(dir, assess.PolicyFile)); err == nil && info.Mode().IsRegular() {
			return filepath.Clean(dir)
		}
	}
	return ""
}

// retype is a command line with one word replaced, also as the value of a flag or in a list with
// commas; nil if the word is not in it exactly once.
func retype(args []string, old, to string) []string {
	out, found := slices.Clone(args), 0
	for i, arg := range args {
		flag, value, valued := strings.Cut(arg, "=")
		switch {
		case arg == old:
			out[i], found = to, found+1
		case valued && flag == old:
			out[i], found = to+"="+value, found+1
		case valued && value == old:
			out[i], found = flag+"="+to, found+1
		case slices.Contains(strings.Split(arg, ","), old):
			parts := strings.Split(arg, ",")
			parts[slices.Index(parts, old)] = to
			out[i], found = strings.Join(parts, ","), found+1
		}
	}
	if found != 1 {
		return nil
	}
	return out
}

// usage is how a command is called.
func (c *Command) usage() string {
	line := strings.TrimSpace(c.Name + " " + c.Args)
	if f := c.flags(&Env{}); f.own.HasFlags() || !c.NoSite || !c.NoJSON {
		line += " [flags]"
	}
	return line
}
