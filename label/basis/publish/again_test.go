package publish

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"vouchmark/label/basis/page"
	"vouchmark/label/record"
)

// marked is the mark in a folder.
func marked(t *testing.T, public string) *mark {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(public, markFile))
	if err != nil {
		t.Fatal(err)
	}
	var m mark
	if err := json.Unmarshal(data, &m); err != nil {
		t.Fatal(err)
	}
	return &m
}

// published publishes, and gives the summary and how many labels were drawn for it.
func published(t *testing.T, public string, b *page.Book) (s *Summary, pictures int) {
	t.Helper()
	before := drawn.Load()
	s, err := Write(public, of(b), nil)
	if err != nil {
		t.Fatal(err)
	}
	return s, int(drawn.Load() - before)
}

// contents are the bytes of every published file, without the mark.
func contents(t *testing.T, public string) map[string]string {
	t.Helper()
	all := map[string]string{}
	for name := range tree(t, public) {
		data, err := os.ReadFile(filepath.Join(public, name))
		if err != nil {
			t.Fatal(err)
		}
		all[filepath.ToSlash(name)] = string(data)
	}
	delete(all, markFile)
	delete(all, headFile)
	delete(all, lockFile)
	return all
}

// Where nothing changed, nothing is made or drawn; on another day the small file
// and the calendar alone are.
func TestNothingIsMadeTwice(t *testing.T) {
	dir, public := invented(t, 30), filepath.Join(t.TempDir(), "public")
	first, pictures := published(t, public, book(t, dir, "2026-05-01"))
	if files := len(marked(t, public).Files); first.Made != files || first.Written != files+2 || pictures != first.Labels {
		t.Errorf("%+v, %d pictures, %d files", first, pictures, files)
	}
	again, pictures := published(t, public, book(t, dir, "2026-05-01"))
	if again.Made != 0 || again.Written != 0 || pictures != 0 || again.Unchanged != first.Written ||
		again.Bytes != first.Bytes || again.PerLabel != first.PerLabel {
		t.Errorf("%+v, %d pictures", again, pictures)
	}
	next, pictures := published(t, public, book(t, dir, "2026-05-02"))
	if next.Made != 2 || next.Written != 4 || pictures != 0 {
		t.Errorf("%+v, %d pictures", next, pictures)
	}
}

