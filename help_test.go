package main

import (
	"regexp"
	"strings"
	"testing"
)

// stumbling are words that a reader of the help does not understand, or that name a type of the
// program in place of what to enter.
var stumbling = regexp.MustCompile(`\bstring(Array|Slice)?\b|\[=true\|false\]|--\S+ (int|ints|float|strings)\b|\bput on\b|` +
	`\bfine\b|counts as deep|\blg\b|cm2\b|, (v|kv|ka|kva|in in)$|\bjudge[sd]?\b|\bheadroom\b|\bdrift\b`)

// Every command's help says what it does, what it writes, and how it is called; every flag that takes
// a value says which.
func TestHelpReads(t *testing.T) {
	flag := regexp.MustCompile(`(?m)^  --(\S+)(?: (\S+))?`)
	for i := range table {
		c := &table[i]
		code, help, stderr := call(t, append(strings.Fields(c.Name), "--help")...)
		if code != 0 || stderr != "" {
			t.Errorf("%s: exit %d\n%s", c.Name, code, stderr)
		}
		for line := range strings.Lines(help) {
			if words := stumbling.FindString(strings.TrimSpace(line)); words != "" {
				t.Errorf("%s: %q in: %s", c.Name, words, line)
			}
			if n := len([]rune(strings.TrimRight(line, "\n"))); n > 100 {
				t.Errorf("%s: %d characters: %s", c.Name, n, line)
			}
		}
		for _, part := range []string{"Usage: vouchmark " + c.Name, "\nExample:\n  vouchmark " + c.Name + "", "\nCommon flags:\n"} {
			if !strings.Contains(help, part) && !(c.Name == "completion" && strings.Contains(part, "Example")) {
				t.Errorf("%s: the help does not have %q", c.Name, part)
			}
		}
		if c.About == "" || !strings.HasSuffix(c.About, ".") || strings.HasSuffix(c.Short, ".") {
			t.Errorf("%s: %q, %q", c.Name, c.Short, c.About)
		}
		usage, _, _ := strings.Cut(help, "\n")
		if hasFlags := strings.Contains(help, "\nFlags:\n") || !c.NoSite || !c.NoJSON; hasFlags != strings.Contains(usage, "[flags]") {
			t.Errorf("%s: %s", c.Name, usage)
		}
		for _, f := range flag.FindAllStringSubmatch(help, -1) {
			if value := f[2]; value != "" && strings.ToLower(value) == value && !strings.Contains(value, "|") {
				t.Errorf("%s: --%s takes %q, which is not a name in capitals", c.Name, f[1], value)
			}
		}
	}
}

// The examples of the help are calls that the program understands.
func TestHelpExamples(t *testing.T) {
	for i := range table {
		c := &table[i]
		for line := range strings.SplitSeq(c.Example, "\n") {
			if strings.HasPrefix(line, "source ") {
				continue
			}
			line, _, _ = strings.Cut(line, " > ")
			args := typed(strings.TrimPrefix(line, "vouchmark "))
			if code, _, stderr := call(t, append(args, "--help")...); code != 0 {
				t.Errorf("%s: exit %d\n%s", line, code, stderr)
			}
			if !strings.HasPrefix(strings.Join(args, " "), c.Name) {
				t.Errorf("the example of %s is %s", c.Name, line)
			}
		}
	}
}

// typed are the words of a command line, of which some are in double quotes.
func typed(line string) []string {
	var words []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			words = append(words, part)
		} else {
			words = append(words, strings.Fields(part)...)
		}
	}
	return words
}

// Nearly every command and flag that is mistyped by one letter is named.
func TestMistyped(t *testing.T) {
	for i := range table {
		name := table[i].Name
		wrong := name[:len(name)-1] + "z"
		code, _, stderr := call(t, strings.Fields(wrong)...)
		if code != 2 || !strings.Contains(stderr, `"`+name+`"`) {
			t.Errorf("%s: exit %d, %s", wrong, code, stderr)
		}
	}
}
