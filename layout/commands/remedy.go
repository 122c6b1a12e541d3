package commands

import (
	"regexp"
	"strings"

	"vouchmark/assess"
)

// command words the command that carries an act out, as a shell takes it.
func command(act assess.Act, on string) string {
	switch act {
	case assess.ToStart:
		return "vouchmark init DIR"
	case assess.ToCheck:
		return "vouchmark check"
	case assess.ToPrint:
		if on == "" {
			return "vouchmark print"
		}
		return "vouchmark print --only " + quote(on)
	case assess.ToPreview:
		return "vouchmark print --preview"
	case assess.ToReprint:
		return call("reprint", on, "")
	case assess.ToWithdraw:
		return call("withdraw", on, `--reason "…"`)
	case assess.ToSettle:
		return call("change settle", on, `--scope … --reason "…"`)
	case assess.ToAnswer:
		return call("change settle", on, `--scope … --reason "…" --against-screening "…" --by "…"`)
	case assess.ToAccept:
		return `vouchmark accept ID FINDING --by "…" --reason "…"`
	case assess.ToInterim:
		return `--interim "REASON"`
	case assess.ToHelp:
		return "vouchmark arc --help"
	}
	return string(act)
}

// call is a command with one operand. An operand that begins as a flag does is
// put behind the two hyphens that end the flags.
func call(name, operand, flags string) string {
	if strings.HasPrefix(operand, "-") {
		return strings.Join(strings.Fields("vouchmark "+name+" "+flags+" --"), " ") + " " + quote(operand)
	}
	return strings.TrimSpace(strings.Join([]string{"vouchmark", name, quote(operand), flags}, " "))
}

// plainWord is what a shell takes as it stands.
var plainWord = regexp.MustCompile(`^[0-9A-Za-z./_-]+$`)

// quote makes one word of a text for a POSIX shell (Shell Command Language,
// 2.2.2: between single quotes every character stands for itself).
func quote(s string) string {
	if plainWord.MatchString(s) {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
