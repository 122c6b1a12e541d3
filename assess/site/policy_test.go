package site

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
)

func TestDefaults(t *testing.T) {
	const defaults = "[defaults]\narea = \"Hall 2\"\nsupply = \"dc\"\nconductor = \"movable\"\nstudy = \"S-1\"\n" +
		"revision = \"2\"\nedition = \"IEEE 1584-2018\"\nsurveyed = 2026-01-20\nprepared = \"2026-03-14\"\n" +
		"engineer = \"E. Sample, PE\"\nnote = \"invented\"\n"
	// Neither supply nor prepared is a column of the first file; the second has
	// them, and leaves some of their cells empty.
	for rows, want := range map[string][2]string{
		"id,equipment,voltage_v,distance_in\nA,Q,125,18\nB,Q,125,18\n": {"dc 2026-03-14 Hall 2", "dc 2026-03-14 Hall 2"},
		"id,equipment,voltage_v,distance_in,supply,prepared,area\nA,Q,125,18,,,\nB,Q,480,18,ac3,2025-01-02,Yard\n": {
			"dc 2026-03-14 Hall 2", "ac3 2025-01-02 Yard"},
	} {
		s, ps := read(goodPolicy+defaults, rows)
		if ps != nil {
			t.Fatal(ps)
		}
		for i, l := range s.Locations {
			c := l.Cases[0]
			if got := string(l.Supply) + " " + c.Prepared.String() + " " + l.Area; got != want[i] || l.Unreadable != nil {
				t.Errorf("%s: %s, want %s; %v", l.ID, got, want[i], l.Unreadable)
			}
			if !l.Movable || c.Study != "S-1" || c.Revision != "2" || c.Edition != "IEEE 1584-2018" ||
				c.Surveyed.String() != "2026-01-20" || c.Engineer != "E. Sample, PE" || c.Note != "invented" {
				t.Errorf("%s: %+v", l.ID, l)
			}
		}
	}
	for _, c := range []struct{ key, want string }{
		{"voltage_v = 480", "defaults.voltage_v: found an unknown key"},
		{"suply = \"ac3\"", "the nearest is supply"},
		{"distance_in = 18", "defaults.distance_in: found an unknown key"},
		{"supply = \"3ph\"", "defaults.supply: found \"3ph\", expected one of ac3, ac1, dc"},
		{"prepared = \"3/14/2026\"", "defaults.prepared: found \"3/14/2026\""},
		{"note = \"a\\u202eb\"", "defaults.note: found the invisible character"},
	} {
		if _, ps := read(goodPolicy+"[defaults]\n"+c.key+"\n", goodRows); len(ps) != 1 || !strings.Contains(ps[0].String(), c.want) {
			t.Errorf("%s: %v", c.key, ps)
		}
	}
	// A word that cannot be read is not an empty cell.
	s, _ := read(goodPolicy+defaults, "id,equipment,voltage_v,distance_in,prepared\nA,Q,125,18,TBD\n")
	if len(s.Locations[0].Unreadable) != 1 {
		t.Errorf("%v", s.Locations[0])
	}
}

func TestPolicyKeys(t *testing.T) {
	s, ps := read("sources = [\"P-1\"]\nstarter = true\nmaintenance_line = \"page\"\nfrequency_hz = 16.7\n"+goodPolicy, goodRows)
	if p := s.Policy; ps != nil || !p.Starter || !p.MaintenanceOnPage || p.FrequencyHz != 16.7 || len(p.Sources) != 1 {
		t.Errorf("%v %+v", ps, p)
	}
	s, ps = read(goodPolicy, goodRows)
	if p := s.Policy; ps != nil || p.Starter || p.MaintenanceOnPage || p.FrequencyHz != 60 || p.Sources != nil {
		t.Errorf("%v %+v", ps, p)
	}
	for key, want := range map[string]string{
		"sources = [\"P-9\"]":        `sources: found "P-9", expected the id of a location`,
		"sources = \"P-1\"":          "sources: found \"P-1\", expected a list",
		"starter = \"yes\"":          "starter: found",
		"maintenance_line = \"no\"":  "expected one of label, page",
		"frequency_hz = 0":           "frequency_hz: found 0",
		"frequency_hz = 1001":        "frequency_hz: found 1001",
		"source = [\"P-1\"]":         "the nearest is sources",
		"maintenance_lin = \"page\"": "the nearest is maintenance_line",
	} {
		if _, ps := read(key+"\n"+goodPolicy, goodRows); len(ps) != 1 || !strings.Contains(ps[0].String(), want) {
			t.Errorf("%s: %v, want %s", key, ps, want)
		}
	}
}

