package programs

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// completions are command lines, up to the cursor, and what must and must not be offered there.
var completions = []struct {
	words     []string
	want, not string
}{
	{[]string{"pr"}, "print", "reprint"},
	{[]string{"change", ""}, "settle", "print"},
	{[]string{"help", "record"}, "records", "print"},
	{[]string{"print", "--pre"}, "--preview", "--slip"},
	{[]string{"print", "--site", "my plant", "--area", "Tub"}, "Tub line, post 7", "Raw milk dock"},
	{[]string{"print", "--site", "my plant", "--area", "raw"}, "Raw milk dock", "Tub line, post 7"}, // any letter case
	{[]string{"print", "--site", "my plant", "--only", "RAW-MC1,SEP-M"}, "RAW-MC1,SEP-MC2", "RAW-MC1"},
	{[]string{"reprint", "--site", "my plant", "RAW-M"}, "RAW-MC1", "SEP-MC2"},
	{[]string{"print", "--stock", "letter"}, "letter-4x3", "4x4"},
	{[]string{"print", "--kind", "o"}, "overlay", "label"},
	{[]string{"change", "add", "--kind", "fuse"}, "fuse replaced", "breaker replaced"},
	{[]string{"accept", "RAW-MC1", "over-ra"}, "over-rating", "feed-loop"},
	{[]string{"check", "--site", "my"}, "my plant", "notes.txt"},
	{[]string{"audit", "--pdf", "no"}, "notes.txt", "my plant"},
}

// offered are the words that a shell offers, with a script that prints them one to a line.
func (s site) offered(t *testing.T, dir, shell string, args ...string) []string {
	t.Helper()
	c := exec.Command(shell, args...)
	c.Dir = dir
	c.Env = append(os.Environ(), "HOME="+dir, "PATH="+filepath.Dir(s.program)+":"+os.Getenv("PATH"), "LC_ALL=C.UTF-8")
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", shell, err, out)
	}
	var all []string
	for line := range strings.Lines(string(out)) {
		word, _, _ := strings.Cut(strings.TrimRight(line, "\n"), "\t")
		all = append(all, strings.TrimSuffix(word, "/"))
	}
	return all
}

// Each shell offers the right words: it loads its script and is asked as if somebody had pressed Tab.
func TestCompletion(t *testing.T) {
	s := build(t)
	dir := t.TempDir()
	if err := os.Rename(s.dir, filepath.Join(dir, "my plant")); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "notes.txt"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, shell := range []struct {
		name   string
		line   func(words []string) []string // the arguments of the shell
		quoted func(word string) string      // as it offers a word
	}{
		{"bash", bashLine, func(w string) string { return strings.NewReplacer(" ", `\ `, ",", `\,`).Replace(w) }},
		{"zsh", zshLine, func(w string) string { return w }},
		{"fish", fishLine, func(w string) string { return w }},
	} {
		t.Run(shell.name, func(t *testing.T) {
			need(t, shell.name)
			for _, c := range completions {
				offered := s.offered(t, dir, shell.name, shell.line(c.words)...)
				if want := shell.quoted(c.want); !has(offered, want) && !has(offered, c.want) {
					t.Errorf("%q: %q is not offered, but %q", c.words, want, offered)
				}
				if has(offered, shell.quoted(c.not)) || has(offered, c.not) {
					t.Errorf("%q: %q is offered: %q", c.words, c.not, offered)
				}
			}
		})
	}
}

func has(all []string, word string) bool {
	for _, a := range all {
		if a == word {
			return true
		}
	}
	return false
}

// bashLine calls the function of the script as bash does; what bash would do about paths is asked of compgen.
func bashLine(words []string) []string {
	const script = `source <(vouchmark completion bash)
compopt() { [[ $2 == dirnames ]] && compgen -d -- "$last" || compgen -f -- "$last"; }
COMP_WORDS=(vouchmark "$@"); COMP_CWORD=$#; last=${COMP_WORDS[COMP_CWORD]}
_vouchmark vouchmark "$last" ""
printf '%s\n' "${COMPREPLY[@]}"`
	return append([]string{"--norc", "-c", script, "bash"}, quotedFor(words)...)
}

// zshLine calls the function of the script; in place of zsh's own functions, some that print.
func zshLine(words []string) []string {
	const script = `compdef() { }
_describe() { for w in "${(@P)${@[-1]}}"; do print -r -- "${w%%:*}"; done }
_files() { [[ $1 == -/ ]] && print -l -- ${words[-1]}*(/N) || print -l -- ${words[-1]}*(N) }
compset() { }
source <(vouchmark completion zsh)
words=(vouchmark "$@"); CURRENT=$#words
_vouchmark`
	return append([]string{"-f", "-c", script, "zsh"}, quotedFor(words)...)
}

// fishLine asks fish itself.
func fishLine(words []string) []string {
	line := "vouchmark"
	for _, w := range words {
		line += " " + strings.ReplaceAll(w, " ", `\ `)
	}
	return []string{"--no-config", "-c", "vouchmark completion fish | source; complete -C $argv[1]", line}
}

// quotedFor are words as somebody types them, before the shell removes the quotes.
func quotedFor(words []string) []string {
	typed := make([]string, len(words))
	for i, w := range words {
		typed[i] = strings.ReplaceAll(w, " ", `\ `)
	}
	return typed
}

// The manual page is without fault for both programs that format it.
func TestManualPage(t *testing.T) {
	need(t, "mandoc", "man", "groff")
	s := build(t)
	page := filepath.Join(t.TempDir(), "vouchmark.1")
	if err := os.WriteFile(page, run(t, s.program, "man"), 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mandoc", "-T", "lint", page).CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("mandoc -T lint: %v\n%s", err, out)
	}
	c := exec.Command("man", "--warnings", "-P", "cat", "-l", page)
	c.Env = append(os.Environ(), "MANWIDTH=78", "LC_ALL=C.UTF-8")
	var warnings strings.Builder
	c.Stderr = &warnings
	out, err := c.Output()
	if err != nil || warnings.Len() > 0 {
		t.Errorf("man --warnings: %v\n%s", err, warnings.String())
	}
	for _, want := range []string{"change settle CHANGE", "--all-or-none", "NO_COLOR", "EXIT STATUS"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("the page does not have %q", want)
		}
	}
}
