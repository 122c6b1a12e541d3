package sheet

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// The encodings of text files.
const (
	UTF8        = "UTF-8"
	UTF16       = "UTF-16"
	Windows1252 = "Windows-1252"
)

const (
	anyText   = "text in UTF-8, UTF-16 or Windows-1252"
	saveAsCSV = `save it from the spreadsheet as .xlsx or as "CSV UTF-8"`
)

// The byte-order marks that a text may begin with.
const (
	markUTF8 = "\xef\xbb\xbf"
	markLE   = "\xff\xfe"
	markBE   = "\xfe\xff"
)

// decode converts a text file to UTF-8 without its byte-order mark, and notes the
// encoding in the book. It reports bytes that have no meaning in the encoding, since a
// decoder would silently replace them with U+FFFD.
func (r *reader) decode(data []byte) (string, bool) {
	name, from, ok := r.encodingOf(data)
	if !ok {
		return "", false
	}
	r.book.Encoding = name
	if from == encoding.Nop && !utf8.Valid(data) {
		r.badCharacter(string(data), strings.IndexRune(string(data), utf8.RuneError), "a byte that is not UTF-8")
		return "", false
	}
	decoded, err := from.NewDecoder().Bytes(data)
	if err != nil { // not known to happen: these decoders replace what they cannot read
		r.report("", 0, "", "text that cannot be read as "+name+": "+err.Error(), anyText, saveAsCSV)
		return "", false
	}
	text := strings.TrimPrefix(string(decoded), "\ufeff")
	at := strings.IndexFunc(text, func(c rune) bool {
		return c == utf8.RuneError || c < ' ' && !strings.ContainsRune("\t\n\v\f\r", c)
	})
	if at < 0 {
		return text, true
	}
	c, _ := utf8.DecodeRuneInString(text[at:])
	found := fmt.Sprintf("the control character U+%04X", c)
	if c == utf8.RuneError {
		switch {
		case name == Windows1252:
			// One byte is one character.
			found = fmt.Sprintf("the byte 0x%X, which has no meaning in Windows-1252", data[utf8.RuneCountInString(text[:at])])
		case name == UTF16 && at == len(text)-len("\ufffd") && len(data)%2 == 1:
			found = "half a character at the end: the file was cut off"
		default:
			found = "the sign U+FFFD: a character was lost before the file came here"
		}
	}
	r.badCharacter(text, at, found)
	return "", false
}

// badCharacter reports what is at a place of the text.
func (r *reader) badCharacter(text string, at int, found string) {
	before := text[:at]
	line := 1 + strings.Count(before, "\n")
	in := 1 + utf8.RuneCountInString(before[1+strings.LastIndexByte(before, '\n'):])
	r.report("", line, fmt.Sprintf("character %d", in), found, anyText, saveAsCSV)
}

// encodingOf is the encoding of a text file, by its name and to decode it.
func (r *reader) encodingOf(data []byte) (string, encoding.Encoding, bool) {
	mark := ""
	littleEnd := unicode.LittleEndian
	switch {
	case bytes.HasPrefix(data, []byte(markUTF8)):
		mark = UTF8
	case bytes.HasPrefix(data, []byte(markLE)):
		mark = UTF16
	case bytes.HasPrefix(data, []byte(markBE)):
		mark, littleEnd = UTF16, unicode.BigEndian
	}
	name := r.Encoding
	switch {
	case name != "" && mark != "" && name != mark:
		r.report("", 1, "", "the byte-order mark of "+mark, "text in "+name, "leave out the encoding, or give "+mark)
		return "", nil, false
	case mark != "":
		name = mark
	case name == "" && bytes.IndexByte(data, 0) >= 0:
		name = UTF16
	case name == "" && utf8.Valid(data):
		name = UTF8
	case name == "":
		name = Windows1252
		r.notef("The file is not UTF-8 and was read as Windows-1252: look whether signs such as ½, ° and – are right.")
	}
	if name == UTF16 && mark == "" {
		switch {
		case utf16le(data):
		case utf16be(data):
			littleEnd = unicode.BigEndian
		case r.Encoding == "":
			r.report("", 0, "", "a file with zero bytes that is not text", anyText, askFor)
			return "", nil, false
		default:
			r.report("", 0, "", "text without the zero bytes of UTF-16", "text in UTF-16", "leave out the encoding")
			return "", nil, false
		}
		if r.Encoding == "" {
			r.notef("The file has no byte-order mark and was read as UTF-16, by its zero bytes.")
		}
	}
	switch name {
	case UTF8:
		return name, encoding.Nop, true
	case UTF16:
		return name, unicode.UTF16(littleEnd, unicode.IgnoreBOM), true
	case Windows1252:
		return name, charmap.Windows1252, true
	}
	r.report("", 0, "", "the encoding "+quote(name), strings.Join([]string{UTF8, UTF16, Windows1252}, ", "), "")
	return "", nil, false
}

// utf16le reports whether a file without byte-order mark is UTF-16 with the low
// byte of each character first: then every second byte of Latin text is zero.
func utf16le(data []byte) bool { return zeros(data, 1) && !zeros(data, 0) }

// utf16be is utf16le with the high byte first.
func utf16be(data []byte) bool { return zeros(data, 0) && !zeros(data, 1) }

// zeros reports whether most of the bytes at odd (1) or even (0) places are zero.
func zeros(data []byte, from int) bool {
	n := 0
	for i := from; i < len(data); i += 2 {
		if data[i] == 0 {
			n++
		}
	}
	return n > len(data)/4
}
