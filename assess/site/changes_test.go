package site

import (
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
	"vouchmark/testdata/suite"
)

// plant is the starter folder with a changes.toml.
func plant(t *testing.T, changes string) (*assess.Site, error) {
	t.Helper()
	folder := fstest.MapFS{assess.ChangesFile: {Data: []byte(changes)}}
	for _, f := range []string{"site.toml", "locations.csv"} {
		data, err := os.ReadFile("starter/" + f)
		if err != nil {
			t.Fatal(err)
		}
		folder[f] = &fstest.MapFile{Data: data}
	}
	return Read(folder, Options{})
}

func TestChangesAreRead(t *testing.T) {
	s, err := plant(t, "")
	if err != nil {
		t.Fatal(err)
	}
	a, b := s.Locations[0].ID, s.Locations[len(s.Locations)-1].ID
	s, err = plant(t, `
[[change]]
date = 2026-08-11
at = "`+a+`"
kind = "fuse replaced"
by = "maintenance"
new_clear_ms = { "`+b+`" = 80 }
new_fault_ka = 12

[[change]]
date = "2026-08-11"
at = "`+a+`"
kind = "arc-sensing or zone interlocking defeated"
by = "maintenance"

[[settlement]]
change = "2026-08-11/`+a+`/2"
date = 2026-09-01
by = "E. Sample, PE"
reason = "put back"
scope = ["`+b+`"]

[[review]]
date = 2027-01-02
by = "E. Sample, PE"
scope = "all"
finding = "right"
`)
	if err != nil {
		t.Fatal(err)
	}
	l := s.Log
	if len(l.Changes) != 2 || l.Changes[1].ID != "2026-08-11/"+a+"/2" || l.Changes[0].Kind.Reach != assess.Below || l.Changes[0].Line != 3 {
		t.Errorf("changes %+v", l.Changes)
	}
	if v := l.Changes[0].New; v[a].Fault != 12 || v[b].Clear != 80 {
		t.Errorf("new values %+v", v)
	}
	if e := l.Settlements[0]; e.Scope.All || e.Scope.IDs[0] != b {
		t.Errorf("settlement %+v", e)
	}
	if r := l.Reviews[0]; !r.Scope.All || r.Finding != assess.FoundRight {
		t.Errorf("review %+v", r)
	}
}

// Every problem of the file at once, with its line and what to do.
func TestChangesProblems(t *testing.T) {
	_, err := plant(t, `
[[change]]
date = 2026-02-30x
`)
	if err == nil {
		t.Error("broken syntax passes")
	}
	_, err = plant(t, `[[change]]
date = "31.02.2026"
at = "NOSUCH"
kind = "fuse"
by = "x"
colour = "red"
new_clear_ms = { "NOWHERE" = -1 }

[[settlement]]
change = "2026-08-11/NOSUCH"
date = 2026-01-01
by = "x"
reason = "y"

[[review]]
date = 2026-01-01
by = "x"
scope = "everything"
finding = "fine"
`)
	if err == nil {
		t.Fatal("no problem found")
	}
	for _, want := range []string{
		`changes.toml:2: change[1].date: found "31.02.2026"`,
		`changes.toml:3: change[1].at: found "NOSUCH", expected the id of a location`,
		`changes.toml:4: change[1].kind: found "fuse", expected one of fuse replaced, breaker replaced`,
		`changes.toml:6: change[1].colour: found an unknown key`,
		`change[1].new_clear_ms.NOWHERE: found "NOWHERE"`,
		`change[1].new_clear_ms.NOWHERE: found -1`,
		`settlement[1].change: found "2026-08-11/NOSUCH"`,
		`settlement[1].scope: found no such key`,
		`review[1].scope: found "everything"`,
		`review[1].finding: found "fine", expected one of right, wrong`,
	} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("no %q in\n%v", want, err)
		}
	}
}

// What is appended reads as what was meant, and what stood there stays.
func TestAppend(t *testing.T) {
	s, err := plant(t, "")
	if err != nil {
		t.Fatal(err)
	}
	id := s.Locations[0].ID
	d, _ := assess.ParseDate("2026-08-11")
	change := assess.Change{ID: "2026-08-11/" + id, Date: d, At: id, Kind: assess.ChangeKinds[5], Note: `a "quoted" note \ with a backslash`, By: "é",
		New: map[string]assess.NewValues{id: {Fault: 12.5, Clear: 60, ClearReduced: 80}}}
	settlement := assess.Settlement{Change: change.ID, Date: d, By: "x", Reason: "y = [z]", Scope: assess.Scope{IDs: []string{id}}}
	review := assess.Review{Date: d, By: "x", Scope: assess.Scope{All: true}, Finding: assess.FoundWrong}
	for _, old := range []string{"", "# mine\n", "# no end of line", "# crlf\r\n"} {
		text := AppendReview(AppendSettlement(AppendChange([]byte(old), &change), &settlement), &review)
		if !strings.HasPrefix(string(text), old) {
			t.Errorf("%q is not kept", old)
		}
		s, err := plant(t, string(text))
		if err != nil {
			t.Fatalf("%s\n%v", text, err)
		}
		got := s.Log
		got.Changes[0].Line, got.Settlements[0].Line, got.Reviews[0].Line = 0, 0, 0
		got.Changes[0].Sum, got.Settlements[0].Sum, got.Reviews[0].Sum, got.Entries = "", "", "", nil
		want := assess.Log{Changes: []assess.Change{change}, Settlements: []assess.Settlement{settlement}, Reviews: []assess.Review{review}}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s\nread %+v\nwant %+v", text, got, want)
		}
	}
}

