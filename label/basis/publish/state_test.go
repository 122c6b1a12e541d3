package publish

import (
	"errors"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"vouchmark/label/basis/page"
	"vouchmark/label/record"
	"vouchmark/testdata/suite"
)

// withdraw withdraws the label of TUB-MC4.
func withdraw(t *testing.T, dir string) record.Code {
	t.Helper()
	s, v := view(t, dir, "2026-05-01")
	if _, err := s.Withdraw("TUB-MC4", v.Today, "burnt", "A. Sample", ""); err != nil {
		t.Fatal(err)
	}
	return v.History.Labels["TUB-MC4"].ID.Code()
}

func says(t *testing.T, public string, code record.Code, want string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(public, "V", string(code), "index.html"))
	if err != nil || !strings.Contains(string(data), want) ||
		want != "HOLDS until" && strings.Contains(string(data), "HOLDS until") {
		t.Errorf("%v: the page of %s does not say %s", err, code, want)
	}
}

// The site is read under the folder's lock: while another publisher writes, a
// label may be withdrawn, and must not hold again.
func TestReadUnderTheLock(t *testing.T) {
	dir, public := invented(t, 30), filepath.Join(t.TempDir(), "public")
	inside, goOn, second := make(chan bool), make(chan bool), make(chan error)
	first := make(chan error)
	go func() {
		_, err := Write(public, func() (*page.Book, error) {
			b := book(t, dir, "2026-05-01")
			inside <- true
			<-goOn
			return b, nil
		}, nil)
		first <- err
	}()
	<-inside
	var read atomic.Bool
	go func() {
		_, err := Write(public, func() (*page.Book, error) {
			read.Store(true)
			return book(t, dir, "2026-05-01"), nil
		}, nil)
		second <- err
	}()
	code := withdraw(t, dir)
	if read.Load() {
		t.Error("the second publisher reads while the first one holds the folder")
	}
	close(goOn)
	for _, c := range []chan error{first, second} {
		if err := <-c; err != nil {
			t.Fatal(err)
		}
	}
	says(t, public, code, "WITHDRAWN")
}

// What an older state of the site says is not written over a later one, on
// whatever day: neither where its ledger nor where its log is shorter.
func TestOlderCopy(t *testing.T) {
	for name, alter := range map[string]func(dir string) (word string){
		"ledger": func(dir string) string { withdraw(t, dir); return "WITHDRAWN" },
		"log": func(dir string) string {
			if err := os.WriteFile(filepath.Join(dir, "changes.toml"), []byte("[[change]]\ndate = 2026-05-01\nat = \"TUB-MC4\"\nkind = \"fuse replaced\"\nby = \"A. Sample\"\n"), 0o644); err != nil {
				t.Fatal(err)
			}
			return "IN QUESTION"
		},
	} {
		dir, old, public := invented(t, 30), filepath.Join(t.TempDir(), "old"), filepath.Join(t.TempDir(), "public")
		if out, err := exec.Command("cp", "-r", dir, old).CombinedOutput(); err != nil {
			t.Fatal(string(out))
		}
		word := alter(dir)
		b := book(t, dir, "2026-05-01")
		if _, err := Write(public, of(b), nil); err != nil {
			t.Fatal(err)
		}
		if _, err := Write(public, of(book(t, old, "2026-05-02")), nil); err == nil ||
			!strings.Contains(err.Error(), "later state") {
			t.Errorf("%s: an older copy is published: %v", name, err)
		}
		says(t, public, b.Shelf.Site.History.Labels["TUB-MC4"].ID.Code(), word)
	}
}

// A page of a list that has become shorter no longer says what held.
func TestShorterList(t *testing.T) {
	left := []string{"list/7.html", "plant/9.html", "list/2.html"}
	t.Run("30 labels", func(t *testing.T) { shorterList(t, 30, left) })
	if suite.Exhaustive { // a list of two parts
		t.Run("510 labels", func(t *testing.T) { shorterList(t, 510, left[:2]) })
	}
}

