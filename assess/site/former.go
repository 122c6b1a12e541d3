package site

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"vouchmark/assess"
)

// former is the key of the ids that changes.toml names and locations.csv no longer has.
const former = "former"

// errByHand says that AddFormer cannot change a text.
var errByHand = errors.New("cannot be edited by the program")

// AddFormer adds ids to the list former in the text of a site.toml. Everything else stays
// unchanged, with its comments and order; ids in the list are not added again. If there is no
// list, it is added after the last key before the first table. The new text means the same as
// the old except for that list. A text that cannot be read, or cannot be edited in this way, is
// an error that says what to write by hand.
func AddFormer(old []byte, ids []string) ([]byte, error) {
	had, err := formerOf(old)
	if err != nil {
		return nil, byHand(ids, err)
	}
	var add []string
	for _, id := range ids {
		if id = cleanText(id); id != "" && !slices.Contains(had, id) && !slices.Contains(add, id) {
			add = append(add, id)
		}
	}
	if add == nil {
		return old, nil
	}
	text := string(old)
	at := formerList(text)
	if at == nil {
		text = withFormer(text, add)
	} else {
		text = at.with(text, add)
	}
	if !sameButFormer(old, []byte(text), append(had, add...)) {
		return nil, byHand(add, errByHand)
	}
	return []byte(text), nil
}

func byHand(ids []string, err error) error {
	return fmt.Errorf("%s %w: add %s to the list %s there (%s = [...], before the first table)", assess.PolicyFile, err,
		strings.Join(inTOML(ids), ", "), former, former)
}

// formerOf is the list former of a policy's text.
func formerOf(data []byte) ([]string, error) {
	if f := scanTOML(string(data)); f != nil {
		return nil, fmt.Errorf("cannot be read (line %d has %s)", f.line, f.found)
	}
	values := map[string]any{}
	if err := toml.Unmarshal(data, &values); err != nil {
		return nil, fmt.Errorf("cannot be read (%w)", err)
	}
	list, isList := values[former].([]any)
	if _, given := values[former]; given && !isList {
		return nil, fmt.Errorf("has no list as %s", former)
	}
	var ids []string
	for _, v := range list {
		id, ok := v.(string)
		if !ok {
			return nil, fmt.Errorf("has something other than a text in %s", former)
		}
		ids = append(ids, cleanText(id))
	}
	return ids, nil
}

// sameButFormer reports whether two texts of a policy say the same except for the list former,
// which in the second has the ids.
func sameButFormer(old, now []byte, ids []string) bool {
	was, is := map[string]any{}, map[string]any{}
	if toml.Unmarshal(old, &was) != nil || toml.Unmarshal(now, &is) != nil {
		return false
	}
	has, err := formerOf(now)
	delete(was, former)
	delete(is, former)
	return err == nil && slices.Equal(has, ids) && reflect.DeepEqual(was, is)
}

// inTOML returns texts quoted for TOML.
func inTOML(list []string) []string {
	all := make([]string, len(list))
	for i, s := range list {
		all[i] = strings.TrimPrefix(strings.TrimSpace(marshal(map[string]any{"k": s})), "k = ")
	}
	return all
}

// lineEnd is how the lines of a text end.
func lineEnd(text string) string {
	if i := strings.IndexByte(text, '\n'); i > 0 && text[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// root is the part of a TOML text before its first table.
type root struct {
	former int // start of the value of the key former; -1 for none
	end    int // after the line of the last key, or after the byte-order mark
}

// rootOf finds the keys before the first table. text can be read.
func rootOf(text string) root {
	r := root{former: -1}
	if strings.HasPrefix(text, "\ufeff") {
		r.end = len("\ufeff")
	}
	inside := insideValues(text)
	at := 0
	for i, line := range strings.SplitAfter(text, "\n") {
		trimmed := strings.TrimSpace(strings.TrimPrefix(line, "\ufeff"))
		key, _, pair := strings.Cut(trimmed, "=")
		switch {
		case inside[i]:
			r.end = at + len(line) // of a key that began above
		case strings.HasPrefix(trimmed, "#") || trimmed == "":
		case strings.HasPrefix(trimmed, "["):
			return r
		case pair:
			if bareKey(key, "=") == former {
				r.former = at + strings.Index(line, "=") + 1
			}
			r.end = at + len(line)
		}
		at += len(line)
	}
	return r
}

// withFormer adds a list former to a text without one.
func withFormer(text string, ids []string) string {
	end := lineEnd(text)
	at := rootOf(text).end
	line := former + " = [" + strings.Join(inTOML(ids), ", ") + "]" + end
	if before := strings.TrimPrefix(text[:at], "\ufeff"); before != "" && !strings.HasSuffix(before, "\n") {
		line = end + line
	}
	return text[:at] + line + text[at:]
}

// span is a list in a text.
type span struct {
	open, close int  // of its brackets
	last        int  // after its last item, or after its opening bracket
	empty       bool // it has no item
	comma       bool // its last item is followed by a comma
}

// formerList finds the list former; nil if there is none.
func formerList(text string) *span {
	at := rootOf(text).former
	if at < 0 {
		return nil
	}
	var s *span
	for from, token := range tokens(text[at:]) {
		begin, end := at+from, at+from+len(token)
		switch {
		case token == "[":
			s = &span{open: begin, last: end, empty: true}
		case token == "]":
			s.close = begin
			return s
		case token == ",":
			s.comma = true
		case token[0] == '"' || token[0] == '\'':
			s.last, s.empty, s.comma = end, false, false
		}
	}
	return nil
}

// with is the text with ids after the last item of the list: on a line of their
// own if the closing bracket has one, so that a comment stays with its item.
func (s *span) with(text string, ids []string) string {
	items := strings.Join(inTOML(ids), ", ")
	tail := text[s.last:s.close]
	line := strings.LastIndexByte(tail, '\n') + 1
	rest := strings.TrimRight(tail[line:], " \t")
	switch {
	case line > 0 && rest != "": // a comma
		at := s.last + line + len(rest)
		return text[:at] + " " + items + text[at:]
	case line == 0 && s.empty:
		return text[:s.last] + items + text[s.last:]
	case line == 0:
		return text[:s.last] + ", " + items + text[s.last:]
	}
	before, behind, indent := "", "", "  "
	switch {
	case s.comma:
		behind = ","
	case !s.empty:
		before = ","
	}
	if start := strings.LastIndexByte(text[:s.last], '\n') + 1; start > s.open {
		item := strings.TrimLeft(text[start:], " \t")
		indent = text[start : len(text)-len(item)]
	}
	return text[:s.last] + before + tail[:line] + indent + items + behind + lineEnd(text) + text[s.last+line:]
}
