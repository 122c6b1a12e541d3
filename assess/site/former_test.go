package site

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
)

// Each text, and what becomes of it where X is added.
func TestAddFormer(t *testing.T) {
	for what, c := range map[string][2]string{
		"an empty list":            {"former = []\n", "former = [\"X\"]\n"},
		"an empty list with room":  {"former = [ ]\n", "former = [\"X\" ]\n"},
		"one":                      {"former = [\"A\"]\n", "former = [\"A\", \"X\"]\n"},
		"with a comma":             {"former = [\"A\",]\n", "former = [\"A\", \"X\",]\n"},
		"with a comment":           {"former = ['A'] # gone\n", "former = ['A', \"X\"] # gone\n"},
		"without blanks":           {"former=['A','B']\n", "former=['A','B', \"X\"]\n"},
		"a quoted key":             {"\"former\" = ['A']\n", "\"former\" = ['A', \"X\"]\n"},
		"a key in marks":           {"'former' = ['A']\n", "'former' = ['A', \"X\"]\n"},
		"a key with an escape":     {"\"\\u0066ormer\" = ['A']\n", "\"\\u0066ormer\" = ['A', \"X\"]\n"},
		"over lines":               {"former = [\n\t'A', # old\n\t'B', # older\n]\n", "former = [\n\t'A', # old\n\t'B', # older\n\t\"X\",\n]\n"},
		"over lines, no comma":     {"former = [\n  'A',\n  'B' # older\n]\n", "former = [\n  'A',\n  'B', # older\n  \"X\"\n]\n"},
		"over lines, a late comma": {"former = [\n  'A' # old\n  ,\n]\n", "former = [\n  'A' # old\n  ,\n  \"X\",\n]\n"},
		"over lines, bracket":      {"former = [\n  'A',\n  'B']\n", "former = [\n  'A',\n  'B', \"X\"]\n"},
		"first on its line":        {"former = ['A', # old\n]\n", "former = ['A', # old\n  \"X\",\n]\n"},
		"empty over lines":         {"former = [\n  # none yet ]\n]\n", "former = [\n  # none yet ]\n  \"X\"\n]\n"},
		"empty with a comment":     {"former = [ # none\n  ]\n", "former = [ # none\n  \"X\"\n  ]\n"},
		"brackets in texts":        {"former = ['A]', \"B]\\\"]\"] # ]\n", "former = ['A]', \"B]\\\"]\", \"X\"] # ]\n"},
		"brackets in comments":     {"former = [ # ]\n 'A', # \"]\n # ['B']\n]\n", "former = [ # ]\n 'A', # \"]\n # ['B']\n \"X\",\n]\n"},
		"texts of several lines":   {"former = [\"\"\"A\"\"\",\n'''B''']\n", "former = [\"\"\"A\"\"\",\n'''B''', \"X\"]\n"},
		"of another system":        {"former = [\r\n  'A', # old\r\n]\r\n", "former = [\r\n  'A', # old\r\n  \"X\",\r\n]\r\n"},
		"below other keys":         {"name = \"\"\"\nformer = ['no']\n\"\"\"\nformer = []\n[former_table]\n", "name = \"\"\"\nformer = ['no']\n\"\"\"\nformer = [\"X\"]\n[former_table]\n"},

		"no key":                     {"name = 'x'\n", "name = 'x'\nformer = [\"X\"]\n"},
		"no key, no end":             {"name = 'x'", "name = 'x'\nformer = [\"X\"]\n"},
		"no key, a comment":          {"name = 'x' # y", "name = 'x' # y\nformer = [\"X\"]\n"},
		"no key, other system":       {"name = 'x'\r\n\r\n[[ladder]]\r\n", "name = 'x'\r\nformer = [\"X\"]\r\n\r\n[[ladder]]\r\n"},
		"no key, a table":            {"name = 'x'\n\n# the ladder\n[[ladder]]\nformer = ['no']\n", "name = 'x'\nformer = [\"X\"]\n\n# the ladder\n[[ladder]]\nformer = ['no']\n"},
		"no key, a long value":       {"languages = [\n  'en',\n]\n\n[x]\n", "languages = [\n  'en',\n]\nformer = [\"X\"]\n\n[x]\n"},
		"no key, a long text":        {"name = '''\n[x]\nformer = 1'''\n[x]\n", "name = '''\n[x]\nformer = 1'''\nformer = [\"X\"]\n[x]\n"},
		"no key, tables alone":       {"# policy\n[x]\n", "former = [\"X\"]\n# policy\n[x]\n"},
		"no key, comments":           {"# former = ['A']\nname = 'x'\n# end\n", "# former = ['A']\nname = 'x'\nformer = [\"X\"]\n# end\n"},
		"no key, a key in a comment": {"name = 'x'\n# a = b\n[x]\n", "name = 'x'\nformer = [\"X\"]\n# a = b\n[x]\n"},
		"nothing":                    {"", "former = [\"X\"]\n"},
		"a mark of byte order":       {"\ufeffname = 'x'\n", "\ufeffname = 'x'\nformer = [\"X\"]\n"},
		"such a mark alone":          {"\ufeff", "\ufeffformer = [\"X\"]\n"},
		"such a mark and a key":      {"\ufeffformer = ['A']\n", "\ufeffformer = ['A', \"X\"]\n"},
		"a key that begins so":       {"former_x = ['A']\n", "former_x = ['A']\nformer = [\"X\"]\n"},
	} {
		got, err := AddFormer([]byte(c[0]), []string{"X"})
		if string(got) != c[1] || err != nil {
			t.Errorf("%s: %q, %v; want %q", what, got, err, c[1])
		}
		if again, err := AddFormer(got, []string{"X"}); string(again) != string(got) || err != nil {
			t.Errorf("%s, again: %q, %v", what, again, err)
		}
	}
}