func shorterList(t *testing.T, labels int, left []string) {
	dir, public := invented(t, labels), filepath.Join(t.TempDir(), "public")
	if _, err := Write(public, of(book(t, dir, "2026-05-01")), nil); err != nil {
		t.Fatal(err)
	}
	for _, name := range left {
		if err := os.WriteFile(filepath.Join(public, name), []byte("holds until 2031-03-14"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := Write(public, of(book(t, dir, "2026-05-02")), nil); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"list/1.html", "list/2.html", "list/7.html", "plant/9.html"} {
		holds := !slices.Contains(left, name)
		data, err := os.ReadFile(filepath.Join(public, name))
		if err != nil || strings.Contains(string(data), "holds until") != holds {
			t.Errorf("%s: %v, it says that labels hold: %v", name, err, !holds)
		}
	}
}

// A record that is lost while the pages are written is lost in the lists too.
func TestLostMeanwhile(t *testing.T) {
	dir, public := invented(t, 30), filepath.Join(t.TempDir(), "public")
	id := book(t, dir, "2026-05-01").Shelf.Site.History.Labels["TUB-MC4"].ID
	n := 0
	s, err := Write(public, func() (*page.Book, error) {
		b := book(t, dir, "2026-05-01")
		if n++; n == 1 {
			if err := os.Remove(filepath.Join(dir, filepath.FromSlash(record.Path(id)))); err != nil {
				t.Fatal(err)
			}
		}
		return b, nil
	}, nil)
	if err != nil || len(s.Lost) != 1 {
		t.Fatal(s, err)
	}
	data, err := os.ReadFile(filepath.Join(public, "labels.js"))
	_, row, _ := strings.Cut(string(data), `["TUB-MC4",`)
	row, _, _ = strings.Cut(row, "]")
	if err != nil || !strings.Contains(row, "in question") {
		t.Errorf("%v: the search says %q", err, row)
	}
}

// One of the two files that say which state the pages show is enough: the other one is repaired, and an older copy
// is still refused. With neither, nothing is written, and it is said what to do.
func TestDamagedMark(t *testing.T) {
	dir, old := invented(t, 3), filepath.Join(t.TempDir(), "old")
	if err := os.CopyFS(old, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	log := "[[change]]\ndate = 2026-05-01\nat = \"REP-TX3\"\nkind = \"fuse replaced\"\nby = \"A. Sample\"\n"
	if err := os.WriteFile(filepath.Join(dir, "changes.toml"), []byte(log), 0o644); err != nil {
		t.Fatal(err)
	}
	b, older := book(t, dir, "2026-05-01"), book(t, old, "2026-05-01")
	whole := lay(t, nil)
	if _, err := Write(whole, of(b), nil); err != nil {
		t.Fatal(err)
	}
	want := files(t, whole)
	gone := func(name string) func(map[string][]byte) { return func(m map[string][]byte) { delete(m, name) } }
	put := func(name, text string) func(map[string][]byte) {
		return func(m map[string][]byte) { m[name] = []byte(text) }
	}
	both := func(a, b func(map[string][]byte)) func(map[string][]byte) {
		return func(m map[string][]byte) { a(m); b(m) }
	}
	half := string(want[markFile][:len(want[markFile])/2])
	for _, c := range []struct {
		name     string
		do       func(map[string][]byte)
		repaired string // "" where nothing is said
		err      string
	}{
		{"emptied", put(markFile, ""), markFile, ""},
		{"half of it", put(markFile, half), markFile, ""},
		{"another text", put(markFile, "{}"), markFile, ""},
		{"deleted", gone(markFile), markFile, ""},
		{"emptied head", put(headFile, ""), headFile, ""},
		{"of an older version", gone(headFile), "", ""},
		{"both emptied", both(put(markFile, ""), put(headFile, "")), "", "into a new folder (vouchmark publish "},
		{"emptied, of an older version", both(put(markFile, ""), gone(headFile)), "", "into a new folder (vouchmark publish "},
		{"both deleted", both(gone(markFile), gone(headFile)), "", "into a new folder (vouchmark publish "},
		{"of another program", both(put(markFile, "{}"), gone(headFile)), "", "that vouchmark did not write"},
	} {
		all := maps.Clone(want)
		c.do(all)
		public := lay(t, all)
		_, err := Write(public, of(older), nil)
		if refused := "later state"; c.err == "" && (err == nil || !strings.Contains(err.Error(), refused)) || !same(files(t, public), all) {
			t.Errorf("%s: an older copy is published over it: %v", c.name, err)
		}
		s, err := Write(public, of(b), nil)
		switch {
		case c.err != "":
			if err == nil || !strings.Contains(err.Error(), c.err) || !same(files(t, public), all) {
				t.Errorf("%s: %v", c.name, err)
			}
		case err != nil:
			t.Errorf("%s: %v", c.name, err)
		case strings.Join(s.Repaired, " ") != c.repaired || !same(files(t, public), want):
			t.Errorf("%s: it says that it repaired %v", c.name, s.Repaired)
		}
	}
}

// A publishing that was interrupted after its first page is not overwritten by an older copy either.
func TestInterruptedByAnOlderCopy(t *testing.T) {
	dir, old := invented(t, 3), filepath.Join(t.TempDir(), "old")
	if err := os.CopyFS(old, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	public := lay(t, nil)
	if _, err := Write(public, of(book(t, dir, "2026-05-01")), nil); err != nil {
		t.Fatal(err)
	}
	s, v := view(t, dir, "2026-05-01")
	if _, err := s.Withdraw(v.Places[0].Assessment.Location.ID, v.Today, "burnt", "A. Sample", ""); err != nil {
		t.Fatal(err)
	}
	stop := errors.New("killed")
	sound := disk
	disk.rename = func(root *os.Root, from, to string) error {
		if to == dayFile || to == "index.html" || to == markFile || to == "labels.js" {
			return stop
		}
		return sound.rename(root, from, to)
	}
	_, err := Write(public, of(book(t, dir, "2026-05-01")), nil)
	disk = sound
	if !errors.Is(err, stop) {
		t.Fatal(err)
	}
	if _, err := Write(public, of(book(t, old, "2026-05-01")), nil); err == nil || !strings.Contains(err.Error(), "later state") {
		t.Errorf("an older copy is published over the pages of a newer one: %v", err)
	}
}
