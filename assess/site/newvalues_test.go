package site

import (
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
)

// caseRows are a location with two cases and one without a name.
const caseRows = "id,case,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared\n" +
	"P-1,normal,Panel,ac3,480,2.5,30,18,2026-03-14\n" +
	"P-1,tie closed,Panel,ac3,480,2.6,31,18,2026-03-14\n" +
	"P-2,,Panel,ac3,480,2.5,30,18,2026-03-14\n"

func readLogged(changes string) (*assess.Site, error) {
	return Read(fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(caseRows)},
		"curves/new.csv":     {Data: []byte("current_a,total_clearing_max_s\n800,12\n6500,0.08\n")},
		"curves/melting.csv": {Data: []byte("current_a,melting_s\n800,12\n6500,0.08\n")},
		assess.ChangesFile:   {Data: []byte(changes)}}, Options{Languages: []string{"en", "es", "fr"}})
}

func TestNewCaseAndCurve(t *testing.T) {
	const entry = "[[change]]\ndate = 2026-08-11\nat = \"P-1\"\nkind = \"fuse replaced\"\nby = \"x\"\n"
	for _, c := range []struct {
		keys, wrong string
	}{
		{"new_clear_ms = 60\nnew_case = \"tie closed\"\nnew_curve = \"new.csv\"\n", ""},
		{"new_curve = { \"P-1\" = \"new.csv\", \"P-2\" = \"new.csv\" }\n", ""},
		{"new_clear_ms = 60\nnew_case = \"tie open\"\n", `changes.toml:7: change[1].new_case: found "tie open", expected a case of P-1, which has normal, tie closed`},
		{"new_clear_ms = { \"P-2\" = 60 }\nnew_case = \"normal\"\n", `expected a case of P-2, which has no case names`},
		{"new_case = \"normal\"\n", `expected new values for that case`},
		{"new_curve = \"none.csv\"\n", `changes.toml:6: change[1].new_curve: found "none.csv", expected a file in curves/`},
		{"new_curve = \"../site.csv\"\n", `change[1].new_curve: found "../site.csv", expected the name of a CSV file in curves/`},
		{"new_curve = { \"P-1\" = 5 }\n", `change[1].new_curve.P-1: found 5`},
		{"new_curve = { \"NOWHERE\" = \"new.csv\" }\n", `change[1].new_curve.NOWHERE: found "NOWHERE"`},
		{"new_curve = \"melting.csv\"\n", `curves/melting.csv:1: melting_s: found a time that is not declared`},
	} {
		s, err := readLogged(entry + c.keys)
		switch {
		case c.wrong != "" && (err == nil || !strings.Contains(err.Error(), c.wrong)):
			t.Errorf("%s\n%v, want %s", c.keys, err, c.wrong)
		case c.wrong == "" && err != nil:
			t.Errorf("%s\n%v", c.keys, err)
		case c.wrong == "":
			v := s.Log.Changes[0].New["P-1"]
			if v.Curve == nil || v.Curve != s.Curves["new.csv"] || len(v.Curve.Points) != 2 || (v.Case != "") != strings.Contains(c.keys, "new_case") {
				t.Errorf("%s\n%+v", c.keys, v)
			}
		}
	}
	// Of a study that is newer than the change the cases may have any name.
	if s, err := readLogged(strings.Replace(entry, "2026-08-11", "2025-08-11", 1) + "new_fault_ka = 9\nnew_case = \"former\"\n"); err != nil || s.Log.Changes[0].New["P-1"].Case != "former" {
		t.Error(err)
	}
}

// What is appended reads back as it was told.
func TestAppendTold(t *testing.T) {
	d, _ := assess.ParseDate("2026-08-11")
	change := assess.Change{Date: d, At: "P-1", Kind: assess.ChangeKinds[1], By: "x"}
	told := Told{FaultKA: []string{"12"}, Curve: []string{"P-1=new.csv"}, Case: "normal"}
	if err := told.Into(&change); err != nil {
		t.Fatal(err)
	}
	settlement := assess.Settlement{Change: "2026-08-11/P-1", Date: d, By: "x", Reason: "y", Scope: assess.Scope{IDs: []string{"P-1"}}, AgainstScreening: `a "z"`}
	review := assess.Review{Date: d, By: "x", Scope: assess.Scope{All: true}, Finding: assess.FoundRight, Reason: "measured"}
	text := AppendReview(AppendSettlement(AppendChange(nil, &change), &settlement), &review)
	s, err := readLogged(string(text))
	if err != nil {
		t.Fatalf("%s\n%v", text, err)
	}
	l := s.Log
	if v := l.Changes[0].New["P-1"]; v.Fault != 12 || v.Case != "normal" || v.Curve == nil || v.Curve.File != "new.csv" {
		t.Errorf("%s\n%+v", text, v)
	}
	if l.Settlements[0].AgainstScreening != `a "z"` || l.Reviews[0].Reason != "measured" {
		t.Errorf("%s\n%+v", text, l)
	}
	for _, wrong := range []Told{{Case: "normal"}, {Curve: []string{"P-1=new.txt"}}, {Curve: []string{"=new.csv"}}, {FaultKA: []string{"P-1=none"}}} {
		if err := wrong.Into(&assess.Change{At: "P-1"}); err == nil {
			t.Errorf("%+v passes", wrong)
		}
	}
}

// If the file of a curve has other points than were reported, only its name is known;
// entries from before the digest are read with the current file.
func TestToldPoints(t *testing.T) {
	const entry = "[[change]]\ndate = 2026-08-11\nat = \"P-1\"\nkind = \"fuse replaced\"\nby = \"x\"\nnew_curve = \"new.csv\"\n"
	s, err := readLogged(entry)
	if err != nil {
		t.Fatal(err)
	}
	told := s.Log.Changes[0].New["P-1"]
	text := string(AppendChange(nil, &s.Log.Changes[0]))
	if !strings.Contains(text, "new_curve_sha256 = { P-1 = \""+told.Curve.Digest()+"\" }") || told.Altered() {
		t.Errorf("the digest is not kept:\n%s", text)
	}
	if s, err = readLogged(text); err != nil || !reflect.DeepEqual(s.Log.Changes[0].New["P-1"], told) {
		t.Errorf("it reads back as %+v, %v", s, err)
	}
	for _, other := range []string{"800,12\n6500,0.07\n", "800,12\n6500,0.08\n7000,0.08\n", "800,12\n6400,0.08\n"} {
		c, err := ReadCurve("new.csv", []byte("current_a,total_clearing_max_s\n"+other), 60)
		if err != nil || c.Digest() == told.Curve.Digest() {
			t.Errorf("%q has the same digest, or %v", other, err)
		}
	}
	s, err = readLogged(entry + "new_curve_sha256 = \"0123456789ab\"\n")
	if err != nil {
		t.Fatal(err)
	}
	if v := s.Log.Changes[0].New["P-1"]; !v.Altered() || v.Curve.File != "new.csv" || s.Curves["new.csv"].Curve == nil {
		t.Errorf("other points: %+v", v)
	}
	for keys, wrong := range map[string]string{
		entry + "new_curve_sha256 = \"0123\"\n":                   `change[1].new_curve_sha256: found "0123", expected 12 hex digits`,
		entry + "new_curve_sha256 = { P-2 = \"0123456789ab\" }\n": `expected new_curve of P-2`,
	} {
		if _, err := readLogged(keys); err == nil || !strings.Contains(err.Error(), wrong) {
			t.Errorf("%v, want %s", err, wrong)
		}
	}
}
