package assess

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// sample is a value that a column may have.
func (c *Column) sample() any {
	switch c.Kind {
	case Quantity:
		return 3.0
	case List:
		return []string{"A", "B"}
	case Day:
		return Date{2026, 3, 14}
	case Choice:
		return c.Choices[len(c.Choices)-1]
	}
	return "text of " + c.Name
}

// blank is a location with one case, all of it not given.
func blank() *Location { return &Location{Cases: make([]Case, 1)} }

// Every field of a location and of a case is one column's, and every column
// has one field. Line is the position of a row in its file, and not a fact.
func TestEveryFieldIsOneColumn(t *testing.T) {
	owner := map[string]string{}
	for i := range Columns {
		c := &Columns[i]
		l := blank()
		c.Set(l.Row(0), c.sample())
		var changed []string
		for what, v := range map[string]reflect.Value{"Location": reflect.ValueOf(l).Elem(), "Case": reflect.ValueOf(&l.Cases[0]).Elem()} {
			for f := range v.NumField() {
				if name := v.Type().Field(f).Name; name != "Cases" && !v.Field(f).IsZero() {
					changed = append(changed, what+"."+name)
				}
			}
		}
		if len(changed) != 1 {
			t.Fatalf("column %s keeps its value in %v, want one field", c.Name, changed)
		}
		if other, twice := owner[changed[0]]; twice {
			t.Errorf("columns %s and %s keep their values in one field", c.Name, other)
		}
		owner[changed[0]] = c.Name
		if perCase := strings.HasPrefix(changed[0], "Case."); perCase != c.PerCase {
			t.Errorf("column %s: PerCase is %v, its value is kept in %s", c.Name, c.PerCase, changed[0])
		}
	}
	noted := []string{"Location.Cases", "Location.Unreadable", "Location.LostFeeds", "Case.Line"}
	for _, v := range []reflect.Type{reflect.TypeFor[Location](), reflect.TypeFor[Case]()} {
		for f := range v.NumField() {
			name := v.Name() + "." + v.Field(f).Name
			if owner[name] == "" && !slices.Contains(noted, name) {
				t.Errorf("%s has no entry in Columns", name)
			}
		}
	}
}

// What the table says of a column is whole, and no spelling has two meanings.
func TestColumnsAreWhole(t *testing.T) {
	spelled := map[string]string{}
	for i := range Columns {
		c := &Columns[i]
		if c.Meaning == "" || (c.Kind == Quantity) != (c.Units != nil) || (c.Kind == Choice) != (c.Choices != nil) {
			t.Errorf("%s: %+v", c.Name, c)
		}
		if c.Kind == Quantity && !slices.ContainsFunc(c.Units, func(u Unit) bool { return u.Factor == 1 }) {
			t.Errorf("%s: none of its units is the program's own", c.Name)
		}
		for _, s := range append(c.Spellings(), c.Name) {
			if other, twice := spelled[s]; twice && other != c.Name {
				t.Errorf("%s means %s and %s", s, c.Name, other)
			}
			spelled[s] = c.Name
		}
	}
}

// A row that has every column reads back from its JSON as it was, and shows
// each of them; an empty one stores next to nothing.
func TestRowsReadBack(t *testing.T) {
	l := blank()
	l.Cases = append(l.Cases, Case{})
	for i := range Columns {
		for k := range l.Cases {
			Columns[i].Set(l.Row(k), Columns[i].sample())
		}
	}
	l.Cases[1].Name, l.Cases[1].Fault = "tie closed", 4
	data, err := json.Marshal(l)
	if err != nil {
		t.Fatal(err)
	}
	back := new(Location)
	if err := json.Unmarshal(data, back); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(back, l) {
		t.Errorf("%s\nreads back as\n%+v\nwant\n%+v", data, back, l)
	}
	cells := l.Row(1).Cells()
	if len(cells) != len(Columns) {
		t.Errorf("%d cells of %d columns are shown", len(cells), len(Columns))
	}
	for i, c := range cells {
		if c.Column != Columns[i].Key() || c.Value == "" {
			t.Errorf("%s is shown as %q", Columns[i].Key(), c)
		}
	}
	if data, err = json.Marshal(blank()); err != nil || string(data) != `[{"conductor":"fixed"}]` {
		t.Errorf("an empty row is stored as %s, %v", data, err)
	}
}

// A stored row with a column that this version does not know, or with a value
// of another kind, is refused.
func TestRowsRefused(t *testing.T) {
	for data, want := range map[string]string{
		`[{"id":"A","spare_ka":3}]`:       "a later version wrote it",
		`[{"id":7}]`:                      "id: ",
		`[{"voltage_v":"480"}]`:           "voltage_v: ",
		`[{"prepared":"yesterday"}]`:      "prepared: ",
		`[{"fed_from":"A"}]`:              "fed_from: ",
		`[]`:                              "no rows",
		`{}`:                              "cannot unmarshal",
		`[{"id":"A","ID":"B","case":""}]`: "a later version wrote it",
	} {
		if err := json.Unmarshal([]byte(data), new(Location)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", data, err, want)
		}
	}
}
