package record

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// A line about many labels is mostly their list, and each of its items has the same few keys. Read by
// what they look like as this program writes them, they take a tenth of the time that they take as any
// JSON. Whatever looks different is left to the reader of any JSON.

// leastLabels is the least length of a line, in bytes, that is worth it.
const leastLabels = 2 << 10

// readLong reads the text of a line about many labels. It reports false where the text must be read as
// any JSON.
func (l *Line) readLong(text []byte) bool {
	labels, rest, ok := cutLabels(text)
	if !ok || l.read(rest) != nil || len(l.Labels) != 1 { // else the labels are of something in the line
		return false
	}
	l.Labels = labels
	return true
}

// cutLabels reads the labels of a line, and gives the line with the first of them alone. Encoded again,
// the labels are the text that was read. It reports false where they look like anything else than what
// this program writes.
func cutLabels(text []byte) (labels []Printed, rest []byte, ok bool) {
	const key = `,"labels":[`
	// In a string it would have backslashes.
	start := bytes.Index(text, []byte(key+`{`))
	if start < 0 {
		return nil, nil, false
	}
	start += len(key)
	r := labelReader{s: string(text[start:])} // the texts of all labels are parts of it
	first := 0
	// No label of a print is shorter than its id and its record's: a text of many short ones asks for no
	// more memory than it has.
	labels = make([]Printed, 0, min(strings.Count(r.s, `{"id":`), len(r.s)/len(`{"id":"A","record":""}`+firstPrev)+1))
	for {
		labels = append(labels, Printed{})
		r.label(&labels[len(labels)-1])
		if first == 0 {
			first = start + r.at
		}
		if r.skip("]") {
			break
		}
		if r.need(","); r.failed {
			return nil, nil, false
		}
	}
	rest = append(rest, text[:first]...)
	return labels, append(rest, text[start+r.at-1:]...), !r.failed
}

// mostTexts is how many feeds of a label are read so.
const mostTexts = 64

// labelReader reads labels from their text.
type labelReader struct {
	s      string
	at     int
	failed bool
}

// skip reads a text if it comes next.
func (r *labelReader) skip(text string) bool {
	if r.failed || !strings.HasPrefix(r.s[r.at:], text) {
		return false
	}
	r.at += len(text)
	return true
}

func (r *labelReader) need(text string) {
	if !r.skip(text) {
		r.failed = true
	}
}

// label reads a label with its keys in the order of the fields of [Printed].
func (r *labelReader) label(p *Printed) {
	r.need(`{"id":`)
	p.ID = r.text()
	r.need(`,"record":`)
	p.Record = r.text()
	if r.skip(`,"copy":`) {
		p.Copy = r.number()
	}
	p.Strip = r.skip(`,"strip":true`)
	if r.skip(`,"gist":`) {
		p.Gist = Gist(r.text())
		r.failed = r.failed || p.Gist == ""
	}
	if r.skip(`,"up":`) {
		p.Up = r.texts()
	}
	if r.skip(`,"ties":`) {
		p.Ties = r.texts()
		r.failed = r.failed || len(p.Ties) == 0
	}
	r.need("}")
}

// text reads a text that is written without escapes.
func (r *labelReader) text() string {
	r.need(`"`)
	if r.failed {
		return ""
	}
	plain := true
	for i := r.at; i < len(r.s); i++ {
		switch c := r.s[i]; {
		case c == '"':
			text := r.s[r.at:i]
			r.at = i + 1
			// Line and paragraph separators are written with escapes.
			r.failed = !plain && (!utf8.ValidString(text) || strings.ContainsAny(text, "\u2028\u2029"))
			return text
		case c >= utf8.RuneSelf:
			plain = false
		case c < ' ' || c == '\\' || c > '~':
			r.failed = true
			return ""
		}
	}
	r.failed = true
	return ""
}

// number reads a positive number of at most nine digits.
func (r *labelReader) number() (n int) {
	from := r.at
	for ; r.at < len(r.s) && '0' <= r.s[r.at] && r.s[r.at] <= '9'; r.at++ {
		n = 10*n + int(r.s[r.at]-'0')
		if r.at-from >= 9 {
			break
		}
	}
	if digits := r.at - from; digits == 0 || digits > 9 || r.s[from] == '0' {
		r.failed = true
	}
	return n
}

// texts reads a list of texts; never nil. A longer one than a location has is left to the other reader.
func (r *labelReader) texts() []string {
	all := []string{}
	r.need("[")
	if r.skip("]") {
		return all
	}
	for !r.failed {
		all = append(all, r.text())
		if r.skip("]") {
			break
		}
		r.need(",")
		r.failed = r.failed || len(all) == mostTexts
	}
	return all
}
