package page

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"reflect"
	"testing"
	"unsafe"

	"vouchmark/assess/standing"
	"vouchmark/label/basis"
	"vouchmark/label/record"
)

// open is a value that can be set, also where its field is not exported.
func open(v reflect.Value) reflect.Value {
	return reflect.NewAt(v.Type(), unsafe.Pointer(v.UnsafeAddr())).Elem()
}

// fill gives everything in a value something that can change, so many pointers deep.
func fill(t *testing.T, v reflect.Value, deep int) {
	v = open(v)
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, v.Field(i), deep)
		}
	case reflect.Array:
		for i := range v.Len() {
			fill(t, v.Index(i), deep)
		}
	case reflect.Pointer:
		if deep > 0 {
			v.Set(reflect.New(v.Type().Elem()))
			fill(t, v.Elem(), deep-1)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(t, v.Index(0), deep)
	case reflect.Map:
		key, elem := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		fill(t, key, deep)
		fill(t, elem, deep)
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(key, elem)
	case reflect.Interface:
		if v.IsNil() {
			t.Fatalf("nothing is known of what a %s is", v.Type())
		}
	default:
		change(t, v)
	}
}

// change makes another value of a plain one.
func change(t *testing.T, v reflect.Value) {
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		v.SetInt(v.Int() + 1)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		v.SetUint(v.Uint() + 1)
	case reflect.Float32, reflect.Float64:
		v.SetFloat(v.Float() + 1)
	case reflect.String:
		v.SetString(v.String() + "x")
	default:
		t.Fatalf("a page is made of a %s, which cannot be compared", v.Type())
	}
}

// changeEach changes one thing in a value after the other, calls try, and changes it
// back.
func changeEach(t *testing.T, v reflect.Value, path string, try func(path string)) {
	v = open(v)
	was := reflect.New(v.Type()).Elem()
	was.Set(v)
	lose := func() {
		v.SetZero()
		try(path + " = nil")
		v.Set(was)
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			changeEach(t, v.Field(i), path+"."+v.Type().Field(i).Name, try)
		}
	case reflect.Array:
		for i := range v.Len() {
			changeEach(t, v.Index(i), fmt.Sprintf("%s[%d]", path, i), try)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			lose()
			changeEach(t, v.Elem(), path, try)
		}
	case reflect.Slice:
		lose()
		v.Set(reflect.Append(v, v.Index(0)))
		try(path + " twice")
		v.Set(was)
		changeEach(t, v.Index(0), path+"[0]", try)
	case reflect.Map:
		lose()
		key := v.MapKeys()[0]
		elem := reflect.New(v.Type().Elem()).Elem()
		elem.Set(v.MapIndex(key))
		changeEach(t, elem, path+"[key]", func(path string) {
			v.SetMapIndex(key, elem)
			try(path)
		})
		v.SetMapIndex(key, elem)
		other := reflect.New(v.Type().Key()).Elem()
		other.Set(key)
		changeEach(t, other, path+" key", func(path string) {
			v.Set(reflect.MakeMap(v.Type()))
			v.SetMapIndex(other, was.MapIndex(key))
			try(path)
		})
		v.Set(was)
	case reflect.Interface:
		lose()
		inside := reflect.New(v.Elem().Type()).Elem()
		inside.Set(v.Elem())
		changeEach(t, inside, path, func(path string) {
			v.Set(inside)
			try(path)
		})
		v.Set(was)
	default:
		change(t, v)
		try(path)
		v.Set(was)
	}
}

// stamp is drawn in place of a label, and depends on a setting of its own.
type stamp struct {
	square
	Width float64
	names map[string][]string
}

func (s *stamp) Draw(r *record.Record, c record.Code) ([]byte, error) {
	if len(s.names) > 0 && s.Width > 0 {
		return s.square.Draw(r, c)
	}
	return nil, nil
}

// Everything that a page is made of is in its digest: each field of it, exported or
// not, also one that is added later.
func TestDigestHasEverything(t *testing.T) {
	for _, all := range []any{
		&basis.Known{}, &setting{Picture: &stamp{}}, &[]([][]string){}, &listPage{}, &plantPart{}, &duePage{},
		&startPage{}, &dated{}, &treePage{}, &auditPage{}, &auditLabels{},
	} {
		v := reflect.ValueOf(all).Elem()
		if s, ok := all.(*setting); ok {
			fill(t, reflect.ValueOf(s.Picture).Elem(), 3)
		}
		fill(t, v, 3)
		whole, seen, n := digest(all), map[Digest]string{}, 0
		seen[whole] = "the whole"
		changeEach(t, v, v.Type().String(), func(path string) {
			n++
			d := digest(all)
			if other, same := seen[d]; same {
				t.Errorf("%s has the digest of %s", path, other)
			}
			seen[d] = path
		})
		if digest(all) != whole {
			t.Errorf("%s was not changed back", v.Type())
		}
		t.Logf("%s: %d", v.Type(), n)
		if n < 2 {
			t.Errorf("%s: only %d values", v.Type(), n)
		}
	}
}

