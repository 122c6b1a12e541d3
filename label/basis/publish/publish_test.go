package publish

import (
	"encoding/csv"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/basis"
	"vouchmark/label/basis/page"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/testdata/suite"
)

// invented is the invented creamery, as often as it takes for so many labels,
// which are printed without a sheet.
func invented(t testing.TB, labels int) string {
	t.Helper()
	const sample = "../../../samples/creamery"
	dir := t.TempDir()
	policy, err := os.ReadFile(sample + "/site.toml")
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(sample + "/locations.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	w.Write(rows[0])
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	for n := 0; n*30 < labels; n++ {
		for _, row := range rows[1:] {
			row = append([]string(nil), row...)
			for _, name := range []string{"id", "fed_from", "device_at"} {
				ids := strings.Split(row[column[name]], ";")
				for i, id := range ids {
					if id != "" && n > 0 {
						ids[i] = id + "-" + strconv.Itoa(n)
					}
				}
				row[column[name]] = strings.Join(ids, ";")
			}
			w.Write(row)
		}
	}
	w.Flush()
	for name, data := range map[string]string{"site.toml": string(policy), "locations.csv": out.String()} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	s, v := view(t, dir, "2026-05-01")
	job := record.Job{Kind: record.Print, Date: v.Today, By: "A. Sample"}
	for i := range v.Places {
		if v.Places[i].Assessment.Prints() && len(job.Sheet) < labels {
			job.Sheet = append(job.Sheet, record.Sheet{Record: record.New(v.Places[i].Assessment)})
		}
	}
	if err := s.Carry(job); err != nil {
		t.Fatal(err)
	}
	return dir
}

func view(t testing.TB, dir, today string) (*record.Store, *plant.Plant) {
	t.Helper()
	read, err := site.Read(os.DirFS(dir), site.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d, err := assess.ParseDate(today)
	if err != nil {
		t.Fatal(err)
	}
	s := record.Open(dir)
	h, err := s.History(d)
	if err != nil {
		t.Fatal(err)
	}
	v, err := plant.New(read, h, d, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s, v
}

func book(t testing.TB, dir, today string) *page.Book {
	t.Helper()
	s, v := view(t, dir, today)
	return &page.Book{Shelf: basis.NewShelf(v, s), Picture: square{}}
}

// square is drawn in place of a label.
type square struct{}

func (square) Draw(*record.Record, record.Code) ([]byte, error) {
	drawn.Add(1)
	return []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4" role="img"><title>label</title></svg>`), nil
}

var drawn atomic.Int64 // squares

// of reads a book that is there already.
func of(b *page.Book) func() (*page.Book, error) {
	return func() (*page.Book, error) { return b, nil }
}

// tree is every file of a folder with its time of writing.
func tree(t testing.TB, dir string) map[string]time.Time {
	t.Helper()
	all := map[string]time.Time{}
	err := filepath.WalkDir(dir, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		rel, _ := filepath.Rel(dir, file)
		all[rel] = info.ModTime()
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// What cannot be written, at whichever file, leaves no half of one, no start
// page before the pages to which it leads, and is finished by the next run.
func TestBrokenOff(t *testing.T) {
	labels := 3
	if suite.Exhaustive {
		labels = 30
	}
	dir := invented(t, labels)
	b := book(t, dir, "2026-05-01")
	whole := filepath.Join(t.TempDir(), "whole")
	if _, err := Write(whole, of(b), nil); err != nil {
		t.Fatal(err)
	}
	all := tree(t, whole)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if name == lockFile {
			continue
		}
		public := filepath.Join(t.TempDir(), "public")
		// A folder that is not empty is where the file should be.
		in := filepath.Join(public, name, "in the way")
		if err := os.MkdirAll(in, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(public, lockFile), nil, 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := Write(public, of(b), nil); err == nil {
			t.Fatalf("%s is in the way, and nothing is said", name)
		}
		for made := range tree(t, public) {
			if strings.HasSuffix(made, ".tmp") {
				t.Errorf("%s is left of %s", made, name)
			}
			if want, _ := os.ReadFile(filepath.Join(whole, made)); made != lockFile {
				if got, _ := os.ReadFile(filepath.Join(public, made)); string(got) != string(want) {
					t.Errorf("%s is half written", made)
				}
			}
		}
		if _, err := os.Stat(filepath.Join(public, "checked.html")); err == nil && strings.HasPrefix(name, "V/") {
			t.Errorf("the day is published, and %s is not", name)
		}
		if err := os.RemoveAll(filepath.Join(public, name)); err != nil {
			t.Fatal(err)
		}
		if _, err := Write(public, of(b), nil); err != nil {
			t.Fatal(err)
		}
		if got := tree(t, public); len(got) != len(all) {
			t.Errorf("after %s: %d files, %d are whole", name, len(got), len(all))
		}
	}
}

// No link in the folder leads a page out of it.
func TestLinkOut(t *testing.T) {
	dir := invented(t, 30)
	public, out := filepath.Join(t.TempDir(), "public"), t.TempDir()
	b := book(t, dir, "2026-05-01")
	if _, err := Write(public, of(b), nil); err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(filepath.Join(public, "list")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(out, filepath.Join(public, "list")); err != nil {
		t.Skip(err)
	}
	if _, err := Write(public, of(b), nil); err == nil {
		t.Error("a link out of the folder is followed")
	}
	if left := tree(t, out); len(left) > 0 {
		t.Errorf("it wrote %v", left)
	}
}

// A second writer waits, and does not find its pages written by halves.
func TestTwoWriters(t *testing.T) {
	dir := invented(t, 30)
	public := filepath.Join(t.TempDir(), "public")
	errs := make(chan error, 4)
	for range cap(errs) {
		go func() {
			_, err := Write(public, of(book(t, dir, "2026-05-01")), nil)
			errs <- err
		}()
	}
	for range cap(errs) {
		if err := <-errs; err != nil {
			t.Error(err)
		}
	}
	if s, err := Write(public, of(book(t, dir, "2026-05-01")), nil); err != nil || s.Written != 0 {
		t.Errorf("%+v, %v", s, err)
	}
}

// BenchmarkPublish is a first publishing, and one with nothing changed.
func BenchmarkPublish(b *testing.B) {
	for _, n := range []int{300, 3000} {
		dir := invented(b, n)
		made := book(b, dir, "2026-05-01")
		b.Run(fmt.Sprintf("first/%d", n), func(b *testing.B) {
			for b.Loop() {
				if _, err := Write(filepath.Join(b.TempDir(), "public"), of(made), nil); err != nil {
					b.Fatal(err)
				}
			}
		})
		public := filepath.Join(b.TempDir(), "public")
		if _, err := Write(public, of(made), nil); err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("again/%d", n), func(b *testing.B) {
			for b.Loop() {
				if s, err := Write(public, of(made), nil); err != nil || s.Written > 0 {
					b.Fatal(s, err)
				}
			}
		})
	}
}
