package site

import (
	"cmp"
	"errors"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/BurntSushi/toml"

	"vouchmark/assess"
)

// The TOML library gives positions only for syntax errors, and stops at the first value of a
// wrong type. So a file is decoded into plain maps, this file asks for every key by name and
// type, and lines come from a scan of the keys.

// node is one table of a TOML file. Each key that is asked for is known; done reports the others.
type node struct {
	*reader
	file   string
	path   string // "" for the root, else "ladder[1]."
	values map[string]any
	lines  *keyIndex // of the whole file, by path
	kind   kind      // of its texts
	known  []string
}

// readTOML reads a file; see [reader.file]. A syntax error is one problem, and gives a nil node.
func (r *reader) readTOML(file string, missing func()) *node {
	data, ok := r.file(file, missing)
	if !ok {
		return nil
	}
	return r.parseTOML(file, data)
}

// parseTOML is readTOML of a text.
func (r *reader) parseTOML(file string, data []byte) *node {
	if r.beyondLimits(file, data) {
		return nil
	}
	values := map[string]any{}
	if err := toml.Unmarshal(data, &values); err != nil {
		var e toml.ParseError
		errors.As(err, &e)
		r.report(file, e.Position.Line, fmt.Sprintf("character %d", e.Position.Col),
			"a syntax error ("+cmp.Or(e.Message, err.Error())+")", "a TOML file", "the file was not read; correct this line first")
		return nil
	}
	return &node{reader: r, file: file, values: values, lines: &keyIndex{text: string(data)}, kind: kindText}
}

// sub is a table within the node.
func (n *node) sub(name string, values map[string]any) *node {
	of := *n
	of.path, of.values, of.known = n.path+name+".", values, nil
	return &of
}

func (n *node) line(key string) int {
	lines := n.lines.all()
	if l := lines[n.path+key]; l > 0 {
		return l
	}
	return lines[strings.TrimSuffix(n.path, ".")] // the table's own heading
}

func (n *node) fault(key, found, expected, do string) {
	n.report(n.file, n.line(key), n.path+key, found, expected, do)
}

// faultIf reports a problem if a rule is broken.
func (n *node) faultIf(broken bool, key, found, expected, do string) {
	if broken {
		n.fault(key, found, expected, do)
	}
}

// wrong reports a wrong value.
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

// given asks whether a key is there.
func (n *node) given(key string) bool {
	n.known = append(n.known, key)
	_, ok := n.values[key]
	return ok
}

// ask reads the value of a key with read. It is def if the key is missing, which is reported with
// must, and if read refuses the value.
func ask[T any](n *node, key string, must bool, def T, expected string, read func(any) (T, bool)) T {
	if !n.given(key) {
		n.faultIf(must, key, "no such key", expected, "it has no default; the owner must decide it")
		return def
	}
	v, ok := read(n.values[key])
	if !ok {
		n.wrong(key, n.values[key], expected)
		return def
	}
	return v
}

// as reads a value of a type unchanged.
func as[T any](v any) (T, bool) {
	t, ok := v.(T)
	return t, ok
}

// text is a string that a label can show.
func (n *node) text(key string, must bool) string { return n.textOf(n.kind, key, must, "") }

// prose is a text that may have line breaks.
func (n *node) prose(key string, must bool) string { return n.textOf(kindNote, key, must, "") }

// answer is a text by which somebody takes responsibility, a name or a reason: a sign or a word
// for "nothing" is not accepted.
func (n *node) answer(key, text string) string {
	n.faultIf(text != "" && !assess.Says(text), key, quote(text), "a meaningful text", "a sign or a word for nothing is not accepted")
	return text
}

func (n *node) textOf(k kind, key string, must bool, def string) string {
	return ask(n, key, must, def, "a text in quotation marks", func(v any) (string, bool) {
		raw, ok := v.(string)
		if !ok {
			return "", false
		}
		n.faultIf(must && cleanText(raw) == "", key, "an empty text", "some text", "")
		if s, ok := n.clean(k, key, raw); ok {
			return s, true
		}
		return def, true
	})
}

// clean makes one line of a text, and reports one that a label cannot show.
func (n *node) clean(k kind, key, raw string) (string, bool) {
	s, found, expected := n.read(raw, k)
	n.faultIf(found != "", key, found, expected, "correct the text")
	return s, found == ""
}

