package stress

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"

	"github.com/gofrs/flock"
)

const inNamespace = "VOUCHMARK_MOUNTS"

// Processes write to one site folder through two mount points. The lock excludes: nobody writes
// through one while it is held through the other, and no line is lost. These are two mounts of a
// local file system; a network file system is not tried.
func TestTwoMountPoints(t *testing.T) {
	if os.Getenv(inNamespace) != "" {
		twoMountPoints(t)
		return
	}
	if out, err := exec.Command("unshare", "--mount", "sh", "-c", "mount --bind / /mnt").CombinedOutput(); err != nil {
		t.Skipf("not tested: nothing can be mounted here: %v %s", err, out)
	}
	// The mounts are in a namespace of their own, and go when it does.
	c := exec.Command("unshare", "--mount", os.Args[0], "-test.run", "^TestTwoMountPoints$", "-test.v")
	c.Env = append(os.Environ(), inNamespace+"=1")
	out, err := c.CombinedOutput()
	t.Logf("%s", out)
	if err != nil || !bytes.Contains(out, []byte("through two mount points")) {
		t.Error(err)
	}
}

func twoMountPoints(t *testing.T) {
	p := newPlant(t)
	points := make([]plant, 2)
	for i := range points {
		points[i] = p
		points[i].dir = t.TempDir()
		if out, err := exec.Command("mount", "--bind", p.dir, points[i].dir).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		defer exec.Command("umount", points[i].dir).Run()
	}
	p.must(t, points[0].print("RAW-MC1", "first.pdf"))

	// Nobody gets the lock through one while it is held through the other.
	ledger := func(i int) string { return filepath.Join(points[i].dir, "ledger.jsonl") }
	held := flock.New(ledger(0))
	if err := held.Lock(); err != nil {
		t.Fatal(err)
	}
	if got, err := flock.New(ledger(1)).TryLock(); got || err != nil {
		t.Fatalf("the lock was given twice, %v", err)
	}
	before := p.look(t)
	waiting := points[1].command("mounted", "RAW-MC1", "--by", "tester")
	if err := waiting.Start(); err != nil {
		t.Fatal(err)
	}
	for !opened(waiting.Process.Pid, "ledger.jsonl") { // until it tries to lock
		if now := p.look(t); len(now.lines) != len(before.lines) {
			t.Fatal("it wrote without the lock")
		}
	}
	if now := p.look(t); len(now.lines) != len(before.lines) {
		t.Error("it wrote without the lock")
	}
	if err := held.Unlock(); err != nil {
		t.Fatal(err)
	}
	if err := waiting.Wait(); err != nil {
		t.Fatal(err)
	}

	const processes = 40
	var all sync.WaitGroup
	errs := make([]error, processes)
	for i := range processes {
		all.Go(func() {
			if out, err := points[i%2].print(places[i%len(places)], fmt.Sprintf("%d.pdf", i)).CombinedOutput(); err != nil {
				errs[i] = fmt.Errorf("process %d: %w: %s", i, err, out)
			}
		})
	}
	all.Wait()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
	f := p.look(t)
	if n := f.count("print"); n != processes+1 || f.count("done") != n || f.count("mounted") != 1 {
		t.Errorf("%d prints, %d done, %d mounted", n, f.count("done"), f.count("mounted"))
	}
	p.audit(t)
	t.Logf("%d processes wrote through two mount points", processes+1)
}

// opened reports whether a process has a file of a name open.
func opened(pid int, name string) bool {
	links, _ := filepath.Glob(fmt.Sprintf("/proc/%d/fd/*", pid))
	for _, l := range links {
		if to, err := os.Readlink(l); err == nil && filepath.Base(to) == name {
			return true
		}
	}
	return false
}