// What differs has another digest also where it is made of the same bytes; what is
// only stored elsewhere has the same.
func TestDigest(t *testing.T) {
	type text string
	one, two := 1, 1
	if digest(&one) != digest(&two) || digest(map[string]int{"a": 1, "b": 2}) != digest(map[string]int{"b": 2, "a": 1}) {
		t.Error("the same has two digests")
	}
	seen := map[Digest]int{}
	for i, all := range [][]any{
		{}, {nil}, {""}, {"a", "b"}, {"ab"}, {"ab", ""}, {[]string{"a", "b"}}, {[]string{"ab"}}, {[]string{}}, {[]string(nil)},
		{text("ab")}, {0}, {int8(0)}, {false}, {0.0}, {[2]int{1, 2}}, {[]int{1, 2}}, {&one}, {one},
		{map[string]string{"a": "b"}}, {map[string]string{"b": "a"}}, {[]any{"a", 1}}, {[]any{"a", int64(1)}},
	} {
		d := digest(all...)
		if k, same := seen[d]; same {
			t.Errorf("%d and %d have one digest", k, i)
		}
		seen[d] = i
	}
	defer func() {
		if recover() == nil {
			t.Error("a function has a digest")
		}
	}()
	digest(struct{ f func() }{})
}

// Pages with the same digest have the same bytes, whatever differs between two
// sites: the day, what was logged, the languages, whom to ask, what is drawn, and
// whether a server shows them.
func TestSameDigestSameBytes(t *testing.T) {
	books := []*Book{}
	for _, day := range []string{"2026-05-01", "2026-05-02", "2026-12-30", "2031-02-01"} {
		books = append(books, mill(t, day, nil))
	}
	for _, edit := range []func(*Book){
		func(b *Book) { b.Shelf.Site.Site.Policy.Ask = "Q. Example" },
		func(b *Book) { b.Shelf.Site.Site.Policy.Languages = []string{"es", "en"} },
		func(b *Book) { b.Shelf.Site.Site.Policy.Name = "Another mill" },
		func(b *Book) { b.Picture = noPicture{} },
		func(b *Book) { b.Live = &Live{} },
		func(b *Book) { b.Live = &Live{Writes: true} },
		func(b *Book) { b.Shelf.Site.Site.Log.Reviews = nil },
	} {
		b := mill(t, "2026-05-01", nil)
		edit(b)
		books = append(books, b)
	}
	type made struct {
		name string
		sum  [sha256.Size]byte
	}
	seen, n := map[Digest]made{}, 0
	for _, b := range books {
		for _, p := range pages(t, b) {
			data, err := p.Make()
			if err != nil {
				t.Fatal(err)
			}
			now := made{p.Name, sha256.Sum256(data)}
			if was, ok := seen[p.Digest]; ok {
				n++
				if was != now {
					t.Errorf("%s and %s have one digest and other bytes", was.name, p.Name)
				}
			}
			seen[p.Digest] = now
		}
	}
	if n < 50 || len(seen) < 300 {
		t.Errorf("%d pages had a digest again, %d digests", n, len(seen))
	}
}

// On another day of the same standings no page but the small one has another digest.
func TestDailyDigest(t *testing.T) {
	one := map[string]Digest{}
	for _, p := range pages(t, mill(t, "2026-05-01", nil)) {
		one[p.Name] = p.Digest
	}
	for _, p := range pages(t, mill(t, "2026-05-02", nil)) {
		if (one[p.Name] == p.Digest) != (p.Name != "checked.html" && p.Name != "due.ics") {
			t.Errorf("%s: %v", p.Name, one[p.Name] == p.Digest)
		}
	}
}

// A page depends on nothing but the setting, the record and what is known, by which it
// has its digest: a view of these, without the plant, gives the same page.
func TestKnownIsEnough(t *testing.T) {
	b, rated := mill(t, "2026-05-01", &Live{}), 0
	for _, id := range b.Shelf.Printed() {
		v, err := b.Shelf.View(id)
		if err != nil {
			t.Fatal(err)
		}
		if v.Plant == nil {
			t.Errorf("%s: the shelf's own view lacks its plant", id.Code())
		}
		of, err := b.LabelPage(v)
		if err != nil {
			t.Fatal(err)
		}
		some, err := b.Label(id)
		if err != nil {
			t.Fatal(err)
		}
		if alone, err := some[0].Make(); err != nil || !bytes.Equal(alone, of) {
			t.Errorf("%s: %v, or two pages", some[0].Name, err)
		}
	}
	// The margin is that of the plant, also where the ratings of devices do not count:
	// as if a breaker at a place that is gone cleared every arc.
	for _, l := range b.Shelf.Site.History.Labels {
		r := l.Record
		r.Curves = b.Shelf.Site.Site.Curves
		for i := range r.Location.Cases {
			c := &r.Location.Cases[i]
			c.Curve, c.DeviceAt, c.DeviceRating = "chip-breaker.csv", "gone", c.Fault
		}
		k, known, err := b.Shelf.Known(l.ID)
		if err != nil || known != r {
			t.Fatal(err)
		}
		v := k.View(r)
		if !reflect.DeepEqual(v.Headroom, b.Shelf.Site.HeadroomOf(r)) {
			t.Errorf("%s: another margin than the plant's", l.ID.Code())
		}
		if !reflect.DeepEqual(v.Headroom, standing.HeadroomOf(&r.Inputs, r.Energy)) {
			rated++
		}
	}
	if rated < 3 {
		t.Errorf("ratings count for the margin of %d labels", rated)
	}
}

// BenchmarkLabel compares what a page is made of with making it.
func BenchmarkLabel(b *testing.B) {
	book := mill(b, "2026-05-01", nil)
	ids := book.Shelf.Printed()
	for name, makes := range map[string]bool{"digest": false, "made": true} {
		b.Run(name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				some, err := book.Label(ids[i%len(ids)])
				for k := 0; makes && k < len(some) && err == nil; k++ {
					_, err = some[k].Make()
				}
				if err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