func TestAccept(t *testing.T) {
	day := func(s string) assess.Date {
		d, err := assess.ParseDate(s)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	rows := goodRows + strings.Replace(strings.SplitAfter(goodRows, "\n")[1], "P-1", "P-2", 1)
	for _, a := range []assess.Acceptance{
		{Finding: assess.OverRating, By: "E. Sample, PE", Date: day("2026-03-20"), Reason: `series rated: "A" with \B`, At: []string{"P-1"}},
		{Finding: assess.Understated, By: "Ö. Sample", Date: day("2026-03-20"), Reason: "so", Until: day("2026-03-20"), At: []string{"P-2", "P-1"}},
	} {
		text := AppendAccept([]byte(goodPolicy), &a)
		if !bytes.HasPrefix(text, []byte(goodPolicy)) || !bytes.HasSuffix(text, acceptEntry(&a).Bytes()) {
			t.Errorf("what stood there is altered:\n%s", text)
		}
		s, ps := read(string(AppendAccept(text, &a)), rows) // twice, after the existing tables
		if ps != nil || len(s.Policy.Accept) != 2 {
			t.Fatal(ps)
		}
		for _, got := range s.Policy.Accept {
			if got.Line == 0 {
				t.Error("without its line")
			}
			if got.Line = 0; !reflect.DeepEqual(got, a) {
				t.Errorf("read again it is %+v, want %+v", got, a)
			}
		}
	}
	const good = "[[accept]]\nat = \"P-1\"\nfinding = \"over-rating\"\nby = \"E. Sample, PE\"\ndate = 2026-03-20\nreason = \"so\"\nuntil = 2027-03-20\n"
	for _, c := range []struct{ old, with, want string }{
		{`"P-1"`, `"P-9"`, `accept[1].at: found "P-9", expected the id of a location`},
		{`"P-1"`, `["P-1", "P-9"]`, `accept[1].at: found "P-9"`},
		{`"P-1"`, `[]`, `accept[1].at: found an empty list`},
		{`"P-1"`, `7`, `accept[1].at: found 7`},
		{"at = \"P-1\"\n", "", "accept[1].at: found no such key"},
		{"over-rating", "over-ratting", "the nearest is over-rating"},
		{"over-rating", "unreadable", "this one cannot be accepted"},
		{"over-rating", "old-method", "this one cannot be accepted"},
		{"finding = \"over-rating\"\n", "", "accept[1].finding: found no such key"},
		{"by = \"E. Sample, PE\"\n", "", "accept[1].by: found no such key"},
		{"E. Sample, PE", " ", "accept[1].by: found an empty text"},
		{"date = 2026-03-20\n", "", "accept[1].date: found no such key"},
		{"reason = \"so\"\n", "", "accept[1].reason: found no such key"},
		{"2027-03-20", "2026-03-19", "accept[1].until: found 2026-03-19, expected the date of the acceptance, 2026-03-20"},
		{"2027-03-20", "\"soon\"", "accept[1].until: found \"soon\""},
		{"until", "untill", "the nearest is until"},
	} {
		_, ps := read(goodPolicy+strings.Replace(good, c.old, c.with, 1), rows)
		if len(ps) != 1 || !strings.Contains(ps[0].String(), c.want) || ps[0].Line == 0 {
			t.Errorf("%s for %s: %v", c.with, c.old, ps)
		}
	}
	if _, ps := read(goodPolicy+good, rows); ps != nil {
		t.Errorf("%v", ps)
	}
}

// Input files have limits of size and depth: one clear problem each.
func TestLimits(t *testing.T) {
	const points = "current_a,total_clearing_max_s\n1000,10\n10000,0.1\n"
	folder := func(file string, data []byte) fstest.MapFS {
		rows := strings.Replace(strings.Replace(goodRows, "prepared\n", "prepared,curve\n", 1), "03-14\n", "03-14,m.csv\n", 1)
		f := fstest.MapFS{"site.toml": {Data: []byte(goodPolicy)}, "locations.csv": {Data: []byte(rows)},
			"curves/m.csv": {Data: []byte(points)}}
		if f[file] == nil {
			f[file] = &fstest.MapFile{}
		}
		f[file].Data = append(f[file].Data, data...)
		return f
	}
	comment := func(n int) []byte { return append([]byte("\n# "), bytes.Repeat([]byte("x"), n)...) }
	blank := func(n int) []byte { return bytes.Repeat([]byte("\n"), n) }
	for _, c := range []struct {
		file string
		data []byte
		want string // "" for none
	}{
		{"site.toml", comment(1<<20 - 3 - len(goodPolicy)), ""},
		{"site.toml", comment(1<<20 - 2 - len(goodPolicy)), "site.toml: found a file of more than 1 MiB, expected at most 1 MiB"},
		{"changes.toml", comment(4<<20 - 3), ""},
		{"changes.toml", comment(4<<20 - 2), "changes.toml: found a file of more than 4 MiB"},
		{"curves/m.csv", blank(1<<20 - len(points)), ""},
		{"curves/m.csv", blank(1<<20 + 1 - len(points)), "curves/m.csv: found a file of more than 1 MiB"},
		{"changes.toml", []byte("x = " + strings.Repeat("[", 15) + strings.Repeat("]", 15)), "changes.toml:1: x: found an unknown key"},
		{"changes.toml", []byte("\nx = " + strings.Repeat("[", 1<<20)), "changes.toml:2: found more than 16 tables and lists within each other"},
		{"changes.toml", []byte(strings.Repeat("a.", 15) + "b = 1"), "changes.toml: a: found an unknown key"},
		{"changes.toml", []byte(strings.Repeat("a.", 200<<10) + "b = 1"), "changes.toml:1: found a key of 409602 bytes"},
	} {
		_, err := Read(folder(c.file, c.data), Options{Languages: []string{"en", "es"}})
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%d bytes more of %s: %v, want %q", len(c.data), c.file, err, c.want)
		}
		if ps, ok := err.(Problems); ok && strings.Contains(c.want, " more than ") && len(ps) != 1 {
			t.Errorf("%s: %d problems", c.file, len(ps))
		}
	}
}

// danger_test may have a text for each language; show_clearing_time is a choice.
func TestLabelChoices(t *testing.T) {
	s, ps := read("danger_test = \"by meter M-1\"\ndanger_test_es = \"con el medidor M-1\"\nshow_clearing_time = true\n"+goodPolicy, goodRows)
	if p := s.Policy; ps != nil || p.DangerTest.In("en")[0] != "by meter M-1" || p.DangerTest.In("es")[0] != "con el medidor M-1" ||
		!p.ShowClearingTime {
		t.Errorf("%v, %+v", ps, s.Policy)
	}
	s, ps = read(goodPolicy, goodRows)
	if p := s.Policy; ps != nil || p.DangerTest != nil || p.ShowClearingTime {
		t.Errorf("%v, %+v", ps, s.Policy)
	}
	if _, ps = read("show_clearing_time = 1\n"+goodPolicy, goodRows); ps == nil {
		t.Error("a number for show_clearing_time is taken")
	}
}
