package site

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/BurntSushi/toml"

	"vouchmark/assess"
)

// The TOML library tells the position of broken syntax only, and stops at the
// first value of a wrong type. So a file is decoded into plain maps, every key
// is asked for by name and type here, and lines come from a scan of the keys.

// node is one table of a TOML file. Each key that is asked for is known; done
// reports the others.
type node struct {
	file     string
	path     string // "" for the root, else "ladder[1]."
	values   map[string]any
	lines    map[string]int // of the whole file, by path
	problems *problems
	options  Options
	kind     kind // of its texts
	known    []string
}

// parseTOML decodes a file. Broken syntax is one problem, and a nil node.
func parseTOML(file string, data []byte, ps *problems, o Options) *node {
	data, ok := decodeUTF8(file, data, ps)
	if !ok {
		return nil
	}
	values := map[string]any{}
	if err := toml.Unmarshal(data, &values); err != nil {
		p := Problem{File: file, Found: err.Error(), Expected: "a TOML file"}
		var e toml.ParseError
		if errors.As(err, &e) {
			p = Problem{File: file, Line: e.Position.Line, Column: fmt.Sprintf("character %d", e.Position.Col),
				Found: "broken syntax (" + e.Message + ")", Expected: "a TOML file", Do: "nothing was read; mend this line first"}
		}
		ps.add(p)
		return nil
	}
	return &node{file: file, values: values, lines: keyLines(data), problems: ps, options: o, kind: kindText}
}

func (n *node) line(key string) int {
	if l := n.lines[n.path+key]; l > 0 {
		return l
	}
	return n.lines[strings.TrimSuffix(n.path, ".")] // the table's own heading
}

func (n *node) fault(key, found, expected, do string) {
	n.problems.add(Problem{File: n.file, Line: n.line(key), Column: n.path + key, Found: found, Expected: expected, Do: do})
}

// value asks for a key; must reports it where it is missing.
func (n *node) value(key string, must bool, expected string) (any, bool) {
	n.known = append(n.known, key)
	v, ok := n.values[key]
	if !ok && must {
		n.fault(key, "no such key", expected, "it has no default: the owner decides it")
	}
	return v, ok
}

func (n *node) wrong(key string, v any, expected string) {
	found := fmt.Sprint(v)
	switch v := v.(type) {
	case string:
		found = quote(v)
	case time.Time:
		found = v.Format(time.RFC3339)
	case map[string]any, []map[string]any:
		found = "a table"
	case []any:
		found = "a list"
	}
	n.fault(key, found, expected, "")
}

// prose is a text that may be broken over lines.
func (n *node) prose(key string, must bool) string {
	of := *n
	of.kind = kindNote
	s := of.text(key, must, "")
	n.known = of.known
	return s
}

// text is a string that a label can show. The default is def.
func (n *node) text(key string, must bool, def string) string {
	const expected = "a text in quotation marks"
	v, ok := n.value(key, must, expected)
	if !ok {
		return def
	}
	s, ok := v.(string)
	if !ok {
		n.wrong(key, v, expected)
		return def
	}
	s, found, want := n.options.read(s, n.kind)
	if s == "" && must {
		n.fault(key, "an empty text", "some text", "")
	}
	if found != "" {
		n.fault(key, found, want, "correct the text")
		return def
	}
	return s
}

// word is one of the words known, def where the key is missing.
func (n *node) word(key string, must bool, def string, known ...string) string {
	s := n.text(key, must, def)
	if s != "" && !slices.Contains(known, s) {
		n.fault(key, quote(s), "one of "+strings.Join(known, ", "), "")
		return def
	}
	return s
}

// number is a number within [least, most].
func (n *node) number(key string, must bool, def, least, most float64, expected string) float64 {
	v, ok := n.value(key, must, expected)
	if !ok {
		return def
	}
	f, ok := v.(float64)
	if i, whole := v.(int64); whole {
		f, ok = float64(i), true
	}
	if !ok || !(f >= least && f <= most) { // not a NaN either
		n.wrong(key, v, expected)
		return def
	}
	return assess.Round9(f)
}

func (n *node) whole(key string, must bool, def, least, most int, expected string) int {
	v, ok := n.value(key, must, expected)
	if !ok {
		return def
	}
	i, ok := v.(int64)
	if !ok || i < int64(least) || i > int64(most) {
		n.wrong(key, v, expected)
		return def
	}
	return int(i)
}

// numbers is a list of count numbers within [least, most]; zeros where it is
// missing or wrong.
func (n *node) numbers(key string, must bool, count int, least, most float64, expected string) []float64 {
	out := make([]float64, count)
	v, ok := n.value(key, must, expected)
	if !ok {
		return out
	}
	items, ok := v.([]any)
	if !ok || len(items) != count {
		n.wrong(key, v, expected)
		return out
	}
	for i, item := range items {
		f, ok := item.(float64)
		if whole, is := item.(int64); is {
			f, ok = float64(whole), true
		}
		if !ok || !(f >= least && f <= most) {
			n.wrong(key, item, fmt.Sprintf("%s, each from %.4g to %.4g", expected, least, most))
			return make([]float64, count)
		}
		out[i] = f
	}
	return out
}

func (n *node) yes(key string) bool {
	v, ok := n.value(key, false, "")
	if !ok {
		return false
	}
	b, ok := v.(bool)
	if !ok {
		n.wrong(key, v, "true or false")
	}
	return b
}

