package mirror_test

import (
	"bytes"
	"context"
	"crypto/md5"
	"errors"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"vouchmark/label/bucket"
	"vouchmark/label/bucket/buckettest"
	"vouchmark/label/mirror"
	"vouchmark/label/record"
)

func compared(t testing.TB, b bucket.Bucket, dir string, o mirror.Comparing) *mirror.Compared {
	t.Helper()
	o.Pick = func(n int) int { return n - 1 }
	c, err := mirror.Compare(t.Context(), b, os.DirFS(dir), o)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestCompare(t *testing.T) {
	dir := mill(t)
	more(t, dir, 6, "first")
	m := buckettest.NewMemory()
	sent(t, m, dir, begin)
	more(t, dir, 1, "later")
	sent(t, m, dir, mirror.Options{})
	line := m.Files()["lines/0000000012"]
	var rec string
	for key := range m.Files() {
		if strings.HasPrefix(key, "records/") {
			rec = max(rec, key)
		}
	}
	own := func(key string) string { return filepath.Join(dir, filepath.FromSlash(key)) }
	original := map[string][]byte{}
	for key, data := range m.Files() {
		original[key] = data
	}
	text, recordText := ledger(t, dir), original[rec]

	alter := func(key string, data string) func() {
		return func() {
			if data == "" {
				m.Alter(key, nil)
				return
			}
			m.Alter(key, []byte(data))
		}
	}
	for _, c := range []struct {
		name  string
		do    func()
		where string // of the only problem; "" for none
		what  string
		same  int
	}{
		{"nothing", func() {}, "", "", 16},
		{"lines wait", func() { more(t, dir, 3, "waiting") }, "", "", 16},
		{"an altered line in the mirror", alter("lines/0000000012", strings.Replace(string(line), "first", "worst", 1)), "mirror, lines/0000000012",
			"it was altered in the mirror", 15},
		{"a line removed from the mirror", alter("lines/0000000012", ""), "mirror, lines/", "1 line was removed from the mirror", 15},
		{"the last lines removed from the mirror, without its heads", func() { alter("lines/0000000016", "")(); alter("lines/0000000015", "")() },
			"mirror, lines/", "2 lines were removed from the mirror, though later ones or their heads are there: 15 to 16", 14},
		{"a head altered", alter("heads/9999999984", `{"schema":1,"line":15,"hash":"00"}`), "mirror, heads/9999999984", "it is not the head of line 15", 16},
		{"a strange file", alter("lines/12", "x"), "mirror, lines/12", "vouchmark puts no such file there", 16},
		{"the format removed", alter("mirror.json", ""), "mirror, mirror.json", "it is missing", 16},
		{"a record altered in the mirror", alter(rec, "{}"), "mirror, " + rec, "it was altered in the mirror", 16},
		{"a record removed from the mirror", alter(rec, ""), "mirror, " + rec, "it is missing in the mirror, though line", 16},
		{"a record too many", alter("records/aa/"+strings.Repeat("a", 64)+".json", "{}"), "mirror, records/aa/" + strings.Repeat("a", 64) + ".json",
			"no line of the ledger names it", 16},
		{"the folder rewritten", func() { cut(t, dir, 11); more(t, dir, 8, "other") }, "ledger.jsonl:12",
			"it differs from line 12 of the mirror (ledger: withdrawn, 2026-05-01; mirror: withdrawn, 2026-05-01)", 11},
		{"the folder cut and written, shorter", func() { cut(t, dir, 11); more(t, dir, 1, "other") }, "ledger.jsonl:12", "the ledger was rewritten", 11},
		{"the folder cut", func() { cut(t, dir, 14) }, "ledger.jsonl", "the mirror has 2 lines after line 14, the last one here (the first: withdrawn, 2026-05-01)", 14},
		{"the folder cut, and the mirror's lines with it", func() { cut(t, dir, 15); alter("lines/0000000016", "")() }, "", "", 15},
		{"a line altered in the folder", func() {
			os.WriteFile(own(record.LedgerFile), bytes.Replace(text, []byte("first 2"), []byte("worst 2"), 1), 0o644)
		}, "ledger.jsonl:12", "the mirror has this line as it was (withdrawn, 2026-05-01)", 11},
		{"a record altered in the folder", func() { os.Remove(own(rec)); os.WriteFile(own(rec), []byte("{}"), 0o644) }, "", "", 16},
		{"a record removed from the folder", func() { os.Remove(own(rec)) }, "", "", 16},
	} {
		t.Run(c.name, func(t *testing.T) {
			defer func() { // as it was
				for key := range m.Files() {
					m.Alter(key, nil)
				}
				for key, data := range original {
					m.Alter(key, data)
				}
				os.Remove(own(rec))
				err := errors.Join(os.WriteFile(own(rec), recordText, 0o444), os.WriteFile(own(record.LedgerFile), text, 0o644))
				if err != nil {
					t.Fatal(err)
				}
			}()
			c.do()
			for _, full := range []bool{false, true} {
				found := compared(t, m, dir, mirror.Comparing{Full: full})
				switch {
				case found.Same != c.same:
					t.Errorf("%d lines are the same, want %d", found.Same, c.same)
				case strings.Contains(c.name, "mirror's lines with it"): // its head remains, and says so
					if len(found.Problems) != 2 || !strings.Contains(found.Problems[1].What, "(the first: removed there too)") {
						t.Errorf("found %+v", found.Problems)
					}
				case c.where == "" && len(found.Problems) > 0 || c.where != "" && len(found.Problems) != 1:
					t.Errorf("found %+v", found.Problems)
				case c.where != "" && (found.Problems[0].Where != c.where || !strings.Contains(found.Problems[0].What, c.what) || found.Problems[0].Do == ""):
					t.Errorf("found %+v", found.Problems)
				case c.name == "lines wait" && found.Waiting != 3:
					t.Errorf("%d lines wait", found.Waiting)
				case strings.HasSuffix(c.name, "the folder") && strings.HasPrefix(c.name, "a record") && strings.Join(found.Notes, "") != "the mirror has "+rec+" as it was; the folder does not":
					t.Errorf("notes %q", found.Notes)
				}
			}
		})
	}
	if found := compared(t, m, dir, mirror.Comparing{}); found.Read != 16+15+2 { // lines, records, heads: all, since there are less than 100
		t.Errorf("%d were read back", found.Read)
	}
}

// An archive is older than the mirror: that it has more is only noted.
func TestCompareArchive(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	more(t, dir, 2, "later")
	sent(t, m, dir, begin)
	cut(t, dir, 9)
	c := compared(t, m, dir, mirror.Comparing{Archive: true})
	if len(c.Problems) > 0 || len(c.Notes) != 1 || !strings.HasPrefix(c.Notes[0], "the mirror has 2 lines after the last one of the archive") {
		t.Errorf("%+v", c)
	}
}

func TestCompareNothing(t *testing.T) {
	m := buckettest.NewMemory()
	m.Alter("V/index.html", []byte("a published page"))
	if _, err := mirror.Compare(t.Context(), m, os.DirFS(mill(t)), mirror.Comparing{}); !errors.Is(err, mirror.ErrNoMirror) {
		t.Error(err)
	}
}

// listing is a bucket whose lists give other digests than those of the files.
type listing struct {
	*buckettest.Memory
	md5 func(bucket.Entry) []byte
}

func (l *listing) List(ctx context.Context, prefix string) iter.Seq2[bucket.Entry, error] {
	return func(yield func(bucket.Entry, error) bool) {
		for e, err := range l.Memory.List(ctx, prefix) {
			e.MD5 = l.md5(e)
			if !yield(e, err) {
				return
			}
		}
	}
}

// What a store's list says is not proof: where it gives no digest, or another one, the file itself is read; and where
// it gives the digest that is expected of an altered file, reading some of them back finds it.
func TestListsAreNotProof(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	sent(t, m, dir, begin)
	for name, digest := range map[string]func(bucket.Entry) []byte{
		"none":    func(bucket.Entry) []byte { return nil },
		"another": func(bucket.Entry) []byte { return make([]byte, md5.Size) },
	} {
		c := compared(t, &listing{m, digest}, dir, mirror.Comparing{})
		if len(c.Problems) > 0 || c.Read != 9+15+1 {
			t.Errorf("%s: %+v", name, c)
		}
	}
	before := map[string][]byte{}
	for e := range m.List(t.Context(), "") {
		before[e.Key] = e.MD5
	}
	const key = "lines/0000000005"
	m.Alter(key, bytes.Replace(m.Files()[key], []byte("2"), []byte("3"), 1)) // as long
	c := compared(t, &listing{m, func(e bucket.Entry) []byte { return before[e.Key] }}, dir, mirror.Comparing{})
	if len(c.Problems) != 1 || c.Problems[0].Where != "mirror, "+key || !strings.Contains(c.Problems[0].What, "the store's list gives the right digest") {
		t.Errorf("%+v", c.Problems)
	}
}

// While a comparison lists the mirror, others write and send: nothing of that is a problem.
func TestCompareWhileSending(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	sent(t, m, dir, begin)
	lists := 0
	m.Before = func(what, key string) error {
		if what == "list" && key == "" {
			if lists++; lists <= 3 {
				more(t, dir, 400, fmt.Sprint("round ", lists))
				sent(t, m, dir, mirror.Options{})
				more(t, dir, 1, "waiting")
			}
		}
		return nil
	}
	for range 3 { // the last time the list has more than one page
		if c := compared(t, m, dir, mirror.Comparing{}); len(c.Problems) > 0 || c.Same < 409 {
			t.Errorf("%d lines are the same: %+v", c.Same, c.Problems)
		}
	}
	if lists < 4 {
		t.Errorf("%d pages", lists)
	}
}

// Not all that is wrong is listed: the rest is counted.
func TestComparisonsStayShort(t *testing.T) {
	dir, m := mill(t), buckettest.NewMemory()
	more(t, dir, 100, "worn")
	sent(t, m, dir, begin)
	for n := 20; n <= 100; n++ {
		m.Alter(fmt.Sprintf("lines/%010d", n), []byte("{}"))
	}
	c := compared(t, m, dir, mirror.Comparing{})
	if len(c.Problems) != 20 || len(c.Notes) != 1 || c.Notes[0] != "the mirror: 61 more altered lines" {
		t.Errorf("%d problems, notes %q", len(c.Problems), c.Notes)
	}
}
