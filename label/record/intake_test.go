package record

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"vouchmark/assess"
	"vouchmark/testdata/suite"
)

const (
	oldRows, newRows = "id\nold\n", "id,source\nnew,R.csv 2\n"
	study            = "invented study\n"
)

// put writes files of a folder; "" removes one.
func put(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	for name, text := range files {
		name = filepath.Join(dir, filepath.FromSlash(name))
		os.Remove(name)
		if text == "" {
			continue
		}
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// reading is what a command does before it takes a study in: it reads the owner's
// files and says how they will change. "" leaves one unchanged.
func reading(t *testing.T, dir, file, text string, become ...string) Taken {
	t.Helper()
	name, err := StudyName(os.DirFS(dir), file, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	taken := Taken{Date: job(t, Print).Date, By: "tester", Tool: "test", Study: Kept{name, []byte(text)}}
	for i := 0; i < len(become); i += 2 {
		f := Replaced{Name: become[i]}
		if f.Old, err = os.ReadFile(filepath.Join(dir, f.Name)); err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
		if become[i+1] != "" {
			f.New = []byte(become[i+1])
		}
		taken.Files = append(taken.Files, f)
	}
	return taken
}

// usual is a study that changes three of the owner's files.
func usual(t *testing.T, dir string) Taken {
	return reading(t, dir, "R.csv", study, assess.IntakeFile, "[mapping]\n", assess.PolicyFile, "former = []\n", assess.LocationsFile, newRows)
}

// holds checks that files of a folder have a text ("" for a missing file), and that
// its ledger has a number of lines, each of them right.
func holds(t *testing.T, dir string, lines int, files map[string]string) *Ledger {
	t.Helper()
	for name, want := range files {
		got, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		if string(got) != want || (err == nil) != (want != "") {
			t.Errorf("%s holds %q, %v; want %q", name, got, err, want)
		}
	}
	l, err := Open(dir).Ledger()
	if err != nil || len(l.Lines) != lines {
		t.Fatalf("%d lines, %v; want %d", len(l.Lines), err, lines)
	}
	if wrong := Open(dir).Replay(l, job(t, Print).Date, nil).Wrong; wrong != nil {
		t.Errorf("%+v", wrong)
	}
	return l
}

// A study is kept with the previous locations.csv, and the ledger has their names
// and hashes; the same intake again changes nothing.
func TestTakeIn(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, map[string]string{assess.LocationsFile: oldRows, assess.PolicyFile: "# policy\n"})
	os.Chmod(filepath.Join(dir, assess.LocationsFile), 0o640)
	s := Open(dir)
	done, err := s.TakeIn(usual(t, dir))
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{"studies/R.csv": study, "studies/R.locations-before.csv": oldRows, assess.LocationsFile: newRows,
		assess.IntakeFile: "[mapping]\n", assess.PolicyFile: "former = []\n"}
	l := holds(t, dir, 1, all)
	want := Line{Schema: 1, Kind: Intake, Date: job(t, Print).Date, By: "tester", Tool: "test", Study: &Stored{"R.csv", SHA256([]byte(study)), int64(len(study))},
		Before: &Stored{"R.locations-before.csv", SHA256([]byte(oldRows)), int64(len(oldRows))}, Locations: SHA256([]byte(newRows)), Prev: firstPrev, Hash: l.Head()}
	if !reflect.DeepEqual(l.Lines[0], want) || !reflect.DeepEqual(done.Line, want) || done.Already {
		t.Errorf("%+v, %v\nwant %+v", l.Lines[0], done, want)
	}
	if want := []string{"studies/R.csv", "studies/R.locations-before.csv", assess.IntakeFile, assess.PolicyFile, assess.LocationsFile}; !slices.Equal(done.Wrote, want) {
		t.Errorf("wrote %q, want %q", done.Wrote, want)
	}
	for name, mode := range map[string]os.FileMode{"studies/R.csv": 0o444, "studies/R.locations-before.csv": 0o444, assess.LocationsFile: 0o640, assess.IntakeFile: 0o644} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Mode().Perm() != mode {
			t.Errorf("%s: %v, %v; want mode %v", name, info.Mode(), err, mode)
		}
	}

	again, err := s.TakeIn(usual(t, dir))
	if err != nil || !again.Already || again.Wrote != nil || again.Line.Hash != done.Line.Hash {
		t.Errorf("again: %+v, %v", again, err)
	}
	holds(t, dir, 1, all)

	// If lost, it is put back; if altered, it is not overwritten.
	put(t, dir, map[string]string{"studies/R.csv": ""})
	if back, err := s.TakeIn(usual(t, dir)); err != nil || !back.Already || !slices.Equal(back.Wrote, []string{"studies/R.csv"}) {
		t.Errorf("lost: %+v, %v", back, err)
	}
	holds(t, dir, 1, all)
	put(t, dir, map[string]string{"studies/R.csv": "invented studies"})
	if _, err := s.TakeIn(usual(t, dir)); err == nil || !strings.Contains(err.Error(), "studies/R.csv was altered") || !strings.Contains(err.Error(), "nothing was written") {
		t.Errorf("altered: %v", err)
	}
	all["studies/R.csv"] = "invented studies"
	holds(t, dir, 1, all)
}

// Each study has its own name and its own line, in whatever order they are taken in;
// the previous locations.csv is kept each time.
func TestTakeInMore(t *testing.T) {
	dir := t.TempDir()
	s := Open(dir)
	take := func(file, text, rows string) *TakenIn {
		t.Helper()
		done, err := s.TakeIn(reading(t, dir, file, text, assess.LocationsFile, rows))
		if err != nil {
			t.Fatal(err)
		}
		return done
	}
	if first := take("R.csv", study, newRows); first.Line.Before != nil || first.Already {
		t.Errorf("%+v", first.Line.Before)
	}
	// Another study of that name.
	if second := take("R.csv", "second", "id\nsecond\n"); second.Line.Study.File != "R-2.csv" || second.Line.Before.File != "R-2.locations-before.csv" {
		t.Errorf("%+v, %+v", second.Line.Study, second.Line.Before)
	}
	// The first one again is a new intake, and the file is already there.
	if third := take("R.csv", study, newRows); third.Already || third.Line.Study.File != "R.csv" || third.Line.Before.File != "R.locations-before.csv" ||
		!slices.Equal(third.Wrote, []string{"studies/R.locations-before.csv", assess.LocationsFile}) {
		t.Errorf("%+v, %+v", third, third.Line.Before)
	}
	// The same study undoes an edit by hand: this is noted, and the edited file is kept.
	put(t, dir, map[string]string{assess.LocationsFile: "by hand\n"})
	fourth := take("R.csv", study, newRows)
	if fourth.Already || fourth.Line.Before.File != "R.locations-before-2.csv" {
		t.Errorf("%+v", fourth.Line.Before)
	}
	// The same locations.csv from another study is another line, without a replaced file.
	fifth := take("S.csv", "a third\n", newRows)
	if fifth.Already || fifth.Line.Before != nil || !slices.Equal(fifth.Wrote, []string{"studies/S.csv"}) {
		t.Errorf("%+v", fifth)
	}
	// Another mapping with the same outcome is written; it needs no line.
	sixth, err := s.TakeIn(reading(t, dir, "S.csv", "a third\n", assess.IntakeFile, "new\n", assess.LocationsFile, newRows))
	if err != nil || !sixth.Already || !slices.Equal(sixth.Wrote, []string{assess.IntakeFile}) {
		t.Errorf("%+v, %v", sixth, err)
	}
	// The same is true of one that only reads locations.csv: the existing line is its line.
	only, err := s.TakeIn(reading(t, dir, "S.csv", "a third\n", assess.LocationsFile, ""))
	if err != nil || !only.Already || only.Wrote != nil || only.Line.Locations != SHA256([]byte(newRows)) {
		t.Errorf("%+v, %v", only, err)
	}
	// A kept locations.csv is taken in like any study: it is already there.
	seventh := take(filepath.Join(dir, "studies", "R.locations-before-2.csv"), "by hand\n", "id\nback\n")
	if seventh.Line.Study.File != "R.locations-before-2.csv" || seventh.Line.Before.File != "R.locations-before-2.locations-before.csv" {
		t.Errorf("%+v, %+v", seventh.Line.Study, seventh.Line.Before)
	}
	holds(t, dir, 6, map[string]string{"studies/R.csv": study, "studies/R-2.csv": "second", "studies/R.locations-before.csv": "id\nsecond\n",
		"studies/R.locations-before-2.csv": "by hand\n", assess.LocationsFile: "id\nback\n"})

	l, _ := s.Ledger()
	studies := s.Replay(l, job(t, Print).Date, nil).Studies
	if r := studies["R.csv"]; r.Line != 1 || r.Taken != &l.Lines[0] || r.SHA256 != SHA256([]byte(study)) {
		t.Errorf("%+v", r)
	}
	if r := studies["R.locations-before.csv"]; r.Line != 3 || r.Taken != nil {
		t.Errorf("%+v", r)
	}
	if r := studies["R.locations-before-2.csv"]; r.Line != 4 || r.Taken != &l.Lines[5] {
		t.Errorf("%+v", r)
	}
	if r := s.Replay(l, job(t, Print).Date.AddDays(-1), nil).Studies["R.csv"]; r == nil || r.Taken != nil {
		t.Errorf("before the day: %+v", r)
	}
}

// If a file changed since the plan read it, nothing is written.
func TestTakeInChangedMeanwhile(t *testing.T) {
	for what, c := range map[string]struct {
		meanwhile map[string]string
		names     string
	}{
		"locations.csv edited":       {map[string]string{assess.LocationsFile: "edited\n"}, "locations.csv has changed in the meantime"},
		"locations.csv as it is now": {map[string]string{assess.LocationsFile: newRows}, "locations.csv has changed in the meantime"},
		"locations.csv gone":         {map[string]string{assess.LocationsFile: ""}, "locations.csv has changed in the meantime"},
		"intake.toml made":           {map[string]string{assess.IntakeFile: "x\n"}, "intake.toml has changed in the meantime"},
		"what was only read":         {map[string]string{assess.ChangesFile: "edited\n"}, "changes.toml has changed in the meantime"},
		"another study":              {map[string]string{"studies/R.csv": "another"}, "studies/R.csv is now a different file"},
		"as long":                    {map[string]string{"studies/R.csv": "INVENTED STUDY\n"}, "studies/R.csv is now a different file"},
		"in other capitals":          {map[string]string{"studies/r.csv": study}, "studies/R.csv is now a different file"},
	} {
		dir := t.TempDir()
		put(t, dir, map[string]string{assess.LocationsFile: oldRows, assess.ChangesFile: "as read\n", assess.PolicyFile: "# policy\n"})
		plan := usual(t, dir)
		plan.Files = append(plan.Files, Replaced{Name: assess.ChangesFile, Old: []byte("as read\n")})
		put(t, dir, c.meanwhile)
		if _, err := Open(dir).TakeIn(plan); err == nil || !strings.Contains(err.Error(), c.names) || !strings.Contains(err.Error(), "run the command again; nothing was written") {
			t.Errorf("%s: %v", what, err)
		}
		want := map[string]string{assess.LocationsFile: oldRows, assess.ChangesFile: "as read\n", assess.PolicyFile: "# policy\n", assess.IntakeFile: "",
			"studies/R.csv": "", "studies/R.locations-before.csv": ""}
		for name, text := range c.meanwhile {
			want[name] = text
		}
		holds(t, dir, 0, want)
	}
}

// An empty file and a missing one are not the same.
func TestTakeInEmptyFiles(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{assess.LocationsFile, assess.IntakeFile} {
		if err := os.WriteFile(filepath.Join(dir, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	plan := usual(t, dir)
	plan.Files[0].Old = nil
	if _, err := Open(dir).TakeIn(plan); err == nil || !strings.Contains(err.Error(), "intake.toml has changed in the meantime") {
		t.Errorf("an empty file was read as none: %v", err)
	}
	done, err := Open(dir).TakeIn(usual(t, dir))
	if err != nil || done.Line.Before != nil {
		t.Errorf("%+v, %v", done, err) // an empty file is nothing to keep
	}
	holds(t, dir, 1, map[string]string{assess.LocationsFile: newRows, "studies/R.locations-before.csv": ""})
}

func TestTakeInRefuses(t *testing.T) {
	big := make([]byte, MostStudy+1)
	const owners, table = "is not one of the owner's files", "no locations.csv with at most 64 MiB"
	for what, c := range map[string]struct {
		spoil func(*Taken)
		want  string
	}{
		"a path":               {func(p *Taken) { p.Study.Name = "../R.csv" }, "is not a name for a file in studies"},
		"no name":              {func(p *Taken) { p.Study.Name = "" }, "is not a name"},
		"an empty study":       {func(p *Taken) { p.Study.Data = nil }, "R.csv is empty"},
		"a large study":        {func(p *Taken) { p.Study.Data = big }, "R.csv has more than 64 MiB"},
		"no locations.csv":     {func(p *Taken) { p.Files = p.Files[:2] }, table},
		"an empty one":         {func(p *Taken) { p.Files[2].New = []byte{} }, table},
		"a large one":          {func(p *Taken) { p.Files[2].New = big }, table},
		"a large one before":   {func(p *Taken) { p.Files[2].Old = big }, table},
		"a file elsewhere":     {func(p *Taken) { p.Files[0].Name = "../intake.toml" }, owners},
		"the ledger":           {func(p *Taken) { p.Files[0].Name = LedgerFile }, owners},
		"a hidden file":        {func(p *Taken) { p.Files[0].Name = ".x" }, owners},
		"a file twice":         {func(p *Taken) { p.Files[0].Name = assess.PolicyFile }, owners},
		"a name nobody sees":   {func(p *Taken) { p.By = "a\u202eb" }, "characters that no label and no terminal shows"},
		"a tool of two lines":  {func(p *Taken) { p.Tool = "a\nb" }, "characters that no label and no terminal shows"},
		"a name that is taken": {func(p *Taken) { p.Study.Name = "T.csv" }, "studies/T.csv is now a different file"},
	} {
		dir := t.TempDir()
		put(t, dir, map[string]string{assess.LocationsFile: oldRows, assess.PolicyFile: "# policy\n", "studies/T.csv": "another"})
		plan := usual(t, dir)
		c.spoil(&plan)
		if _, err := Open(dir).TakeIn(plan); err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "nothing was written") {
			t.Errorf("%s: %v, want %q", what, err, c.want)
		}
		if text := read(t, dir, assess.LocationsFile); text != oldRows {
			t.Errorf("%s: %q", what, text)
		}
		left, _ := filepath.Glob(filepath.Join(dir, "*", "*"))
		temps, _ := filepath.Glob(filepath.Join(dir, ".*"))
		if len(left) > 1 || len(temps) > 0 {
			t.Errorf("%s: %q, %q are left", what, left, temps)
		}
	}
	for _, file := range []string{assess.IntakeFile, StudiesFolder} { // an unreadable file is not taken for a missing one
		dir := t.TempDir()
		put(t, dir, map[string]string{assess.LocationsFile: oldRows})
		plan := usual(t, dir)
		if file == StudiesFolder {
			put(t, dir, map[string]string{file: "a file"})
		} else {
			put(t, dir, map[string]string{file + "/x": "in a folder"})
		}
		if _, err := Open(dir).TakeIn(plan); err == nil || !strings.Contains(err.Error(), file) || !strings.Contains(err.Error(), "nothing was written") {
			t.Errorf("%s: %v", file, err)
		}
		holds(t, dir, 0, map[string]string{assess.LocationsFile: oldRows})
	}
	dir := t.TempDir() // the largest that is accepted
	plan := reading(t, dir, "R.csv", study, assess.LocationsFile, newRows)
	plan.Study.Data, plan.Files[0].New = big[1:], big[1:]
	if _, err := Open(dir).TakeIn(plan); err != nil {
		t.Error(err)
	}
	holds(t, dir, 1, nil)
}

// The disk fails at any operation, and either works again or fails from then on, as
// if the machine had stopped: the error says what was written and what was not, and
// the same command again ends as it would have without the fault, with one line
// that names the right previous locations.csv. The suite fails each operation in
// each way, with the errors in turn.
func TestTakeInFaults(t *testing.T) {
	sync := disk.sync
	disk.sync = func(*os.File) error { return nil }
	defer func() { disk.sync = sync }()
	prepare := func(t *testing.T) string {
		dir := t.TempDir()
		put(t, dir, map[string]string{assess.LocationsFile: oldRows, assess.PolicyFile: "# policy\n"})
		carry(t, dir, job(t, Print, example(t, "A", 6.5)))
		return dir
	}
	old := map[string]string{"studies/R.csv": "", "studies/R.locations-before.csv": "", assess.IntakeFile: "", assess.PolicyFile: "# policy\n", assess.LocationsFile: oldRows}
	end := map[string]string{"studies/R.csv": study, "studies/R.locations-before.csv": oldRows, assess.IntakeFile: "[mapping]\n", assess.PolicyFile: "former = []\n", assess.LocationsFile: newRows}
	order := []string{"studies/R.csv", "studies/R.locations-before.csv", assess.IntakeFile, assess.PolicyFile, assess.LocationsFile}

	var all fault
	dir := prepare(t)
	mend := all.inject()
	_, err := Open(dir).TakeIn(usual(t, dir))
	mend()
	if err != nil || len(all.seen) < 40 {
		t.Fatalf("%v, %v", all.seen, err)
	}
	errnos := []error{syscall.ENOSPC, syscall.EROFS, syscall.EACCES, syscall.EIO}
	broken := map[int]int{} // by the number of files written before
	for n, op := range all.seen {
		ways := []fault{{}, {onward: true}}
		if op == "write" {
			ways = append(ways, fault{half: true}, fault{half: true, onward: true})
		}
		for k, way := range ways {
			for e, errno := range errnos {
				if !suite.Exhaustive && e != (n+k)%len(errnos) {
					continue
				}
				f := &fault{n: n + 1, err: errno, onward: way.onward, half: way.half}
				dir := prepare(t)
				mend := f.inject()
				done, err := Open(dir).TakeIn(usual(t, dir))
				mend()
				wrote := 0
				for i, name := range order {
					text, _ := os.ReadFile(filepath.Join(dir, name))
					switch {
					case string(text) == end[name] && wrote == i:
						wrote++
					case string(text) != old[name]:
						t.Errorf("%v: %s is %q", f, name, text)
					}
				}
				l, broke := Open(dir).Ledger()
				if broke != nil {
					t.Fatalf("%v: %v", f, broke)
				}
				noted := len(l.Lines) == 3
				if wrong := leftBy(done, err, order, wrote, noted); wrong != "" {
					t.Errorf("%v: %s: %v", f, wrong, err)
				}
				broken[wrote]++

				again, err := Open(dir).TakeIn(usual(t, dir))
				if err != nil || again.Already != noted {
					t.Errorf("%v: the next time: %+v, %v", f, again, err)
					continue
				}
				now, err := Open(dir).Ledger()
				if err != nil {
					t.Fatal(err)
				}
				half := len(now.Asides()) // of the line that could not be written
				line := holds(t, dir, 3+half, end).Lines[2+half]
				if line.Before == nil || *line.Before != *stored(Kept{"R.locations-before.csv", []byte(oldRows)}) {
					t.Errorf("%v, %d files written: before it was %+v", f, wrote, line.Before)
				}
				for _, pattern := range []string{".*.tmp", "studies/.*", "studies/*-2.csv"} {
					if left, _ := filepath.Glob(filepath.Join(dir, pattern)); len(left) > 0 {
						t.Errorf("%v: %q are left", f, left)
					}
				}
			}
		}
	}
	for wrote := range len(order) + 1 {
		if broken[wrote] == 0 {
			t.Errorf("no fault behind %d files", wrote)
		}
	}
	t.Logf("faults by files written before: %v", broken)
}

// A process that takes a study in, for TestTakeInKilled, which kills it at a disk
// operation.
func TestTakeInProcess(t *testing.T) {
	dir := os.Getenv("VOUCHMARK_TAKE_IN")
	if dir == "" {
		t.Skip("part of TestTakeInKilled")
	}
	n, err := strconv.Atoi(os.Getenv("VOUCHMARK_KILL_AT"))
	if err != nil {
		t.Fatal(err)
	}
	plan := usual(t, dir)
	f := &fault{n: n, err: syscall.EIO, die: true, half: os.Getenv("VOUCHMARK_HALF") != ""}
	f.inject()
	if _, err := Open(dir).TakeIn(plan); err != nil {
		t.Fatal(err)
	}
	fmt.Printf("operations: %s\n", strings.Join(f.seen, " "))
}

// A process that is killed before any disk operation, or in the middle of a write,
// leaves a state from which the next one finishes. The suite kills one at every
// fifth operation.
func TestTakeInKilled(t *testing.T) {
	folder := func() string {
		dir := t.TempDir()
		put(t, dir, map[string]string{assess.LocationsFile: oldRows, assess.PolicyFile: "# policy\n"})
		return dir
	}
	run := func(dir string, at int, half bool) (ops []string, killed bool) {
		c := exec.Command(os.Args[0], "-test.run=^TestTakeInProcess$", "-test.v")
		c.Env = append(os.Environ(), "VOUCHMARK_TAKE_IN="+dir, fmt.Sprint("VOUCHMARK_KILL_AT=", at))
		if half {
			c.Env = append(c.Env, "VOUCHMARK_HALF=1")
		}
		out, err := c.Output()
		_, after, _ := strings.Cut(string(out), "operations: ")
		line, _, done := strings.Cut(after, "\n")
		if done == (err != nil) {
			t.Fatalf("operation %d: %v\n%s", at, err, out)
		}
		return strings.Fields(line), !done
	}
	end := map[string]string{"studies/R.csv": study, "studies/R.locations-before.csv": oldRows, assess.IntakeFile: "[mapping]\n", assess.PolicyFile: "former = []\n", assess.LocationsFile: newRows}
	dir := folder()
	all, killed := run(dir, 0, false)
	if holds(t, dir, 1, end); killed || len(all) < 40 {
		t.Fatalf("%q", all)
	}
	kills := 0
	for i, op := range all {
		for _, half := range []bool{false, true} {
			if half && op != "write" || !suite.Exhaustive && i%5 != 4 && !(half && i%3 == 0) {
				continue
			}
			dir := folder()
			if _, killed := run(dir, i+1, half); !killed {
				t.Errorf("operation %d, %s: it was not killed", i+1, op)
			}
			kills++
			for name, text := range map[string]string{assess.LocationsFile: oldRows, assess.PolicyFile: "# policy\n"} {
				if now := read(t, dir, name); now != text && now != end[name] {
					t.Errorf("operation %d, %s: %s is %q", i+1, op, name, now)
				}
			}
			if done, err := Open(dir).TakeIn(usual(t, dir)); err != nil {
				t.Errorf("operation %d, %s: the next time: %+v, %v", i+1, op, done, err)
				continue
			}
			now, err := Open(dir).Ledger()
			if err != nil {
				t.Fatal(err)
			}
			torn := len(now.Asides()) // of the line at which it was killed
			line := holds(t, dir, 1+torn, end).Lines[torn]
			if line.Before == nil || *line.Before != *stored(Kept{"R.locations-before.csv", []byte(oldRows)}) {
				t.Errorf("operation %d, %s: before it was %+v", i+1, op, line.Before)
			}
			for _, pattern := range []string{".*.tmp", "studies/.*", "studies/*-2.csv"} {
				if left, _ := filepath.Glob(filepath.Join(dir, pattern)); len(left) > 0 {
					t.Errorf("operation %d, %s: %q are left", i+1, op, left)
				}
			}
		}
	}
	t.Logf("%d kills", kills)
}

// told says where a message and the folder disagree.
func leftBy(done *TakenIn, err error, order []string, wrote int, noted bool) string {
	if err == nil {
		if wrote < len(order) || !noted || done.Already || !slices.Equal(done.Wrote, order) {
			return "it says that all is well"
		}
		return ""
	}
	text := err.Error()
	written, rest, _ := strings.Cut(text[strings.LastIndex(text, "; written: ")+1:], "; not written: ")
	switch {
	case strings.Contains(text, ".tmp"):
		return "it names a temporary file"
	case strings.Contains(text, "nothing was written") != (wrote == 0 && !noted):
		return "it says that nothing was written, or does not"
	case strings.Contains(text, "everything is written") != (wrote == len(order) && noted):
		return "whether everything is written is reported wrongly"
	case wrote == 0 || noted:
		return ""
	case !strings.Contains(text, "run the same command again to finish") || !strings.Contains(rest, "the line of ledger.jsonl"):
		return "it does not say what to do"
	}
	for i, name := range order {
		if strings.Contains(written, name) != (i < wrote) || strings.Contains(rest, name) != (i >= wrote) {
			return fmt.Sprintf("%s is in the wrong list", name)
		}
	}
	return ""
}
