package programs

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// tampered are the system calls by which a program changes a disk.
var tampered = strings.Fields("openat write pwrite64 fsync fdatasync syncfs rename renameat renameat2 unlink unlinkat rmdir " +
	"mkdir mkdirat ftruncate truncate chmod fchmod fchmodat link linkat symlinkat flock")

// call is a system call of a process: the n-th of its kind in its thread, as strace counts.
type call struct {
	name, path string
	n          int
	failed     bool // strace made it fail
	reads      bool // it only reads
}

func (c call) String() string { return fmt.Sprintf("%s %d %s", c.name, c.n, c.path) }

// tampering is what strace does to a process.
type tampering struct {
	at       call
	how      string // as in error=EIO, signal=KILL
	cleaning bool   // what would clean up afterwards fails too
}

func (m tampering) String() string {
	if m.cleaning {
		return fmt.Sprintf("%v %s, and cleaning up fails", m.at, m.how)
	}
	return fmt.Sprintf("%v %s", m.at, m.how)
}

// traced runs the program below strace in a folder, and tells which calls it made there.
func traced(t *testing.T, dir, program string, m *tampering, args ...string) (said, []call) {
	t.Helper()
	log := filepath.Join(t.TempDir(), "log")
	by := []string{"-f", "-qq", "-y", "-s", "300", "-e", "signal=none", "-o", log, "-e", "trace=" + strings.Join(tampered, ",")}
	if m != nil {
		by = append(by, "-e", fmt.Sprintf("inject=%s:%s:when=%d", m.at.name, m.how, m.at.n))
		if m.cleaning {
			by = append(by, "-e", "inject=unlinkat,ftruncate:error=EIO")
		}
	}
	c := exec.Command("strace", append(append(by, program), args...)...)
	// one thread does nearly all of the work, so that most calls have one number
	c.Env = append(os.Environ(), "GOMAXPROCS=1", "GODEBUG=asyncpreemptoff=1")
	said := answer(t, c, dir)
	data, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	return said, changing(string(data), dir)
}

// said is how a process ended.
type said struct {
	code        int // -1: killed
	out, errors string
	wait        string
}

func answer(t *testing.T, c *exec.Cmd, dir string) said {
	t.Helper()
	var stdout, stderr bytes.Buffer
	c.Dir, c.Stdout, c.Stderr = dir, &stdout, &stderr
	err := c.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return said{c.ProcessState.ExitCode(), stdout.String(), stderr.String(), c.ProcessState.String()}
}

var (
	aCall  = regexp.MustCompile(`^(\d+) +(\w+)\((.*)`)
	anFD   = regexp.MustCompile(`^(AT_FDCWD|\d+)<([^>]*)>(?:, "([^"]*)")?(.*)`)
	madeUp = regexp.MustCompile(`(?:placing-\w+|\d{5,})(\.tmp|-old|$|/)`) // in the name of a temporary file or folder
	linked = regexp.MustCompile(`^.*(?:AT_FDCWD|\d+)<([^>]*)>(), "([^"]*)"(.*)`)
)

// changing reads a log of strace: the calls by which the process changed what is in a folder,
// opened a folder to sync it, or wrote to its standard output; and whatever strace made fail.
func changing(log, dir string) (calls []call) {
	count := map[string]int{}
	opened := map[string]int{} // the folder that a thread opened last: its place in calls
	for line := range strings.Lines(log) {
		m := aCall.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		thread, name, rest := m[1], m[2], m[3]
		count[thread+name]++
		c := call{name: name, n: count[thread+name], failed: strings.Contains(rest, "(INJECTED)")}
		at := anFD.FindStringSubmatch(rest)
		if name == "linkat" {
			at = linked.FindStringSubmatch(rest)
			at[1], at[2] = "AT_FDCWD", at[1]
		}
		if at == nil {
			continue
		}
		c.path = at[2]
		if strings.HasSuffix(name, "at") || name == "renameat2" {
			c.path = at[3]
			if !filepath.IsAbs(c.path) {
				c.path = filepath.Join(at[2], c.path)
			}
		}
		rel, err := filepath.Rel(dir, c.path)
		switch inside := err == nil && !strings.HasPrefix(rel, ".."); {
		case inside:
			c.path = madeUp.ReplaceAllString(rel, "N$1")
		case name == "write" && at[1] == "1":
			c.path = "stdout"
		default:
			c.reads = true
		}
		flags := at[4]
		if name == "openat" && !strings.Contains(flags, "O_CREAT") && !strings.Contains(flags, "O_WRONLY") &&
			!strings.Contains(flags, "O_RDWR") && !strings.Contains(flags, "O_TMPFILE") {
			c.reads = true
			opened[thread+c.path] = len(calls)
		} else if k, ok := opened[thread+c.path]; ok && name == "fsync" {
			calls[k].reads = false
		}
		calls = append(calls, c)
	}
	return slices.DeleteFunc(calls, func(c call) bool { return c.reads && !c.failed })
}

// tree is all that is in a folder: the content of files, and "/" for folders.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(dir, path)
		if d.IsDir() {
			all[rel] = "/"
			return nil
		}
		data, err := os.ReadFile(path)
		all[rel] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}
