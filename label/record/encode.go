package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"sync"
	"unicode/utf8"

	"vouchmark/assess"
)

// MostRecord is the largest size of a record in bytes: an audit and an archive read no
// more. It has room for more than a thousand cases.
const MostRecord = 16 << 20

// Encode is the only encoding of a record, with the ID that follows from it. A
// record that was read encodes to the bytes that were read.
func (r *Record) Encode() ([]byte, ID, error) { return r.encodeTo(nil) }

// encodeTo is Encode into a buffer that is there already, which is returned in any case.
func (r *Record) encodeTo(b []byte) ([]byte, ID, error) {
	b, err := encodeTo(b[:0], r.Form(), "  ")
	return b, sha256.Sum256(b), err
}

// Hash is the ID alone, without keeping the text: that of the stored record if it says the
// same.
func (r *Record) Hash() (ID, error) {
	if r.stored != (ID{}) {
		return r.stored, nil
	}
	b := texts.Get().(*[]byte)
	defer texts.Put(b)
	text, id, err := r.encodeTo(*b)
	*b = text
	return id, err
}

// texts are buffers for whole records, to be used again.
var texts = sync.Pool{New: func() any { return new([]byte) }}

// Form is the record in the format in which it is stored, as JSON.
func (r *Record) Form() any {
	switch {
	case r.first != nil:
		return r.first
	case r.short:
		whole := *r
		o := assess.Judge(&r.Inputs)
		whole.Outcome = &o
		return &whole
	}
	return r
}

// encode writes v as JSON with a final newline. Keys come in the order of the
// fields, keys of maps in alphabetical order.
func encode(v any, indent string) ([]byte, error) { return encodeTo(nil, v, indent) }

// encodeTo is encode, appended to a text.
func encodeTo(to []byte, v any, indent string) ([]byte, error) {
	b := compact.Get().(*bytes.Buffer)
	defer compact.Put(b)
	b.Reset()
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return to, fmt.Errorf("encode: %w", err)
	}
	if indent == "" {
		return append(to, b.Bytes()...), nil
	}
	return indented(to, b.Bytes(), indent), nil
}

// compact are buffers for texts without blanks, to be used again.
var compact = sync.Pool{New: func() any { return new(bytes.Buffer) }}

// indented appends valid JSON without blanks as [json.Indent] sets it, without reading
// it a second time to see that it is valid.
func indented(b, text []byte, indent string) []byte {
	b = slices.Grow(b, 2*len(text))
	depth := 0
	line := func() {
		b = append(b, '\n')
		for range depth {
			b = append(b, indent...)
		}
	}
	for i := 0; i < len(text); i++ {
		switch c := text[i]; c {
		case '"':
			end := i + 1
			for ; text[end] != '"'; end++ {
				if text[end] == '\\' {
					end++
				}
			}
			b = append(b, text[i:end+1]...)
			i = end
		case '{', '[':
			b = append(b, c)
			if next := text[i+1]; next == '}' || next == ']' {
				b = append(b, next)
				i++
				break
			}
			depth++
			line()
		case '}', ']':
			depth--
			line()
			b = append(b, c)
		case ',':
			b = append(b, c)
			line()
		case ':':
			b = append(b, c, ' ')
		default:
			b = append(b, c)
		}
	}
	return b
}

// Decode reads a record of any schema and rules number that was ever written. It
// refuses what New could not have made at that time.
func Decode(data []byte) (*Record, error) {
	// A record that is encoded as the program encodes it has no unknown key and nothing after its end. For all
	// others, the stricter way says what is wrong.
	r, err := readBy(data, json.Unmarshal)
	if err != nil {
		r, err = readBy(data, strict)
	}
	if err != nil {
		return nil, fmt.Errorf("read record: %w", err)
	}
	return r, nil
}

// readBy decodes a record by a function that decodes JSON, and checks it.
func readBy(data []byte, by func([]byte, any) error) (*Record, error) {
	r, err := decode(data, by)
	if err == nil {
		err = r.valid()
	}
	if err == nil {
		err = r.canonical(data)
	}
	return r, err
}

