package commands

import (
	"strings"
	"testing"
)

func TestColored(t *testing.T) {
	for _, c := range []struct {
		how      when
		env      string
		terminal bool
		want     bool
	}{
		{"auto", "", true, true},
		{"auto", "", false, false},
		{"always", "NO_COLOR=1 TERM=dumb", false, true}, // the flag comes first
		{"never", "FORCE_COLOR=1 CLICOLOR_FORCE=1", true, false},
		{"auto", "NO_COLOR=1", true, false},
		{"auto", "NO_COLOR=yes", true, false},
		{"auto", "NO_COLOR=0", true, false}, // not empty
		{"auto", "NO_COLOR=", true, true},
		{"auto", "NO_COLOR=1 FORCE_COLOR=1", true, false},
		{"auto", "FORCE_COLOR=1", false, true},
		{"auto", "CLICOLOR_FORCE=1", false, true},
		{"auto", "CLICOLOR_FORCE=0", false, false},
		{"auto", "FORCE_COLOR=false", true, true}, // not forced; it is a terminal
		{"auto", "FORCE_COLOR=1 TERM=dumb", false, true},
		{"auto", "TERM=dumb", true, false},
		{"auto", "TERM=xterm-256color", true, true},
	} {
		env := map[string]string{"TERM": "xterm"}
		for _, v := range strings.Fields(c.env) {
			name, value, _ := strings.Cut(v, "=")
			env[name] = value
		}
		if got := c.how.on(func(name string) string { return env[name] }, c.terminal); got != c.want {
			t.Errorf("--color %s, %q, terminal %v: %v", c.how, c.env, c.terminal, got)
		}
	}
}

func TestColorFlag(t *testing.T) {
	for line, want := range map[string]when{
		"check": "auto", "check --color never": "never", "check --color=always --site x": "always",
		"check -- --color=always": "auto", "check --color": "auto",
	} {
		if got := whenOf(strings.Fields(line)); got != want {
			t.Errorf("%s: %s", line, got)
		}
	}
}

// Words are colored where they say what a label or a finding is, and only there.
func TestTinted(t *testing.T) {
	paint := func(look, word string) string { return look + word + usual }
	for line, want := range map[string]string{
		"MCC-4  WARNING  6.6  Kit B  holds until 2031":       "MCC-4  " + paint(warning, "WARNING") + "  6.6  Kit B  " + paint(good, "holds") + " until 2031",
		"SWB-1  DANGER   63   no work  in question since":    "SWB-1  " + paint(danger, "DANGER") + "   63   no work  " + paint(bad, "in question") + " since",
		"error    LP-12  locations.csv:14":                   paint(bad, "error") + "    LP-12  locations.csv:14",
		"caution  MCC-2  fed_from":                           paint(attend, "caution") + "  MCC-2  fed_from",
		"vouchmark: caution: the passphrase":                 "vouchmark: " + paint(attend, "caution") + ": the passphrase",
		"│  ├─ ● P1  480 V  DANGER":                          "│  ├─ ● P1  480 V  " + paint(danger, "DANGER"),
		"the label holds; an error is not DANGER":            "the label holds; an error is not DANGER",
		"X  errorless  DANGEROUS  holdsway":                  "X  errorless  DANGEROUS  holdsway",
		"holds: no change logged":                            paint(good, "holds") + ": no change logged",
		"COVER: printed too low · IN QUESTION since 2026-02": paint(bad, "COVER") + ": printed too low · IN QUESTION since 2026-02",
		"LOCATION  LABEL":                                    "LOCATION  LABEL",
		"":                                                   "",
	} {
		if got := tinted(line); got != want {
			t.Errorf("%q becomes\n%q, want\n%q", line, got, want)
		}
	}
}

// A control character of the data is replaced before a color is added, so that no data can
// begin or end a color.
func TestPlainThenColored(t *testing.T) {
	var b strings.Builder
	p := &plain{&b, true}
	if _, err := p.Write([]byte("P\x1b[31m1  DANGER  \u202eX\n")); err != nil {
		t.Fatal(err)
	}
	if got, want := b.String(), "P\ufffd[31m1  "+danger+"DANGER"+usual+"  \ufffdX\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	b.Reset()
	p.color = false
	p.Write([]byte("P\x1b[31m1  DANGER\n"))
	if got, want := b.String(), "P\ufffd[31m1  DANGER\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
