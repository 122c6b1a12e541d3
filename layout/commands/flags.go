package commands

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/label/report"
)

// flags are those of one call: of the command alone, and those that many commands have.
type flags struct {
	all, own, common *pflag.FlagSet
	today            string
	do               func(e *Env, args []string) error
}

// flags makes the flags of a command.
func (c *Command) flags(e *Env) *flags {
	f := &flags{}
	for _, set := range []**pflag.FlagSet{&f.all, &f.own, &f.common} {
		*set = pflag.NewFlagSet(c.Name, pflag.ContinueOnError)
		(*set).SetOutput(io.Discard) // what pflag says is worded here
		(*set).SortFlags = false
	}
	f.do = c.Setup(f.own)
	if !c.NoSite {
		f.common.StringVar(&e.site, "site", ".", "`DIR` the site folder")
		f.common.StringVar(&f.today, "today", "", "`DATE` the date to use as today, such as 2026-05-01 (default: today)")
	}
	if !c.NoJSON {
		f.common.BoolVar(&e.json, "json", false, "write JSON to standard output")
	}
	f.common.StringVar((*string)(&e.color), "color", "auto", "`auto|always|never` color words on a terminal")
	f.all.AddFlagSet(f.own)
	f.all.AddFlagSet(f.common)
	return f
}

// described is the name of a flag's value and what the flag does: a description begins with the name
// in backquotes, or has none where the flag takes no value.
func described(f *pflag.Flag) (value, text string) {
	if rest, ok := strings.CutPrefix(f.Usage, "`"); ok {
		value, text, _ = strings.Cut(rest, "`")
		text = strings.TrimSpace(text)
	} else {
		text = f.Usage
	}
	if d := f.DefValue; d != "" && d != "false" && d != "[]" && d != "0" && !strings.Contains(text, "(default") {
		text += fmt.Sprintf(" (default: %s)", d)
	}
	return value, text
}

// list describes flags in two columns.
func list(fs *pflag.FlagSet, width int) string {
	const column = 26 // where the descriptions begin
	var b strings.Builder
	fs.VisitAll(func(f *pflag.Flag) {
		value, text := described(f)
		head := "  --" + strings.TrimSpace(f.Name+" "+value)
		indent := strings.Repeat(" ", column)
		if len(head) > column-2 {
			b.WriteString(head + "\n")
			head = indent
		} else {
			head += indent[len(head):]
		}
		b.WriteString(report.Wrap(text, head, indent, width))
	})
	return b.String()
}
