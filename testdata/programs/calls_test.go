package programs

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"vouchmark/testdata/suite"
)

// writing is a command that writes, as it is run in a folder with the site in site/ and
// outputs in out/.
type writing struct {
	name   string
	before [][]string // what is run first, once
	args   []string
	site   string // the site in which it writes; "" for none
	random bool   // it makes other bytes each time
	again  string // what it says where it was already done; "" where it can be done again
	typed  string // what somebody types into changes.toml
}

const typed = `[[review]]
date = 2026-05-01
by = "tester"
scope = "all"
finding = "right"
reason = "walked"
`

// unplaced has what was not moved into its place in a mirror on a disk: others may be at work there, so that it stays for
// a day.
const unplaced = "second/.new/"

func words(text string) []string { return strings.Fields(text) }

var writings = []writing{
	{name: "publish", args: words("publish pages --site site")}, // takes longest, so it begins first
	{name: "print", site: "site", args: words("print --site site --only GAL-BY1,TNK-US1 --out out/labels.pdf --by tester")},
	{name: "reprint", site: "site", args: words("reprint GAL-BY1 --site site --reason torn --out out/labels.pdf --by tester")},
	{name: "mounted", site: "site", args: words("mounted GAL-DC1 --site site --by tester")},
	{name: "removed", site: "site", before: [][]string{words("withdraw GAL-BY1 --site site --reason torn --by tester")},
		args: words("removed GAL-BY1 --site site --by tester")},
	{name: "withdraw", site: "site", args: words("withdraw GAL-BY1 --site site --reason torn --by tester"), again: "withdrawn"},
	{name: "change add", site: "site", args: words("change add --site site --at GAL-BY1 --kind renovation --by tester")},
	{name: "change settle", site: "site", before: [][]string{words("change add --site site --at GAL-BY1 --kind renovation --by tester")},
		args: words("change settle 2026-05-01/GAL-BY1 --site site --scope all --reason same --by tester")},
	{name: "change review", site: "site", args: words("change review --site site --scope GAL-BY1 --finding right --reason walked --by tester")},
	{name: "change note", site: "site", typed: typed, args: words("change note e9be8564 --site site --by tester"), again: "e9be8564"},
	{name: "accept", site: "site", args: words("accept TNK-SG1 over-rating --site site --reason open --by tester"), again: "accepted already"},
	{name: "intake", site: "site", args: words("intake out/study.csv --site site --write --by tester")},
	{name: "key new", args: words("key new tester --out out/new.key"), random: true, again: "exists"},
	{name: "key trust", site: "site", args: words("key trust KEY --site site --by tester"), again: "trusted already"},
	{name: "sign a record", site: "site", args: words("sign GAL-BY1 --site site --key out/key")},
	{name: "sign the ledger", site: "site", args: words("sign ledger --site site --key out/key")},
	{name: "person add", args: words("person add T.Sample --role read --no-password --people out/people.toml"), again: "already"},
	{name: "person role", before: [][]string{words("person add T.Sample --role read --no-password --people out/people.toml")},
		args: words("person role T.Sample planner --people out/people.toml")},
	{name: "person password", before: [][]string{words("person add T.Sample --role read --password-file out/key --people out/people.toml")},
		args: words("person password T.Sample --no-password --people out/people.toml")},
	{name: "person remove", before: [][]string{words("person add T.Sample --role read --no-password --people out/people.toml"),
		words("person add T.Other --role read --no-password --people out/people.toml")},
		args: words("person remove T.Sample --people out/people.toml"), again: "no person"},
	{name: "seen", site: "site", args: words("seen GAL-BY1 --site site --by tester")},
	{name: "overview", args: words("overview site --out over")},
	{name: "init", args: words("init new"), again: "exists"},
	{name: "publish again", before: [][]string{words("publish pages --site site"), words("withdraw GAL-BY1 --site site --reason torn --by tester")},
		args: words("publish pages --site site")},
	{name: "export", args: words("records export --site site --out out/records.zip")},
	{name: "import", site: "other", before: [][]string{words("records export --site site --out out/records.zip")},
		args: words("records import out/records.zip --site other"), again: "already has all of it"},
	{name: "records mirror", site: "site", before: [][]string{words("records mirror file:///proc/self/cwd/second --site site"),
		words("records mirror --stop --site site"), words("withdraw GAL-BY1 --site site --reason torn --by tester")},
		args: words("records mirror file:///proc/self/cwd/second --site site")},
	{name: "walk", args: words("walk --site site --out out/labels.pdf")},
	{name: "guide", args: words("guide --site site --out out/labels.pdf")},
	{name: "audit", args: words("audit --site site --pdf out/labels.pdf")},
}