// Ids come once, in the order given, quoted as TOML has it; without a new one
// the text stays as it is, byte for byte.
func TestAddFormerIDs(t *testing.T) {
	for _, c := range []struct {
		old  string
		ids  []string
		want string
	}{
		{"former = ['B']\n", []string{"C", "A", "C", "B"}, "former = ['B', \"C\", \"A\"]\n"},
		{"former = ['B',]\n", []string{"B"}, "former = ['B',]\n"},
		{"name = 'x'", nil, "name = 'x'"},
		{"name = 'x'", []string{"", " "}, "name = 'x'"},
		{"former = ['A  B']\n", []string{" A B"}, "former = ['A  B']\n"}, // as the reader takes it
		{"", []string{`a"b`, `c\d`, "é"}, "former = [\"a\\\"b\", \"c\\\\d\", \"é\"]\n"},
	} {
		if got, err := AddFormer([]byte(c.old), c.ids); string(got) != c.want || err != nil {
			t.Errorf("%q and %q: %q, %v; want %q", c.old, c.ids, got, err, c.want)
		}
	}
}

// What cannot be edited is left, and the error says what to write by hand.
func TestAddFormerByHand(t *testing.T) {
	for _, old := range []string{"former = 'A'\n", "former = ['A', 1]\n", "former = [['A']]\n", "former = {}\n", "[former]\n", "[[former]]\n",
		"former.x = 1\n", "former = [\n", "name = \n", "former = []\nformer = []\n", "name = nan\n", "name = '\xff'\n"} {
		got, err := AddFormer([]byte(old), []string{"X", "Y"})
		if got != nil || err == nil || !strings.Contains(err.Error(), `add "X", "Y" to the list former there (former = [...], before the first table)`) {
			t.Errorf("%q: %q, %v", old, got, err)
		}
	}
	if got, err := AddFormer(nil, []string{"a\xffb"}); err == nil {
		t.Errorf("%q", got)
	}
}

// onlyMore reports whether a text has all bytes of another one in their order, and
// at most so many more.
func onlyMore(old, now []byte, more int) bool {
	rest := old
	for _, b := range now {
		if len(rest) > 0 && b == rest[0] {
			rest = rest[1:]
		}
	}
	return len(rest) == 0 && len(now) <= len(old)+more
}

