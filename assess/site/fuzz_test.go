package site

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"

	"vouchmark/testdata/suite"
)

// depth is how deep tables and lists of a decoded text are within each other.
func depth(v any) int {
	deepest := 0
	switch v := v.(type) {
	case map[string]any:
		for _, of := range v {
			deepest = max(deepest, 1+depth(of)) // its key is a level, and its table the same one
			if _, list := of.([]any); list {
				deepest = max(deepest, 1+depth(of))
			}
		}
	case []map[string]any:
		for _, of := range v {
			deepest = max(deepest, depth(of))
		}
	case []any:
		deepest = 1
		for _, of := range v {
			deepest = max(deepest, 1+depth(of))
		}
	}
	return deepest
}

// FuzzTOML: whatever is in a text, the scan finds what is beyond a limit before the library does,
// and what it lets pass asks for no more memory than so much.
func FuzzTOML(f *testing.F) {
	for _, text := range []string{
		goodPolicy, "x = [[1, 2.5], []] # [\n[a.b]\nc.\"d.e\" = { f = 1, g = {} }\n[[h]]\ni = 1979-05-27\n", `x = """\"""" # """` + "\ny = [[]]",
		"x = ['''a''''', [[]]]", strings.Repeat("a.", 15) + "a = 1", "x = " + strings.Repeat("[", 15) + strings.Repeat("]", 15),
		"[" + strings.Repeat("a.", 15) + "a]", "x = {a={a={a={a={a={a={a={a={a={a={a={a={a={a={a=1}}}}}}}}}}}}}}}", "\"\" = ''\n'' = 1", "x = [{a.b = 1}, {}]",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > suite.Longest {
			return
		}
		var fault *tomlFault
		suite.Bounded(t, len(text), 64, 1<<16, func() { fault = scanTOML(text) })
		suite.Bounded(t, len(text), 256, 1<<16, func() { keyLines(text) })
		if fault != nil {
			if fault.line < 1 || fault.line > 1+strings.Count(text, "\n") || fault.found == "" || fault.expected == "" {
				t.Errorf("%+v", fault)
			}
			return
		}
		values := map[string]any{}
		suite.Bounded(t, len(text), 2048, 1<<17, func() {
			if toml.Unmarshal([]byte(text), &values) != nil {
				values = nil
			}
		})
		if d := depth(values); d > deepestTOML {
			t.Errorf("%d levels pass", d)
		}
	})
}

// FuzzCurve: a curve that is read can be true, and is read again from its points.
func FuzzCurve(f *testing.F) {
	for _, text := range []string{
		"current_a,total_clearing_max_s,pickup_tolerance_percent\n800,12,10\n4000,0.05,\n", "current_ka;total_clearing_max_ms\r\n1;10000\r\n10;100,5\r\n",
		"\ufeffcurrent_a\ttotal_clearing_max_cycles\n\"1000\"\t600\n10000\t6", "current_a,melting_s\n1,1\n", "current_a,total_clearing_max_s\n1e999,-1\n,\n", "\"", "\n\n,\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > suite.Longest {
			return
		}
		suite.Bounded(t, len(text), 256, 1<<18, func() {
			c, err := ReadCurve("c.csv", []byte(text), 60)
			var ps Problems
			if err != nil {
				if !errors.As(err, &ps) || c != nil || len(ps) == 0 || len(ps) > mostProblems+1 {
					t.Errorf("%v, %v", c, err)
				}
				return
			}
			for i, p := range c.Points {
				if !(p.CurrentA > 0) || !(p.TimeS >= 0) || i > 0 && !(p.CurrentA > c.Points[i-1].CurrentA) {
					t.Errorf("the point %+v of %+v", p, c.Points)
				}
			}
			again := *c
			again.Points = slices.Clone(c.Points)
			if err := again.Read(); err != nil || again.Digest() != c.Digest() {
				t.Errorf("%v: %v", c.Points, err)
			}
		})
	})
}
