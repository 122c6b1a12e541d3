package site

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/BurntSushi/toml"

	"vouchmark/assess/infile"
)

// allocated is how many bytes a function asks for.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// The limits hold at their edges, in whatever way a text comes to them.
func TestScanTOML(t *testing.T) {
	many := strings.Repeat
	for _, c := range []struct {
		text string
		line int // of what is beyond a limit; 0 for nothing
	}{
		{"x = " + many("[", 15) + many("]", 15), 0},
		{"\nx = " + many("[", 16) + many("]", 16), 2},
		{"x = " + many("{a=", 15) + "1" + many("}", 15), 0},
		{"x = " + many("{a=", 16) + "1" + many("}", 16), 1},
		{many("a.", 15) + "a = 1", 0},
		{many("a.", 16) + "a = 1", 1},
		{many(`"a" . `, 16) + "a = 1", 1},
		{"[" + many("a.", 15) + "a]", 0},
		{"[[" + many("a.", 16) + "a]]", 1},
		{"[" + many("a.", 14) + "a]\nb = 1", 0},
		{"[" + many("a.", 14) + "a]\nb.c = 1", 2},
		{"[" + many("a.", 14) + "a]\nb = 1\n[c]\nd.e = 1", 0},
		{"[" + many("a.", 7) + "a]\nb = {" + many("c.", 6) + "c = 1}", 0},
		{"[" + many("a.", 7) + "a]\nb = {" + many("c.", 7) + "c = 1}", 2},
		{"[" + many("a.", 7) + "a]\nb = [{" + many("c.", 3) + "c = []}]", 0},
		{"[" + many("a.", 7) + "a]\nb = [{" + many("c.", 3) + "c = [[]]}]", 2},
		{"x = [" + many("[1.5], ", 100) + "1.5]\ny = 1.5", 0},
		{"x = [" + many("{a.b = 1}, ", 100) + "{}]", 0},
		{"x = [" + many("#"+many("[", 20)+"\n", 3) + "]", 0},
		{"x = { # " + many("long ", 500) + "\n a = 1 }", 0},

		// Texts have brackets and dots of their own, and may not hide those behind them.
		{`x = "` + many("[", 20) + `"`, 0},
		{`x = "\"` + many("[", 20) + `"`, 0},
		{"x = '\\'\ny = " + many("[", 16), 2},
		{`x = """\"""" # """` + "\ny = " + many("[", 16), 2},
		{`x = ["""a""""", ` + many("[", 16), 1},
		{`x = ['''a'''', ` + many("[", 16), 1},
		{`x = ['''a''''', ` + many("[", 16), 1},
		{`x = ["""\\""", ` + many("[", 16), 1},
		{`x = ["", '', ` + many("[", 16), 1},
		{"x = \"\"\"\n" + many("[", 20) + "\"\"\"", 0},
		{`"a#" = 1` + "\n'#' = " + many("[", 16), 2},

		{many("k", longestKey) + "=1", 0},
		{many("k", longestKey+1) + "=1", 1},
		{"[" + many("k", longestKey) + "]", 0},
		{"[" + many("k", longestKey+1) + "]", 1},
		{"x = {" + many("k", longestKey+1) + "=1}", 1},
		{many("k=1\n", mostNames/(1+perLevel)), 0},
		{many("k=1\n", mostNames/(1+perLevel)+1), mostNames/(1+perLevel) + 1},
		{"[" + many("h", 967) + "]\n" + many("k=1\n", (mostNames-967-perLevel)/(968+2*perLevel)), 0},
		{"[" + many("h", 967) + "]\n" + many("k=1\n", (mostNames-967-perLevel)/(968+2*perLevel)+1), (mostNames-967-perLevel)/(968+2*perLevel) + 2},
	} {
		f := scanTOML(c.text)
		if f == nil && c.line != 0 || f != nil && f.line != c.line {
			t.Errorf("%.80q: %+v, want line %d", c.text, f, c.line)
		}
		if _, err := toml.Decode(c.text, &map[string]any{}); c.line == 0 && err != nil && !strings.Contains(err.Error(), "already been defined") {
			t.Errorf("%.80q is not TOML: %v", c.text, err)
		}
	}
}

// What is within the limits asks for no more than so much memory, also where all of it is wrong.
func TestMemoryOfTOML(t *testing.T) {
	const size = infile.MiB
	lines := func(cost int, line string) string { // as many as the limit of names allows
		var b strings.Builder
		for i := range mostNames / cost / 4 {
			if b.Len() > size-200 {
				break
			}
			fmt.Fprintf(&b, line, i)
		}
		return b.String()
	}
	for what, text := range map[string]string{
		"levels":     lines(16*(35+16*perLevel), "a%d.b.c.d.e.f.g.h.i.j.k.l.m.n.o.p=1\n"),
		"two levels": lines(2*(9+2*perLevel), "a%d.b=1\n"),
		"tables":     lines(7+perLevel, "[a%d]\n"),
		"keys":       lines(7+perLevel, "%d=1\n"),
		"changes":    strings.Repeat("[[change]]\n", size/11),
		"lists":      "x=[" + strings.Repeat("[],", size/3-2) + "]\n",
		"numbers":    "x=[" + strings.Repeat("1,", size/2-2) + "]\n",
		"blanks":     strings.Repeat("\n", size),
		"a blank":    "x=[" + strings.Repeat("\n", size-10) + "]\n",
		"strangers": "[[change]]\ndate=2026-01-01\nat=\"P-1\"\nkind=\"fuse replaced\"\nby=\"x\"\n" +
			strings.Repeat("[[settlement]]\nchange=\"x\"\ndate=2026-01-01\nby=\"x\"\nscope=\"all\"\nreason=\"x\"\n", size/78-1),
	} {
		folder := fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(goodRows)}, "changes.toml": {Data: []byte(text)}}
		var err error
		took := allocated(func() { _, err = Read(folder, Options{Languages: []string{"en", "es"}}) })
		if ps, _ := err.(Problems); what != "blanks" && ps == nil || len(ps) > mostProblems+1 {
			t.Errorf("%s: %d problems", what, len(ps))
		}
		if most := uint64(400 * size); took > most {
			t.Errorf("%s: %d MB for %d KB", what, took>>20, len(text)>>10)
		}
	}
}
