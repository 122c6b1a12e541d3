package assess

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
)

// fill puts something into every field: a value that JSON writes in its own way, or none.
func fill(r *rand.Rand, v reflect.Value, full bool) {
	empty := !full && r.IntN(3) == 0
	texts := []string{"plain", "a \"b\" \\ c", "<&>", "é", "tab\t", "\u2028", "bad\xff", "Kit A"}
	numbers := []float64{1, 0.1, 1e-9, 123456789, 1e21, 5e-324, 273.345964, -2.5, 480}
	switch v.Kind() {
	case reflect.Struct:
		if d, ok := v.Addr().Interface().(*Date); ok {
			if *d = (Date{}); !empty {
				*d, _ = ParseDate("2026-05-01")
			}
			return
		}
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				fill(r, v.Field(i), full)
			}
		}
	case reflect.Pointer:
		if v.SetZero(); !empty {
			v.Set(reflect.New(v.Type().Elem()))
			fill(r, v.Elem(), full)
		}
	case reflect.Slice:
		if v.SetZero(); !empty {
			n := 1 + r.IntN(3)
			if !full && r.IntN(4) == 0 {
				n = 0
			}
			v.Set(reflect.MakeSlice(v.Type(), n, n))
			for i := range n {
				fill(r, v.Index(i), full)
			}
		}
	case reflect.String:
		if v.SetZero(); !empty {
			v.SetString(texts[r.IntN(len(texts))])
		}
	case reflect.Float64:
		if v.SetZero(); !empty {
			v.SetFloat(numbers[r.IntN(len(numbers))])
		}
	case reflect.Uint16:
		if v.SetZero(); !empty {
			v.SetUint(1 + uint64(r.IntN(1000)))
		}
	case reflect.Bool:
		v.SetBool(!empty)
	case reflect.Int:
		v.SetInt(int64(r.IntN(9)))
	default:
		panic(v.Type().String())
	}
}

func encoded(t *testing.T, v any) string {
	t.Helper()
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// What is written without looking at its types is what encoding/json writes, field by field.
func TestJSONText(t *testing.T) {
	r := rand.New(rand.NewPCG(18, 4))
	for i := range 3000 {
		full := i%10 == 0
		var o Outcome
		fill(r, reflect.ValueOf(&o).Elem(), full)
		got, err := o.AppendJSON([]byte("before"))
		if want := "before" + encoded(t, &o); err != nil || string(got)+"\n" != want {
			t.Fatalf("%v\n%s\nwant\n%s", err, got, want)
		}
		var feeds []Feed
		fill(r, reflect.ValueOf(&feeds).Elem(), full)
		if got, err = AppendFeeds(nil, feeds); err != nil || string(got)+"\n" != encoded(t, feeds) {
			t.Fatalf("%v\n%s\nwant\n%s", err, got, encoded(t, feeds))
		}
		l := &Location{Cases: make([]Case, 1+r.IntN(2))}
		rows := "["
		for k := range l.Cases {
			for c := range Columns {
				v := reflect.New(reflect.TypeOf(Columns[c].Value(l.Row(k)))).Elem()
				fill(r, v, full)
				Columns[c].Set(l.Row(k), v.Interface())
			}
		}
		for k := range l.Cases {
			row := "{"
			for c := range Columns {
				v := Columns[c].Value(l.Row(k))
				if empty(v) == Columns[c].Given(l.Row(k)) {
					t.Fatalf("%s: %v", Columns[c].Name, v)
				}
				if !empty(v) {
					text := encoded(t, v)
					if s, ok := v.(string); ok && plain(s) || Columns[c].Kind == Quantity {
						text = strings.TrimSpace(text)
					}
					row += map[bool]string{true: ","}[row != "{"] + `"` + Columns[c].Key() + `":` + text
				}
			}
			rows += map[bool]string{true: ","}[k > 0] + row + "}"
		}
		if got, err = l.AppendRows(nil); err != nil || string(got) != rows+"]" {
			t.Fatalf("%v\n%s\nwant\n%s", err, got, rows)
		}
	}
}
