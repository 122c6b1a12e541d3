package commands

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/label/report"
)

// Group says who uses a command most.
type Group int

// The groups, in the order of the help.
const (
	Coordinator Group = iota
	Planner
	Auditor
	Engineer
	Anyone
	groups
)

func (g Group) String() string {
	return [groups]string{
		"For the safety coordinator: from a study to labels, and through the year",
		"For the maintenance planner: one damaged label, changes to the power system",
		"For the auditor: where numbers come from, and whether anything was altered",
		"For the owner and the engineer: decisions that a named person takes",
		"For everybody",
	}[g]
}

// exits are the exit codes.
var exits = []string{
	"done; cautions, and labels that lapsed or are in question, may be listed",
	"an error finding, a refusal, an unknown id, a question of intake, or damage found by audit",
	"wrong usage",
	"bad input in the site folder or in a file that was given",
	"the output could not be written",
}

// glossary has the words of this program that the help uses.
var glossary = [][2]string{
	{"site folder", "one owner's data: site.toml (policy), locations.csv (study results), records, ledger"},
	{"location", "a place that has a label; its id is the short name on the label"},
	{"case", "an operating condition that the study looked at, such as a tie closed"},
	{"kit", "one level of the owner's PPE: a name, an arc rating, a list of what to wear"},
	{"ladder", "the owner's kits, the lowest arc rating first"},
	{"cutoff", "the owner's limit: above it the label says DANGER and NO ENERGIZED WORK"},
	{"finding", "what a person must look at: an error stops the label, a caution does not"},
	{"accept", "a named person takes responsibility for a finding; that does not make the equipment safe"},
	{"record, code", "the stored calculation behind a label, and its short name on the label"},
	{"ledger", "the list of all that was printed, mounted, removed and withdrawn; lines are only added"},
	{"chain head", "the hash (a fingerprint of its text) of the ledger's newest line; kept elsewhere, it shows whether lines before it were altered"},
	{"standing", "whether a printed label still holds: holds, falls due (REVIEW BY is near), lapsed (it has passed), in question, replaced, withdrawn"},
	{"in question", "a change, a review or a row means that the label may be wrong: do not rely on it"},
	{"settle", "a qualified person decides that a change does not affect certain labels: they hold again"},
	{"screening", "a first check of a printed label with the values after a change: it can show that the label is too low, never which kit to wear"},
	{"overlay", "a strip that covers a mounted label that must not be used; another one says that the study was reviewed"},
}

// Help is the command of that name.
func Help(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, args []string) error {
		if len(args) == 0 {
			_, err := fmt.Fprint(e.Stdout, overview(e.table, e.Width))
			return err
		}
		c, rest := find(e.table, args)
		if names := several(e.table, args[0]); c == nil && len(args) == 1 && names != "" {
			_, err := fmt.Fprintf(e.Stdout, "%s is one of: %s; each has a --help\n", args[0], names)
			return err
		}
		if c == nil {
			return e.unknown(args)
		}
		if len(rest) > 0 {
			return &usageError{text: "usage: vouchmark help [COMMAND]"}
		}
		return e.explain(c)
	}
}

// overview is the help of the whole program.
func overview(table []Command, width int) string {
	width = min(width, 100)
	const indent = "                         "
	entry := func(name, text string) string {
		head := "  " + name
		if len(head) > len(indent)-1 {
			return head + "\n" + report.Wrap(text, indent, indent, width)
		}
		return report.Wrap(text, head+indent[len([]rune(head)):], indent, width)
	}
	var b strings.Builder
	b.WriteString("vouchmark prints arc-flash labels, each vouched for by a stored calculation.\n\n" +
		"Usage: vouchmark COMMAND [flags]\n")
	for g := range groups {
		fmt.Fprintf(&b, "\n%v\n", g)
		for _, c := range table {
			if c.For == g {
				b.WriteString(entry(strings.TrimSpace(c.Name+" "+shortArgs(c.Args)), c.Short))
			}
		}
	}
	b.WriteString("\nWords\n")
	for _, w := range glossary {
		b.WriteString(entry(w[0], w[1]))
	}
	b.WriteString("\nExit codes\n")
	for i, text := range exits {
		fmt.Fprintf(&b, "  %d  %s\n", i, text)
	}
	b.WriteString("\n" + report.Wrap("vouchmark COMMAND --help explains a command and lists its flags. "+responsible, "", "", width))
	return b.String()
}

const responsible = "For qualified persons. The owner of the equipment is responsible for the labels."

// shortArgs are operands as the overview has room for them.
func shortArgs(args string) string {
	if strings.Contains(args, "powershell") {
		return "SHELL"
	}
	return args
}

// example is a command line, continued before a flag where it is too long.
func example(command string, width int) string {
	var b strings.Builder
	line := " "
	for i, part := range strings.Split(command, " --") {
		if i > 0 {
			part = "--" + part
		}
		if n := len([]rune(line)) + 1 + len([]rune(part)) + 2; n > width && i > 0 {
			b.WriteString(line + " \\\n")
			line = "   "
		}
		line += " " + part
	}
	return b.String() + line + "\n"
}

// explain writes the help of one command.
func (e *Env) explain(c *Command) error {
	width := min(e.Width, 100)
	f := c.flags(&Env{})
	var b strings.Builder
	b.WriteString(report.Wrap("vouchmark "+c.usage(), "Usage: ", "  ", width))
	fmt.Fprintf(&b, "\n%s%s.\n\n", strings.ToUpper(c.Short[:1]), c.Short[1:])
	b.WriteString(report.Wrap(c.About, "", "", width))
	b.WriteString("\nExample:\n")
	for line := range strings.SplitSeq(c.Example, "\n") {
		b.WriteString(example(line, width))
	}
	if f.own.HasFlags() {
		b.WriteString("\nFlags:\n" + list(f.own, width))
	}
	b.WriteString("\nCommon flags:\n" + list(f.common, width))
	b.WriteString("\nvouchmark help explains the words and the exit codes.\n")
	_, err := fmt.Fprint(e.Stdout, b.String())
	return err
}
