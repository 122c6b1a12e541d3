package report

import (
	"bytes"
	"encoding/json"
	"testing"

	"vouchmark/assess"
)

// What a terminal would act on is written as a number in JSON, and a program
// reads what was written.
func TestWriteJSONIsStill(t *testing.T) {
	want := map[string]string{"a\u202e\U000e0041": "\x1b[31m\u009b\x7f\u2028\u200b\ufeff\n\t é <b>&amp; \\u202e \"", "b": "plain"}
	var b bytes.Buffer
	if err := WriteJSON(&b, want); err != nil {
		t.Fatal(err)
	}
	for _, r := range b.String() {
		if r != '\n' && assess.Unseen(r) {
			t.Errorf("%U in %q", r, b.String())
		}
	}
	var got map[string]string
	if err := json.Unmarshal(b.Bytes(), &got); err != nil || len(got) != len(want) {
		t.Fatal(err)
	}
	for k, v := range want {
		if got[k] != v {
			t.Errorf("%q: %q, want %q", k, got[k], v)
		}
	}
}