// Whatever is in changes.toml, it is read or reported, and what is read
// can be true.
func FuzzChanges(f *testing.F) {
	f.Add("[[change]]\ndate = 2026-08-11\nat = \"X\"\nkind = \"fuse replaced\"\nby = \"x\"\nnew_clear_ms = { \"X\" = 60 }\n")
	f.Add("[[settlement]]\nchange = \"2026-08-11/X\"\ndate = 2026-08-11\nby = \"x\"\nreason = \"y\"\nscope = [\"X\"]\n")
	f.Add("[[review]]\ndate = '2026-08-11'\nby = \"x\"\nscope = \"all\"\nfinding = \"right\"\n")
	f.Add("change = 1\n[review]\nscope = []\n[[change]]\nnew_fault_ka = nan\n")
	f.Add("[[review]]\nx = -9223372036854775808\ny = [inf, {a.b = 1979-05-27T07:32:00Z}]\n")
	f.Fuzz(func(t *testing.T, changes string) {
		if len(changes) > suite.Longest {
			return
		}
		var all []assess.Entry
		var broken error
		suite.Bounded(t, len(changes), 2048, 4<<20, func() { all, broken = Entries([]byte(changes)) })
		for _, e := range all {
			if len(e.Sum) != 64 {
				t.Errorf("an entry without a sum: %+v", e)
			}
		}
		Restore(all)
		s, err := Read(fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(goodRows)}, assess.ChangesFile: {Data: []byte(changes)}},
			Options{Languages: []string{"en", "es", "fr"}})
		if err != nil {
			return
		}
		if broken != nil || !reflect.DeepEqual(all, s.Log.Entries) {
			t.Errorf("by the text alone %+v, %v; with the folder %+v", all, broken, s.Log.Entries)
		}
		for _, c := range s.Log.Changes {
			if c.Date.IsZero() || c.Kind.Name == "" || c.By == "" || c.ID == "" {
				t.Errorf("%+v", c)
			}
			for id, v := range c.New {
				if _, ok := s.Location(id); !ok || !(v.Fault >= 0 && v.Clear >= 0 && v.ClearReduced >= 0) || v == (assess.NewValues{}) {
					t.Errorf("%s: %+v", id, v)
				}
			}
		}
		for _, e := range s.Log.Settlements {
			if !e.Scope.All && len(e.Scope.IDs) == 0 || e.By == "" || e.Reason == "" {
				t.Errorf("%+v", e)
			}
		}
	})
}

// An entry by nobody cannot be taken back, and clears nothing.
func TestEntriesOfNobody(t *testing.T) {
	const log = "[[change]]\ndate = 2026-05-01\nat = \"A\"\nkind = \"fuse replaced\"\nby = \"x\"\n"
	for entry, counts := range map[string][2]int{
		"[[settlement]]\nchange = \"2026-05-01/A\"\ndate = 2026-05-02\nby = \"E. Sample\"\nreason = \"same fuse\"\nscope = \"all\"\n": {1, 0},
		"[[settlement]]\nchange = \"2026-05-01/A\"\ndate = 2026-05-02\nby = \"E. Sample\"\nreason = \"-\"\nscope = \"all\"\n":         {0, 0},
		"[[settlement]]\nchange = \"2026-05-01/A\"\ndate = 2026-05-02\nby = \"N/A\"\nreason = \"same fuse\"\nscope = \"all\"\n":       {0, 0},
		"[[review]]\ndate = 2026-05-02\nby = \"TBD\"\nscope = \"all\"\nfinding = \"right\"\n":                                         {0, 0},
		"[[review]]\ndate = 2026-05-02\nby = \"TBD\"\nscope = \"all\"\nfinding = \"wrong\"\n":                                         {0, 1},
	} {
		folder := fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "changes.toml": {Data: []byte(log + entry)},
			"locations.csv": {Data: []byte("id,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared\nA,Q,ac3,480,2,24,18,2026-03-14\n")}}
		s, err := Read(folder, Options{Languages: []string{"en", "es"}})
		if err != nil {
			t.Fatal(err)
		}
		unsigned := slices.ContainsFunc(s.Policy.Findings, func(f assess.Finding) bool { return f.Code == assess.EntryUnsigned })
		if got := [2]int{len(s.Log.Settlements), len(s.Log.Reviews)}; got != counts || unsigned == (counts != [2]int{}) {
			t.Errorf("%s: %v, %v", entry, got, s.Policy.Findings)
		}
	}
}
