package publish

import (
	"bytes"
	"errors"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"

	"vouchmark/label/basis/page"
	"vouchmark/label/bucket"
	"vouchmark/label/bucket/buckettest"
)

const place = "s3://plants/north/"

// into publishes into a bucket in memory.
func into(t testing.TB, b bucket.Bucket, book *page.Book) (*Summary, error) {
	return Publish(t.Context(), &Store{Bucket: b, Name: place}, of(book), nil)
}

// bucketed are the bytes of all published files, without what is noted about them.
func bucketed(m *buckettest.Memory) map[string]string {
	all := map[string]string{}
	for key, data := range m.Files() {
		if !strings.HasPrefix(key, genFolder) && key != markFile {
			all[key] = string(data)
		}
	}
	return all
}

// asFolder are those of a folder with the same pages.
func asFolder(t *testing.T, b *page.Book) map[string]string {
	t.Helper()
	public := filepath.Join(t.TempDir(), "public")
	if _, err := Write(public, of(b), nil); err != nil {
		t.Fatal(err)
	}
	return contents(t, public)
}

// logged adds a change to the log of a site.
func logged(t *testing.T, dir string) {
	t.Helper()
	const change = "[[change]]\ndate = 2026-05-01\nat = \"TNK-SG1\"\nkind = \"fuse replaced\"\nby = \"A. Sample\"\n"
	if err := os.WriteFile(filepath.Join(dir, "changes.toml"), []byte(change), 0o644); err != nil {
		t.Fatal(err)
	}
}

// A bucket gets what a folder gets, with content types, lifetimes and digests. Again, nothing is sent and nothing made; a change
// costs what it reaches.
func TestBucketLikeAFolder(t *testing.T) {
	dir, m := invented(t, 30), buckettest.NewMemory()
	b := book(t, dir, "2026-05-01")
	first, err := into(t, m, b)
	if err != nil || first.Labels != 30 || first.Unchanged != 0 || first.Traffic.Bytes != m.Sent() || first.Traffic.Requests != m.Requests() || first.Traffic.Layout != Index {
		t.Fatalf("%+v %+v %v", first, first.Traffic, err)
	}
	if !maps.Equal(bucketed(m), asFolder(t, b)) {
		t.Error("other files than in a folder")
	}
	for key := range bucketed(m) {
		how := m.HowOf(key)
		fixed := slices.ContainsFunc(page.Shared(), func(p page.Page) bool { return p.Name == key && p.Fixed })
		if how.Type != page.TypeOf(key) || how.Cache != page.CacheOf(fixed) || len(how.Digest) != 64 {
			t.Errorf("%s is sent with %+v", key, how)
		}
	}
	if site := m.Files()[markFile]; len(site) == 0 || len(site) > 20_000 || bytes.Contains(site, []byte("sha256")) {
		t.Errorf("%s has %d bytes", markFile, len(site))
	}
	before := m.Files()
	pictures, requests := drawn.Load(), m.Requests()
	again, err := into(t, m, book(t, dir, "2026-05-01"))
	if err != nil || again.Written != 0 || again.Made != 0 || drawn.Load() != pictures || again.Unchanged != first.Written ||
		again.Bytes != first.Bytes || again.PerLabel != first.PerLabel {
		t.Errorf("%+v %v", again, err)
	}
	// two lists, the manifest, begin, same, and both removed
	if n := m.Requests() - requests; n != 7 || !maps.EqualFunc(before, m.Files(), bytes.Equal) {
		t.Errorf("%d requests when nothing changed", n)
	}
	logged(t, dir)
	b = book(t, dir, "2026-05-02")
	folder := filepath.Join(t.TempDir(), "public")
	if _, err := Write(folder, of(book(t, invented(t, 30), "2026-05-01")), nil); err != nil {
		t.Fatal(err)
	}
	was := bucketed(m)
	next, err := into(t, m, b)
	if err != nil {
		t.Fatal(err)
	}
	changed := 0
	for key, data := range bucketed(m) {
		if was[key] != data {
			changed++
		}
	}
	if next.Written != changed+1 || next.Made != changed || next.Traffic.Altered != 0 || !maps.Equal(bucketed(m), asFolder(t, b)) {
		t.Errorf("%+v; %d files changed", next, changed)
	}
}

// What was altered or taken out in the bucket is written again, and counted.
func TestAlteredInTheBucket(t *testing.T) {
	dir, m := invented(t, 3), buckettest.NewMemory()
	b := book(t, dir, "2026-05-01")
	if _, err := into(t, m, b); err != nil {
		t.Fatal(err)
	}
	want := bucketed(m)
	code := "V/" + string(b.Shelf.Printed()[0].Code()) + "/index.html"
	m.Alter(code, bytes.Replace(m.Files()[code], []byte("2031"), []byte("2041"), 1))
	m.Alter("list/1.html", nil)
	m.Alter(page.Shared()[0].Name, nil)
	s, err := into(t, m, b)
	if err != nil || s.Written != 3 || s.Made != 3 || s.Traffic.Altered != 3 || !maps.Equal(bucketed(m), want) {
		t.Errorf("%+v %+v %v", s, s.Traffic, err)
	}
	if s, err := into(t, m, b); err != nil || s.Written != 0 || s.Traffic.Altered != 0 {
		t.Errorf("%+v %v", s, err)
	}
}