// Every system call by which a writing command changes the disk fails, and is the last
// before the process is killed. The suite takes a sample of the calls.
func TestSystemCalls(t *testing.T) {
	need(t, "strace")
	g := newGrounds(t)
	var commands, calls, runs, hits atomic.Int64
	t.Run("each", func(t *testing.T) {
		for _, w := range writings {
			t.Run(w.name, func(t *testing.T) {
				t.Parallel()
				p := g.prepare(t, w)
				c, r, h := p.tamper(t)
				t.Logf("%d calls, %d runs, %d of them met", c, r, h)
				commands.Add(1)
				calls.Add(int64(c))
				runs.Add(int64(r))
				hits.Add(int64(h))
			})
		}
	})
	if hits.Load() < runs.Load()*3/5 { // threads share the calls of a process, so not each run meets the one it aims at
		t.Errorf("%d of %d runs met a call", hits.Load(), runs.Load())
	}
	t.Logf("%d commands, %d system calls, %d runs, %d of them with a call that failed or was the last", commands.Load(), calls.Load(), runs.Load(), hits.Load())
}

// Every command is one of those above, or writes nothing but to its standard output.
func TestEveryWritingCommandIsTried(t *testing.T) {
	named := map[string]bool{"check": true, "due": true, "round": true, "policy diff": true, "person list": true, "suppose": true, "tree": true,
		"history": true, "basis": true, "arc": true, "help": true, "version": true, "completion": true, "man": true,
		"serve": true} // its forms write by the functions of the commands
	for _, w := range writings {
		named[w.name] = true
		for i := range w.args {
			named[strings.Join(w.args[:i+1], " ")] = true
		}
	}
	text, _, _ := strings.Cut(string(run(t, build(t).program, "help")), "\nWords\n")
	all := regexp.MustCompile(`(?m)^  ([a-z]+(?: [a-z]+)?)`).FindAllStringSubmatch(text, -1)
	if len(all) < 35 {
		t.Fatalf("the help names %d commands", len(all))
	}
	for _, command := range all {
		if !named[command[1]] {
			t.Errorf("%s is neither tried nor said to write nothing", command[1])
		}
	}
}

// practice is a writing command on its ground, and what it does there undisturbed.
type practice struct {
	writing
	program      string
	ground       string
	calls        []call
	first, after map[string]string
}

