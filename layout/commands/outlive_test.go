package commands_test

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label"
	"vouchmark/label/record"
)

// Records and labels outlive programs: these tests run programs of other
// versions, made from this one by a change of its source.

const day = "2026-06-30"

// edit is a change of a source file: new in place of old, which it has once.
type edit struct{ file, old, new string }

// build makes the program with some of its source changed.
func build(t *testing.T, edits ...edit) string {
	t.Helper()
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	dir, replace := t.TempDir(), map[string]string{}
	for _, e := range edits {
		file := filepath.Join(root, e.file)
		source := file
		if changed, again := replace[file]; again {
			source = changed
		}
		text, err := os.ReadFile(source)
		if err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(string(text), e.old); n != 1 {
			t.Fatalf("%s has %q %d times", e.file, e.old, n)
		}
		replace[file] = filepath.Join(dir, strings.ReplaceAll(e.file, "/", "_"))
		if err := os.WriteFile(replace[file], []byte(strings.Replace(string(text), e.old, e.new, 1)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	overlay, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		t.Fatal(err)
	}
	list, program := filepath.Join(dir, "overlay.json"), filepath.Join(dir, "vouchmark")
	if err := os.WriteFile(list, overlay, 0o644); err != nil {
		t.Fatal(err)
	}
	c := exec.Command("go", "build", "-ldflags=-s -w", "-overlay", list, "-o", program, ".")
	c.Dir = root
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return program
}

// site is a copy of a folder, to write to.
func site(t *testing.T, from string) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	return dir
}

// creamery is a copy of the invented creamery without anything printed, whatever
// somebody has printed from the original.
func creamery(t *testing.T) string {
	t.Helper()
	dir := site(t, "../../samples/creamery")
	for _, made := range []string{"ledger.jsonl", "records"} {
		if err := os.RemoveAll(filepath.Join(dir, made)); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// call runs a program and gives what it says and its exit code.
func call(t *testing.T, program, dir string, args ...string) (stdout string, code int) {
	t.Helper()
	c := exec.Command(program, append(args, "--site", dir, "--today", day)...)
	out, err := c.Output()
	if _, exited := err.(*exec.ExitError); err != nil && !exited {
		t.Fatal(err)
	}
	return string(out), c.ProcessState.ExitCode()
}

// said is the JSON that a program says, as data, and its exit code.
func said(t *testing.T, program, dir string, args ...string) (map[string]any, int) {
	t.Helper()
	out, code := call(t, program, dir, append(args, "--json")...)
	var m map[string]any
	if err := json.Unmarshal([]byte(out), &m); err != nil {
		t.Fatalf("%v: %v\n%s", args, err, out)
	}
	return m, code
}

// folders are sites whose labels were printed: by this program, and in the
// first form of records.
func folders(t *testing.T, program string) map[string]string {
	t.Helper()
	all := map[string]string{
		"creamery":        creamery(t),
		"mill":            site(t, "../../samples/mill"),
		"the second form": site(t, "../../testdata/records2/mill"),
		"the first form":  site(t, "../../testdata/records1/mill"),
	}
	out := filepath.Join(t.TempDir(), "labels.pdf")
	if said, code := call(t, program, all["creamery"], "print", "--out", out); code != 0 {
		t.Fatalf("exit %d\n%s", code, said)
	}
	return all
}

// A program whose rules have a higher number finds every label as it was: the
// same standings, exit codes, problems. Where the facts are those of the label
// printed last, it prints that label again, code and all. What it prints for
// the first time, the older program refuses by name.
func TestRulesRaised(t *testing.T) {
	t.Parallel()
	now := build(t)
	rules := func(n int) string { return fmt.Sprintf("const Rules = %d", n) }
	later := build(t, edit{"assess/judge.go", rules(assess.Rules), rules(assess.Rules + 1)})
	for name, dir := range folders(t, now) {
		t.Run(name, func(t *testing.T) {
			was, code := said(t, now, dir, "check")
			is, laterCode := said(t, later, dir, "check")
			printed := 0
			for _, check := range []map[string]any{was, is} {
				for _, l := range check["locations"].([]any) {
					if l := l.(map[string]any); l["printed_code"] == nil {
						delete(l, "code") // of a record that is not stored yet
					} else if l["code"] == l["printed_code"] {
						printed++
					}
				}
			}
			if printed == 0 {
				t.Error("no label is one that print would make again")
			}
			drop(was, is)
			if code != laterCode || !reflect.DeepEqual(was, is) {
				t.Errorf("check: exit %d, then %d; %.2000s\nthen %.2000s", code, laterCode, fmt.Sprint(was), fmt.Sprint(is))
			}
			audit, code := said(t, now, dir, "audit")
			raised, laterCode := said(t, later, dir, "audit")
			if code != laterCode || !reflect.DeepEqual(audit["problems"], raised["problems"]) || !reflect.DeepEqual(audit["standing"], raised["standing"]) {
				t.Errorf("audit: exit %d, then %d; %v, then %v", code, laterCode, audit, raised)
			}
			if notes := raised["notes"].([]any); len(notes) == 0 || !strings.Contains(notes[len(notes)-1].(string), "judged by rules older than") {
				t.Errorf("audit by higher rules notes %v", notes)
			}
		})
	}
	t.Run("of a later version", func(t *testing.T) {
		dir := creamery(t)
		if out, code := call(t, later, dir, "print", "--only", "TUB-MC4", "--out", filepath.Join(t.TempDir(), "l.pdf")); code != 0 {
			t.Fatalf("exit %d\n%s", code, out)
		}
		want := fmt.Sprintf("made by a later version of the program: schema 2, rules %d", assess.Rules+1)
		check, _ := said(t, now, dir, "check")
		text, err := json.Marshal(check)
		if err != nil || strings.Count(string(text), want) != 1 {
			t.Errorf("check: %v\n%.2000s", err, text)
		}
		if audit, code := call(t, now, dir, "audit"); code != 1 || !strings.Contains(audit, want) || !strings.Contains(audit, "Records NOT intact: 1 problem") {
			t.Errorf("audit: exit %d\n%s", code, audit)
		}
	})
}

// drop takes out of checks the codes of labels that a print would make for the
// first time.
func drop(checks ...map[string]any) {
	for _, check := range checks {
		for _, l := range check["locations"].([]any) {
			if l := l.(map[string]any); l["code"] != l["printed_code"] {
				delete(l, "code")
			}
		}
	}
}

// Labels with records of the first form keep their codes, their facts to the
// last character and their standing, and print again byte for byte under the
// same code. testdata/records1 is what an earlier version wrote of the mill:
// its ledger, its records, and the facts and standings as that version gave
// them.
func TestFirstForm(t *testing.T) {
	t.Parallel()
	const contradicts = "6HJ2-6B80-CJTD-TA3N" // its energy and boundary contradict each other
	dir := site(t, "../../testdata/records1/mill")
	list, err := os.ReadFile("../../testdata/records1/facts.txt")
	if err != nil {
		t.Fatal(err)
	}
	program := build(t)
	if audit, code := said(t, program, dir, "audit"); code != 0 || len(audit["problems"].([]any)) > 0 {
		t.Errorf("audit: exit %d, %v, %v", code, audit["problems"], audit["notes"])
	}
	held := 0
	for _, line := range strings.Split(strings.TrimSpace(string(list)), "\n") {
		code, rest, _ := strings.Cut(line, "\t")
		facts, standing, _ := strings.Cut(rest, "\t")
		if code == contradicts {
			standing = "in question" // rules 2 find an error in its row for which nobody answers
		}
		id, err := record.Open(dir).Find(record.Code(code))
		if err != nil {
			t.Fatal(err)
		}
		r, err := record.Open(dir).Load(id)
		if err != nil {
			t.Fatal(err)
		}
		data, hash, err := r.Encode()
		if err != nil || hash != id || r.Schema != 1 || !strings.Contains(string(data), `"schema": 1,`) {
			t.Errorf("%s: schema %d, encodes as %s, %v", code, r.Schema, hash.Code(), err)
		}
		if what, judged := r.Differs(); what != "" || judged {
			t.Errorf("%s was judged by the first rules, and is judged again: %s, %v", code, what, judged)
		}
		if got := label.Facts(r); got != facts {
			t.Errorf("%s: facts %s, were %s", code, got, facts)
		}
		basis, exit := said(t, program, dir, "basis", "HTTPS://LABELS.EXAMPLE.ORG/V/"+code+"/"+facts)
		if is := basis["standing"].(map[string]any)["status"]; exit != 0 || is != standing {
			t.Errorf("%s: exit %d, %s, was %s", code, exit, is, standing)
		}
		if standing == "holds" {
			held++
			again(t, program, dir, code, "reprint", r.Location.ID)
			if r.Location.ID != "LP-6" { // a review found its study right: a print shows a later REVIEW BY
				again(t, program, dir, code, "print", "--only", r.Location.ID)
			}
		}
	}
	if held != 3 {
		t.Errorf("%d labels hold, want 3", held)
	}
	// It holds again once somebody is responsible for the error by name.
	if out, exit := call(t, program, dir, "accept", "PNL-A5", "distance-exponent", "--by", "E. Sample, PE", "--reason", "checked on site"); exit != 0 {
		t.Fatalf("accept: exit %d\n%s", exit, out)
	}
	if basis, exit := said(t, program, dir, "basis", contradicts); exit != 0 || basis["standing"].(map[string]any)["status"] != "holds" {
		t.Errorf("accepted: exit %d, %v", exit, basis["standing"])
	}
	again(t, program, dir, contradicts, "reprint", "PNL-A5")
}

// again prints a label that holds once more: under its own code, from its own
// record.
func again(t *testing.T, program, from, code string, args ...string) {
	t.Helper()
	dir := site(t, from)
	made, exit := said(t, program, dir, append(args, "--out", filepath.Join(t.TempDir(), "l.pdf"))...)
	if exit != 0 {
		t.Errorf("%v: exit %d, %v", args, exit, made)
		return
	}
	if got := made["labels"].([]any)[0].(map[string]any)["code"]; got != code {
		t.Errorf("%v gives %v, want %s", args, got, code)
	}
	if audit, exit := said(t, program, dir, "audit"); exit != 0 || audit["records"] != 15.0 {
		t.Errorf("%v: audit exits with %d, %v records", args, exit, audit["records"])
	}
}

// A column is a field and an entry in the table. It is then read, in each of
// its units, stored, compared, shown, asked for in a hint, and a flag of arc.
func TestColumnAdded(t *testing.T) {
	t.Parallel()
	program := build(t,
		edit{"assess/location.go", "	Electrodes   string // VCB,", "	Spare        MM\n	Electrodes   string // VCB,"},
		edit{"assess/columns.go", "	{Name: \"rating\",", `	{Name: "spare", Kind: Quantity, Units: Lengths, PerCase: true, Weight: Decides, Equation: true,
		Meaning: "a length that a test adds", field: number(func(r Row) *MM { return &r.Spare })},
	{Name: "rating",`})
	dir := creamery(t)
	rows, err := os.ReadFile(filepath.Join(dir, "locations.csv"))
	if err != nil {
		t.Fatal(err)
	}
	with := func(heading, value string) {
		t.Helper()
		lines := strings.Split(strings.TrimSpace(string(rows)), "\n")
		for i := range lines {
			cell := value
			if i == 0 {
				cell = heading
			}
			lines[i] = cell + "," + strings.TrimRight(lines[i], "\r")
		}
		if err := os.WriteFile(filepath.Join(dir, "locations.csv"), []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	has := func(what, text, want string) {
		t.Helper()
		if !strings.Contains(text, want) {
			t.Errorf("%s does not have %q:\n%.2000s", what, want, text)
		}
	}
	with("spare_in", "2")
	if out, code := call(t, program, dir, "print", "--only", "TUB-MC4", "--out", filepath.Join(t.TempDir(), "l.pdf")); code != 0 {
		t.Fatalf("exit %d\n%s", code, out)
	}
	basis, _ := call(t, program, dir, "basis", "TUB-MC4")
	has("basis", basis, "spare_mm 50.8")
	stored, _ := call(t, program, dir, "basis", "TUB-MC4", "--json")
	has("the record", stored, `"spare_mm": 50.8`)
	with("spare_ft", "1")
	drift, _ := call(t, program, dir, "basis", "TUB-MC4")
	has("basis after a change", drift, "spare_mm 50.8 → 304.8")
	with("spare", "1")
	problems, code := call(t, program, dir, "check", "--json")
	if has("check", problems, "spare_in or spare_mm or spare_ft"); code != 3 {
		t.Errorf("a column without a unit: exit %d", code)
	}
	with("spar_in", "1")
	problems, _ = call(t, program, dir, "check", "--json")
	has("check", problems, "one such as spare_in")
	help, err := exec.Command(program, "arc", "--help").Output()
	if err != nil {
		t.Fatal(err)
	}
	has("the help", string(help), "--spare-ft FT")
	has("the help", string(help), "a length that a test adds, in inches")
}
