package record

import (
	"runtime"
	"strings"
	"testing"
)

// Reading a record takes memory in proportion to it, for what is read and not for texts on the way.
func TestDecodingTakesLittle(t *testing.T) {
	const times = 50
	data, _, err := example(t, "A", 5).Encode()
	if err != nil {
		t.Fatal(err)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	for range times {
		if _, err := Decode(data); err != nil {
			t.Fatal(err)
		}
	}
	runtime.ReadMemStats(&after)
	const most = 7
	if each := float64(after.TotalAlloc-before.TotalAlloc) / times / float64(len(data)); each > most {
		t.Errorf("%.1f bytes for each byte of a record, expected at most %d", each, most)
	} else {
		t.Logf("%.1f bytes for each byte of a record", each)
	}
}

// An unknown key is named, wherever it is.
func TestUnknownKeyIsNamed(t *testing.T) {
	data, _, err := example(t, "A", 5).Encode()
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{`"outcome": {`, `"inputs": {`, `{`} {
		text := strings.Replace(string(data), key, key+"\n\"invented\": 1,", 1)
		if _, err := Decode([]byte(text)); err == nil || !strings.Contains(err.Error(), `unknown field "invented"`) {
			t.Errorf("%s: %v", key, err)
		}
	}
}