// As on a disk, older pages are not written over newer ones, also where a publishing was stopped, and nothing is sent.
func TestOlderCopyInABucket(t *testing.T) {
	dir, old := invented(t, 3), filepath.Join(t.TempDir(), "old")
	if err := os.CopyFS(old, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	logged(t, dir)
	newer, older, other := book(t, dir, "2026-05-02"), book(t, old, "2026-05-02"), book(t, invented(t, 2), "2026-05-03")
	yesterday := book(t, dir, "2026-05-01")
	whole, half := buckettest.NewMemory(), buckettest.NewMemory()
	if _, err := into(t, whole, newer); err != nil {
		t.Fatal(err)
	}
	half.Before = func(what, key string) error {
		if what == "put" && strings.HasPrefix(key, "V/") {
			return errors.New("power")
		}
		return nil
	}
	if _, err := into(t, half, newer); err == nil || !strings.Contains(err.Error(), "cannot write "+place+"V/") || strings.Count(err.Error(), "power") != 1 {
		t.Fatal(err)
	}
	half.Before = nil
	for name, m := range map[string]*buckettest.Memory{"finished": whole, "stopped": half} {
		for book, say := range map[*page.Book]string{
			older:     "the pages in " + place + " are from a later state of this site: the ledger or changes.toml lacks entries",
			other:     place + ` holds the pages of "Brackwater Creamery (invented)", from another ledger; choose a separate prefix`,
			yesterday: "the pages in " + place + " were checked on 2026-05-02, after 2026-05-01",
		} {
			before := m.Files()
			if _, err := into(t, m, book); err == nil || !strings.Contains(err.Error(), say) || !maps.EqualFunc(before, m.Files(), bytes.Equal) {
				t.Errorf("%s: %v, want %s", name, err, say)
			}
		}
		if _, err := into(t, m, newer); err != nil || !maps.Equal(bucketed(m), bucketed(whole)) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Damaged and missing notes: what can be read of the others is enough, and without any nothing is written.
func TestDamagedNotes(t *testing.T) {
	dir, old := invented(t, 2), filepath.Join(t.TempDir(), "old")
	if err := os.CopyFS(old, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	logged(t, dir)
	newer, older := book(t, dir, "2026-05-01"), book(t, old, "2026-05-01")
	whole := buckettest.NewMemory()
	if _, err := into(t, whole, newer); err != nil {
		t.Fatal(err)
	}
	done, begin := genKey(1, donePart), genKey(1, beginPart)
	all := func(data []byte, keys ...string) map[string][]byte {
		of := map[string][]byte{}
		for _, key := range keys {
			of[key] = data
		}
		return of
	}
	for _, c := range []struct {
		name    string
		do      map[string][]byte
		say     string // "" where it is repaired
		damaged []string
	}{
		{"manifest emptied", all([]byte{}, done), "", []string{done}},
		{"half a manifest", all(whole.Files()[done][:100], done), "", []string{done}},
		{"manifest without its checksum", all(whole.Files()[done][:len(whole.Files()[done])-4], done), "", []string{done}},
		{"manifest removed", all(nil, done), "", nil},
		{"begin removed", all(nil, begin), "", nil},
		{"notes removed", all(nil, begin, done), "", []string{genFolder}},
		{"both emptied", all([]byte{}, begin, done), "", []string{done, begin, genFolder}},
		{"all emptied", all([]byte{}, begin, done, markFile), "has neither readable notes (gen/) nor a readable site.json", nil},
		{"all removed", all(nil, begin, done, markFile), "has neither readable notes (gen/) nor a readable site.json", nil},
		{"another program's", map[string][]byte{begin: nil, done: nil, markFile: []byte(`{"pages": "x"}`)}, "has a site.json that vouchmark did not write", nil},
		{"a text of somebody", map[string][]byte{begin: nil, done: nil, markFile: nil, "index.html": nil}, "holds other files, such as 404.html; choose a new prefix", nil},
	} {
		synctest.Test(t, func(t *testing.T) { // a begin without its end is waited for
			m := buckettest.NewMemory()
			for key, data := range whole.Files() {
				m.Alter(key, data)
			}
			for key, data := range c.do {
				m.Alter(key, data)
			}
			refused := c.say
			if refused == "" {
				refused = "later state"
			}
			before := bucketed(m)
			if _, err := into(t, m, older); err == nil || !strings.Contains(err.Error(), refused) || !maps.Equal(before, bucketed(m)) {
				t.Errorf("%s: an older copy: %v", c.name, err)
			}
			s, err := into(t, m, newer)
			switch {
			case c.say != "":
				if err == nil || !strings.Contains(err.Error(), c.say) {
					t.Errorf("%s: %v", c.name, err)
				}
			case err != nil || !slices.Equal(s.Repaired, c.damaged) || !maps.Equal(bucketed(m), bucketed(whole)):
				t.Errorf("%s: %+v %v", c.name, s, err)
			}
		})
	}
}

// A place keeps its layout.
func TestLayoutIsKept(t *testing.T) {
	b, m := book(t, invented(t, 1), "2026-05-01"), buckettest.NewMemory()
	layouts["other"] = &other
	defer delete(layouts, "other")
	to := func(layout string) (*Summary, error) {
		return Publish(t.Context(), &Store{Bucket: m, Name: place, Layout: layout}, of(b), nil)
	}
	if s, err := to("other"); err != nil || s.Traffic.Layout != "other" {
		t.Fatal(s, err)
	}
	var want map[string]string
	for name, data := range asFolder(t, b) {
		if want == nil {
			want = map[string]string{}
		}
		want[other.key(name)] = "~" + data
	}
	got := bucketed(m)
	delete(got, other.key(markFile))
	if !maps.Equal(got, want) {
		t.Error("other files than in a folder")
	}
	if s, err := to(""); err != nil || s.Written != 0 {
		t.Errorf("%+v %v", s, err)
	}
	if _, err := to(Index); err == nil || !strings.Contains(err.Error(), `has the layout "other"`) {
		t.Error(err)
	}
	delete(layouts, "other")
	if _, err := to(""); err == nil || !strings.Contains(err.Error(), `the layout "other" is not known`) {
		t.Error(err)
	}
}

// other is a layout in which every file lies elsewhere, with other bytes.
var other = layout{
	key:   func(name string) string { return "at/" + name },
	name:  func(key string) (string, bool) { return strings.CutPrefix(key, "at/") },
	bytes: func(_ string, data []byte) ([]byte, error) { return append([]byte("~"), data...), nil },
}

// In the bare layout the page of a label is its key, as text/html, and nothing lies below it; what was altered, or is of no label, is
// told as in the other one.
func TestBareBucket(t *testing.T) {
	b, m := book(t, invented(t, 3), "2026-05-01"), buckettest.NewMemory()
	to := func() (*Summary, error) {
		return Publish(t.Context(), &Store{Bucket: m, Name: place, Layout: Bare}, of(b), nil)
	}
	if s, err := to(); err != nil || s.Traffic.Layout != Bare || len(bucketed(m)) != len(asFolder(t, b)) {
		t.Fatal(s, err)
	}
	pages, err := b.Label(b.Shelf.Printed()[0])
	if err != nil {
		t.Fatal(err)
	}
	label := strings.TrimSuffix(pages[0].Name, "/index.html")
	if how := m.HowOf(label); how.Type != "text/html; charset=utf-8" {
		t.Errorf("%s is %+v", label, how)
	}
	all := m.Files()
	for key := range all {
		for at := strings.LastIndexByte(key, '/'); at > 0; at = strings.LastIndexByte(key, '/') {
			if key = key[:at]; all[key] != nil {
				t.Errorf("%s is a file and a folder", key)
			}
		}
	}
	if s, err := into(t, m, b); err != nil || s.Written != 0 || s.Made != 0 {
		t.Errorf("%+v %v", s, err)
	}
	const stranger = "V/0000-0000-0000-0000/X"
	want := bucketed(m)
	m.Alter(label, []byte("altered"))
	m.Alter(stranger, []byte("holds until 2031-03-14"))
	s, err := into(t, m, b)
	if err != nil || s.Traffic.Altered != 1 || len(s.Lost) != 1 || strings.Contains(bucketed(m)[stranger], "holds until") || bucketed(m)[label] != want[label] {
		t.Errorf("%+v %+v %v", s, s.Traffic, err)
	}
	if _, err := Publish(t.Context(), &Store{Bucket: m, Name: place, Layout: Index}, of(b), nil); err == nil || !strings.Contains(err.Error(), `has the layout "bare"`) {
		t.Error(err)
	}
}

// A list that has become shorter, and a code that the ledger does not know, say so.
func TestStrangersInABucket(t *testing.T) {
	b, m := book(t, invented(t, 1), "2026-05-01"), buckettest.NewMemory()
	if _, err := into(t, m, b); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"V/0000-0000-0000-0000/X/index.html", "list/7.html"} {
		m.Alter(key, []byte("holds until 2031-03-14"))
	}
	s, err := into(t, m, b)
	if err != nil || len(s.Lost) != 1 || !s.Lost[0].Stranger {
		t.Errorf("%+v %v", s, err)
	}
	for _, key := range []string{"V/0000-0000-0000-0000/X/index.html", "V/0000-0000-0000-0000/index.html", "list/7.html"} {
		if text := bucketed(m)[key]; text == "" || strings.Contains(text, "holds until") {
			t.Errorf("%s: %s", key, text)
		}
	}
	if s, err := into(t, m, b); err != nil || s.Written != 0 {
		t.Errorf("%+v %v", s, err)
	}
}