// word is one of the known words, def if the key is missing.
func (n *node) word(key string, must bool, def string, known ...string) string {
	s := n.textOf(n.kind, key, must, def)
	if s != "" && !slices.Contains(known, s) {
		n.fault(key, quote(s), "one of "+strings.Join(known, ", "), "")
		return def
	}
	return s
}

// choice is one of the known ones.
func choice[T ~string](n *node, key string, must bool, def T, known []T) T {
	words := make([]string, len(known))
	for i, k := range known {
		words[i] = string(k)
	}
	return T(n.word(key, must, string(def), words...))
}

// number is a number within [least, most].
func (n *node) number(key string, must bool, def, least, most float64, expected string) float64 {
	return ask(n, key, must, def, expected, func(v any) (float64, bool) {
		f, ok := within(v, least, most)
		return assess.Round9(f), ok
	})
}

func within(v any, least, most float64) (float64, bool) {
	f, ok := v.(float64)
	if i, whole := v.(int64); whole {
		f, ok = float64(i), true
	}
	return f, ok && f >= least && f <= most // not a NaN either
}

func (n *node) whole(key string, must bool, def, least, most int, expected string) int {
	return ask(n, key, must, def, expected, func(v any) (int, bool) {
		i, ok := v.(int64)
		return int(i), ok && i >= int64(least) && i <= int64(most)
	})
}

// numbers is a list of count numbers within [least, most]; zeros if it is missing or wrong.
func (n *node) numbers(key string, must bool, count int, least, most float64, expected string) []float64 {
	items := ask(n, key, must, nil, expected, func(v any) ([]any, bool) {
		items, ok := v.([]any)
		return items, ok && len(items) == count
	})
	out := make([]float64, count)
	for i, item := range items {
		f, ok := within(item, least, most)
		if !ok {
			n.wrong(key, item, fmt.Sprintf("%s, each from %.4g to %.4g", expected, least, most))
			return make([]float64, count)
		}
		out[i] = f
	}
	return out
}

func (n *node) yes(key string) bool { return ask(n, key, false, false, "true or false", as[bool]) }

// date is a local date, or an ISO date in quotation marks.
func (n *node) date(key string, must bool) assess.Date {
	return ask(n, key, must, assess.Date{}, "a date such as 2026-03-14", func(v any) (assess.Date, bool) {
		if t, ok := v.(time.Time); ok { // "date-local" is the library's mark for a date without a clock
			return assess.DateOf(t), t.Location().String() == "date-local" && t.Year() >= 1900
		}
		s, _ := v.(string)
		d, err := assess.ParseDate(s)
		return d, err == nil
	})
}

// list is a list of texts.
func (n *node) list(key string, must bool) []string {
	const expected = `a list of texts, such as ["one", "two"]`
	var out []string
	for _, item := range ask(n, key, must, nil, expected, as[[]any]) {
		raw, ok := item.(string)
		if !ok {
			n.wrong(key, item, expected)
			continue
		}
		s, ok := n.clean(n.kind, key, raw)
		if ok && s == "" {
			n.fault(key, "an empty text in the list", "some text", "")
		} else if ok {
			out = append(out, s)
		}
	}
	return out
}

// words is a list under key for every language, and under key_LANG for one.
func (n *node) words(key string, must bool) assess.Words {
	w := assess.Words{}
	for _, lang := range slices.Concat([]string{""}, n.Languages) {
		if l := n.list(strings.TrimSuffix(key+"_"+lang, "_"), must && lang == ""); l != nil {
			w[lang] = l
		}
	}
	return w
}

// texts is words of one text in each language: key, key_es, key_fr.
func (n *node) texts(key string) assess.Words {
	var w assess.Words
	for _, lang := range slices.Concat([]string{""}, n.Languages) {
		if s := n.text(strings.TrimSuffix(key+"_"+lang, "_"), false); s != "" {
			if w == nil {
				w = assess.Words{}
			}
			w[lang] = []string{s}
		}
	}
	return w
}

// each reads the tables of [[key]].
func (n *node) each(key string, must bool, read func(*node)) {
	for i, values := range ask(n, key, must, nil, "[["+key+"]], once for each", as[[]map[string]any]) {
		t := n.sub(fmt.Sprintf("%s[%d]", key, i+1), values)
		read(t)
		t.done()
	}
}

