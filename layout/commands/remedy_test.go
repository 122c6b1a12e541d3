package commands

import (
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/pflag"

	"vouchmark/assess"
)

// A shell takes each command apart into the words that are meant, whatever the
// id is, and the flags of the command take them as they are: read by sh itself
// (POSIX Shell Command Language, 2.2).
func TestCommandsReadByAShell(t *testing.T) {
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no sh here")
	}
	ids := []string{
		"MCC-4", "O'Brien MCC", `a "b" c`, "$HOME", "`id`", "a;b|c&d>e<f", "*", "~", "#1", "-x", "--only", "a\\b", "é", "a!b", "(x)", "a,b", "''", "{}",
	}
	for _, act := range []assess.Act{assess.ToPrint, assess.ToReprint, assess.ToWithdraw, assess.ToSettle} {
		for _, id := range ids {
			text := command(act, id)
			out, err := exec.Command(sh, "-c", `vouchmark() { for w; do printf '%s\n' "$w"; done; }; `+text).CombinedOutput()
			if err != nil {
				t.Fatalf("%s: %v\n%s", text, err, out)
			}
			words := strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
			if n := strings.Count(strings.Join(words, "\n"), id); n < 1 || !slices.Contains(words, id) {
				t.Errorf("%s on %q: %s gives %q", act, id, text, words)
				continue
			}
			name := strings.Fields(map[assess.Act]string{
				assess.ToPrint: "print", assess.ToReprint: "reprint", assess.ToWithdraw: "withdraw", assess.ToSettle: "change settle",
			}[act])
			if !slices.Equal(words[:len(name)], name) {
				t.Errorf("%s on %q: %q", act, id, words)
			}
			fs := pflag.NewFlagSet("", pflag.ContinueOnError)
			only := fs.StringArray("only", nil, "")
			fs.String("reason", "", "")
			fs.String("scope", "", "")
			fs.String("by", "", "")
			if err := fs.Parse(words[len(name):]); err != nil {
				t.Errorf("%s: %v", text, err)
			} else if got := append(*only, fs.Args()...); !slices.Equal(got, []string{id}) {
				t.Errorf("%s on %q: the command is given %q", act, id, got)
			}
		}
	}
}

// What needs no quotation marks has none, and every act has a command.
func TestCommandsArePlain(t *testing.T) {
	for act, want := range map[assess.Act]string{
		assess.ToPrint:    "vouchmark print --only MCC-4",
		assess.ToPreview:  "vouchmark print --preview",
		assess.ToReprint:  "vouchmark reprint MCC-4",
		assess.ToWithdraw: `vouchmark withdraw MCC-4 --reason "…"`,
		assess.ToSettle:   `vouchmark change settle MCC-4 --scope … --by "…" --reason "…"`,
		assess.ToCheck:    "vouchmark check",
		assess.ToList:     "vouchmark check --full",
		assess.ToStart:    "vouchmark init DIR",
		assess.ToHelp:     "vouchmark arc --help",
		assess.ToInterim:  `--interim "REASON"`,
		assess.ToNote:     `vouchmark change note MCC-4 --by "…"`,
		assess.ToAccept:   `vouchmark accept ID FINDING --by "…" --reason "…"`,
	} {
		if got := command(act, "MCC-4"); got != want {
			t.Errorf("%s: %s, want %s", act, got, want)
		}
	}
	for on, want := range map[string]string{
		"MCC-4 over-rating":   `vouchmark accept MCC-4 over-rating --by "…" --reason "…"`,
		"O'Brien MCC no-code": `vouchmark accept 'O'\''Brien MCC' no-code --by "…" --reason "…"`,
		"-x over-rating":      `vouchmark accept --by "…" --reason "…" -- -x over-rating`,
	} {
		if got := command(assess.ToAccept, on); got != want {
			t.Errorf("%s: %s, want %s", on, got, want)
		}
	}
	if got := command(assess.ToPrint, ""); got != "vouchmark print" {
		t.Errorf("to print all: %s", got)
	}
}
