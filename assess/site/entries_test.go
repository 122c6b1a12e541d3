package site

import (
	"os"
	"reflect"
	"strings"
	"testing"

	"vouchmark/assess"
)

// The sum of an entry is that of its text as the ledger has had it from the beginning, whatever
// its spaces, comments and order; any other change of the text gives another one.
func TestEntrySum(t *testing.T) {
	const text = `[[change]]
date = 2026-08-11
at = "SWB-1"
kind = "fuse replaced"
note = "a <b> & \"c\""
by = "A. Sample"
new_clear_ms = { "SWB-1" = 60, "MCC-4" = 75.5 }
`
	sum := func(text string) string {
		t.Helper()
		all, err := Entries([]byte(text))
		if err != nil || len(all) == 0 {
			t.Fatalf("%s: %v", text, err)
		}
		return all[len(all)-1].Sum
	}
	// printf 'change 2026-08-11/SWB-1\n%s\n' '{"at":"SWB-1","by":"A. Sample","date":"2026-08-11","kind":"fuse replaced","new_clear_ms":{"MCC-4":75.5,"SWB-1":60},"note":"a <b> & \"c\""}' | sha256sum
	const want = "df9f916eb1de916a743252e0faf0571c36a1db01b9eff4fc4428529168b324bc"
	if got := sum(text); got != want {
		t.Errorf("the sum is %s, want %s", got, want)
	}
	for _, same := range [][2]string{{"= ", "=   "}, {"date = 2026-08-11", "date = '2026-08-11' # that day"}, {"= 60", "= 60.0"},
		{"[[change]]", "# a comment\n\n[[change]]"}, {"by = \"A. Sample\"\n", ""}, {"= 75.5", "= 7.55e1"},
		{`"a <b> & \"c\""`, "\"\"\"a <b> &\n   \"c\" \"\"\""}} {
		other := strings.Replace(text, same[0], same[1], 1)
		if strings.HasPrefix(same[0], "by") {
			other = strings.Replace(other, "[[change]]\n", "[[change]]\n"+same[0], 1)
		}
		if got := sum(other); got != want {
			t.Errorf("%q: another sum", other)
		}
	}
	seen := map[string]bool{want: true}
	for _, other := range []string{strings.Replace(text, "11", "12", 1), strings.Replace(text, "fuse", "breaker", 1), strings.Replace(text, "60", "61", 1),
		strings.Replace(text, "A. S", "A.S", 1), text + "more = 1\n", text + text, strings.Replace(text, "note", "NOTE", 1)} {
		if got := sum(other); seen[got] {
			t.Errorf("%q: no sum of its own", other)
		} else {
			seen[got] = true
		}
	}
	if _, err := Entries([]byte("[[change]")); err == nil {
		t.Error("a broken text is read")
	}
	if all, err := Entries(nil); all != nil || err != nil {
		t.Errorf("%v, %v", all, err)
	}
}

// By its text alone a log has the same entries as with the folder, and what is restored from
// them is what was read.
func TestEntriesAlone(t *testing.T) {
	const sample = "../../samples/mill"
	s, err := Read(os.DirFS(sample), Options{Languages: []string{"en", "es"}})
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(sample + "/changes.toml")
	if err != nil {
		t.Fatal(err)
	}
	all, err := Entries(text)
	if err != nil || !reflect.DeepEqual(all, s.Log.Entries) || len(all) != 9 {
		t.Errorf("%d entries, %v", len(all), err)
	}
	got := Restore(all)
	want := assess.Log{Changes: s.Log.Changes, Settlements: s.Log.Settlements, Reviews: s.Log.Reviews}
	for i := range want.Changes {
		want.Changes[i].Line = 0
	}
	for i := range want.Settlements {
		want.Settlements[i].Line = 0
	}
	for i := range want.Reviews {
		want.Reviews[i].Line = 0
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("restored %+v\nwant %+v", got, want)
	}
	odd := assess.NewEntry(assess.ChangeEntry, "2026-08-11/SWB-1/2", map[string]any{"date": "2026-08-11", "at": "SWB-1", "kind": "of a later version", "by": "x",
		"new_curve": map[string]any{"SWB-1": "gone.csv"}, "new_curve_sha256": map[string]any{"SWB-1": "0123456789ab"}, "unknown": true}, 0)
	got = Restore([]assess.Entry{odd})
	if c := got.Changes[0]; c.ID != odd.Name || c.Sum != odd.Sum || c.Kind.Reach != assess.Connected || c.New["SWB-1"].Curve.File != "gone.csv" {
		t.Errorf("%+v", c)
	}
}
