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

// Encode is the one encoding of a record, and the ID that follows from it.
func (r *Record) Encode() ([]byte, ID, error) {
	b, err := encode(r, "  ")
	return b, sha256.Sum256(b), err
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

// Decode reads a record and refuses whatever New could not have made.
func Decode(data []byte) (*Record, error) {
	r := new(Record)
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(r); err != nil {
		return nil, fmt.Errorf("read record: %w", err)
	}
	if r.Schema != Schema {
		return nil, fmt.Errorf("read record: schema %d, this version reads schema %d", r.Schema, Schema)
	}
	if err := r.valid(); err != nil {
		return nil, fmt.Errorf("read record: %w", err)
	}
	again, _, err := r.Encode()
	if err != nil {
		return nil, err
	}
	if !bytes.Equal(again, data) {
		return nil, errors.New("read record: it is not in its one encoding")
	}
	if hidden(data) {
		return nil, errors.New("read record: a text in it has characters that no label and no terminal shows")
	}
	return r, nil
}

// hidden reports whether a text of a record in its one encoding has a character
// that cannot be seen. The encoding escapes such characters, and of the others
// only quotation mark and backslash.
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

func (r *Record) valid() error {
	if r.Rules != Rules {
		return fmt.Errorf("rules %d, this version judges by rules %d", r.Rules, Rules)
	}
	a := &r.Assessment
	kit := slices.ContainsFunc(r.Policy.Ladder, func(g Rung) bool { return g.Kit == a.Kit })
	switch {
	case len(r.Rows) == 0:
		return errors.New("no rows")
	case a.Signal != string(assess.Warning) && a.Signal != string(assess.Danger):
		return fmt.Errorf("signal word %q", a.Signal)
	case (a.KitStatus == string(assess.KitChosen)) != kit:
		return fmt.Errorf("kit %q with the status %q", a.Kit, a.KitStatus)
	case (a.KitStatus == string(assess.NoneAllowed)) != (a.Signal == string(assess.Danger)):
		return fmt.Errorf("kit status %q with %s", a.KitStatus, a.Signal)
	case !(r.Results.Energy.Value > 0) || !(r.Results.Boundary.Value > 0) || !(r.Row().Distance > 0) || !(r.Row().Voltage > 0):
		return errors.New("a number that no label can show")
	}
	signal, status, chosen := r.choose(r.Results.Energy.Value)
	if signal != a.Signal || status != a.KitStatus || chosen != a.Kit {
		return fmt.Errorf("%s and kit %q do not follow from its energy, ladder and cutoff", a.Signal, a.Kit)
	}
	for _, d := range []string{a.Prepared, a.ReviewBy} {
		if _, err := assess.ParseDate(d); err != nil {
			return err
		}
	}
	var day assess.Date
	for _, d := range []string{a.Surveyed, r.Policy.Reviewed, r.Policy.GovernDate} {
		if err := day.UnmarshalText([]byte(d)); err != nil {
			return err
		}
	}
	return nil
}