func (g *grounds) prepare(t *testing.T, w writing) *practice {
	t.Helper()
	p := &practice{writing: w, program: g.program, ground: t.TempDir()}
	run(t, "cp", "-r", g.base+"/.", p.ground)
	p.args = dated(p.args)
	for i, a := range p.args {
		if a == "KEY" {
			p.args[i] = g.key
		}
	}
	for _, args := range w.before {
		if s := g.run(t, p.ground, args...); s.code != 0 {
			t.Fatalf("%s: %+v", args, s)
		}
	}
	if w.typed != "" {
		if err := os.WriteFile(filepath.Join(p.ground, "site", "changes.toml"), []byte(w.typed), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	p.first = tree(t, p.ground)
	dir := p.copy(t)
	defer os.RemoveAll(dir)
	var s said
	s, p.calls = traced(t, dir, p.program, nil, p.args...)
	p.after = tree(t, dir)
	if s.code != 0 || len(p.calls) < 5 {
		t.Fatalf("%+v, %v", s, p.calls)
	}
	return p
}

func (p *practice) copy(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp(filepath.Dir(p.ground), "run")
	if err != nil {
		t.Fatal(err)
	}
	run(t, "cp", "-r", p.ground+"/.", dir)
	return dir
}

// tamper makes each call fail in several ways.
func (p *practice) tamper(t *testing.T) (calls, runs, hits int) {
	t.Helper()
	k := 0
	for _, c := range p.calls {
		ways := []tampering{{c, "error=EIO", false}, {c, "signal=KILL", false}}
		switch c.name {
		case "openat", "write", "pwrite64":
			ways = append(ways, tampering{c, "error=ENOSPC", false}, tampering{c, "error=EIO", true})
		case "flock":
			ways[0].how = "error=ENOLCK"
		case "unlinkat", "ftruncate":
		default:
			ways = append(ways, tampering{c, "error=EIO", true})
		}
		for i := range ways {
			const sample = 7
			if k++; !suite.Exhaustive && k%sample != 0 {
				continue
			}
			runs++
			hits += p.try(t, &ways[i])
		}
	}
	return len(p.calls), runs, hits
}

// try runs the command with one call that fails or is the last, looks at what is there, and
// runs it again.
func (p *practice) try(t *testing.T, m *tampering) (hit int) {
	t.Helper()
	dir := p.copy(t)
	defer os.RemoveAll(dir)
	s, calls := traced(t, dir, p.program, m, p.args...)
	var failed []call
	for _, c := range calls {
		if c.failed && c.name == m.at.name {
			failed = append(failed, c)
		}
	}
	now := tree(t, dir)
	report := func(what string, more ...any) {
		t.Helper()
		t.Errorf("%v (%v): %s %v\nexit %d: %s%s", m, failed, what, more, s.code, s.out, s.errors)
	}
	for _, wrong := range p.wrong(m, failed, &s, now) {
		report(wrong)
	}
	if len(failed) == 0 && s.code == 0 {
		return 0 // nothing was met: the run was one without a disturbance, which was compared
	}
	audit := func(when string) {
		if p.site == "" {
			return // only its outputs can have changed: everything else was compared
		}
		a := answer(t, exec.Command(p.program, "audit", "--site", p.site, "--today", "2026-05-01", "--json"), dir)
		var found struct{ Problems []struct{ What string } }
		if err := json.Unmarshal([]byte(a.out), &found); err != nil {
			t.Fatal(err, a)
		}
		for _, f := range found.Problems {
			if when == "after" || s.code >= 0 && !m.cleaning && m.at.name != "unlinkat" || !strings.HasPrefix(f.What, "a temporary file") {
				report("audit "+when, f.What)
			}
		}
	}
	if p.site == "site" { // the other has no ledger yet
		audit("before")
	}
	again := answer(t, exec.Command(p.program, p.args...), dir)
	if again.code != 0 && (p.again == "" || !strings.Contains(again.errors, p.again)) {
		report("again", again)
	}
	audit("after")
	then := tree(t, dir)
	for _, name := range slices.Sorted(maps.Keys(then)) {
		if _, ok := p.after[name]; !ok && !strings.HasPrefix(name, unplaced) {
			report("left behind", name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(p.after)) {
		if text, ok := then[name]; !ok {
			report("missing", name)
		} else if strings.HasPrefix(name, "out/") && !p.random && text != p.after[name] {
			report("another output", name)
		}
	}
	if len(failed) > 0 || s.code < 0 {
		return 1
	}
	return 0
}

// wrong says what is wrong after a run.
func (p *practice) wrong(m *tampering, failed []call, s *said, now map[string]string) (all []string) {
	wrong := func(format string, values ...any) { all = append(all, fmt.Sprintf(format, values...)) }
	stray := slices.ContainsFunc(failed, func(c call) bool { return c.reads }) // it read something else than in the undisturbed run
	for _, name := range slices.Sorted(maps.Keys(now)) {
		text := now[name]
		before, was := p.first[name]
		after, will := p.after[name]
		switch {
		case was && text == before, will && text == after, p.random && !was && strings.HasPrefix(text, "PRIVATE+KEY") && strings.HasSuffix(text, "\n"):
		case filepath.Base(name) == "ledger.jsonl":
			if !strings.HasPrefix(text, before) || !strings.HasSuffix("\n"+text, "\n") {
				wrong("the ledger lost a line, or has half of one: %s", text)
			}
		case madeUp.MatchString(name) || strings.Contains(name, "/.publishing.new"):
			if s.code >= 0 && !m.cleaning && m.at.name != "unlinkat" {
				wrong("left %s", name)
			}
		case strings.HasPrefix(name, unplaced):
		case !stray:
			wrong("%s is neither as before nor as after: %.200q", name, text)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(p.first)) {
		if _, ok := now[name]; !ok {
			wrong("%s is gone", name)
		}
	}
	if s.code < 0 || stray {
		return all
	}
	if s.code == 0 {
		for _, name := range slices.Sorted(maps.Keys(p.after)) {
			if text, ok := now[name]; !ok || text != p.after[name] && !p.random {
				wrong("exit 0, but %s is not as it should be", name)
			}
		}
		return all
	}
	if s.code != 4 {
		wrong("not exit code 4")
	}
	if len(failed) == 1 && (strings.Count(s.errors, "vouchmark: ") != 1 || !named(s.errors, failed[0].path)) {
		wrong("no clear message that names the file")
	}
	if strings.Contains(s.errors, ".tmp") || strings.Contains(s.errors, "goroutine") {
		wrong("a message for nobody")
	}
	for _, name := range slices.Sorted(maps.Keys(now)) {
		text, was := p.first[name]
		if strings.Contains(s.errors, "; nothing was") && was && text != now[name] && filepath.Base(name) != "ledger.jsonl" {
			wrong("%s was written", name)
		}
		if strings.Contains(s.errors, "labels are in "+name) && now[name] != p.after[name] {
			wrong("%s was not written", name)
		}
	}
	return all
}

// named reports whether a message names the file of a call, or a folder that contains it;
// never by the name of a temporary file.
func named(message, path string) bool {
	if path == "stdout" {
		return strings.Contains(message, "standard output")
	}
	if path == "." { // the working folder: the message names what was to be made in it
		return regexp.MustCompile(`cannot write \w`).MatchString(message)
	}
	return slices.ContainsFunc(strings.Split(path, "/"), func(part string) bool {
		part = strings.TrimPrefix(part, ".")
		for _, end := range []string{".N.tmp", ".starter-N"} {
			part = strings.TrimSuffix(part, end)
		}
		return part != "" && strings.Contains(message, part)
	})
}

func (g *grounds) run(t *testing.T, dir string, args ...string) said {
	t.Helper()
	return answer(t, exec.Command(g.program, dated(args)...), dir)
}
