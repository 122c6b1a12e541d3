package record

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"vouchmark/testdata/suite"
)

// temporaries are the files whose names begin with a point.
func temporaries(t *testing.T, dir string) []string {
	t.Helper()
	all, err := filepath.Glob(filepath.Join(dir, ".*"))
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestPrintInProcess is a process that prints, for TestPrintKilled, which kills it at a disk operation.
func TestPrintInProcess(t *testing.T) {
	dir := os.Getenv("VOUCHMARK_PRINT")
	if dir == "" {
		t.Skip("part of TestPrintKilled")
	}
	n, err := strconv.Atoi(os.Getenv("VOUCHMARK_KILL_AT"))
	if err != nil {
		t.Fatal(err)
	}
	f := &fault{n: n, err: syscall.EIO, die: true}
	f.inject()
	if err := printOver(t, dir, job(t, Print, example(t, "B", 7.5))); err != nil {
		t.Fatal(err)
	}
	fmt.Printf("operations: %s\n", strings.Join(f.seen, " "))
}

// Wherever a print is killed, no temporary file is left beside its PDF, but between its name and its place; then the next
// print removes it.
func TestPrintKilled(t *testing.T) {
	if f, err := openHidden(t.TempDir()); err != nil {
		t.Skip("this file system has no files without a name: ", err)
	} else {
		f.Close()
	}
	run := func(dir string, at int) []string {
		c := exec.Command(os.Args[0], "-test.run=^TestPrintInProcess$", "-test.v")
		c.Env = append(os.Environ(), "VOUCHMARK_PRINT="+dir, fmt.Sprint("VOUCHMARK_KILL_AT=", at))
		out, err := c.Output()
		_, after, _ := strings.Cut(string(out), "operations: ")
		line, _, done := strings.Cut(after, "\n")
		if done == (err != nil) {
			t.Fatalf("operation %d: %v\n%s", at, err, out)
		}
		return strings.Fields(line)
	}
	folder := func() string {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "out.pdf"), []byte(oldPDF), 0o644); err != nil {
			t.Fatal(err)
		}
		return dir
	}
	all := run(folder(), 0)
	link := slices.Index(all, "link")
	if link < 0 || all[link+1] != "rename" {
		t.Fatalf("%v", all)
	}
	for i := range all {
		if !suite.Exhaustive && i%5 != 2 && i != link && i != link+1 && i > 3 {
			continue
		}
		dir := folder()
		run(dir, i+1)
		if left := temporaries(t, dir); (len(left) > 0) != (i == link+1) {
			t.Errorf("killed at %s (%d): %v is left", all[i], i, left)
		}
		if err := printOver(t, dir, job(t, Print, example(t, "B", 7.5))); err != nil {
			t.Errorf("killed at %s (%d): the next print: %v", all[i], i, err)
		}
		if left := temporaries(t, dir); len(left) > 0 {
			t.Errorf("killed at %s (%d): the next print left %v", all[i], i, left)
		}
	}
}

// Where a file system has no files without a name, or gives them none later, a print works as well. What
// another one left a day ago is removed; what may be in use is not.
func TestOutputsWithNames(t *testing.T) {
	for name, edit := range map[string]func(){
		"as it is": func() {},
		"none":     func() { disk.openHidden = func(string) (*os.File, error) { return nil, errors.ErrUnsupported } },
		"no name later": func() {
			disk.link = func(*os.File, string) error { return syscall.EPERM }
		},
		"its name is taken away": func() {
			n, rename := 0, disk.rename
			disk.rename = func(from, to string) error { // another print, at the same moment, takes it for a left one
				if n++; n == 1 && strings.Contains(from, placing) {
					if err := os.Remove(from); err != nil {
						t.Error(err)
					}
				}
				return rename(from, to)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			sound := disk
			defer func() { disk = sound }()
			edit()
			dir := t.TempDir()
			old := time.Now().Add(-25 * time.Hour)
			for _, left := range []struct {
				name string
				old  bool
			}{
				{".out.pdf.1.tmp", true}, {".out.pdf.2.tmp", false}, {".out.pdf" + placing + "3.tmp", false},
				{".out.pdf.x", true}, {".other.pdf.4.tmp", true}, {".other.pdf" + placing + "5.tmp", true},
			} {
				file := filepath.Join(dir, left.name)
				if err := os.WriteFile(file, []byte("%PDF-half"), 0o600); err != nil {
					t.Fatal(err)
				}
				if left.old {
					if err := os.Chtimes(file, old, old); err != nil {
						t.Fatal(err)
					}
				}
			}
			p, err := PreparePDF(filepath.Join(dir, "out.pdf"), []byte(newPDF))
			if err != nil {
				t.Fatal(err)
			}
			if err := p.Commit(); err != nil {
				t.Fatal(err)
			}
			info, err := os.Stat(filepath.Join(dir, "out.pdf"))
			if err != nil || read(t, dir, "out.pdf") != newPDF || info.Mode().Perm() != 0o644 {
				t.Errorf("%v, %v", info, err)
			}
			var left []string
			for _, f := range temporaries(t, dir) {
				left = append(left, filepath.Base(f))
			}
			want := []string{".other.pdf" + placing + "5.tmp", ".other.pdf.4.tmp", ".out.pdf.2.tmp", ".out.pdf.x"}
			slices.Sort(want)
			slices.Sort(left)
			if !slices.Equal(left, want) {
				t.Errorf("%v is left", left)
			}
		})
	}
}

// An output that is dropped leaves nothing, and one that cannot be written says so without its temporary name.
func TestOutputDropped(t *testing.T) {
	dir := t.TempDir()
	p, err := PreparePDF(filepath.Join(dir, "out.pdf"), []byte(newPDF))
	if err != nil {
		t.Fatal(err)
	}
	p.Discard()
	p.Discard()
	mine := errors.New("mine")
	if _, err := PreparePDFFrom(filepath.Join(dir, "out.pdf"), func(w io.Writer) error { return mine }); !errors.Is(err, mine) {
		t.Error(err)
	}
	if left, _ := os.ReadDir(dir); len(left) > 0 {
		t.Errorf("%v is left", left)
	}
	_, err = PreparePDF(filepath.Join(dir, "none", "out.pdf"), []byte(newPDF))
	if err == nil || !strings.Contains(err.Error(), "out.pdf: no such file or directory") {
		t.Error(err)
	}
}
