package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"reflect"
	"slices"
	"sync"
)

// Digest identifies all that a page is made of, apart from the program. Pages with
// the same digest, made by the same program, have the same bytes.
type Digest [sha256.Size]byte

// digest is of values with everything in them: exported or not, and behind
// pointers. There is no list of fields that could lack one. Nothing may lead back
// to itself.
func digest(all ...any) Digest {
	b := encoded.Get().(*[]byte)
	defer encoded.Put(b)
	*b = (*b)[:0]
	for i := range all {
		*b = appendValue(*b, reflect.ValueOf(&all[i]).Elem())
	}
	return sha256.Sum256(*b)
}

// encoded are buffers for values, to be used again.
var encoded = sync.Pool{New: func() any { return new([]byte) }}

// appendValue adds an encoding from which the value could be read back, so that no
// two values have the same. It refuses what has no value to compare: a function
// may depend on anything.
func appendValue(b []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.Bool:
		return binary.AppendUvarint(b, map[bool]uint64{true: 1}[v.Bool()])
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return binary.AppendVarint(b, v.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return binary.AppendUvarint(b, v.Uint())
	case reflect.Float32, reflect.Float64:
		return binary.BigEndian.AppendUint64(b, math.Float64bits(v.Float()))
	case reflect.String:
		return append(binary.AppendUvarint(b, uint64(v.Len())), v.String()...)
	case reflect.Struct:
		for i := range v.NumField() {
			b = appendValue(b, v.Field(i))
		}
		return b
	case reflect.Array:
		return appendElements(b, v)
	case reflect.Slice, reflect.Map, reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			return append(b, 0)
		}
		b = append(b, 1)
	}
	switch v.Kind() {
	case reflect.Slice:
		return appendElements(binary.AppendUvarint(b, uint64(v.Len())), v)
	case reflect.Map:
		return appendMap(binary.AppendUvarint(b, uint64(v.Len())), v)
	case reflect.Pointer:
		return appendValue(b, v.Elem())
	case reflect.Interface:
		of := v.Elem().Type().String()
		return appendValue(append(binary.AppendUvarint(b, uint64(len(of))), of...), v.Elem())
	}
	panic(fmt.Sprintf("a page depends on a %s, which has no digest", v.Type()))
}

func appendElements(b []byte, v reflect.Value) []byte {
	for i := range v.Len() {
		b = appendValue(b, v.Index(i))
	}
	return b
}

// appendMap adds the entries in the order of their encodings.
func appendMap(b []byte, v reflect.Value) []byte {
	all := make([][]byte, 0, v.Len())
	for entries := v.MapRange(); entries.Next(); {
		all = append(all, appendValue(appendValue(nil, entries.Key()), entries.Value()))
	}
	slices.SortFunc(all, bytes.Compare)
	return append(b, bytes.Join(all, nil)...)
}
