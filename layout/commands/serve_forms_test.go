package commands

import (
	"bytes"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"vouchmark/label/record"
)

var written = append(slices.Clone(served),
	Command{Name: "mounted", Args: "ID…", Short: "mounted", Operands: [2]int{0, -1}, Setup: Mounted},
	Command{Name: "removed", Args: "ID…", Short: "removed", Operands: [2]int{0, -1}, Setup: Removed},
	Command{Name: "change settle", Args: "CHANGE", Short: "settle", Operands: [2]int{1, 1}, Setup: ChangeSettle},
	Command{Name: "change review", Short: "review", Setup: ChangeReview},
	Command{Name: "accept", Args: "ID FINDING", Short: "accept", Operands: [2]int{2, 2}, Setup: Accept},
)

// send fills in a form and sends it, looks at what it does where it shows that first, and is the page to
// which it leads.
func send(t *testing.T, h http.Handler, path string, values url.Values) (string, string) {
	t.Helper()
	form, body := formOf(h, path)
	for name := range values {
		form[name] = values[name]
	}
	path, _, _ = strings.Cut(path, "?")
	w := post(h, path, form)
	if w.Code == http.StatusOK {
		save := url.Values{"save": {"yes"}}
		for _, m := range hiddenField.FindAllStringSubmatch(w.Body.String(), -1) {
			save.Add(m[1], m[2])
		}
		w = post(h, path, save)
	}
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%s: %d\n%s\n%s", path, w.Code, plainText(body), plainText(w.Body.String()))
	}
	at := strings.TrimPrefix(w.Header().Get("Location"), "..")
	return get(h, at).Body.String(), at
}

