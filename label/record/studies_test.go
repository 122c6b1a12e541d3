package record

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"vouchmark/assess"
)

// A name in studies/ is valid on every system. The names that Windows reserves are
// from Microsoft's "Naming Files, Paths, and Namespaces".
func TestStudyName(t *testing.T) {
	long := strings.Repeat("a", 300)
	zip := []byte("PK\x03\x04 and so on")
	for file, want := range map[string]string{
		"R-2026.xlsx":                   "R-2026.xlsx",
		"/srv/inbox/R-2026.xlsx":        "R-2026.xlsx",
		`C:\Users\x\R-2026.XLSX`:        "R-2026.XLSX",
		"../../ledger.jsonl":            "ledger.jsonl",
		"R 2026  final (2).xlsx":        "R-2026-final-2.xlsx",
		" R 2026 .csv ":                 "R-2026.csv",
		"Étude Ångström.csv":            "Etude-Angstrom.csv",
		"E\u0301tude.csv":               "Etude.csv",
		"研究.csv":                        "study.csv",
		"R\u202e2026\u0000\n;,.csv":     "R-2026.csv",
		"R\u00a02026.csv":               "R-2026.csv",
		"R\xff.csv":                     "R.csv",
		".hidden.csv":                   "hidden.csv",
		"--out.csv":                     "out.csv",
		"a..b...csv":                    "a.b.csv",
		"R.":                            "R.txt",
		"R":                             "R.txt",
		"Rev. 2 (May 2026)":             "Rev.-2-May-2026.txt",
		"R.12":                          "R.12.txt",
		"con.csv":                       "study-con.csv",
		"COM1.xlsx":                     "study-COM1.xlsx",
		"lpt9.2.csv":                    "study-lpt9.2.csv",
		"console.csv":                   "console.csv",
		"":                              "study.txt",
		"...":                           "study.txt",
		"/":                             "study.txt",
		long + ".xlsx":                  long[:longestStem] + ".xlsx",
		long[:longestStem-1] + "-b.csv": long[:longestStem-1] + ".csv",
	} {
		got, err := StudyName(fstest.MapFS{}, file, []byte("x"))
		if got != want || err != nil || !StudyFile(got) {
			t.Errorf("%q is kept as %q (%v), want %q", file, got, StudyFile(got), want)
		}
	}
	if got, _ := StudyName(fstest.MapFS{}, "R", zip); got != "R.xlsx" {
		t.Errorf("a workbook without an extension is kept as %q", got)
	}
}

// The name for the locations.csv before a study differs for every study.
func TestBeforeName(t *testing.T) {
	long := strings.Repeat("a", longestStem)
	seen := map[string]string{}
	for _, study := range []string{"R.csv", "R-2.csv", "R.locations-before.csv", "R.locations-before-2.csv", "S.xlsx", long + ".csv"} {
		for i := 1; i <= 3; i++ {
			stem, ext := beforeBase(study)
			name := numbered(stem, ext, i)
			if seen[name] != "" || !StudyFile(name) || len(stem) > longestStem {
				t.Errorf("%s: %s is also before %s, or is invalid", study, name, seen[name])
			}
			seen[name] = study
		}
	}
}

func TestStudyFile(t *testing.T) {
	for name, want := range map[string]bool{
		"R.csv": true, "R-2026_a.b.xlsx": true, "0.csv": true,
		"": false, ".": false, "..": false, ".csv": false, "R": false, "R.": false, "R.csv.": false, "-R.csv": false,
		"a/R.csv": false, `a\R.csv`: false, "a..csv": false, "a..b.csv": false, "R 1.csv": false, "R.c sv": false,
		"é.csv": false, "R.csv\n": false, "nul.csv": false, "Aux.b.csv": false, "R.1csv": false, "a:b.csv": false,
		"R.toolong": false, "R-.csv": false, strings.Repeat("a", 200) + ".csv": false,
	} {
		if StudyFile(name) != want {
			t.Errorf("%q: %v", name, !want)
		}
	}
}

