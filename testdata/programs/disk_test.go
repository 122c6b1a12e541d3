package programs

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// mount makes a small file system that is removed after the test. If that is not
// permitted, the test is skipped.
func mount(t *testing.T, options string) string {
	t.Helper()
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", options, "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no tmpfs can be mounted here: %s", out)
	}
	t.Cleanup(func() { exec.Command("umount", dir).Run() })
	return dir
}

// move puts the site into another folder.
func (s *site) move(t *testing.T, dir string) {
	t.Helper()
	run(t, "cp", "-r", s.dir+"/.", dir)
	s.dir = dir
}

// fails runs the program, which must say that something could not be written.
func (s site) fails(t *testing.T, c *exec.Cmd, want ...string) {
	t.Helper()
	out, err := c.CombinedOutput()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != 4 {
		t.Errorf("%v: %v, want exit 4: %s", c.Args[1:], err, out)
	}
	for _, w := range want {
		if !strings.Contains(string(out), w) {
			t.Errorf("%v: no %q in: %s", c.Args[1:], w, out)
		}
	}
}

func (s site) print(id, out string) *exec.Cmd {
	return exec.Command(s.program, "print", "--only", id, "--out", out, "--site", s.dir, "--today", "2026-05-01")
}

// On a disk with more and more room, starting with none, a print is complete or fails,
// and says which; then, with enough room again, everything is in order.
func TestFullDisk(t *testing.T) {
	s := build(t)
	s.move(t, mount(t, "size=512k"))
	inside, outside := filepath.Join(s.dir, "labels.pdf"), filepath.Join(t.TempDir(), "labels.pdf")
	places := strings.Fields("TNK-TX1 TNK-TX2 GAL-SB1 GAL-SB2 SEP-MC2 CHN-MC3 TUB-MC4 BRN-MC5 STM-MC10 RAW-PP1 SEP-PP2 CHN-PP3 TUB-PP4 REP-PP5 CUL-PP6 RAW-DS1 SEP-DS2 CHN-DS3 BRN-DS4 REP-LP1")
	met := map[string]int{}
	for i, id := range places {
		pdf := inside
		if i%2 > 0 {
			pdf = outside
		}
		run(t, s.program, s.print("RAW-MC1", pdf).Args[1:]...)
		old := content(t, pdf)

		room := fill(t, s.dir, i/2)
		said, err := s.print(id, pdf).CombinedOutput()
		printed := !bytes.Equal(content(t, pdf), old)
		var exit *exec.ExitError
		switch says := func(text string) bool { return bytes.Contains(said, []byte(text)) }; {
		case err == nil && printed:
			met["printed"]++
		case !errors.As(err, &exit) || exit.ExitCode() != 4 || !says("no space left on device"):
			t.Errorf("%d pages free: %v: %s", i/2, err, said)
		case printed != says("labels are in "+pdf) || printed == says("nothing was"):
			t.Errorf("%d pages free: printed is %v: %s", i/2, printed, said)
		default:
			met[strings.TrimSpace(string(said[bytes.LastIndex(said, []byte("; ")):]))]++
		}
		os.Remove(room)
		run(t, s.program, s.print(id, pdf).Args[1:]...)
		run(t, s.program, "check", "--site", s.dir, "--today", "2026-05-01")
		if left, _ := filepath.Glob(filepath.Join(s.dir, "records", "*", ".*")); len(left) > 0 {
			t.Errorf("left behind: %v", left)
		}
	}
	t.Log(met)
	if len(met) < 2 || met["printed"] == 0 {
		t.Error("not both of a full and a roomy disk were met")
	}
}

// fill fills a disk except for a number of free pages, and returns the file that fills
// it.
func fill(t *testing.T, dir string, free int) string {
	t.Helper()
	const page = 4096 // the unit in which tmpfs allocates
	path := filepath.Join(dir, "fill")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	pages := 0
	for ; err == nil; pages++ {
		_, err = f.Write(make([]byte, page))
	}
	if !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
	if err := f.Truncate(int64((pages - 1 - free) * page)); err != nil {
		t.Fatal(err)
	}
	return path
}

func content(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// On a read-only disk, and in another user's folder, nothing is written.
func TestNoRight(t *testing.T) {
	s := build(t)
	out := filepath.Join(t.TempDir(), "labels.pdf")
	change := []string{"change", "add", "--at", "RAW-MC1", "--kind", "renovation", "--by", "tester", "--site", s.dir, "--today", "2026-05-01"}

	t.Run("somebody else's", func(t *testing.T) {
		if os.Getuid() != 0 {
			t.Skip("only root can become another user")
		}
		as := func(args ...string) *exec.Cmd {
			c := exec.Command(s.program, args...)
			c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
			return c
		}
		for _, dir := range []string{filepath.Dir(filepath.Dir(s.dir)), filepath.Dir(s.dir), s.dir, filepath.Dir(s.program), filepath.Dir(out)} {
			os.Chmod(dir, 0o755)
		}
		os.Chmod(filepath.Dir(out), 0o777)
		before := everything(t, s.dir)
		s.fails(t, as(s.print("RAW-MC1", out).Args[1:]...), "ledger.jsonl: permission denied; nothing was written")
		s.fails(t, as(change...), "ledger.jsonl: permission denied; nothing was written")
		s.fails(t, as(s.print("RAW-MC1", filepath.Join(s.dir, "x.pdf")).Args[1:]...), "x.pdf: permission denied; nothing was printed")
		if now := everything(t, s.dir); now != before {
			t.Errorf("%s\nwas\n%s", now, before)
		}
		// A writable ledger, and no folder for the records.
		if err := os.WriteFile(filepath.Join(s.dir, "ledger.jsonl"), nil, 0o666); err != nil {
			t.Fatal(err)
		}
		os.Chmod(filepath.Join(s.dir, "ledger.jsonl"), 0o666)
		s.fails(t, as(s.print("RAW-MC1", out).Args[1:]...), "records: permission denied; nothing was printed")
		if _, err := os.Stat(out); err == nil {
			t.Error("an output")
		}
	})
	t.Run("a read-only disk", func(t *testing.T) {
		dir := mount(t, "size=1m")
		s := s
		s.move(t, dir)
		if msg, err := exec.Command("mount", "-o", "remount,ro", dir).CombinedOutput(); err != nil {
			t.Skipf("it cannot be made read-only: %s", msg)
		}
		s.fails(t, s.print("RAW-MC1", out), "ledger.jsonl: read-only file system; nothing was written")
		s.fails(t, s.print("RAW-MC1", filepath.Join(dir, "x.pdf")), "x.pdf: read-only file system; nothing was printed")
		run(t, s.program, "check", "--site", dir, "--today", "2026-05-01")
	})
}

// everything is the names and sizes of the files in a folder.
func everything(t *testing.T, dir string) string {
	t.Helper()
	return string(run(t, "find", dir, "-type", "f", "-printf", "%P %s\n"))
}