// done reports the keys that were not asked for. A second call reports nothing.
func (n *node) done() {
	for _, key := range slices.Sorted(maps.Keys(n.values)) {
		const expected = "a known one"
		if !slices.Contains(n.known, key) && !n.full(Problem{File: n.file, Column: n.path + key, Expected: expected}) {
			n.fault(key, "an unknown key", expected+theNearest+nearest(key, n.known), "an unknown key would have no effect")
		}
	}
	n.values = nil
}

// keyIndex is the lines of a file's keys, found when the first one is asked for.
type keyIndex struct {
	text  string
	lines map[string]int
}

func (k *keyIndex) all() map[string]int {
	if k.lines == nil {
		k.lines = keyLines(k.text)
	}
	return k.lines
}

// keyLines finds the line of every key and table heading. Paths are those of
// node: "name", "ladder[2]", "ladder[2].kit", "columns.id".
func keyLines(data string) map[string]int {
	lines := map[string]int{}
	count := map[string]int{} // tables of each [[name]] so far
	prefix := ""
	inside := insideValues(data)
	i := -1
	for text := range strings.SplitSeq(data, "\n") {
		i++
		text = strings.TrimSpace(text)
		key, _, pair := strings.Cut(text, "=")
		switch {
		case inside[i] || strings.HasPrefix(text, "#"):
		case strings.HasPrefix(text, "["):
			name := bareKey(strings.TrimLeft(text, "["), "]")
			if strings.HasPrefix(text, "[[") {
				if count[name]++; count[name] == 1 {
					lines[name] = i + 1
				}
				name = fmt.Sprintf("%s[%d]", name, count[name])
			}
			lines[name], prefix = i+1, name+"."
		case pair:
			lines[prefix+bareKey(key, "=")] = i + 1
		}
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

// tokens are what decides whether a line begins within a value, and how deep it is: strings of
// one or several lines, comments, brackets, separators of keys and values, and line ends.
// Each comes with its position.
func tokens(data string) iter.Seq2[int, string] {
	return func(yield func(int, string) bool) {
		for at := 0; ; {
			next := strings.IndexAny(data[at:], "\"'#[]{}.,=\n")
			if next < 0 {
				return
			}
			at += next
			token := data[at : at+tokenLength(data[at:])]
			if !yield(at, token) {
				return
			}
			at += len(token)
		}
	}
}

// tokenLength is the length of the token with which a text begins.
func tokenLength(s string) int {
	switch {
	case strings.HasPrefix(s, `"""`), strings.HasPrefix(s, "'''"):
		return severalLines(s)
	case s[0] == '#':
		if end := strings.IndexByte(s, '\n'); end >= 0 {
			return end
		}
		return len(s)
	case s[0] == '"':
		for i := 1; i < len(s); i++ {
			switch {
			case s[i] == '"':
				return i + 1
			case s[i] == '\n', s[i] == '\\' && (i+1 == len(s) || s[i+1] == '\n'):
				return i
			case s[i] == '\\':
				i++
			}
		}
		return len(s)
	case s[0] == '\'':
		for i := 1; i < len(s); i++ {
			switch s[i] {
			case '\'':
				return i + 1
			case '\n':
				return i
			}
		}
		return len(s)
	}
	return 1
}

// severalLines is the length of a string of several lines with which a text begins. Up to two of
// its own quotation marks may be before the three that end it.
func severalLines(s string) int {
	mark := s[0]
	for i := 3; i < len(s); i++ {
		switch {
		case mark == '"' && s[i] == '\\':
			i++
		case strings.HasPrefix(s[i:], s[:3]):
			end := i + 3
			for end < len(s) && end < i+5 && s[end] == mark {
				end++
			}
			return end
		}
	}
	return len(s)
}

// insideValues says of each line, counted from 0, whether it begins within a value, so that it is
// not read as a key.
func insideValues(data string) []bool {
	inside := make([]bool, 1, 1+strings.Count(data, "\n"))
	depth := 0
	for _, token := range tokens(data) {
		for range strings.Count(token, "\n") {
			inside = append(inside, depth > 0 || token != "\n")
		}
		switch token {
		case "[", "{":
			depth++
		case "]", "}":
			depth--
		}
	}
	return inside
}
