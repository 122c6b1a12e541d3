package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/emersion/go-ical"
	pdfreader "github.com/ledongthuc/pdf"

	"vouchmark/testdata/suite"
)

// inert are texts on which a browser, a spreadsheet program, a calendar, a shell or a
// careless format would act. They are names like any other.
var inert = []string{
	`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `&amp;&lt;`, `"'“”‘’«»`, `../../etc/x`, `=HYPERLINK("http://x")`,
	`+1`, `-1`, `@x`, `%s%n%!d(x)`, `\\,;:\`, `a\nb`, `{site}`, `A.`, `--help`,
}

// siteName has everything that an iCalendar text escapes, and a backslash before an n.
const siteName = `\\,;:\n "><b>&amp;</b>`

// refused are texts that no cell may contain, and what a message says about them.
var refused = map[string]string{
	"an escape":          "a\x1b[31mb",
	"an escape of 8 bit": "a\u009b31mb",
	"a bell":             "a\ab",
	"delete":             "a\x7fb",
	"right to left":      "a\u202eb",
	"an isolate":         "a\u2066b",
	"a direction mark":   "a\u200fb",
	"a blank of no size": "a\u200bb",
	"a byte-order mark":  "a\ufeffb",
	"a line separator":   "a\u2028b",
	"a next line":        "a\u0085b",
	"a tag":              "a\U000e0041b",
	"a soft hyphen":      "a\u00adb",
	"10 kB":              strings.Repeat("long", 2500),
}

// sampled picks pairs of a text and a place for it. The suite tries every text in a
// sixth of the places, and every place with a sixth of the texts.
func sampled(text, place int) bool { return suite.Exhaustive || (text+place)%6 == 0 }

// hostile is a site in which every text is hostile: the rows have each of the inert
// texts in each column.
func hostile(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	const rest = `
units = "us"
edition = "NFPA 70E-2024"
cutoff_cal_cm2 = 40.0
review_months = 60
`
	list := func(texts []string) string {
		var quoted []string
		for _, s := range texts {
			quoted = append(quoted, tomlQuote(s))
		}
		return "[" + strings.Join(quoted, ", ") + "]"
	}
	kits := []string{`=1+1`, `"><b>&amp;`, `Kit A.`, `../..\n%s`}
	toml := fmt.Sprintf("name = %s\nby = %s\nask = %s\nformer = %s\nbelow_threshold_wear = %s\nignore_columns = %s\n%s", tomlQuote(siteName), tomlQuote(inert[5]), tomlQuote(inert[0]),
		list(inert[:3]), list(inert[:4]), list([]string{inert[5]}), rest)
	for i, kit := range kits {
		toml += fmt.Sprintf("[[ladder]]\nkit = %s\nrating_cal_cm2 = %d.0\nwear = %s\n", tomlQuote(kit), 10*(i+1), list(inert[i:i+4]))
	}
	toml += fmt.Sprintf("[columns]\nnote = %s\n", tomlQuote(inert[10]))
	toml += fmt.Sprintf("[[approach]]\nsupply = \"ac\"\nabove_v = 15000\nupto_v = 36000\nlimited_in = 72\nrestricted_in = 33\nsource = %s\n", tomlQuote(inert[0]))
	var rows bytes.Buffer
	w := csv.NewWriter(&rows)
	w.Write([]string{"id", "case", "area", "equipment", "device", "study", "revision", "engineer", "accepted_by", inert[10], inert[5],
		"supply", "voltage_v", "energy_cal_cm2", "boundary_in", "distance_in", "prepared"})
	for i, s := range inert {
		cells := slices.Repeat([]string{s}, 10)
		// A name of signs only accepts nothing.
		cells[8] = "A. Sample " + s
		w.Write(append(cells, "\x1b[31m", "ac3", "480", fmt.Sprint(2+3*i), fmt.Sprintf("%.2f", 18*math.Sqrt(float64(2+3*i)/1.2)), "18", "2026-03-14")) // a column that is not read may contain anything
	}
	w.Flush()
	for file, data := range map[string]string{"site.toml": toml, "locations.csv": rows.String()} {
		if err := os.WriteFile(filepath.Join(dir, file), []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// tomlQuote is a basic string of TOML.
func tomlQuote(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteString(`\` + string(r))
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteRune(r)
		}
	}
	return `"` + b.String() + `"`
}

// at is a call about a site; arguments after a "--" are not changed.
func at(dir string, args ...string) []string {
	i := slices.Index(args, "--")
	if i < 0 {
		i = len(args)
	}
	return slices.Insert(slices.Clone(args), i, "--site", dir)
}

// shows checks that an output has a text, apart from blanks, and nothing on which a
// terminal acts.
func shows(t *testing.T, what, output, text string) {
	t.Helper()
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	if !strings.Contains(squeeze(output), squeeze(text)) {
		t.Errorf("%s: no %s in\n%s", what, text, output)
	}
}

func still(t *testing.T, what, output string) {
	t.Helper()
	for _, r := range output {
		if r != '\n' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp)) {
			t.Errorf("%s: %U goes to the terminal:\n%q", what, r, output)
			return
		}
	}
	if strings.Contains(output, "%!") && !strings.Contains(output, "%!d(x)") || strings.Contains(output, "(MISSING)") || strings.Contains(output, "EXTRA") {
		t.Errorf("%s: a text was taken for a format:\n%s", what, output)
	}
}

// Hostile names are shown unchanged: on the terminal, in JSON, spreadsheet, calendar
// and PDF, each read back by a reader that is not this program's.
func TestHostileNamesAreInert(t *testing.T) {
	dir := hostile(t)
	out := filepath.Join(t.TempDir(), "x.pdf")
	do := func(want int, args ...string) string {
		t.Helper()
		code, stdout, stderr := call(t, at(dir, args...)...)
		if code != want {
			t.Fatalf("%v: exit %d\n%s%s", args, code, stdout, stderr)
		}
		still(t, args[0], stderr)
		if !slices.Contains(args, "--csv") && !slices.Contains(args, "--ics") {
			still(t, args[0], stdout)
		}
		return stdout
	}
	table := do(0, "check")
	var site struct {
		Site      string
		Locations []struct{ ID, Kit string }
	}
	if err := json.Unmarshal([]byte(do(0, "check", "--json")), &site); err != nil {
		t.Fatal(err)
	}
	if site.Site != siteName || len(site.Locations) != len(inert) {
		t.Errorf("%+v", site)
	}
	do(0, "print", "--stock", "4x6", "--slip", "--out", out, "--by", inert[1])
	do(0, "print", "--stock", "4x6", "--only", "../../etc/x", "--out", out, "--by", inert[0])
	pages := near(pdfText(t, pdf(t, "print", "--stock", "4x6", "--out", out, "--site", dir)))
	for i, s := range inert {
		if site.Locations[i].ID != s {
			t.Errorf("id %q, want %q", site.Locations[i].ID, s)
		}
		shows(t, "check", table, s)
		shows(t, "a label", pages, near(s)+" 480 V")
		shows(t, "a label", pages, site.Locations[i].Kit)
		basis := do(0, "basis", "--", s)
		shows(t, "basis", basis, "equipment "+s)
		shows(t, "basis", basis, "note "+s)
		var record struct {
			Record struct {
				Inputs struct {
					Rows []struct{ Equipment, Note string }
				}
			}
		}
		if err := json.Unmarshal([]byte(do(0, "basis", "--json", "--", s)), &record); err != nil {
			t.Fatal(err)
		}
		if row := record.Record.Inputs.Rows[0]; row.Equipment != s || row.Note != s {
			t.Errorf("basis of %q: %+v", s, row)
		}
		shows(t, "history", do(0, "history", "--", s), s)
	}

	// the log, by the command and by hand
	do(0, "change", "add", "--at", inert[1], "--kind", "fuse replaced", "--by", inert[0], "--note", inert[10])
	do(0, "change", "settle", "2026-05-01/"+inert[1], "--scope", inert[1], "--by", inert[5], "--reason", inert[9])
	do(0, "change", "add", "--at", inert[0], "--kind", "fuse replaced", "--by", inert[9], "--note", inert[11])
	do(0, "withdraw", "--by", inert[1], "--reason", inert[5], "--", inert[4])
	do(0, "mounted", "--by", inert[1], "--", inert[2])
	story := do(0, "history", inert[1])
	for _, s := range []string{inert[10], inert[5] + ": " + inert[9]} {
		shows(t, "history", story, s)
	}
	do(0, "audit", "--pdf", filepath.Join(t.TempDir(), "audit.pdf"))
	do(0, "guide", "--out", out)
	do(0, "walk", "--out", out)
	archive := filepath.Join(t.TempDir(), "a.zip")
	do(0, "records", "export", "--out", archive)
	if code, stdout, stderr := call(t, "audit", archive); code != 0 {
		t.Error(stdout, stderr)
	}

	// the spreadsheet: a cell has the text, or an apostrophe before it
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(do(0, "due", "--csv"), "\ufeff")))
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	cell := func(row []string, heading string) string { return row[slices.Index(rows[0], heading)] }
	listed := map[string]bool{}
	for _, row := range rows[1:] {
		for _, c := range row {
			if c != "" && strings.ContainsAny(c[:1], "=+-@\t\r") {
				t.Errorf("a spreadsheet program takes %q for a formula", c)
			}
		}
		id := strings.TrimPrefix(cell(row, "id"), "'")
		for _, heading := range []string{"area", "equipment"} {
			if got := strings.TrimPrefix(cell(row, heading), "'"); got != strings.TrimPrefix(id, "'") {
				t.Errorf("%s %q, want %q", heading, got, id)
			}
		}
		listed[id] = true
	}
	if len(listed) != len(inert)-1 { // one was withdrawn
		t.Errorf("%d locations are due", len(listed))
	}

	// the calendar
	c, err := ical.NewDecoder(strings.NewReader(do(0, "due", "--ics"))).Decode()
	if err != nil {
		t.Fatal(err)
	}
	name, err := c.Props.Get("X-WR-CALNAME").Text()
	if p := c.Props.Get("NAME"); p != nil && err == nil {
		name, err = p.Text()
	}
	if want := "Arc-flash labels, " + siteName; err != nil || name != want {
		t.Errorf("calendar %q, want %q, %v", name, want, err)
	}
	var entries strings.Builder
	for _, e := range c.Events() {
		text, err := e.Props.Text("DESCRIPTION")
		if err != nil {
			t.Error(err)
		}
		entries.WriteString(text + "\n")
	}
	for _, s := range inert {
		if s != inert[4] && !strings.Contains("\n"+entries.String(), "\n"+s+": ") {
			t.Errorf("no entry begins with %q:\n%s", s, entries.String())
		}
	}

	// what is not the name of a label
	for _, s := range append(slices.Collect(maps.Values(refused)), "a\nb", "a\x00b", "\xff", "HTTPS://X/V/../../etc/x", "0000-0000-0000-0000 <b>\x1b[2J") {
		code, stdout, stderr := call(t, "basis", "--site", dir, "--", s)
		if code != 1 || len(stderr) > 3000 {
			t.Errorf("basis %q: exit %d", s, code)
		}
		still(t, "basis", stdout+stderr)
	}
}

// near is a text without the characters that this reader of PDFs misreads: those above
// U+00FF, of which it takes the lower byte. Poppler reads them.
func near(s string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xFF || r < ' ' && r != '\n' {
			return -1
		}
		return r
	}, s)
}

// pdfText is the text layer of a document.
func pdfText(t *testing.T, pdf []byte) string {
	t.Helper()
	r, err := pdfreader.NewReader(bytes.NewReader(pdf), int64(len(pdf)))
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for i := range r.NumPage() {
		for _, g := range r.Page(i + 1).Content().Text {
			b.WriteString(g.S)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// tree is the content of a folder.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := fs.WalkDir(os.DirFS(dir), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, path))
		all[path] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Control characters, direction marks and texts that are too long are refused in every
// cell, with its place, and nothing is written.
func TestHostileCellsAreRefused(t *testing.T) {
	dir := creamery(t)
	file := filepath.Join(dir, "locations.csv")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	bad := map[string]string{"a tab": "a\tb", "a line break": "a\nb", "a carriage return": "a\rb"}
	for what, s := range refused {
		bad[what] = s
	}
	prose := []string{"area", "equipment", "device", "note"} // may be broken over lines, which are joined
	for i, heading := range rows[0] {
		for k, what := range slices.Sorted(maps.Keys(bad)) {
			s := bad[what]
			if !sampled(k, i) || len(s) == 3 && slices.Contains(prose, heading) || heading == "curve" {
				continue
			}
			edited := slices.Clone(rows[1])
			edited[i] = s
			var b bytes.Buffer
			w := csv.NewWriter(&b)
			w.WriteAll([][]string{rows[0], edited})
			refuses(t, dir, "locations.csv", b.String(), fmt.Sprintf("locations.csv:2: %s: found ", heading), what)
		}
	}
	for what, s := range bad { // an unknown heading, and one in place of a known one
		if strings.ContainsAny(s, "\t\n\r") {
			continue
		}
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.WriteAll([][]string{append(slices.Clone(rows[0]), s), append(slices.Clone(rows[1]), "x")})
		refuses(t, dir, "locations.csv", b.String(), "an unknown column", "heading: "+what)
	}
	text := string(data)
	refuses(t, dir, "locations.csv", strings.Replace(text, "\nTNK-SG1", "\nMVS\x00-1", 1), "locations.csv:3: character 4: found a file with zero bytes", "NUL")
	refuses(t, dir, "locations.csv", strings.Replace(text, "\nTNK-SG1", "\nMVS\xff-1", 1), "locations.csv:3: character 4: found text that is not UTF-8", "no UTF-8")
}

// refuses checks that print refuses a folder with one file as given, and writes
// nothing.
func refuses(t *testing.T, dir, file, data, want, what string) {
	t.Helper()
	path := filepath.Join(dir, file)
	old, missing := os.ReadFile(path)
	if err := os.WriteFile(path, []byte(data), 0o644); err != nil {
		t.Fatal(err)
	}
	before := tree(t, dir)
	for _, args := range [][]string{{"print", "--out", filepath.Join(dir, "x.pdf")}, {"check", "--json"}} {
		code, stdout, stderr := call(t, append(args, "--site", dir)...)
		if code != 3 || !strings.Contains(stderr, want) || len(stderr) > 4000 {
			t.Errorf("%s, %s: exit %d, want %q:\n%.2000s", what, args[0], code, want, stderr)
		}
		still(t, what, stderr+stdout)
		if args[0] == "check" {
			var out struct {
				Problems []struct{ File, Column string }
			}
			if err := json.Unmarshal([]byte(stdout), &out); err != nil || len(out.Problems) == 0 || out.Problems[0].File != file {
				t.Errorf("%s: %v\n%.2000s", what, err, stdout)
			}
		}
	}
	if after := tree(t, dir); len(after) != len(before) {
		t.Errorf("%s: something was written", what)
	}
	if missing != nil {
		os.Remove(path)
	} else if err := os.WriteFile(path, old, 0o644); err != nil {
		t.Fatal(err)
	}
}

// The same is true of every text in site.toml, changes.toml, keys.txt and a curve.
func TestHostileFilesAreRefused(t *testing.T) {
	dir := creamery(t)
	data, err := os.ReadFile(filepath.Join(dir, "site.toml"))
	if err != nil {
		t.Fatal(err)
	}
	policy := string(data)
	bad := map[string]string{"a tab": "a\tb", "a line break": "a\nb"}
	for what, s := range refused {
		bad[what] = s
	}
	approach := "[[approach]]\nsupply = \"ac\"\nabove_v = 15000\nupto_v = 36000\nlimited_in = 72\nrestricted_in = 33\nsource = "
	whats := slices.Sorted(maps.Keys(bad))
	for i, what := range whats {
		q := tomlQuote(bad[what])
		texts := map[string]string{
			"name":                  replace(t, policy, `"Brackwater Creamery (invented)"`, q),
			"link":                  replace(t, policy, `"HTTPS://LABELS.EXAMPLE.ORG"`, q),
			"edition":               replace(t, policy, `"NFPA 70E-2024"`, q),
			"units":                 replace(t, policy, `"us"`, q),
			"languages":             replace(t, policy, `["en"]`, "["+q+"]"),
			"below_threshold_wear":  replace(t, policy, `"hearing protection", "heavy-duty leather gloves"]`, q+"]"),
			"ladder[1].kit":         replace(t, policy, `"Kit A"`, q),
			"ladder[1].wear":        replace(t, policy, `"arc-rated shirt and pants", "arc-rated face shield + balaclava", "hard hat"`, q),
			"ladder[3].wear_es":     replace(t, policy, "rating_cal_cm2 = 40.0", "rating_cal_cm2 = 40.0\nwear_es = ["+q+"]"),
			"transformer[1].at":     replace(t, policy, `at = "TNK-TX1"`, "at = "+q),
			"columns.id":            policy + "[columns]\nid = " + q + "\n",
			"approach[1].source":    policy + approach + q + "\n",
			"approach[1].supply":    policy + replace(t, approach, `"ac"`, q) + "\"x\"\n",
			"stock[1].name":         policy + "[[stock]]\nunit = \"mm\"\nlabel = [100, 150]\nname = " + q + "\n",
			"feeder[1].at":          policy + "[[feeder]]\nmilliohm = 1\nat = " + q + "\n",
			"by":                    "by = " + q + "\n" + policy,
			"ask":                   replace(t, policy, `"R. Example, electrical safety, 555-0142"`, q),
			"former":                "former = [" + q + "]\n" + policy,
			"ignore_columns":        "ignore_columns = [" + q + "]\n" + policy,
			"two_second_reason":     "two_second_reason = " + q + "\n" + policy,
			"minimum_glove_class":   "minimum_glove_class = " + q + "\n" + policy,
			"govern_accepted_by":    "govern = \"study\"\ngovern_date = 2026-01-01\ngovern_reason = \"x\"\ngovern_accepted_by = " + q + "\n" + policy,
			"govern_reason":         "govern = \"study\"\ngovern_date = 2026-01-01\ngovern_accepted_by = \"x\"\ngovern_reason = " + q + "\n" + policy,
			"govern_date":           "govern_accepted_by = \"x\"\ngovern = \"study\"\ngovern_reason = \"x\"\ngovern_date = " + q + "\n" + policy,
			"site.toml:1: ":         q + " = 1\n" + policy,
			"found an unknown key,": policy + "[columns]\n" + q + " = \"x\"\n",
		}
		for k, key := range slices.Sorted(maps.Keys(texts)) {
			if sampled(i, k) {
				want := key
				if key == "found an unknown key," && len(bad[what]) > 1000 {
					want = "found a key of" // refused before it is read
				}
				refuses(t, dir, "site.toml", texts[key], want, key+": "+what)
			}
		}
	}
	several := strings.Replace(policy, `"Brackwater Creamery (invented)"`, "\"\"\"\nBrackwater\nCreamery\"\"\"", 1)
	refuses(t, dir, "site.toml", several, "site.toml:4: name: found a line break, expected a text of one line", "several lines")
	refuses(t, dir, "site.toml", strings.Replace(policy, "Brackwater Creamery (", "Brack\x1b[31m(", 1), "site.toml:4: character", "an escape as it is")
	refuses(t, dir, "site.toml", strings.Replace(policy, "name = ", "name\x00 = ", 1), "site.toml:4: character 5: found a file with zero bytes", "NUL")
	refuses(t, dir, "site.toml", strings.Replace(policy, "Creamery (", "\xff", 1), "site.toml:4: character 20: found text that is not UTF-8", "no UTF-8")
	refuses(t, dir, "site.toml", "a\u202e = 1\n"+policy, "site.toml:1: character", "a bare key")

	const change = "[[change]]\ndate = 2026-04-01\nat = \"RAW-MC1\"\nkind = \"fuse replaced\"\nby = \"x\"\n"
	const settlement = change + "[[settlement]]\nchange = \"2026-04-01/RAW-MC1\"\ndate = 2026-04-02\nby = \"x\"\nreason = \"y\"\nscope = [\"RAW-MC1\"]\n"
	const review = "[[review]]\ndate = 2026-04-01\nby = \"x\"\nscope = \"all\"\nfinding = \"right\"\n"
	for i, what := range whats {
		s := bad[what]
		q := tomlQuote(s)
		texts := map[string]string{
			"changes.toml:3: change[1].at: ":      replace(t, change, `"RAW-MC1"`, q),
			"changes.toml:4: change[1].kind: ":    replace(t, change, `"fuse replaced"`, q),
			"changes.toml:5: change[1].by: ":      replace(t, change, `"x"`, q),
			"changes.toml:2: change[1].date: ":    replace(t, change, `2026-04-01`, q),
			"change[1].new_fault_ka":              change + "new_fault_ka = { " + q + " = 5 }\n",
			"changes.toml:7: settlement[1].ch":    replace(t, settlement, `"2026-04-01/RAW-MC1"`, q),
			"changes.toml:9: settlement[1].by: ":  strings.Replace(settlement, "02\nby = \"x\"", "02\nby = "+q, 1),
			"changes.toml:11: settlement[1].sc":   replace(t, settlement, `["RAW-MC1"]`, "["+q+"]"),
			"changes.toml:3: review[1].by: ":      replace(t, review, `"x"`, q),
			"changes.toml:4: review[1].scope: ":   replace(t, review, `"all"`, q),
			"changes.toml:5: review[1].finding: ": replace(t, review, `"right"`, q),
		}
		for k, key := range slices.Sorted(maps.Keys(texts)) {
			want := key
			if what == "10 kB" && strings.Contains(key, "new_fault") {
				want = "changes.toml:6: found a key of 10004 bytes"
			}
			if sampled(i, k) {
				refuses(t, dir, "changes.toml", texts[key], want, key+": "+what)
			}
		}
		if len(s) > 3 { // lines are joined there
			refuses(t, dir, "changes.toml", change+"note = "+q+"\n", "changes.toml:6: change[1].note: ", "note: "+what)
			refuses(t, dir, "changes.toml", replace(t, settlement, `"y"`, q), "changes.toml:10: settlement[1].reason: ", "reason: "+what)
		}
		public := newKey(t)
		name, rest, _ := strings.Cut(public, "+")
		if !strings.ContainsAny(s, "\t\n\u2028\u0085") { // blanks end a key
			refuses(t, dir, "keys.txt", "# keys\n"+s+strings.TrimPrefix(name, "e")+"+"+rest+"\n", "keys.txt:2: found ", "key: "+what)
		}
	}

	for name, want := range map[string]string{
		"../../etc/passwd": "curve: found \"../../etc/passwd\"", "/etc/passwd": "curve: found", "a/b.csv": "curve: found", `a\b.csv`: "curve: found", ".csv": "curve: found",
		"x\x1b[31m.csv": "curve: found", "<b>.csv": "curve: found", strings.Repeat("x", 300) + ".csv": "curve: found 304 characters", "a\u202evsc.csv": "curve: found the invisible", "none.csv": "expected a file in curves/",
	} {
		rows := "id,equipment,supply,voltage_v,energy_cal_cm2,boundary_in,distance_in,prepared,curve\nP-1,Panel,ac3,480,2.5,30,18,2026-03-14,\"" + name + "\"\n"
		refuses(t, dir, "locations.csv", rows, "locations.csv:2: curve: found ", "curve "+name)
		refuses(t, dir, "locations.csv", rows, want, "curve "+name)
	}
}

// In an otherwise sound folder, such a cell stops only its own location, and its
// message has nothing on which a terminal would act.
func TestHostileCellStopsItsLocation(t *testing.T) {
	dir := creamery(t)
	file := filepath.Join(dir, "locations.csv")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for what, s := range refused {
		if strings.ContainsAny(s, "\"\r") {
			continue
		}
		text := replace(t, string(data), "Main switchboard 2", `"`+s+`"`)
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		code, stdout, stderr := call(t, "check", "--site", dir, "--today", "2026-05-01")
		if code != 1 || stderr != "" || !strings.Contains(stdout, "error    GAL-SB2   locations.csv, row 8: equipment: found ") {
			t.Errorf("%s: exit %d, %s", what, code, stderr)
		}
		still(t, what, stdout)
	}
	pdf := filepath.Join(dir, "x.pdf")
	code, stdout, _ := call(t, "print", "--site", dir, "--today", "2026-05-01", "--out", pdf)
	if code != 1 || !strings.Contains(stdout, "29 labels") || !strings.Contains(stdout, "GAL-SB2: equipment: found ") {
		t.Errorf("print: exit %d\n%s", code, stdout)
	}
}

func replace(t *testing.T, s, from, to string) string {
	t.Helper()
	if !strings.Contains(s, from) {
		t.Fatalf("no %q", from)
	}
	return strings.Replace(s, from, to, 1)
}

func newKey(t *testing.T) string {
	t.Helper()
	code, stdout, stderr := call(t, "key", "new", "e.sample", "--out", filepath.Join(t.TempDir(), "k"), "--json")
	var key struct{ Public string }
	if err := json.Unmarshal([]byte(stdout), &key); err != nil || code != 0 {
		t.Fatal(stderr, err)
	}
	return key.Public
}

// The same texts are refused in flags for the ledger or the log; no argument reaches a
// terminal unchanged.
func TestHostileFlags(t *testing.T) {
	dir := creamery(t)
	out := filepath.Join(t.TempDir(), "x.pdf")
	if code, _, stderr := call(t, "change", "add", "--site", dir, "--at", "RAW-MC1", "--kind", "setting changed", "--by", "x"); code != 0 {
		t.Fatal(stderr)
	}
	if code, _, stderr := call(t, "print", "--site", dir, "--only", "REP-LP1", "--out", out); code != 0 {
		t.Fatal(stderr)
	}
	os.Remove(out)
	before := tree(t, dir)
	bad := map[string]string{"no UTF-8": "a\xffb"}
	for what, s := range refused {
		if what != "a line separator" && what != "a next line" { // blanks, which are folded
			bad[what] = s
		}
	}
	for i, what := range slices.Sorted(maps.Keys(bad)) {
		s := bad[what]
		for k, c := range []struct {
			flag string
			args []string
		}{
			{"by", []string{"print", "--only", "REP-LP1", "--by", s, "--out", out}},
			{"interim", []string{"print", "--interim", s, "--out", out}},
			{"by", []string{"reprint", "REP-LP1", "--by", s, "--out", out}},
			{"reason", []string{"reprint", "REP-LP1", "--reason", s, "--out", out}},
			{"interim", []string{"reprint", "REP-LP1", "--interim", s, "--out", out}},
			{"reason", []string{"withdraw", "REP-LP1", "--reason", s}},
			{"by", []string{"withdraw", "REP-LP1", "--reason", "x", "--by", s}},
			{"by", []string{"mounted", "REP-LP1", "--by", s}},
			{"by", []string{"key", "trust", newKey(t), "--by", s}},
			{"note", []string{"change", "add", "--at", "REP-LP1", "--kind", "fuse replaced", "--by", "x", "--note", s}},
			{"by", []string{"change", "add", "--at", "REP-LP1", "--kind", "fuse replaced", "--by", s}},
			{"reason", []string{"change", "settle", "2026-05-01/RAW-MC1", "--scope", "all", "--by", "x", "--reason", s}},
			{"by", []string{"change", "settle", "2026-05-01/RAW-MC1", "--scope", "all", "--by", s, "--reason", "x"}},
			{"by", []string{"change", "review", "--scope", "all", "--finding", "right", "--by", s}},
		} {
			if !sampled(i, k) {
				continue
			}
			code, stdout, stderr := call(t, append(c.args, "--site", dir)...)
			if code != 2 || !strings.HasPrefix(stderr, "vouchmark: --"+c.flag+": found ") || len(stderr) > 300 {
				t.Errorf("%s in --%s of %s: exit %d\n%s%.1000s", what, c.flag, c.args[0], code, stdout, stderr)
			}
			still(t, what, stderr+stdout)
		}
		for k, args := range [][]string{ // whatever the command does with it
			{s}, {"check", "--" + s}, {"check", "--today", s}, {"print", "--only", s, "--out", out}, {"print", "--stock", s, "--out", out}, {"print", "--kind", s, "--out", out}, {"print", "--start", s, "--out", out},
			{"print", "--applied", s, "--out", out}, {"history", "--", s}, {"reprint", "--", s}, {"withdraw", "--reason", "x", "--", s}, {"mounted", "--", s}, {"mounted", "REP-LP1", "--applied", s}, {"sign", "--key", s, "--", s},
			{"key", "new", "--out", out, "--", s}, {"key", "trust", "--", s}, {"audit", "--head", s}, {"audit", "--keys", s}, {"audit", "--paper", s, "--pdf", out}, {"audit", "--", s}, {"records", "import", "--", s}, {"guide", "--paper", s, "--out", out},
			{"change", "add", "--at", s, "--kind", "fuse replaced"}, {"change", "add", "--at", "REP-LP1", "--kind", s}, {"change", "add", "--at", "REP-LP1", "--kind", "fuse replaced", "--new-clear-ms", s + "=5"},
			{"change", "settle", "--scope", "all", "--reason", "x", "--", s}, {"change", "settle", "2026-05-01/RAW-MC1", "--scope", s, "--reason", "x"}, {"change", "review", "--scope", "all", "--finding", s},
			{"suppose", "--at", s, "--fault-ka", "5"}, {"suppose", "--at", "REP-LP1", "--fault-ka", s}, {"suppose", "--at", "REP-LP1", "--curve", s},
		} {
			if !sampled(i, k) {
				continue
			}
			code, stdout, stderr := call(t, at(dir, args...)...)
			if code == 0 || len(stderr) > 4000 {
				t.Errorf("%.60q: exit %d, %d bytes", args, code, len(stderr))
			}
			still(t, fmt.Sprintf("%.60q", args), stdout+stderr)
		}
	}
	for _, args := range [][]string{{"arc", "--voltage-v", "4\x1b[31m"}, {"arc", "--electrodes", "\u202e"}, {"arc", "--curve", "\x1b[31m"}} {
		_, stdout, stderr := call(t, args...)
		still(t, args[1], stdout+stderr)
	}
	if after := tree(t, dir); !equalTrees(before, after) {
		t.Error("something was written")
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("an output was written")
	}
	odd := filepath.Join(t.TempDir(), "\x1b[31m\u202e.pdf") // a file may have such a name
	code, stdout, stderr := call(t, "print", "--only", "REP-LP1", "--site", dir, "--out", odd)
	if code != 0 {
		t.Error(stderr)
	}
	still(t, "--out", stdout+stderr)
}

func equalTrees(a, b map[string]string) bool {
	for name, data := range a {
		if b[name] != data {
			return false
		}
	}
	return len(a) == len(b)
}
