package bare

import (
	"bytes"
	"iter"
	"strings"
)

// attribute is one of a start tag: its name, and where its value is, without quotes.
type attribute struct {
	name     []byte
	from, to int
}

// attributes are those of a start tag, from < to >. The library's tokenizer knows what is a tag, but not where
// in it a value is. See 13.2.5.32 to 13.2.5.38 of the HTML standard; a test compares both.
func attributes(tag []byte) iter.Seq[attribute] {
	const blank = " \t\n\f\r"
	next := func(i int, stop string) int { // the first of these from i on
		for i < len(tag) && strings.IndexByte(stop, tag[i]) < 0 {
			i++
		}
		return i
	}
	past := func(i int, skip string) int {
		for i < len(tag) && strings.IndexByte(skip, tag[i]) >= 0 {
			i++
		}
		return i
	}
	return func(yield func(attribute) bool) {
		for i := next(0, blank+"/>"); ; {
			i = past(i, blank+"/")
			if i >= len(tag) || tag[i] == '>' {
				return
			}
			end := next(i+1, blank+"/>=") // a name may begin with =
			a := attribute{name: tag[i:end], from: end, to: end}
			i = end
			if j := past(i, blank); j < len(tag) && tag[j] == '=' {
				i = past(j+1, blank)
				switch {
				case i >= len(tag):
				case tag[i] == '"' || tag[i] == '\'':
					a.from = i + 1
					a.to = len(tag)
					if n := bytes.IndexByte(tag[a.from:], tag[i]); n >= 0 {
						a.to = a.from + n
					}
					i = min(a.to+1, len(tag))
				default:
					a.from, a.to = i, next(i, blank+">")
					i = a.to
				}
			}
			if !yield(a) {
				return
			}
		}
	}
}
