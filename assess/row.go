package assess

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// Row is one row of locations.csv: a case, and its location.
type Row struct {
	*Location
	*Case
}

// Row is the row of the case with a number.
func (l *Location) Row(i int) Row { return Row{l, &l.Cases[i]} }

// CaseNamed is the case with a name, or nil.
func (l *Location) CaseNamed(name string) *Case {
	return find(l.Cases, func(c *Case) bool { return c.Name == name })
}

// Cases finds the cases of a location by name.
type Cases struct {
	of    *Location
	index map[string]int // of many cases; nil for few, which are looked through
}

// ByName is for asking often: with it, all cases of two locations are compared in
// steps that grow with their number, and not with its square. The cases must stay as
// they are.
func (l *Location) ByName() Cases {
	const few = 8
	n := Cases{of: l}
	if len(l.Cases) > few {
		n.index = make(map[string]int, len(l.Cases))
		for i := len(l.Cases) - 1; i >= 0; i-- { // the first of a name counts
			n.index[l.Cases[i].Name] = i
		}
	}
	return n
}

// Named is [Location.CaseNamed].
func (n Cases) Named(name string) *Case {
	if n.index == nil {
		return n.of.CaseNamed(name)
	}
	if i, ok := n.index[name]; ok {
		return &n.of.Cases[i]
	}
	return nil
}

// field is where a row keeps a column: a string, a []string, a Date, or a
// float64 in the program's unit.
type field struct {
	get   func(Row) any
	set   func(Row, any)
	given func(Row) bool
	json  func(*jsonText, Row)
}

func word[T ~string](at func(Row) *T) field {
	return field{func(r Row) any { return string(*at(r)) }, func(r Row, v any) { *at(r) = T(v.(string)) },
		func(r Row) bool { return *at(r) != "" }, func(t *jsonText, r Row) { t.cell(string(*at(r))) }}
}

func number[T ~float64](at func(Row) *T) field {
	return field{func(r Row) any { return float64(*at(r)) }, func(r Row, v any) { *at(r) = T(v.(float64)) },
		func(r Row) bool { return *at(r) != 0 }, func(t *jsonText, r Row) { t.number(float64(*at(r))) }}
}

func list(at func(Row) *[]string) field {
	return field{func(r Row) any { return *at(r) }, func(r Row, v any) { *at(r) = v.([]string) },
		func(r Row) bool { return len(*at(r)) > 0 }, func(t *jsonText, r Row) {
			texts(t, *at(r))
			t.put('\n')
		}}
}

func day(at func(Row) *Date) field {
	return field{func(r Row) any { return *at(r) }, func(r Row, v any) { *at(r) = v.(Date) },
		func(r Row) bool { return !at(r).IsZero() }, func(t *jsonText, r Row) {
			t.text(at(r).String())
			t.put('\n')
		}}
}

// either is a field of a choice between two, of which one may be the same as none.
func either(at func(Row) *bool, no, yes string) field {
	get := func(r Row) string {
		if *at(r) {
			return yes
		}
		return no
	}
	return field{func(r Row) any { return get(r) }, func(r Row, v any) { *at(r) = v == yes },
		func(r Row) bool { return get(r) != "" }, func(t *jsonText, r Row) { t.text(get(r)) }}
}

// Set puts a value into a row: a string, a []string, a Date, or a float64 in
// the program's unit, by the column's kind.
func (c *Column) Set(r Row, v any) { c.set(r, v) }

// Value is a row's value: a string, a []string, a Date, or a float64 in the program's
// unit; the zero value if the row gives none.
func (c *Column) Value(r Row) any { return c.get(r) }

// Given reports whether a row has a value in the column.
func (c *Column) Given(r Row) bool { return c.given(r) }

// Text is a row's value for a person, in the program's unit; "" if the row gives none.
func (c *Column) Text(r Row) string {
	v := c.get(r)
	if empty(v) {
		return ""
	}
	switch v := v.(type) {
	case float64:
		return Number(v)
	case []string:
		return strings.Join(sorted(v), "; ")
	case Date:
		return v.String()
	default:
		return v.(string)
	}
}

// empty reports whether a value means that the row gives none.
func empty(v any) bool {
	switch v := v.(type) {
	case float64:
		return v == 0
	case []string:
		return len(v) == 0
	case Date:
		return v.IsZero()
	}
	return v == ""
}

// sorted is a list in alphabetical order.
func sorted(list []string) []string { return slices.Sorted(slices.Values(list)) }

// Cell is one filled cell of a row: the column's key, and its value as text.
type Cell struct{ Column, Value string }

// Cells are the filled cells of a row.
func (r Row) Cells() []Cell {
	var cells []Cell
	for i := range Columns {
		if text := Columns[i].Text(r); text != "" {
			cells = append(cells, Cell{Columns[i].Key(), text})
		}
	}
	return cells
}

// MarshalJSON writes a location as its rows: a list of objects, one for each case, with
// the filled columns in the order of the table.
func (l *Location) MarshalJSON() ([]byte, error) { return l.AppendRows(nil) }

// AppendRows appends the JSON of a location. A list, a date and a text with other characters than
// ASCII have an end of line after them, by which digests of rows were always made; JSON does not mind.
func (l *Location) AppendRows(b []byte) ([]byte, error) {
	t := &jsonText{b: b}
	for i := range l.Cases {
		t.put("[,"[min(i, 1)])
		t.put('{')
		r := l.Row(i)
		for k := range Columns {
			if c := &Columns[k]; c.given(r) {
				t.key(c.Key())
				c.json(t, r)
			}
		}
		t.put('}')
	}
	t.put(']')
	return t.b, t.err
}

// UnmarshalJSON reads the rows of a location. The caller that stores them checks that
// they encode to the same bytes again.
func (l *Location) UnmarshalJSON(data []byte) error {
	var rows []map[string]json.RawMessage
	if err := json.Unmarshal(data, &rows); err != nil {
		return err
	}
	if len(rows) == 0 {
		return errors.New("no rows")
	}
	l.Cases = make([]Case, len(rows))
	for i := range rows {
		for k := range Columns {
			c := &Columns[k]
			raw, given := rows[i][c.Key()]
			if !given {
				continue
			}
			delete(rows[i], c.Key())
			if err := c.decode(l.Row(i), raw); err != nil {
				return fmt.Errorf("%s: %w", c.Key(), err)
			}
		}
		for key := range rows[i] {
			return fmt.Errorf("a column %q that this version does not know; a later version wrote it", key)
		}
	}
	return nil
}

// decode puts one value of a stored row into its place.
func (c *Column) decode(r Row, raw json.RawMessage) error {
	v := reflect.New(reflect.TypeOf(c.get(r)))
	err := json.Unmarshal(raw, v.Interface())
	c.set(r, v.Elem().Interface())
	return err
}
