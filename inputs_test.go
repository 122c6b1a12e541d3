package main

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// allocated is how many bytes a function asks for.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// zipped writes an archive of one file, which repeats a text up to a size.
func zipped(t *testing.T, method uint16, name, begin, text string, size int) (file string) {
	t.Helper()
	file = filepath.Join(t.TempDir(), "a.zip")
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z := zip.NewWriter(f)
	w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
	if err != nil {
		t.Fatal(err)
	}
	b := bufio.NewWriter(w)
	b.WriteString(begin)
	many := strings.Repeat(text, 1<<20/len(text))
	for n := 0; n < size && err == nil; n += len(many) {
		_, err = b.WriteString(many)
	}
	if err == nil {
		err = b.Flush()
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// A small archive that unpacks to very much is refused in one sentence, by audit and by import,
// and asks for little memory.
func TestHostileArchives(t *testing.T) {
	const labels = `{"schema":1,"kind":"print","labels":[`
	for _, c := range []struct {
		what   string
		method uint16
		begin  string
		text   string
		size   int
		want   string
	}{
		{"newlines", zip.Deflate, "", "\n", 100 << 20, "its files have 10"},
		{"labels", zip.Deflate, labels, "{},", 130 << 20, "its files have "},
		{"a little less", zip.Deflate, labels, "{},", 63 << 20, "ledger.jsonl, line 1"},
		{"not compressed", zip.Store, labels, "{},", 66 << 20, "ledger.jsonl"},
	} {
		file := zipped(t, c.method, "ledger.jsonl", c.begin, c.text, c.size)
		for _, args := range [][]string{{"audit", file}, {"records", "import", file}} {
			dir := t.TempDir()
			var code int
			var stdout, stderr string
			took := allocated(func() { code, stdout, stderr = call(t, at(dir, args...)...) })
			if code != 1 || !strings.Contains(stdout+stderr, c.want) || len(stdout)+len(stderr) > 3000 {
				t.Errorf("%s, %s: exit %d, %d bytes: %.1000s%.1000s", c.what, args[0], code, len(stdout)+len(stderr), stdout, stderr)
			}
			if took > 8*uint64(c.size) {
				t.Errorf("%s, %s: %d MB", c.what, args[0], took>>20)
			}
			if left, _ := os.ReadDir(dir); len(left) > 0 {
				t.Errorf("%s, %s: %v is there", c.what, args[0], left)
			}
		}
	}
}

// An archive whose files no command could read is neither sound nor imported, except where the
// folder has its own.
func TestHostileOwnersInArchive(t *testing.T) {
	dir := creamery(t)
	pdf(t, "print", "--site", dir, "--only", "RAW-MC1")
	whole := filepath.Join(t.TempDir(), "a.zip")
	if code, _, stderr := call(t, at(dir, "records", "export", "--out", whole)...); code != 0 {
		t.Fatal(stderr)
	}
	for name, text := range map[string]string{
		"changes.toml": strings.Repeat("a.", 400) + "a = 1\n",
		"site.toml":    "x = " + strings.Repeat("[", 200<<10),
	} {
		file := withFile(t, whole, name, text)
		code, stdout, _ := call(t, "audit", file)
		if code != 1 || !strings.Contains(stdout, name+": found more than 16 tables") && !strings.Contains(stdout, name+":1: found more than 16 tables") {
			t.Errorf("%s: exit %d\n%s", name, code, stdout)
		}
		back := t.TempDir()
		code, _, stderr := call(t, at(back, "records", "import", file)...)
		if left, _ := os.ReadDir(back); code != 3 || !strings.Contains(stderr, name+":1: found more than 16 tables") || len(left) > 0 {
			t.Errorf("%s: exit %d, %v\n%s", name, code, left, stderr)
		}
		if err := os.WriteFile(filepath.Join(back, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
		if code, _, stderr := call(t, at(back, "records", "import", file)...); code != 0 {
			t.Errorf("%s into a folder that has one: exit %d\n%s", name, code, stderr)
		}
	}
}

// A log that names curves is imported, although an archive has none.
func TestCurvesInArchive(t *testing.T) {
	dir := creamery(t)
	if err := os.Mkdir(filepath.Join(dir, "curves"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "curves", "c.csv"), []byte("current_a,total_clearing_max_s\n1000,10\n10000,0.1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	pdf(t, "print", "--site", dir, "--only", "RAW-MC1")
	whole := filepath.Join(t.TempDir(), "a.zip")
	for _, args := range [][]string{
		{"change", "add", "--at", "RAW-MC1", "--kind", "fuse replaced", "--by", "x", "--new-curve", "c.csv"},
		{"records", "export", "--out", whole},
	} {
		if code, _, stderr := call(t, at(dir, args...)...); code != 0 {
			t.Fatalf("%v: %s", args, stderr)
		}
	}
	if code, stdout, _ := call(t, "audit", whole); code != 0 {
		t.Errorf("audit: exit %d\n%s", code, stdout)
	}
	if code, _, stderr := call(t, at(t.TempDir(), "records", "import", whole)...); code != 0 {
		t.Errorf("import: exit %d\n%s", code, stderr)
	}
}

// withFile is an archive with one file more, or another in its place.
func withFile(t *testing.T, archive, name, text string) string {
	t.Helper()
	from, err := zip.OpenReader(archive)
	if err != nil {
		t.Fatal(err)
	}
	defer from.Close()
	var b bytes.Buffer
	to := zip.NewWriter(&b)
	for _, f := range from.File {
		if err == nil && f.Name != name {
			err = to.Copy(f)
		}
	}
	w, e := to.Create(name)
	if err = errors.Join(err, e); err == nil {
		_, err = w.Write([]byte(text))
	}
	if err = errors.Join(err, to.Close()); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "b.zip")
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// Very many cells that cannot be read give a report of the first ones of each column and a count
// of the rest; each location still says that it is stopped.
func TestManyBadRows(t *testing.T) {
	const rows, cells = 4000, 9
	dir := creamery(t)
	var b strings.Builder
	b.WriteString("id,equipment,supply,voltage_v,fault_ka,energy_cal_cm2,boundary_in,distance_in,prepared,gap_mm,clear_ms\n")
	for i := range rows {
		fmt.Fprintf(&b, "L%d,x%s\n", i, strings.Repeat(",?", cells))
	}
	policy := "name = \"X\"\nunits = \"us\"\nedition = \"NFPA 70E-2024\"\ncutoff_cal_cm2 = 40.0\nreview_months = 60\n" +
		"[[ladder]]\nkit = \"K\"\nrating_cal_cm2 = 40.0\nwear = [\"x\"]\n"
	for file, text := range map[string]string{"site.toml": policy, "locations.csv": b.String()} {
		if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	output := func(args ...string) string {
		code, stdout, stderr := call(t, at(dir, args...)...)
		if code != 1 {
			t.Fatalf("%v: exit %d\n%s", args, code, stderr)
		}
		return stdout
	}
	full := output("check", "--full")
	if n := strings.Count(full, "locations.csv, row"); n != 50*cells || !strings.Contains(full, "voltage_v: 3950 more of this kind [unreadable]") {
		t.Errorf("%d findings are listed", n)
	}
	if n := strings.Count(output("check", "--csv"), "\n"); n != 1+50*cells+rows-50 {
		t.Errorf("%d rows of CSV", n)
	}
	var out struct {
		Problems  []struct{ ID string }
		Locations []struct {
			Findings     []struct{ Message string }
			FindingsMore int `json:"findings_more"`
		}
	}
	if err := json.Unmarshal([]byte(output("check", "--json")), &out); err != nil {
		t.Fatal(err)
	}
	last := out.Locations[rows-1]
	if len(out.Problems) != 50*cells+rows-50 || len(last.Findings) != 1 || last.FindingsMore != cells-1 || last.Findings[0].Message != `found "?"` ||
		len(out.Locations[0].Findings) != cells || out.Locations[0].FindingsMore != 0 {
		t.Errorf("%d problems; %+v", len(out.Problems), last)
	}
}

// Ids that look alike are refused where locations.csv is read, also for one label alone. A folder
// whose ledger has both keeps them: it is audited, archived, and works again with one row renamed.
func TestLookAlikeIDs(t *testing.T) {
	dir := creamery(t)
	file := filepath.Join(dir, "locations.csv")
	rows, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	const plain, cyrillic = "CHN-MC3", "СHN-MC3" // the second begins with a Cyrillic Es
	as := func(id string) string { return strings.ReplaceAll(string(rows), plain, id) }
	put := func(text string) {
		t.Helper()
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	out := filepath.Join(t.TempDir(), "x.pdf")
	do := func(want int, args ...string) string {
		t.Helper()
		code, stdout, stderr := call(t, at(dir, args...)...)
		if code != want {
			t.Fatalf("%v: exit %d\n%s%s", args, code, stdout, stderr)
		}
		return stdout + stderr
	}
	do(0, "print", "--only", plain, "--out", out)
	put(as(cyrillic))
	do(0, "print", "--only", cyrillic, "--out", out)
	var both strings.Builder // the rows of one, and after them those of the other
	for line := range strings.Lines(as(cyrillic)) {
		both.WriteString(line)
	}
	for line := range strings.Lines(string(rows)) {
		if strings.HasPrefix(line, plain+",") {
			both.WriteString(line)
		}
	}
	put(both.String())
	want := fmt.Sprintf("found %q, expected an id that does not look like %q with U+0421 on line ", plain, cyrillic)
	for _, args := range [][]string{{"check"}, {"print", "--only", plain, "--out", out}, {"print", "--only", "RAW-MC1", "--out", out},
		{"basis", plain}, {"basis", cyrillic}, {"history", plain}, {"reprint", plain, "--reason", "x", "--out", out}} {
		if text := do(3, args...); !strings.Contains(text, want) || !strings.Contains(text, "1 problem in locations.csv") {
			t.Errorf("%v: %s", args, text)
		}
	}
	do(0, "audit")
	do(0, "records", "export", "--out", filepath.Join(t.TempDir(), "a.zip"))
	put(strings.ReplaceAll(both.String(), "\n"+plain+",", "\nCHN-MC4,"))
	for _, id := range []string{plain, cyrillic} {
		if text := do(0, "history", id); !strings.Contains(text, id) {
			t.Error(text)
		}
		do(0, "basis", id)
	}
	do(0, "print", "--only", "CHN-MC4", "--out", out)
}

// A file may have as many bytes as its limit says; one more is refused before it is read.
func TestLargestFiles(t *testing.T) {
	const in = "{in}"
	for what, c := range map[string]struct {
		most int64
		args []string
		want string // of a larger file
	}{
		"a study":           {64 << 20, []string{"intake", in}, "found a file of more than 64 MiB, expected at most 64 MiB"},
		"a curve":           {1 << 20, []string{"arc", "--fault-ka", "20", "--curve", in}, "found a file of more than 1 MiB"},
		"a walk list":       {16 << 20, []string{"mounted", "--from", in}, "found a file of more than 16 MiB"},
		"a list of a round": {16 << 20, []string{"seen", "--from", in}, "found a file of more than 16 MiB"},
		"keys":              {1 << 20, []string{"audit", "--keys", in}, "found a file of more than 1 MiB"},
		"a private key":     {4 << 10, []string{"sign", "ledger", "--key", in}, "found a file of more than 4 KiB"},
		"a certificate":     {1 << 20, []string{"serve", "--addr", "127.0.0.1:0", "--tls-cert", in, "--tls-key", in}, "found a file of more than 1 MiB"},
		"an archive":        {4 << 30, []string{"audit", in}, "it has 4294967297 bytes, and an archive of records has at most 4 GiB"},
		"ledger.jsonl":      {1 << 30, []string{"check"}, "found a file of more than 1 GiB"},
	} {
		dir := creamery(t)
		file := filepath.Join(t.TempDir(), "in")
		if strings.Contains(what, ".") {
			file = filepath.Join(dir, what)
		}
		for more := range int64(2) {
			if err := os.WriteFile(file, nil, 0o600); err != nil {
				t.Fatal(err)
			}
			if err := os.Truncate(file, c.most+more); err != nil { // no block of the disk is used
				t.Fatal(err)
			}
			args := make([]string, len(c.args))
			for i, a := range c.args {
				args[i] = strings.ReplaceAll(a, in, file)
			}
			if args[0] != "arc" {
				args = at(dir, args...)
			}
			_, stdout, stderr := call(t, args...)
			if strings.Contains(stdout+stderr, c.want) != (more == 1) {
				t.Errorf("%s of %d bytes: %s%s", what, c.most+more, stdout, stderr)
			}
		}
		os.Remove(file)
	}
}