func decode(data []byte, by func([]byte, any) error) (*Record, error) {
	numbers, err := numbersOf(data)
	if err != nil {
		return nil, err
	}
	switch {
	case numbers.Schema > Schema || numbers.Rules > assess.Rules:
		return nil, fmt.Errorf("made by a later version of the program: "+
			"schema %d, rules %d; this version knows schema %d, rules %d",
			numbers.Schema, numbers.Rules, Schema, assess.Rules)
	case numbers.Schema < 1 || numbers.Rules < 1:
		return nil, fmt.Errorf("schema %d, rules %d: there is no such record format", numbers.Schema, numbers.Rules)
	case numbers.Schema == 1:
		var form schema1
		if err := by(data, &form); err != nil {
			return nil, err
		}
		return form.record()
	}
	r := new(Record)
	if err := by(data, r); err != nil {
		return nil, err
	}
	if r.Location == nil || r.Policy == nil || r.Outcome == nil {
		return nil, errors.New("no rows, no policy, or no outcome")
	}
	return r, r.readCurves()
}

// numbers say how a record is to be read.
type numbers struct{ Schema, Rules int }

// today is how a record begins that this version makes.
var today = fmt.Appendf(nil, "{\n  \"schema\": %d,\n  \"rules\": %d,", Schema, assess.Rules)

// numbersOf are a record's numbers. Nearly always they are today's, and the text
// need not be read twice: one that gives other numbers further on is not encoded as
// the program encodes it, and is refused for that.
func numbersOf(data []byte) (n numbers, err error) {
	if bytes.HasPrefix(data, today) {
		return numbers{Schema, assess.Rules}, nil
	}
	return n, json.Unmarshal(data, &n)
}

// strict decodes JSON and refuses keys that v does not have.
func strict(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	return d.Decode(v)
}

// readCurves prepares the stored curves for reading values.
func (r *Record) readCurves() error {
	for name, c := range r.Curves {
		if c == nil {
			return fmt.Errorf("no curve %q", name)
		}
		c.File = name
		if err := c.Read(); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return nil
}

// canonical refuses data that is not the record's only encoding, or that has
// characters that no label shows.
func (r *Record) canonical(data []byte) error {
	again := texts.Get().(*[]byte)
	defer texts.Put(again)
	var err error
	*again, err = encodeTo((*again)[:0], r.Form(), "  ")
	switch {
	case err != nil:
		return err
	case !bytes.Equal(*again, data):
		return errors.New("it is not encoded as the program encodes it")
	case hidden(data):
		return errors.New("a text in it has characters that no label and no terminal shows")
	}
	return nil
}

// hidden reports whether a text of an encoded record has an invisible character.
// The encoding escapes such characters; apart from them it escapes only quotation
// marks and backslashes.
func hidden(data []byte) bool {
	for i := 0; i < len(data); {
		switch c := data[i]; {
		case c == '\\':
			if next := data[i+1]; next != '"' && next != '\\' {
				return true
			}
			i += 2
		case c == '\n' || c >= ' ' && c <= '~':
			i++
		default:
			r, size := utf8.DecodeRune(data[i:])
			if assess.Unseen(r) || r == utf8.RuneError {
				return true
			}
			i += size
		}
	}
	return false
}

// valid refuses an outcome that no label can show, or that contradicts itself.
// Whether it follows from the inputs is a separate question: see [Record.Differs].
func (r *Record) valid() error {
	o := r.Outcome
	switch {
	case o.Signal != assess.Warning && o.Signal != assess.Danger:
		return fmt.Errorf("signal word %q", o.Signal)
	case !slices.Contains(assess.AllUnits, r.Policy.Units) || !slices.Contains(assess.AllGovern, r.Policy.Govern):
		return fmt.Errorf("units %q with govern %q", r.Policy.Units, r.Policy.Govern)
	case (o.Status == assess.KitChosen) != (r.Policy.Rung(o.Kit) != nil):
		return fmt.Errorf("kit %q with the status %q", o.Kit, o.Status)
	case (o.Status == assess.NoneAllowed) != (o.Signal == assess.Danger):
		return fmt.Errorf("kit status %q with %s", o.Status, o.Signal)
	case !(o.Energy.Value > 0) || !(o.Boundary.Value > 0) || !(r.Location.Distance > 0) || !(r.Location.Voltage > 0):
		return errors.New("a number that no label can show")
	case len(o.Computed) != len(r.Location.Cases):
		return errors.New("the number of results differs from the number of rows")
	case o.Prepared.IsZero() || o.ReviewBy.IsZero():
		return errors.New("a date is missing")
	}
	if r.Rules != assess.Rules {
		return nil // chosen by other rules
	}
	if signal, status, kit := r.Policy.ChooseFor(o.Energy); signal != o.Signal || status != o.Status || kit != o.Kit {
		return fmt.Errorf("%s and kit %q do not follow from its energy, ladder and cutoff", o.Signal, o.Kit)
	}
	return nil
}
