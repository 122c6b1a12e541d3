package publish

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"vouchmark/label/record"
)

// Publishing again where nothing changed takes no record, and for each label a bounded number of allocations:
// what several pages are made of is made once for all of them.
func TestAgainIsProportional(t *testing.T) {
	const few, many = 60, 120
	allocated := map[int]uint64{}
	for _, labels := range []int{few, many} {
		dir, public := invented(t, labels), filepath.Join(t.TempDir(), "public")
		if _, err := Write(public, of(book(t, dir, "2026-05-01")), nil); err != nil {
			t.Fatal(err)
		}
		b := book(t, dir, "2026-05-01")
		b.Shelf.Intact = map[record.ID]bool{}
		for _, l := range b.Shelf.Site.History.Labels {
			b.Shelf.Intact[l.ID] = true
		}
		if err := os.RemoveAll(filepath.Join(dir, "records")); err != nil {
			t.Fatal(err)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		s, err := Write(public, of(b), nil)
		runtime.ReadMemStats(&after)
		if err != nil || s.Labels != labels || s.Made != 0 || len(s.Lost) != 0 {
			t.Fatalf("%+v %v", s, err)
		}
		allocated[labels] = after.Mallocs - before.Mallocs
	}
	const most = 340
	if each := float64(allocated[many]-allocated[few]) / (many - few); each > most {
		t.Errorf("%.0f allocations for each further label, expected at most %d", each, most)
	} else {
		t.Logf("%.0f allocations for each further label", each)
	}
}

// A link is followed within the folder, never out of it, whichever way a file is opened.
func TestOpenStaysBelow(t *testing.T) {
	dir, public := t.TempDir(), filepath.Join(t.TempDir(), "public")
	for name, text := range map[string]string{filepath.Join(dir, "secret"): "out", filepath.Join(public, "a", "page"): "in"} {
		os.Mkdir(public, 0o755)
		os.Mkdir(filepath.Join(public, "a"), 0o755)
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, to := range map[string]string{"inner": "a", "a/up": "../a/page", "out": dir, "a/out": filepath.Join(dir, "secret"), "whole": filepath.Join(public, "a")} {
		if err := os.Symlink(to, filepath.Join(public, name)); err != nil {
			t.Skip(err)
		}
	}
	root, err := os.OpenRoot(public)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	g := &ground{dir: public, root: root}
	fast := &ground{dir: public, root: root, new: &batch{whole: wholeDisk(root)}}
	if fast.new.whole != nil {
		defer fast.new.whole.Close()
	}
	for name, in := range map[string]bool{"a/page": true, "inner/page": true, "a/up": true, "out/secret": false, "a/out": false, "whole/page": false,
		"../" + filepath.Base(public) + "/a/page": false, "/a/page": false, "a/none": false, "a": true} {
		for way, g := range map[string]*ground{"os.Root": g, "one call": fast} {
			f, err := g.open(name)
			if (err == nil) != in {
				t.Errorf("%s, %s: %v", name, way, err)
			}
			if err == nil {
				f.Close()
			}
		}
	}
	if whole := fast.new.whole; whole != nil {
		f := openBelow(whole, "a/page")
		if f == nil {
			t.Skip("this system has no openat2")
		}
		f.Close()
		if f := openBelow(whole, "a/out"); f != nil {
			t.Error("a link led out of the folder")
		}
	}
}
