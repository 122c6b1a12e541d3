package mirror_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/label/bucket"
	"vouchmark/label/bucket/buckettest"
	"vouchmark/label/mirror"
	"vouchmark/label/record"
)

var day = date("2026-05-01")

func date(text string) assess.Date {
	d, err := assess.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

// mill is a copy of a plant with labels printed by an earlier version.
func mill(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/records2/mill")); err != nil {
		t.Fatal(err)
	}
	return dir
}

// more adds lines to the ledger of a folder, as a command does.
func more(t testing.TB, dir string, n int, reason string) {
	t.Helper()
	var all []record.Line
	for i := range n {
		all = append(all, record.Line{Kind: record.Withdrawn, Date: day, Reason: fmt.Sprintf("%s %d", reason, i),
			Labels: []record.Printed{{ID: "MCC-4", Record: strings.Repeat("0", 64)}}})
	}
	err := record.Open(dir).NoteAll(func(*record.Ledger) ([]record.Line, error) { return all, nil })
	if err != nil {
		t.Fatal(err)
	}
}

func ledger(t testing.TB, dir string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, record.LedgerFile))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// cut leaves the first lines of a ledger.
func cut(t testing.TB, dir string, lines int) {
	t.Helper()
	file := filepath.Join(dir, record.LedgerFile)
	text := bytes.Join(record.SplitLines(ledger(t, dir))[:lines], nil)
	if err := os.WriteFile(file, text, 0o644); err != nil {
		t.Fatal(err)
	}
}

func send(t testing.TB, b bucket.Bucket, dir string, o mirror.Options) (*mirror.State, error) {
	t.Helper()
	l, text, err := record.Open(dir).LedgerText()
	if err != nil {
		t.Fatal(err)
	}
	return mirror.Send(t.Context(), b, mirror.Source{Folder: os.DirFS(dir), Ledger: l, Text: text}, o)
}