// inStudies is a folder with files in studies/, and with lines that name some.
func inStudies(t *testing.T, files map[string]string, lines ...Line) fstest.MapFS {
	t.Helper()
	m, prev := fstest.MapFS{}, firstPrev
	for name, text := range files {
		m[StudyPath(name)] = &fstest.MapFile{Data: []byte(text)}
	}
	ledger := &fstest.MapFile{}
	for _, l := range lines {
		b, err := l.seal(prev)
		if err != nil {
			t.Fatal(err)
		}
		ledger.Data, prev = append(ledger.Data, b...), l.Hash
	}
	m[LedgerFile] = ledger
	return m
}

// Nothing in studies/ gets the name of another file, neither of one that is there
// nor of a lost one that the ledger names, whatever its capitals.
func TestStudyNameTaken(t *testing.T) {
	names := func(file, text string) Line {
		return Line{Kind: Intake, Study: stored(Kept{file, []byte(text)}), Before: stored(Kept{"before.csv", []byte("b")})}
	}
	for what, c := range map[string]struct {
		folder     fstest.MapFS
		file, want string
	}{
		"an empty folder":            {fstest.MapFS{}, "R.csv", "R.csv"},
		"the same bytes":             {inStudies(t, map[string]string{"R.csv": "new"}), "R.csv", "R.csv"},
		"other bytes":                {inStudies(t, map[string]string{"R.csv": "old"}), "R.csv", "R-2.csv"},
		"as long":                    {inStudies(t, map[string]string{"R.csv": "neu"}), "R.csv", "R-2.csv"},
		"the second":                 {inStudies(t, map[string]string{"R.csv": "old", "R-2.csv": "new"}), "R.csv", "R-2.csv"},
		"the third":                  {inStudies(t, map[string]string{"R.csv": "old", "R-2.csv": "older"}), "R.csv", "R-3.csv"},
		"a gap":                      {inStudies(t, map[string]string{"R.csv": "old", "R-3.csv": "new"}), "R.csv", "R-2.csv"},
		"other capitals":             {inStudies(t, map[string]string{"r.CSV": "old"}), "R.csv", "R-2.csv"},
		"the same in other capitals": {inStudies(t, map[string]string{"r.CSV": "new"}), "R.csv", "r.CSV"},
		"lost":                       {inStudies(t, nil, names("R.csv", "new")), "R.csv", "R.csv"},
		"another lost":               {inStudies(t, nil, names("R.csv", "old")), "R.csv", "R-2.csv"},
		"another lost, capitals":     {inStudies(t, nil, names("r.csv", "old")), "R.csv", "R-2.csv"},
		"lost, capitals":             {inStudies(t, nil, names("r.csv", "new")), "R.csv", "r.csv"},
		"altered":                    {inStudies(t, map[string]string{"R.csv": "bad"}, names("R.csv", "new")), "R.csv", "R.csv"},
		"in another's place":         {inStudies(t, map[string]string{"R.csv": "new"}, names("R.csv", "old")), "R.csv", "R-2.csv"},
		"a locations.csv before":     {inStudies(t, nil, names("x.csv", "x")), "before.csv", "before-2.csv"},
		"a folder": {fstest.MapFS{"studies/R.csv": &fstest.MapFile{Mode: fs.ModeDir | 0o755}},
			"R.csv", "R-2.csv"},
		"a link": {fstest.MapFS{"studies/R.csv": &fstest.MapFile{Data: []byte("x"), Mode: fs.ModeSymlink}, "studies/x": &fstest.MapFile{Data: []byte("new")}},
			"R.csv", "R-2.csv"},
	} {
		if got, err := StudyName(c.folder, c.file, []byte("new")); got != c.want || err != nil {
			t.Errorf("%s: %q, %v; want %q", what, got, err, c.want)
		}
	}
	for what, folder := range map[string]fstest.MapFS{
		"a broken ledger": {LedgerFile: &fstest.MapFile{Data: []byte("{}\n")}}, "a folder for a ledger": {LedgerFile + "/x": &fstest.MapFile{}},
		"a file for studies/": {StudiesFolder: &fstest.MapFile{}},
	} {
		if got, err := StudyName(folder, "R.csv", nil); err == nil {
			t.Errorf("%s: %q", what, got)
		}
	}
	dir := t.TempDir() // a link with the same bytes is still another file
	put(t, dir, map[string]string{"new": "new", "studies/S.csv": "x"})
	for name, to := range map[string]string{"studies/R.csv": "../new", "studies/Q.csv": "nowhere"} {
		if err := os.Symlink(to, filepath.Join(dir, name)); err != nil {
			t.Skip(err)
		}
	}
	for file, want := range map[string]string{"R.csv": "R-2.csv", "Q.csv": "Q-2.csv"} {
		if got, err := StudyName(os.DirFS(dir), file, []byte("new")); got != want || err != nil {
			t.Errorf("%s, a link: %q, %v", file, got, err)
		}
	}
	full := map[string]string{}
	for i := 1; i <= 9999; i++ {
		full[numbered("R", ".csv", i)] = "old"
	}
	if got, err := StudyName(inStudies(t, full), "R.csv", []byte("new")); err == nil {
		t.Errorf("behind 9,999 files: %q", got)
	}
}

