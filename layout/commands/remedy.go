package commands

import (
	"regexp"
	"slices"
	"strings"

	"vouchmark/assess"
)

// command writes the command that carries out an act, ready for a shell.
func command(act assess.Act, on string) string {
	switch act {
	case assess.ToStart:
		return "vouchmark init DIR"
	case assess.ToCheck:
		return "vouchmark check"
	case assess.ToList:
		return "vouchmark check --full"
	case assess.ToPrint:
		if on == "" {
			return "vouchmark print"
		}
		return "vouchmark print --only " + quote(on)
	case assess.ToPrintDue:
		return "vouchmark print --changed"
	case assess.ToPrintOverlay:
		return "vouchmark print --kind overlay --changed"
	case assess.ToPreview:
		return "vouchmark print --preview"
	case assess.ToReprint:
		return call("reprint", "", on)
	case assess.ToWithdraw:
		return call("withdraw", `--reason "…"`, on)
	case assess.ToRemove:
		return call("removed", "", on)
	case assess.ToSee:
		return call("seen", "", on)
	case assess.ToSeeNone:
		return call("seen", "--found missing", on)
	case assess.ToUncover:
		return call("removed", "--overlay", on)
	case assess.ToSettle:
		return call("change settle", `--scope … --by "…" --reason "…"`, on)
	case assess.ToAnswer:
		return call("change settle", `--scope … --reason "…" --against-screening "…" --by "…"`, on)
	case assess.ToNote:
		if on == "" {
			return "vouchmark change note"
		}
		return call("change note", `--by "…"`, on)
	case assess.ToAccept:
		id, code := "ID", "FINDING"
		if i := strings.LastIndexByte(on, ' '); i >= 0 { // a code has no blank
			id, code = on[:i], on[i+1:]
		}
		return call("accept", `--by "…" --reason "…"`, id, code)
	case assess.ToInterim:
		return `--interim "REASON"`
	case assess.ToHelp:
		return "vouchmark arc --help"
	}
	return string(act)
}

// call is a command with operands. If the first begins like a flag, they come
// after the two hyphens that end the flags.
func call(name, flags string, operands ...string) string {
	words := make([]string, len(operands))
	for i, o := range operands {
		words[i] = quote(o)
	}
	parts := []string{"vouchmark", name, strings.Join(words, " "), flags}
	if strings.HasPrefix(operands[0], "-") {
		parts = []string{"vouchmark", name, flags, "--", strings.Join(words, " ")}
	}
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return p == "" }), " ")
}

// plainWord is what a shell takes without quotes.
var plainWord = regexp.MustCompile(`^[0-9A-Za-z.,/_=-]+$`)

// quote makes one shell word of a text (POSIX Shell Command Language, 2.2.2:
// between single quotes every character is literal).
func quote(s string) string {
	if plainWord.MatchString(s) {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
