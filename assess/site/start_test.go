package site

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
)

// starterFolder is what a starter folder holds, or nil if dir is not there or is empty. It fails for
// anything in between.
func starterFolder(t *testing.T, dir string) bool {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		t.Fatal(err)
	}
	if len(entries) == 0 {
		return false
	}
	for _, name := range []string{policyFile, locationsFile} {
		want, err := starter.ReadFile("starter/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(got) != string(want) {
			t.Errorf("%s is not whole: %v", name, err)
		}
	}
	if len(entries) != 2 {
		t.Errorf("it has %v", entries)
	}
	return true
}

// beside are the names beside a folder.
func beside(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(dir))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.Name() != filepath.Base(dir) {
			names = append(names, e.Name())
		}
	}
	return names
}

// startFailing starts a folder with the n-th operation failing, and gives how many there were.
func startFailing(dir string, n int, fail func() error) (steps int, err error) {
	sound := step
	defer func() { step = sound }()
	step = func(string) error {
		if steps++; steps == n {
			return fail()
		}
		return nil
	}
	err = Start(dir)
	return steps, err
}

// Whichever operation fails, the folder is whole or not there, and nothing is left beside it.
func TestStartFails(t *testing.T) {
	all, err := startFailing(filepath.Join(t.TempDir(), "plant"), 0, nil)
	if err != nil || all < 9 {
		t.Fatal(all, err)
	}
	for n := 1; n <= all; n++ {
		for _, empty := range []bool{false, true} {
			dir := filepath.Join(t.TempDir(), "plant")
			if empty {
				if err := os.Mkdir(dir, 0o755); err != nil {
					t.Fatal(err)
				}
			}
			_, err := startFailing(dir, n, func() error { return syscall.ENOSPC })
			if !errors.Is(err, syscall.ENOSPC) {
				t.Errorf("operation %d fails: %v", n, err)
			}
			if whole := starterFolder(t, dir); whole && n < all || len(beside(t, dir)) > 0 {
				t.Errorf("operation %d fails: whole: %v; beside it: %v", n, whole, beside(t, dir))
			}
			if n == all {
				continue // it is there, but a power failure may undo it
			}
			if err := Start(dir); err != nil || !starterFolder(t, dir) {
				t.Errorf("after operation %d failed: %v", n, err)
			}
		}
	}
}

// TestStartInProcess is not a test of its own: TestStartKilled runs it in a process that is killed.
func TestStartInProcess(t *testing.T) {
	dir, n := os.Getenv("VOUCHMARK_START"), os.Getenv("VOUCHMARK_STEP")
	if dir == "" {
		t.Skip("run by TestStartKilled")
	}
	at, err := strconv.Atoi(n)
	if err != nil {
		t.Fatal(err)
	}
	startFailing(dir, at, func() error {
		if p, err := os.FindProcess(os.Getpid()); err == nil {
			p.Kill()
		}
		select {}
	})
}

// Wherever it is killed, the folder is whole or not there; the next start removes what is left beside it.
func TestStartKilled(t *testing.T) {
	for n := 1; n <= 9; n++ {
		dir := filepath.Join(t.TempDir(), "plant")
		other := filepath.Join(filepath.Dir(dir), ".plants.starter-1") // another folder's
		if err := os.Mkdir(other, 0o755); err != nil {
			t.Fatal(err)
		}
		c := exec.Command(os.Args[0], "-test.run=^TestStartInProcess$")
		c.Env = append(os.Environ(), "VOUCHMARK_START="+dir, "VOUCHMARK_STEP="+strconv.Itoa(n))
		if err := c.Run(); err == nil {
			t.Fatalf("step %d: it was not killed", n)
		}
		if !starterFolder(t, dir) {
			if err := Start(dir); err != nil || !starterFolder(t, dir) {
				t.Errorf("after it was killed at step %d: %v", n, err)
			}
		}
		if left := beside(t, dir); len(left) != 1 || left[0] != filepath.Base(other) {
			t.Errorf("after it was killed at step %d: beside it: %v", n, left)
		}
	}
}
