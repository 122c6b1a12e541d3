// Package stress runs the whole program many times at once, and kills it at random
// moments: no line of the ledger and no record may be lost, duplicated or incomplete. Run it by name, since go leaves folders called testdata out of ./...:
//
//	go test ./testdata/stress                            the short form, of .ci/run
//	VOUCHMARK_KILLS=400 go test -timeout 30m ./testdata/stress
//	VOUCHMARK_SEED=7 go test ./testdata/stress           the same random moments again
package stress

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// plant is a copy of a sample, and the program that works on it.
type plant struct{ program, dir, out string }

func newPlant(t *testing.T) plant {
	t.Helper()
	root := filepath.Join("..", "..")
	p := plant{filepath.Join(t.TempDir(), "vouchmark"), t.TempDir(), t.TempDir()}
	if out, err := exec.Command("go", "build", "-o", p.program, root).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, f := range []string{"site.toml", "locations.csv"} {
		data, err := os.ReadFile(filepath.Join(root, "samples", "creamery", f))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(p.dir, f), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return p
}

func (p *plant) command(args ...string) *exec.Cmd {
	return exec.Command(p.program, append(args, "--site", p.dir, "--today", "2026-05-01")...)
}

func (p *plant) print(id, out string) *exec.Cmd {
	return p.command("print", "--only", id, "--out", filepath.Join(p.out, out))
}

func (p *plant) must(t *testing.T, c *exec.Cmd) {
	t.Helper()
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v: %v\n%s", c.Args[1:], err, out)
	}
}

// places are some locations of the sample.
var places = strings.Fields("TNK-US1 TNK-SG1 TNK-TX1 TNK-TX2 GAL-SB1 GAL-SB2 RAW-MC1 SEP-MC2 CHN-MC3 TUB-MC4 BRN-MC5 RAW-PP1 SEP-PP2 REP-LP1 GAL-BY1")

// Two hundred processes print at once into one folder.
func TestAtOnce(t *testing.T) {
	const processes = 200
	p := newPlant(t)
	var all sync.WaitGroup
	errs := make([]error, processes)
	took := make([]time.Duration, processes)
	for i := range processes {
		all.Go(func() {
			start := time.Now()
			out, err := p.print(places[i%len(places)], fmt.Sprintf("%d.pdf", i)).CombinedOutput()
			for bytes.Contains(out, []byte("has been writing for a minute")) {
				// On a busy machine the others may take longer than a process waits. It
				// must have written nothing, and must print when run again.
				out, err = p.print(places[i%len(places)], fmt.Sprintf("%d.pdf", i)).CombinedOutput()
			}
			if err != nil {
				errs[i] = fmt.Errorf("process %d: %w: %s", i, err, out)
			}
			took[i] = time.Since(start)
		})
	}
	all.Wait()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
	var longest time.Duration
	for _, d := range took {
		longest = max(longest, d)
	}
	t.Logf("%d processes; the slowest took %v", processes, longest)

	f := p.look(t)
	if n := f.count("print"); n != processes || f.count("done") != processes || len(f.lines) != 2*processes {
		t.Errorf("%d lines, %d intents, %d done", len(f.lines), n, f.count("done"))
	}
	if len(f.records) != len(places) {
		t.Errorf("%d records of %d places", len(f.records), len(places))
	}
	p.audit(t)
}

// The program is killed at random moments, in prints of one label and of all,
// in changes of the owner's file, in withdrawals, and while it takes a study in.
func TestKilled(t *testing.T) {
	seed, kills := number(t, "VOUCHMARK_SEED", time.Now().UnixNano()), int(number(t, "VOUCHMARK_KILLS", 40))
	t.Logf("VOUCHMARK_SEED=%d VOUCHMARK_KILLS=%d", seed, kills)
	random := rand.New(rand.NewSource(seed))
	p := newPlant(t)

	works := []func() *exec.Cmd{
		func() *exec.Cmd { return p.print(places[random.Intn(len(places))], "labels.pdf") },
		func() *exec.Cmd { return p.print(strings.Join(places, ","), "labels.pdf") },
		func() *exec.Cmd { // at a place from which it reaches no printed label
			return p.command("change", "add", "--at", "GAL-DC1", "--kind", "renovation", "--date", "2026-04-01", "--by", "tester")
		},
		func() *exec.Cmd { return p.command("withdraw", "RAW-MC1", "--reason", "torn", "--by", "tester") },
		func() *exec.Cmd { return p.intake(t, random.Int()) },
	}
	usual := make([]time.Duration, len(works)) // how long each takes without a kill
	for kind, work := range works {
		p.must(t, p.print("RAW-MC1", "after.pdf")) // so that it can be withdrawn
		start := time.Now()
		p.must(t, work())
		usual[kind] = time.Since(start)
	}
	p.must(t, p.print("RAW-MC1", "after.pdf"))

	killed, broken := 0, 0
	for i := range kills {
		kind := i % len(works)
		p.revise(t, i)
		before := p.look(t)
		c := works[kind]()
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		moment := time.Duration(random.Int63n(int64(usual[kind])))
		if i/len(works)%2 > 0 { // every other round aims at what comes after the first line
			p.waitForLine(usual[kind])
			moment /= 4
		}
		time.Sleep(moment)
		c.Process.Kill()
		c.Wait()
		if !c.ProcessState.Exited() {
			killed++
		}
		p.crashed(t, before)
		if kind == len(works)-1 {
			p.must(t, exec.Command(c.Args[0], c.Args[1:]...)) // the same command again finishes the work
			p.studied(t)
		}
		p.must(t, p.print("RAW-MC1", "after.pdf"))
		f := p.look(t)
		if open := f.open(); len(open) > 0 || f.temps > 0 || f.torn > 0 {
			t.Fatalf("after %d kills and one more print: open %v, %d temporary files, %d bytes behind the last line", i+1, open, f.temps, f.torn)
		}
		broken = f.count("unfinished")
	}
	t.Logf("%d of %d were killed before their end, %d of them between intent and done", killed, kills, broken)
	p.audit(t)
}