// However a list is laid out, the policy is the previous one with the new ids after
// the others, no byte of the text is lost, and each comment stays behind
// its item.
func TestAddFormerAnyLayout(t *testing.T) {
	policy, err := starter.ReadFile("starter/" + policyFile)
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(5, 1))
	pick := func(all ...string) string { return all[r.IntN(len(all))] }
	for range 3000 {
		end := pick("\n", "\n", "\r\n")
		gap := func() string { return pick("", "", " ", "\t", end, end+"  ", " # x, ] [ \"'"+end, end+"# 'y',"+end) }
		list, ids := pick("former = ", "former=", "\"former\" = ")+"["+gap(), []string{}
		for i := range r.IntN(4) {
			if i > 0 {
				list += "," + gap()
			}
			id := pick("A", "B 2", "C]", "D,", "E#")
			list, ids = list+pick(`"`+id+`"`, `'`+id+`'`, `"""`+id+`"""`)+gap(), append(ids, id)
		}
		if len(ids) > 0 && r.IntN(2) == 0 {
			list += "," + gap()
		}
		list += "]" + pick("", " # z")
		text := strings.ReplaceAll(strings.Replace(string(policy), "\nname = ", "\n"+list+"\nname = ", 1), "\n", end)
		text = strings.ReplaceAll(text, "\r\r\n", "\r\n")
		was := fstest.MapFS{policyFile: &fstest.MapFile{Data: []byte(text)}}
		before, err := ReadPolicy(was, Options{})
		if err != nil || !slices.Equal(before.Former, append([]string(nil), ids...)) {
			t.Fatalf("%q: %q, %v", list, before.Former, err)
		}
		got, err := AddFormer([]byte(text), []string{"X", "Y"})
		if err != nil {
			t.Fatalf("%q: %v", list, err)
		}
		after, err := ReadPolicy(fstest.MapFS{policyFile: &fstest.MapFile{Data: got}}, Options{})
		if err != nil || !slices.Equal(after.Former, append(ids, "X", "Y")) || !onlyMore([]byte(text), got, len(`,\r\n  "X", "Y",`)) {
			t.Fatalf("%q: %q, %v\n%s", list, after.Former, err, got[:200])
		}
		if end == "\r\n" && strings.Count(string(got), "\n") != strings.Count(string(got), "\r\n") {
			t.Fatalf("%q: lines end in two ways", list)
		}
		for _, line := range strings.Split(string(got), "\n") {
			if code, _, comment := strings.Cut(line, "# x"); comment && strings.Contains(code, `"X"`) {
				t.Fatalf("%q: a comment is behind an item that is not its own: %s", list, line)
			}
		}
	}
}

// The policy of a text to which ids are added is otherwise the same as before.
// Its numbers of lines are not compared: they move.
func FuzzAddFormer(f *testing.F) {
	for _, text := range []string{"", "former = []\n", "former = [\n 'A', # a\n]\n", "x = '''\n'''\r\n[a]\r\n", "\ufeffa.b = {c = [1, {d = 'e'}]}\n[[f]]\n"} {
		f.Add(text, "X", "A")
	}
	starters, err := starter.ReadFile("starter/" + policyFile)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(starters), "MCC 1", `"`)
	f.Fuzz(func(t *testing.T, text, one, other string) {
		got, err := AddFormer([]byte(text), []string{one, other})
		if err != nil {
			return
		}
		if !onlyMore([]byte(text), got, 6*(len(one)+len(other))+40) {
			t.Errorf("%q lost something: %q", text, got)
		}
		read := func(text []byte) (*assess.Policy, bool) {
			p, err := ReadPolicy(fstest.MapFS{policyFile: &fstest.MapFile{Data: text}}, Options{})
			var wrong Problems
			if err != nil {
				wrong = err.(Problems)
			}
			return p, len(wrong) == 0
		}
		was, fine := read([]byte(text))
		is, good := read(got)
		if good != fine && fine && !has(one) && !has(other) {
			t.Fatalf("%q is bad input with %q: %q", text, []string{one, other}, got)
		}
		if !fine || !good {
			return
		}
		for _, id := range []string{one, other} {
			if id = cleanText(id); id != "" && !slices.Contains(is.Former, id) {
				t.Errorf("%q lacks %q", got, id)
			}
		}
		clear := func(p *assess.Policy) {
			p.Former = nil
			for i := range p.Ladder {
				p.Ladder[i].Line = 0
			}
			for i := range p.Accept {
				p.Accept[i].Line = 0
			}
			for i := range p.Findings {
				p.Findings[i].Line, p.Findings[i].Message = 0, ""
			}
		}
		clear(was)
		clear(is)
		if !reflect.DeepEqual(was, is) {
			t.Errorf("%q reads as %+v, and %q as %+v", text, was, got, is)
		}
	})
}

// has reports whether no policy takes a text as an id.
func has(id string) bool {
	_, found, _ := Options{}.read(id, kindText)
	return found != ""
}