// A form writes what its command writes: the same lines of the ledger, the same bytes of the owner's files,
// the same PDF.
func TestFormsWriteWhatCommandsWrite(t *testing.T) {
	dir, other := printed(t), printed(t)
	overrate(t, dir)
	overrate(t, other)
	h := live(t, dir)
	const by, day = "A. Sample", "2026-05-01"
	code := func(id string) string {
		for _, l := range linesOf(t, dir)[0].Labels {
			if l.ID == id {
				name, err := record.ParseID(l.Record)
				if err != nil {
					t.Fatal(err)
				}
				return string(name.Code())
			}
		}
		t.Fatal("no label of", id)
		return ""
	}
	for _, c := range []struct {
		name, path string
		form       url.Values
		args       []string
		pdf        string
	}{
		{"a change", "/change/", url.Values{"at": {"REP-TX3"}, "kind": {"fuse replaced"}},
			[]string{"change", "add", "--at", "REP-TX3", "--kind", "fuse replaced", "--by", by}, ""},
		{"overlays that are due", "/print/?what=overlays", url.Values{"stock": {"4x4"}},
			[]string{"print", "--kind", "overlay", "--changed", "--by", by}, "overlays.pdf"},
		{"an overlay", "/overlay/?at=REP-LP1", url.Values{"stock": {"4x4"}},
			[]string{"print", "--kind", "overlay", "--only", "REP-LP1", "--by", by}, "overlay-" + code("REP-LP1") + ".pdf"},
		{"an overlay mounted", "/mounted/?at=REP-LP1", url.Values{"what": {"overlay"}},
			[]string{"mounted", "REP-LP1", "--overlay", "--applied", day, "--by", by}, ""},
		{"an overlay removed", "/removed/?at=REP-LP1", url.Values{"what": {"overlay"}},
			[]string{"removed", "REP-LP1", "--overlay", "--date", day, "--by", by}, ""},
		{"an interim label", "/interim/?at=REP-LP1", url.Values{"stock": {"letter-4x3"}, "start": {"2"}, "copies": {"3"}, "reason": {"burnt"}},
			[]string{"reprint", "REP-LP1", "--interim", "burnt", "--stock", "letter-4x3", "--start", "2", "--copies", "3", "--by", by},
			"interim-label-" + code("REP-LP1") + ".pdf"},
		{"a label mounted", "/mounted/?at=TUB-MC4", url.Values{"what": {"label"}},
			[]string{"mounted", "TUB-MC4", "--applied", day, "--by", by}, ""},
		{"a change settled", "/settle/?change=2026-05-01/REP-TX3", url.Values{"scope": {"REP-LP1", "REP-TX3"}, "reason": {"like for like"}},
			[]string{"change", "settle", "2026-05-01/REP-TX3", "--scope", "REP-LP1,REP-TX3", "--reason", "like for like", "--by", by}, ""},
		{"a study reviewed", "/review/", url.Values{"scope": {"TUB-MC4"}, "finding": {"right"}, "reason": {"walked down"}},
			[]string{"change", "review", "--scope", "TUB-MC4", "--finding", "right", "--reason", "walked down", "--by", by}, ""},
		{"a label withdrawn", "/withdraw/?at=TUB-MC4", url.Values{"reason": {"scrapped"}},
			[]string{"withdraw", "TUB-MC4", "--reason", "scrapped", "--by", by}, ""},
		{"a label removed", "/removed/?at=TUB-MC4", url.Values{"what": {"label"}},
			[]string{"removed", "TUB-MC4", "--date", day, "--by", by}, ""},
		{"a finding accepted", "/accept/?at=GAL-SB2", url.Values{"finding": {"over-rating"}, "reason": {"series rated"}, "until": {"2027-01-01"}},
			[]string{"accept", "GAL-SB2", "over-rating", "--reason", "series rated", "--until", "2027-01-01", "--by", by}, ""},
		{"what is due", "/print/", url.Values{"stock": {"4x4"}}, []string{"print", "--changed", "--by", by}, "labels.pdf"},
	} {
		form := url.Values{"by": {by}, "date": {day}}
		for name := range c.form {
			form[name] = c.form[name]
		}
		page, at := send(t, h, c.path, form)
		out := filepath.Join(t.TempDir(), "x.pdf")
		args := append(slices.Clone(c.args), "--site", other, "--today", day)
		if c.pdf != "" {
			args = append(args, "--out", out)
		}
		exit, stdout, stderr := runOf(written, args...)
		if exit != 0 {
			if c.name != "what is due" { // some are refused, on the page too
				t.Fatal(c.name, stderr)
			}
		}
		if c.pdf != "" {
			want, err := os.ReadFile(out)
			if pdf := get(h, at+c.pdf); err != nil || pdf.Code != 200 || !bytes.Equal(want, pdf.Body.Bytes()) {
				t.Errorf("%s: the form's PDF differs from the command's: %v %d\n%s", c.name, err, pdf.Code, page)
			}
		}
		for _, name := range []string{"changes.toml", "site.toml"} {
			a, _ := os.ReadFile(filepath.Join(dir, name))
			b, _ := os.ReadFile(filepath.Join(other, name))
			if !bytes.Equal(a, b) {
				t.Errorf("%s: %s differs:\n%s\n%s", c.name, name, a, b)
			}
		}
		if a, b := linesOf(t, dir), linesOf(t, other); !reflect.DeepEqual(a, b) {
			t.Errorf("%s: the ledgers differ:\n%+v\n%+v", c.name, a[len(a)-1], b[len(b)-1])
		}
		if strings.HasPrefix(c.name, "a label") && !strings.Contains(strings.ToLower(plainText(page)), strings.ToLower(strings.TrimSpace(strings.SplitN(stdout, ". Confirm", 2)[0]))) {
			t.Errorf("%s: the page does not say %q:\n%s", c.name, stdout, plainText(page))
		}
	}
}

// overrate makes the switchboard GAL-SB2 one that is rated for less than the fault current at it.
func overrate(t *testing.T, dir string) {
	t.Helper()
	file := filepath.Join(dir, "locations.csv")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	other := bytes.Replace(data, []byte("TNK-TX2,ac3,480,19.1,65,"), []byte("TNK-TX2,ac3,480,19.1,14,"), 1)
	if err := os.WriteFile(file, other, 0o644); err != nil || bytes.Equal(data, other) {
		t.Fatal(err)
	}
}

// linesOf are the lines of a ledger, without what binds them to one another.
func linesOf(t *testing.T, dir string) []record.Line {
	t.Helper()
	l, err := record.Open(dir).Ledger()
	if err != nil {
		t.Fatal(err)
	}
	for i := range l.Lines {
		l.Lines[i].Prev, l.Lines[i].Hash, l.Lines[i].Of = "", "", ""
	}
	return l.Lines
}
