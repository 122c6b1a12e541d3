package publish

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"vouchmark/label/record"
)

// A kit whose name ends in a dot makes a path that Windows does not store; the label's link
// keeps the dot, and publishing again finds what is there.
func TestStored(t *testing.T) {
	windows = true
	defer func() { windows = false }()
	dir := invented(t, 1)
	file := filepath.Join(dir, "site.toml")
	policy, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	dotted := strings.ReplaceAll(string(policy), `kit = "Kit B"`, `kit = "Kit B."`)
	if err := os.WriteFile(file, []byte(dotted), 0o644); err != nil || dotted == string(policy) {
		t.Fatal(err)
	}
	s, v := view(t, dir, "2026-05-01")
	job := record.Job{Kind: record.Print, Date: v.Today, By: "A. Sample"}
	for i := range v.Places {
		if v.Places[i].Assessment.Prints() {
			job.Sheet = append(job.Sheet, record.Sheet{Record: v.Places[i].Record})
		}
	}
	if err := s.Carry(job); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "out")
	links, folders := 0, 0
	for _, again := range []bool{false, true} {
		b := book(t, dir, "2026-05-01")
		sum, err := Write(out, of(b), nil)
		if err != nil || again && sum.Written > 0 || len(sum.Lost) > 0 {
			t.Fatalf("again %v: %+v, %v", again, sum, err)
		}
		for _, id := range b.Shelf.Printed() {
			pages, err := b.Label(id)
			if err != nil {
				t.Fatal(err)
			}
			if strings.HasSuffix(filepath.Dir(pages[0].Name), "KIT-B.") {
				links++
			}
		}
	}
	filepath.WalkDir(out, func(path string, d fs.DirEntry, err error) error {
		if strings.HasSuffix(path, ".") {
			t.Errorf("%s cannot be stored", path)
		}
		if strings.HasSuffix(path, "KIT-B") {
			folders++
		}
		return err
	})
	if folders == 0 || links != 2*folders {
		t.Errorf("%d links, %d folders", links, folders)
	}
}