// Whatever a file is called, its name in studies/ is valid, and the column source
// can name it.
func FuzzStudyName(f *testing.F) {
	f.Add("R 2026.xlsx", "Results")
	f.Add("a/../b\x00.c", "")
	f.Fuzz(func(t *testing.T, file, sheet string) {
		name, err := StudyName(fstest.MapFS{}, file, []byte(sheet))
		if err != nil || !StudyFile(name) || path.Base(name) != name || !fs.ValidPath(StudyPath(name)) {
			t.Fatalf("%q is kept as %q, %v", file, name, err)
		}
		source := assess.Source{File: name, Sheet: "Results", Row: 17}
		if back, ok := assess.ParseSource(source.String()); !ok || back != source || len(source.String()) > 200 {
			t.Errorf("%q is read as %+v", source, back)
		}
		if again, _ := StudyName(fstest.MapFS{}, name, nil); again != name {
			t.Errorf("%q is kept as %q", name, again)
		}
	})
}

// A line that takes a study in, byte for byte: the lines of old ledgers stay
// readable.
func TestIntakeLine(t *testing.T) {
	l := Line{Kind: Intake, Date: job(t, Print).Date, By: "tester", Tool: "test", Study: stored(Kept{"R.csv", []byte("abc")}),
		Before: stored(Kept{"R.locations-before.csv", []byte("old")}), Locations: SHA256([]byte("new"))}
	text, err := l.seal(firstPrev)
	if err != nil {
		t.Fatal(err)
	}
	// The SHA-256 of "abc" is the first example of FIPS 180-2, B.1.
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	body := fmt.Sprintf(`{"schema":1,"kind":"intake","date":"2026-05-01","by":"tester","tool":"test",`+
		`"study":{"file":"R.csv","sha256":"%s","bytes":3},"before":{"file":"R.locations-before.csv","sha256":"%s","bytes":3},`+
		`"locations":"%s","prev":"%s"`, abc, SHA256([]byte("old")), SHA256([]byte("new")), firstPrev)
	if want := body + string(ending(SHA256([]byte(body)))); string(text) != want {
		t.Errorf("%s\nwant %s", text, want)
	}
	back, err := parseLine(text, firstPrev)
	if err != nil || !back.takesIn() {
		t.Errorf("%+v, %v", back, err)
	}
	for _, key := range []string{`"study":null,`, `"study":{},`, `"locations":"",`, `"before":null,`} {
		bad := bytes.Replace(text, []byte(`"prev"`), []byte(key+`"prev"`), 1)
		if _, err := parseLine(bad, firstPrev); err == nil {
			t.Errorf("a line with %s is read", key)
		}
	}
	for what, spoil := range map[string]func(*Line){
		"study": func(l *Line) { l.Study.File = "a\nb" }, "before": func(l *Line) { l.Before.File = "a\u202eb" },
		"study's hash": func(l *Line) { l.Study.SHA256 = "\x1b" }, "before's hash": func(l *Line) { l.Before.SHA256 = "\x1b" },
		"hash": func(l *Line) { l.Locations = "\x1b" },
	} {
		bad := l
		study, before := *l.Study, *l.Before
		bad.Study, bad.Before = &study, &before
		if spoil(&bad); bad.Unprintable() == "" {
			t.Errorf("%s: invisible characters pass", what)
		}
	}
}