// intake is the command that takes in a study with the sample's results and with a
// number in its notes, which gives a different locations.csv.
func (p *plant) intake(t *testing.T, number int) *exec.Cmd {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "samples", "creamery", "locations.csv"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(data)), "\n")
	for i := range lines[1:] {
		lines[i+1] += fmt.Sprintf(" study %d", number)
	}
	file := filepath.Join(p.out, "study.csv")
	if err := os.WriteFile(file, []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	return p.command("intake", file, "--write", "--by", "tester")
}

// studied checks that the study is in the folder: its file, and a line of the ledger
// with its hash and the hash of the current locations.csv.
func (p *plant) studied(t *testing.T) {
	t.Helper()
	f := p.look(t)
	last := line{}
	for _, l := range f.lines {
		if l.Kind == "intake" {
			last = l
		}
	}
	study, err := os.ReadFile(filepath.Join(p.out, "study.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := os.ReadFile(filepath.Join(p.dir, "locations.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if last.Study == nil || last.Study.SHA256 != sum(study) || last.Locations != sum(rows) || last.Before == nil {
		t.Errorf("the study is %s and locations.csv %s; the ledger has %+v", sum(study), sum(rows), last)
	}
}

// revise changes the policy, so that every label needs a new record.
func (p *plant) revise(t *testing.T, i int) {
	t.Helper()
	path := filepath.Join(p.dir, "site.toml")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	data = reviewMonths.ReplaceAll(data, fmt.Appendf(nil, "review_months = %d", 30+i%30))
	data = cutoff.ReplaceAll(data, fmt.Appendf(nil, "cutoff_cal_cm2 = %.2f", 39+float64(i/30)/100))
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

var (
	reviewMonths = regexp.MustCompile(`(?m)^review_months = .*$`)
	cutoff       = regexp.MustCompile(`(?m)^cutoff_cal_cm2 = .*$`)
)

// waitForLine waits until the ledger grows, or for as long as the whole command takes.
func (p *plant) waitForLine(longest time.Duration) {
	path := filepath.Join(p.dir, "ledger.jsonl")
	before, err := os.Stat(path)
	for end := time.Now().Add(longest); err == nil && time.Now().Before(end); {
		if now, err := os.Stat(path); err != nil || now.Size() != before.Size() {
			return
		}
	}
}

// crashed checks a folder right after a kill: what was there is still there, and the
// outputs are complete.
func (p *plant) crashed(t *testing.T, before *folder) {
	t.Helper()
	f := p.look(t)
	if len(f.lines) < len(before.lines) || len(f.records) < len(before.records) || !bytes.HasPrefix(f.changes, before.changes) {
		t.Fatal("something was lost")
	}
	for i := range before.lines {
		if f.lines[i].Hash != before.lines[i].Hash {
			t.Fatalf("line %d is another", i+1)
		}
	}
}

// audit runs the program's own check of the folder, if it has one.
func (p *plant) audit(t *testing.T) {
	t.Helper()
	help, err := exec.Command(p.program, "--help").Output()
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(help, []byte("\n  audit ")) {
		t.Log("there is no command audit")
		return
	}
	p.must(t, p.command("audit"))
}

func number(t *testing.T, variable string, otherwise int64) int64 {
	t.Helper()
	s := os.Getenv(variable)
	if s == "" {
		return otherwise
	}
	n, err := strconv.ParseInt(s, 10, 64)
	if err != nil {
		t.Fatalf("%s: %v", variable, err)
	}
	return n
}
