package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
)

// Encode is the only encoding of a record, with the ID that follows from it. A
// record that was read encodes to the bytes that were read.
func (r *Record) Encode() ([]byte, ID, error) {
	b, err := encode(r.Form(), "  ")
	return b, sha256.Sum256(b), err
}

// Form is the record in the format in which it is stored, as JSON.
func (r *Record) Form() any {
	if r.first != nil {
		return r.first
	}
	return r
}

// encode writes v as JSON with a final newline. Keys come in the order of the
// fields, keys of maps in alphabetical order.
func encode(v any, indent string) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", indent)
	if err := e.Encode(v); err != nil {
		return nil, fmt.Errorf("encode: %w", err)
	}
	return b.Bytes(), nil
}

// Decode reads a record of any schema and rules number that was ever written. It
// refuses what New could not have made at that time.
func Decode(data []byte) (*Record, error) {
	r, err := decode(data)
	if err == nil {
		err = r.valid()
	}
	if err == nil {
		err = r.canonical(data)
	}
	if err != nil {
		return nil, fmt.Errorf("read record: %w", err)
	}
	return r, nil
}

func decode(data []byte) (*Record, error) {
	var numbers struct{ Schema, Rules int }
	if err := json.Unmarshal(data, &numbers); err != nil {
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
		if err := strict(data, &form); err != nil {
			return nil, err
		}
		return form.record()
	}
	r := new(Record)
	if err := strict(data, r); err != nil {
		return nil, err
	}
	if r.Location == nil || r.Policy == nil {
		return nil, errors.New("no rows, or no policy")
	}
	return r, r.readCurves()
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
	again, _, err := r.Encode()
	switch {
	case err != nil:
		return err
	case !bytes.Equal(again, data):
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
	for i := 0; i < len(data); i++ {
		if data[i] == '\\' {
			if i++; data[i] != '"' && data[i] != '\\' {
				return true
			}
		}
	}
	_, found := unprintable(strings.ReplaceAll(string(data), "\n", ""))
	return found
}

// valid refuses an outcome that no label can show, or that contradicts itself.
// Whether it follows from the inputs is a separate question: see [Record.Differs].
func (r *Record) valid() error {
	o := &r.Outcome
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