// date is a local date, or an ISO date in quotation marks.
func (n *node) date(key string, must bool) assess.Date {
	const expected = "a date such as 2026-03-14"
	v, ok := n.value(key, must, expected)
	if !ok {
		return assess.Date{}
	}
	switch v := v.(type) {
	case time.Time:
		if v.Location().String() == "date-local" { // the library's mark for a date without a clock
			if d := assess.DateOf(v); d.Time().Year() >= 1900 {
				return d
			}
		}
	case string:
		if d, err := assess.ParseDate(v); err == nil {
			return d
		}
	}
	n.wrong(key, v, expected)
	return assess.Date{}
}

// list is a list of texts.
func (n *node) list(key string, must bool) []string {
	const expected = `a list of texts, such as ["one", "two"]`
	v, ok := n.value(key, must, expected)
	if !ok {
		return nil
	}
	items, ok := v.([]any)
	if !ok {
		n.wrong(key, v, expected)
		return nil
	}
	var out []string
	for _, item := range items {
		s, ok := item.(string)
		if !ok {
			n.wrong(key, item, expected)
			continue
		}
		s, found, want := n.options.read(s, n.kind)
		if found != "" {
			n.fault(key, found, want, "correct the text")
		} else if s == "" {
			n.fault(key, "an empty text in the list", "some text", "")
		} else {
			out = append(out, s)
		}
	}
	return out
}

// words is a list under key for every language, and key_LANG for one.
func (n *node) words(key string, must bool) assess.Words {
	w := assess.Words{}
	if l := n.list(key, must); l != nil {
		w[""] = l
	}
	for _, lang := range n.options.languages() {
		if l := n.list(key+"_"+lang, false); l != nil {
			w[lang] = l
		}
	}
	return w
}

// tables are the tables of [[key]].
func (n *node) tables(key string, must bool) []*node {
	expected := "[[" + key + "]], once for each"
	v, ok := n.value(key, must, expected)
	if !ok {
		return nil
	}
	maps, ok := v.([]map[string]any)
	if !ok {
		n.wrong(key, v, expected)
		return nil
	}
	out := make([]*node, len(maps))
	for i, m := range maps {
		out[i] = &node{file: n.file, path: fmt.Sprintf("%s%s[%d].", n.path, key, i+1), values: m, lines: n.lines, problems: n.problems, options: n.options, kind: n.kind}
	}
	return out
}

// done reports the keys that nobody asked for.
func (n *node) done() {
	for _, key := range slices.Sorted(maps.Keys(n.values)) {
		if !slices.Contains(n.known, key) {
			n.fault(key, "an unknown key", "a known one; the nearest is "+nearest(key, n.known), "a key that is not read decides nothing")
		}
	}
}

// keyLines finds the line of every key and table heading. Paths are those of
// node: "name", "ladder[2]", "ladder[2].kit", "columns.id".
func keyLines(data []byte) map[string]int {
	lines := map[string]int{}
	count := map[string]int{} // tables of each [[name]] so far
	prefix := ""
	var open scan
	for i, l := range bytes.Split(data, []byte("\n")) {
		text := strings.TrimSpace(string(l))
		if !open.inside() {
			switch {
			case strings.HasPrefix(text, "[["):
				name := bareKey(text[2:], "]")
				count[name]++
				prefix = fmt.Sprintf("%s[%d].", name, count[name])
				lines[strings.TrimSuffix(prefix, ".")] = i + 1
				if count[name] == 1 {
					lines[name] = i + 1
				}
				continue
			case strings.HasPrefix(text, "["):
				prefix = bareKey(text[1:], "]") + "."
				lines[strings.TrimSuffix(prefix, ".")] = i + 1
				continue
			}
			if key, _, ok := strings.Cut(text, "="); ok && !strings.HasPrefix(text, "#") {
				lines[prefix+bareKey(key, "=")] = i + 1
			}
		}
		open.line(string(l))
	}
	return lines
}

func bareKey(s, end string) string {
	s, _, _ = strings.Cut(s, end)
	s = strings.TrimSpace(s)
	if key, err := strconv.Unquote(s); err == nil && s[0] == '"' { // its escapes are those of TOML, all but a few
		return key
	}
	return strings.Trim(s, `"'`)
}

// scan follows brackets and strings over lines, so that a line inside a value
// is not taken for a key.
type scan struct {
	depth int
	quote string // the mark that ends the string of several lines, or ""
}

func (s *scan) inside() bool { return s.depth > 0 || s.quote != "" }

func (s *scan) line(l string) {
	for len(l) > 0 {
		if s.quote != "" {
			_, rest, found := strings.Cut(l, s.quote)
			if !found {
				return
			}
			s.quote, l = "", rest
			continue
		}
		switch c := l[0]; {
		case strings.HasPrefix(l, `"""`), strings.HasPrefix(l, `'''`):
			s.quote, l = l[:3], l[3:]
			continue
		case c == '"' || c == '\'':
			l = afterString(l[1:], c)
			continue
		case c == '#':
			return
		case c == '[' || c == '{':
			s.depth++
		case c == ']' || c == '}':
			s.depth--
		}
		l = l[1:]
	}
}

// afterString is what follows a string of one line.
func afterString(l string, quote byte) string {
	for i := 0; i < len(l); i++ {
		if l[i] == '\\' && quote == '"' {
			i++
		} else if l[i] == quote {
			return l[i+1:]
		}
	}
	return ""
}