// sent is send where it must succeed.
func sent(t testing.TB, b bucket.Bucket, dir string, o mirror.Options) *mirror.State {
	t.Helper()
	s, err := send(t, b, dir, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var begin = mirror.Options{Begin: true, All: true}

// chain is what the lines of a mirror are together, and how many of them follow each other from the first on.
func chain(m *buckettest.Memory) (text []byte, lines int) {
	files := m.Files()
	for {
		line, there := files[fmt.Sprintf("lines/%010d", lines+1)]
		if !there {
			return text, lines
		}
		text, lines = append(text, line...), lines+1
	}
}

// whole checks that a mirror has all of a folder: the ledger byte by byte, and each record.
func whole(t *testing.T, m *buckettest.Memory, dir string) {
	t.Helper()
	if text, _ := chain(m); !bytes.Equal(text, ledger(t, dir)) {
		t.Error("the lines of the mirror are not the ledger")
	}
	files, n := m.Files(), 0
	err := filepath.WalkDir(filepath.Join(dir, "records"), func(file string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		n++
		data, err := os.ReadFile(file)
		name, _ := filepath.Rel(dir, file)
		if !bytes.Equal(files[filepath.ToSlash(name)], data) {
			t.Errorf("%s is not in the mirror", name)
		}
		return err
	})
	if err != nil || n < 10 {
		t.Error(n, err)
	}
}

func TestSend(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	until := time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC)
	s := sent(t, m, dir, mirror.Options{Begin: true, All: true, Until: until})
	if s.Lines != 9 || s.There != 9 || s.Waiting() != 0 || s.Sent != 9 || s.Files != 15 || s.Since.IsZero() || s.Lacks != nil {
		t.Errorf("state %+v", s)
	}
	whole(t, m, dir)
	for key := range m.Files() {
		if how := m.HowOf(key); !how.New || !how.Until.Equal(until) || how.Type == "" || len(how.Digest) != 64 {
			t.Errorf("%s was written as %+v", key, how)
		}
	}
	more(t, dir, 2, "worn")
	before := m.Requests()
	s = sent(t, m, dir, mirror.Options{})
	if s.There != 11 || s.Sent != 2 || s.Files != 0 {
		t.Errorf("state %+v", s)
	}
	if n := m.Requests() - before; n != 5 { // the newest head: its name and its text; two lines; a head
		t.Errorf("%d requests for two lines", n)
	}
	before = m.Requests()
	if sent(t, m, dir, mirror.Options{}); m.Requests()-before != 2 {
		t.Errorf("%d requests for nothing", m.Requests()-before)
	}
	whole(t, m, dir)
}

func TestBegin(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	if _, err := send(t, m, dir, mirror.Options{}); !errors.Is(err, mirror.ErrNotBegun) || len(m.Files()) > 0 {
		t.Errorf("a mirror that is not there: %v, %d files", err, len(m.Files()))
	}
	m.Alter("V/index.html", []byte("a published page"))
	if _, err := send(t, m, dir, begin); err == nil || !strings.Contains(err.Error(), `such as "V/index.html"`) || len(m.Files()) != 1 {
		t.Errorf("among other files: %v, %d files", err, len(m.Files()))
	}
	m = buckettest.NewMemory()
	sent(t, m, dir, begin)
	sent(t, m, dir, begin) // as from a second computer, with the same folder
	m.Alter("mirror.json", []byte(`{"schema":2}`))
	if _, err := send(t, m, dir, begin); err == nil || !strings.Contains(err.Error(), "a later version") {
		t.Errorf("a later format: %v", err)
	}
}

// What a writer announced waits until it is done: its records may not be there yet.
func TestAnnounced(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	sent(t, m, dir, begin)
	s := record.Open(dir)
	err := s.Note(func(*record.Ledger) (record.Line, error) {
		return record.Line{Kind: record.Print, Date: day, Labels: []record.Printed{{ID: "X", Record: strings.Repeat("1", 64), Copy: 1}}}, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if st := sent(t, m, dir, mirror.Options{}); st.Waiting() != 1 || st.Sent != 0 {
		t.Errorf("a print at work: %+v", st)
	}
	more(t, dir, 1, "after a crash") // the next writer ends the print
	if st := sent(t, m, dir, mirror.Options{}); st.Waiting() != 0 || st.Sent != 3 || st.Lacks != nil {
		t.Errorf("a print that was interrupted: %+v", st)
	}
}

// Each request fails, or all from it on, or its answer is lost. At every point the mirror is the beginning of one
// chain, each head is true, and the next sending completes it.
func TestEachRequestFails(t *testing.T) {
	dir := mill(t)
	more(t, dir, 120, "worn") // more than one head
	clean := buckettest.NewMemory()
	sent(t, clean, dir, begin)
	most := int(clean.Requests())
	if most < 150 {
		t.Fatalf("%d requests", most)
	}
	for _, how := range []string{"fails", "is the last", "loses its answer"} {
		for at := 1; at <= most; at++ {
			m, n := buckettest.NewMemory(), 0
			gone := errors.New("no connection")
			fail := func(string, string) error {
				if n++; n == at || how == "is the last" && n > at {
					return gone
				}
				return nil
			}
			if m.Before = fail; how == "loses its answer" {
				m.Before, m.After = nil, fail
			}
			_, err := send(t, m, dir, begin)
			if n < at {
				continue // fewer were needed
			}
			if !errors.Is(err, gone) {
				t.Fatalf("request %d %s: %v", at, how, err)
			}
			m.Before, m.After = nil, nil
			text, lines := chain(m)
			if !bytes.HasPrefix(ledger(t, dir), text) {
				t.Fatalf("request %d %s: not the beginning of the ledger", at, how)
			}
			for key := range m.Files() {
				var k int
				if _, err := fmt.Sscanf(key, "heads/%d", &k); err == nil && 9_999_999_999-k > lines {
					t.Fatalf("request %d %s: %s before its lines", at, how, key)
				}
				if _, err := fmt.Sscanf(key, "lines/%d", &k); err == nil && k > lines {
					t.Fatalf("request %d %s: %s before those before it", at, how, key)
				}
			}
			if s := sent(t, m, dir, begin); s.Again > 0 || s.Waiting() > 0 {
				t.Fatalf("request %d %s: then %+v", at, how, s)
			}
			whole(t, m, dir)
		}
	}
}

// After days without connection, many lines wait. However short the connection is each time, the mirror catches up.
func TestCatchUp(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	sent(t, m, dir, begin)
	more(t, dir, 1000, "worn")
	tries, most := 0, int64(0)
	for waiting := 1; waiting > 0; {
		if tries++; tries > 20 {
			t.Fatal("it does not catch up")
		}
		from := m.Requests()
		m.Before = func(string, string) error {
			if m.Requests()-from > 150 {
				return errors.New("no connection")
			}
			return nil
		}
		s, err := send(t, m, dir, mirror.Options{})
		if waiting = s.Waiting(); err == nil != (waiting == 0) {
			t.Fatalf("%d wait: %v", waiting, err)
		}
		most = max(most, m.Requests()-from)
	}
	m.Before = nil
	whole(t, m, dir)
	before := m.Requests()
	more(t, dir, 1, "worn")
	if sent(t, m, dir, mirror.Options{}); m.Requests()-before != 4 {
		t.Errorf("%d requests for one line after 1,009", m.Requests()-before)
	}
}

// Two computers write to copies of one folder: the second one is told, at the first line that differs, and the mirror
// stays that of the first.
func TestFork(t *testing.T) {
	for _, c := range []struct {
		name          string
		first, second int
		headless      bool // the first was stopped before its head
		longer        int  // lines that both have after the copy was made
	}{
		{"as many", 5, 5, false, 0}, {"fewer", 5, 2, false, 0}, {"more", 2, 5, false, 0}, {"later", 5, 6, false, 3}, {"no head", 4, 6, true, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir, m := mill(t), buckettest.NewMemory()
			sent(t, m, dir, begin)
			more(t, dir, c.longer, "both")
			second := t.TempDir()
			if err := os.CopyFS(second, os.DirFS(dir)); err != nil {
				t.Fatal(err)
			}
			more(t, dir, c.first, "first")
			more(t, second, c.second, "second")
			if c.headless {
				m.Before = func(what, key string) error {
					if what == "put" && strings.HasPrefix(key, "heads/") {
						return errors.New("no connection")
					}
					return nil
				}
			}
			if _, err := send(t, m, dir, mirror.Options{}); err == nil == c.headless {
				t.Fatal(err)
			}
			m.Before = nil
			before := m.Files()
			for _, o := range []mirror.Options{{}, begin} {
				_, err := send(t, m, second, o)
				var fork *mirror.ForkError
				if !errors.As(err, &fork) || fork.Line != 10+c.longer || fork.Mirror != "withdrawn, 2026-05-01" {
					t.Errorf("the second: %v", err)
				} else if want := fmt.Sprintf("line %d of the mirror differs from that of the ledger", 10+c.longer); !strings.HasPrefix(err.Error(), want) {
					t.Error(err)
				}
			}
			if after := m.Files(); len(after) != len(before) {
				t.Errorf("the second wrote %d files", len(after)-len(before))
			}
			if sent(t, m, dir, mirror.Options{}); true {
				whole(t, m, dir)
			}
		})
	}
}

// A folder that lost lines, or was never the mirror's, is told so, and nothing is sent.
func TestAhead(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	sent(t, m, dir, begin)
	files := len(m.Files())
	for _, lines := range []int{8, 0} {
		cut(t, dir, lines)
		_, err := send(t, m, dir, mirror.Options{})
		var ahead *mirror.AheadError
		if !errors.As(err, &ahead) || ahead.Ledger != lines || ahead.Mirror != 9 {
			t.Errorf("%d lines: %v", lines, err)
		}
	}
	other := t.TempDir()
	more(t, other, 12, "another plant")
	var fork *mirror.ForkError
	if _, err := send(t, m, other, begin); !errors.As(err, &fork) || fork.Line != 1 || !strings.Contains(err.Error(), "another plant") {
		t.Errorf("another plant: %v", err)
	}
	if len(m.Files()) != files {
		t.Error("something was sent")
	}
}

// What somebody did to the mirror's heads stops a sending, and what was removed before the last head is sent again
// where a person asks for it.
func TestLost(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	sent(t, m, dir, begin)
	head := m.Files()["heads/9999999990"]
	for text, want := range map[string]string{
		`{"schema":1,"line":9,"hash":"00"}` + "\n": "is not the head of its lines", "?": "is not a head",
		`{"schema":1,"line":8,"hash":"00"}` + "\n": "is not a head",
	} {
		m.Alter("heads/9999999990", []byte(text))
		if _, err := send(t, m, dir, mirror.Options{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("head %q: %v", text, err)
		}
	}
	m.Alter("heads/9999999990", head)
	m.Alter("heads/0", []byte("x"))
	if _, err := send(t, m, dir, mirror.Options{}); err == nil || !strings.Contains(err.Error(), "was not written by vouchmark") {
		t.Errorf("a strange head: %v", err)
	}
	m.Alter("heads/0", nil)
	var record string
	for key := range m.Files() {
		if strings.HasPrefix(key, "records/") {
			record = key
		}
	}
	m.Alter("lines/0000000004", nil)
	m.Alter(record, nil)
	if s := sent(t, m, dir, mirror.Options{}); s.Sent+s.Files != 0 {
		t.Errorf("what is before the last head: %+v", s)
	}
	if s := sent(t, m, dir, mirror.Options{All: true}); s.Again != 2 || s.Sent != 1 || s.Files != 1 {
		t.Errorf("sent again: %+v", s)
	}
	whole(t, m, dir)
}

// A record that the folder lacks, or that is damaged in the folder or in the mirror, is named and keeps no line back.
func TestLacks(t *testing.T) {
	dir := mill(t)
	files, err := filepath.Glob(filepath.Join(dir, "records", "*", "*.json"))
	if err != nil || len(files) < 4 {
		t.Fatal(err, len(files))
	}
	key := func(i int) string {
		name, _ := filepath.Rel(dir, files[i])
		return filepath.ToSlash(name)
	}
	if err := errors.Join(os.Remove(files[0]), os.Chmod(files[1], 0o644), os.WriteFile(files[1], []byte("{}"), 0o644)); err != nil {
		t.Fatal(err)
	}
	m := buckettest.NewMemory()
	m.Alter("mirror.json", []byte(formatText(t)))
	m.Alter(key(2), []byte("{}"))
	s := sent(t, m, dir, mirror.Options{Begin: true})
	want := []string{key(0) + ": it is missing", key(1) + ": its bytes are not those that the ledger names",
		key(2) + ": the mirror has other bytes there: it was altered in the mirror"}
	if s.Waiting() != 0 || !slices.Equal(s.Lacks, want) {
		t.Errorf("%+v\n%q", s, want)
	}
}

// formatText is the mirror.json of a mirror.
func formatText(t *testing.T) string {
	m := buckettest.NewMemory()
	sent(t, m, t.TempDir(), begin)
	return string(m.Files()["mirror.json"])
}

// A folder is a bucket as well.
func TestSendToFolder(t *testing.T) {
	a, err := bucket.Parse("file://" + filepath.ToSlash(filepath.Join(t.TempDir(), "second")))
	if err != nil {
		t.Fatal(err)
	}
	b, err := a.Open(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	dir := mill(t)
	sent(t, b, dir, begin)
	more(t, dir, 2, "worn")
	sent(t, b, dir, mirror.Options{})
	if c := compared(t, b, dir, mirror.Comparing{}); len(c.Problems) != 0 || c.Same != 11 || c.Files != 15 {
		t.Errorf("%+v", c)
	}
	cut(t, dir, 9)
	more(t, dir, 1, "other")
	var fork *mirror.ForkError
	if _, err := send(t, b, dir, mirror.Options{}); !errors.As(err, &fork) || fork.Line != 10 {
		t.Error(err)
	}
}

func TestSetting(t *testing.T) {
	a, err := bucket.Parse("s3://plants?prefix=north/&region=r-1")
	if err != nil {
		t.Fatal(err)
	}
	text := (&mirror.Setting{Address: a, LockDays: 365}).Text()
	s, err := mirror.Parse(text)
	if err != nil || s.Address.String() != a.String() || s.LockDays != 365 {
		t.Fatalf("%s: %v %v", text, s, err)
	}
	for text, want := range map[string]string{
		"":                          "0 tables",
		"[[mirror]]":                "address",
		"[[mirror]]\naddress = 1":   "address",
		"[[mirror]]\nadress = \"\"": "address",
		"[[mirror]]\naddress = \"s3://key:word@b\"":                        "must not hold a name or password",
		"[[mirror]]\naddress = \"file:///a\"\nlock_days = \"0\"":           "lock_days",
		"[[mirror]]\naddress = \"file:///a\"\nlock_days = 10":              "lock_days",
		"[[mirror]]\naddress='file:///a'\n[[mirror]]\naddress='file:///b'": "2 tables",
	} {
		if _, err := mirror.Parse([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// A mirror.toml may have so many bytes, and no more.
func TestLargestSetting(t *testing.T) {
	text := "[[mirror]]\naddress = \"file:///a\"\n#"
	text += strings.Repeat("x", mirror.MostBytes-len(text)-1) + "\n"
	if s, err := mirror.Parse([]byte(text)); err != nil || s.Address.Path != "/a" {
		t.Errorf("%d bytes: %v", len(text), err)
	}
	if _, err := mirror.Parse([]byte(text + "\n")); err == nil || !strings.Contains(err.Error(), "64 KiB") {
		t.Errorf("one more: %v", err)
	}
}

// Two copies of a folder, or two processes in one folder, send at the same moment: the lines in the mirror are those of
// one of the copies, never some of both.
func TestAtOnce(t *testing.T) {
	dir := mill(t)
	more(t, dir, 3, "both")
	second := t.TempDir()
	if err := os.CopyFS(second, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	more(t, dir, 30, "first")
	more(t, second, 30, "second")
	folders := []string{dir, dir, second, second}
	won := map[string]int{}
	for range 50 {
		m := buckettest.NewMemory()
		errs := make([]error, len(folders))
		var all sync.WaitGroup
		for i, folder := range folders {
			all.Go(func() { _, errs[i] = send(t, m, folder, mirror.Options{Begin: true}) })
		}
		all.Wait()
		text, _ := chain(m)
		for i, folder := range folders {
			var fork *mirror.ForkError
			is := bytes.Equal(text, ledger(t, folder))
			if is != (errs[i] == nil) || !is && (!errors.As(errs[i], &fork) || fork.Line != 13) {
				t.Fatalf("copy %d: %v", i, errs[i])
			}
			if is {
				won[folder]++
			}
		}
	}
	if won[dir]+won[second] != 100 {
		t.Errorf("%v", won)
	}
}