// A change costs the pages that it reaches: those whose bytes become others, and no
// label is drawn for any but these. What comes of it is what a new folder gets.
func TestChangeCostsWhatItReaches(t *testing.T) {
	dir, public := invented(t, 60), filepath.Join(t.TempDir(), "public")
	b := book(t, dir, "2026-05-01")
	published(t, public, b)
	policy, err := os.ReadFile(filepath.Join(dir, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	put := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	const change = "[[change]]\ndate = 2026-05-01\nat = \"REP-TX3-1\"\nkind = \"fuse replaced\"\nby = \"A. Sample\"\n"
	for _, c := range []struct {
		name   string
		do     func()
		labels int // that it reaches; -1 for all
		states int // of the site that are noted
	}{
		{"a label withdrawn", func() { withdraw(t, dir) }, 1, 1},
		{"a change logged", func() { put("changes.toml", change) }, 3, 1},
		{"the same settled", func() {
			put("changes.toml", change+"[[settlement]]\nchange = \"2026-05-01/REP-TX3-1\"\ndate = 2026-05-01\n"+
				"by = \"A. Sample\"\nreason = \"the same fuse\"\nscope = [\"REP-LP1-1\"]\n")
		}, 1, 1},
		{"another person to ask", func() {
			put("site.toml", strings.Replace(string(policy), `ask = "R. Example`, `ask = "Q. Example`, 1))
		}, -1, 0},
	} {
		c.do()
		was, old := contents(t, public), marked(t, public).Files
		b := book(t, dir, "2026-05-01")
		s, pictures := published(t, public, b)
		now, files := contents(t, public), marked(t, public).Files
		var made, changed []string
		labels := map[string]bool{}
		for name := range files {
			if files[name] != old[name] {
				made = append(made, name)
			}
			if now[name] != was[name] {
				changed = append(changed, name)
				if code, ok := strings.CutPrefix(name, "V/"); ok {
					labels[code[:len("0000-0000-0000-0000")]] = true
				}
			}
		}
		slices.Sort(made)
		slices.Sort(changed)
		if c.labels < 0 {
			c.labels = s.Labels
		} else if !slices.Equal(made, changed) {
			t.Errorf("%s: made\n%s\nchanged\n%s", c.name, strings.Join(made, "\n"), strings.Join(changed, "\n"))
		}
		if s.Made != len(made) || len(labels) != c.labels || pictures != c.labels || s.Written != len(changed)+1+c.states {
			t.Errorf("%s: %+v, %d pictures; it reaches %d labels", c.name, s, pictures, len(labels))
		}
		fresh := filepath.Join(t.TempDir(), "fresh")
		published(t, fresh, b)
		if !maps.Equal(contents(t, fresh), now) || !maps.Equal(marked(t, fresh).Files, files) {
			t.Errorf("%s: a new folder gets other pages", c.name)
		}
	}
}

// A file that was altered, even with its size and time as they were, or that is
// gone, is written again, and no other is made.
func TestAlteredFile(t *testing.T) {
	dir, public := invented(t, 30), filepath.Join(t.TempDir(), "public")
	b := book(t, dir, "2026-05-01")
	published(t, public, b)
	want := contents(t, public)
	code := b.Shelf.Printed()[0].Code()
	altered := filepath.Join(public, "V", string(code), "index.html")
	info, err := os.Stat(altered)
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(altered)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(altered, bytes.Replace(data, []byte("2031"), []byte("2041"), 1), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(altered, info.ModTime(), info.ModTime()); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"list/1.html", page.Shared()[0].Name} {
		if err := os.Remove(filepath.Join(public, filepath.FromSlash(name))); err != nil {
			t.Fatal(err)
		}
	}
	if maps.Equal(contents(t, public), want) {
		t.Fatal("nothing was altered")
	}
	s, pictures := published(t, public, b)
	if s.Made != 3 || s.Written != 3 || pictures != 0 || !maps.Equal(contents(t, public), want) {
		t.Errorf("%+v, %d pictures", s, pictures)
	}
}

// Pages of another program, or of a version that noted no digests, are made once and
// found to be as they must be; from then on they are known.
func TestOtherProgram(t *testing.T) {
	dir, public := invented(t, 3), filepath.Join(t.TempDir(), "public")
	b := book(t, dir, "2026-05-01")
	first, _ := published(t, public, b)
	whole := marked(t, public)
	if self, err := os.Executable(); err != nil {
		t.Skip(err)
	} else if f, err := os.Open(self); err != nil {
		t.Skip(err)
	} else if _, sum, err := sumOf(f, make([]byte, 1<<20)); err != nil || sum != whole.Program {
		t.Errorf("%v; the program is %s, not %s", err, sum, whole.Program)
	}
	for name, edit := range map[string]func(*mark){
		"another program":    func(m *mark) { m.Program = strings.Repeat("0", 64) },
		"an unknown program": func(m *mark) { m.Program = "" },
		"an older version":   func(m *mark) { m.Program, m.Files = "", nil },
		"no files":           func(m *mark) { m.Files = nil },
	} {
		m := *whole
		edit(&m)
		data, err := json.Marshal(&m)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(public, markFile), data, 0o644); err != nil {
			t.Fatal(err)
		}
		s, pictures := published(t, public, b)
		if s.Made != first.Made || s.Written != 1 || pictures != 3 {
			t.Errorf("%s: %+v, %d pictures", name, s, pictures)
		}
		if s, _ := published(t, public, b); s.Made != 0 || s.Written != 0 {
			t.Errorf("%s: then %+v", name, s)
		}
	}
}

// A record that is altered after the site was read is found, though nothing has to
// be made of it.
func TestAlteredMeanwhile(t *testing.T) {
	dir, public := invented(t, 3), filepath.Join(t.TempDir(), "public")
	b := book(t, dir, "2026-05-01")
	published(t, public, b)
	id := b.Shelf.Printed()[1]
	file := filepath.Join(dir, filepath.FromSlash(record.Path(id)))
	if err := os.Chmod(file, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	s, _ := published(t, public, b)
	if len(s.Lost) != 1 || s.Lost[0].Code != string(id.Code()) || strings.Contains(contents(t, public)["V/"+string(id.Code())+"/index.html"], "HOLDS") {
		t.Errorf("%+v", s)
	}
	if _, noted := marked(t, public).Files["V/"+string(id.Code())+"/index.html"]; noted {
		t.Error("the page that replaced it is known as if it were its own")
	}
}
