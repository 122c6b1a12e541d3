package commands

import (
	"bufio"
	"bytes"
	"encoding/json"
	"html"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/label/basis/serve"
	"vouchmark/label/logbook"
	"vouchmark/label/record"
)

var served = []Command{
	{Name: "print", Short: "print", Setup: Print},
	{Name: "reprint", Args: "ID|CODE", Short: "print again", Operands: [2]int{1, 1}, Setup: Reprint},
	{Name: "withdraw", Args: "ID", Short: "withdraw", Operands: [2]int{1, 1}, Setup: Withdraw},
	{Name: "change add", Short: "log", Setup: ChangeAdd},
	{Name: "serve", Short: "serve", Setup: Serve},
}

func run(args ...string) (code int, stdout, stderr string) { return runOf(served, args...) }

func runOf(table []Command, args ...string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	e := &Env{Stdout: &out, Stderr: &errs, Now: time.Now, Width: 100}
	code = Run(e, table, args)
	return code, out.String(), errs.String()
}

// printed is a copy of the invented creamery whose labels were printed.
func printed(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"site.toml", "locations.csv"} {
		data, err := os.ReadFile(filepath.Join("../../samples/creamery", name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	out := filepath.Join(t.TempDir(), "x.pdf")
	if code, _, stderr := run("print", "--site", dir, "--today", "2026-05-01", "--only", "REP-LP1,TUB-MC4", "--out", out); code != 0 {
		t.Fatal(stderr)
	}
	return dir
}

// live is the handler of the command serve.
func live(t *testing.T, dir string) http.Handler {
	t.Helper()
	today, err := assess.ParseDate("2026-05-01")
	if err != nil {
		t.Fatal(err)
	}
	e := &Env{Stdout: io.Discard, Stderr: io.Discard, Now: time.Now, Width: 100, site: dir, today: today, todayGiven: true}
	s := serving{addr: "127.0.0.1:8484", writes: true}
	return serve.New(s.site(e, nil, nil))
}

// cookie is that of the tests' browser: a form works only in the one that opened it.
const cookie = "vouchmark=TESTTESTTESTTESTTESTTESTTE"

func post(h http.Handler, path string, form url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", "http://localhost"+path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Cookie", cookie)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

var hiddenField = regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)">`)

func get(h http.Handler, path string) *httptest.ResponseRecorder {
	r, w := httptest.NewRequest("GET", "http://localhost"+path, nil), httptest.NewRecorder()
	r.Header.Set("Cookie", cookie)
	h.ServeHTTP(w, r)
	return w
}

func formOf(h http.Handler, path string) (url.Values, string) {
	w := get(h, path)
	return fieldsOf(w.Body.String()), w.Body.String()
}

func fieldsOf(body string) url.Values {
	form := url.Values{}
	for _, m := range hiddenField.FindAllStringSubmatch(body, -1) {
		form.Set(m[1], m[2])
	}
	return form
}

// The form gives the bytes of the command, and one line of intent and one of
// done are in the ledger, however often it is sent.
func TestServedReprintEqualsReprint(t *testing.T) {
	dir := printed(t)
	h := live(t, dir)
	for _, stock := range []string{"4x4", "letter-4x3"} {
		form, body := formOf(h, "/reprint/?code=TUB-MC4")
		form.Set("by", "A. Sample")
		form.Set("reason", "burnt")
		form.Set("stock", stock)
		before, err := record.Open(dir).Ledger()
		if err != nil {
			t.Fatal(err)
		}
		form.Set("head", before.Head()) // the command below printed it a moment ago
		w := post(h, "/reprint/", form)
		if w.Code != 303 {
			t.Fatal(w.Code, w.Body, body)
		}
		post(h, "/reprint/", form)
		pdf := get(h, strings.TrimPrefix(w.Header().Get("Location"), "..")+"label-"+form.Get("code")+".pdf")
		after, err := record.Open(dir).Ledger()
		if err != nil {
			t.Fatal(err)
		}
		news := after.Lines[len(before.Lines):]
		if len(news) != 2 || news[0].Kind != record.Reprint || news[1].Kind != record.Done ||
			news[0].By != "A. Sample" || news[0].Reason != "burnt" || news[0].Stock != stock || news[0].Labels[0].ID != "TUB-MC4" {
			t.Errorf("the ledger tells %+v", news)
		}
		out := filepath.Join(t.TempDir(), "label.pdf")
		code, _, stderr := run("reprint", "TUB-MC4", "--site", dir, "--today", "2026-05-01",
			"--stock", stock, "--reason", "x", "--out", out)
		if code != 0 {
			t.Fatal(stderr)
		}
		want, err := os.ReadFile(out)
		if err != nil || !bytes.Equal(want, pdf.Body.Bytes()) {
			t.Errorf("%s: the form's PDF differs from the command's (%v)", stock, err)
		}
	}
}

var tags = regexp.MustCompile(`<[^>]*>`)

// plainText is what a page says, without markup.
func plainText(body string) string {
	text := tags.ReplaceAllString(body, "")
	return html.UnescapeString(text)
}

// A change that the form saves does to the labels what change add says, and the
// label that it puts in question is refused in the words of reprint.
func TestServedWordsAreTheCommands(t *testing.T) {
	dir, other := printed(t), printed(t)
	h := live(t, dir)
	form, _ := formOf(h, "/change/")
	for name, value := range map[string]string{
		"at": "REP-TX3", "kind": "fuse replaced", "date": "2026-05-01", "by": "maintenance", "note": "n",
	} {
		form.Set(name, value)
	}
	w := post(h, "/change/", form)
	save := fieldsOf(w.Body.String())
	save.Set("save", "yes")
	w = get(h, strings.TrimPrefix(post(h, "/change/", save).Header().Get("Location"), ".."))
	code, want, stderr := run("change", "add", "--site", other, "--today", "2026-05-01",
		"--at", "REP-TX3", "--kind", "fuse replaced", "--by", "maintenance", "--note", "n", "--json")
	if code != 0 {
		t.Fatal(stderr)
	}
	var effect logbook.Effect
	if err := json.Unmarshal([]byte(want), &effect); err != nil || len(effect.Moved) != 3 {
		t.Fatal(err, want)
	}
	says := plainText(w.Body.String())
	for _, m := range effect.Moved {
		if text := m.ID + " " + m.Was + " then " + m.Is; !strings.Contains(says, text) {
			t.Errorf("the page does not say %q:\n%s", text, says)
		}
	}
	if !strings.Contains(says, effect.Entry) {
		t.Errorf("the page does not name %q:\n%s", effect.Entry, says)
	}
	a, err := os.ReadFile(filepath.Join(dir, "changes.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(filepath.Join(other, "changes.toml")); err != nil || !bytes.Equal(a, b) {
		t.Errorf("the logs differ:\n%s\n%s", a, b)
	}

	_, body := formOf(h, "/reprint/?code=REP-LP1")
	code, stdout, _ := run("reprint", "REP-LP1", "--site", other, "--today", "2026-05-01",
		"--reason", "x", "--out", filepath.Join(t.TempDir(), "x.pdf"), "--json")
	if code != 1 {
		t.Fatal("the command prints a label in question")
	}
	var made struct {
		Refused []struct{ Why, Do string } `json:"not_printed"`
	}
	if err := json.Unmarshal([]byte(stdout), &made); err != nil || len(made.Refused) != 1 {
		t.Fatal(err, stdout)
	}
	if text := made.Refused[0].Why; !strings.Contains(plainText(body), text) {
		t.Errorf("the page does not say %q:\n%s", text, plainText(body))
	}
	for _, command := range []string{"vouchmark", "--"} {
		if text := plainText(body); strings.Contains(text, command) {
			t.Errorf("the page says %q to whoever has no terminal:\n%s", command, text)
		}
	}
}

// A form that was open while the label fell in question prints nothing.
func TestServedReprintIsJudgedWhenItIsSent(t *testing.T) {
	dir := printed(t)
	h := live(t, dir)
	form, _ := formOf(h, "/reprint/?code=REP-LP1")
	form.Set("by", "A. Sample")
	form.Set("reason", "burnt")
	form.Set("stock", "4x4")
	code, _, stderr := run("change", "add", "--site", dir, "--today", "2026-05-01",
		"--at", "REP-TX3", "--kind", "fuse replaced", "--by", "x")
	if code != 0 {
		t.Fatal(stderr)
	}
	before, err := os.ReadFile(filepath.Join(dir, "ledger.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	w := post(h, "/reprint/", form)
	if w.Code != http.StatusConflict || !strings.Contains(plainText(w.Body.String()), "in question since 2026-05-01") {
		t.Error(w.Code, w.Body)
	}
	if after, err := os.ReadFile(filepath.Join(dir, "ledger.jsonl")); err != nil || !bytes.Equal(before, after) {
		t.Error("a refused reprint wrote into the ledger", err)
	}
}

func TestServeRefuses(t *testing.T) {
	dir := printed(t)
	outside := t.TempDir()
	file := func(name, text string, mode os.FileMode) string {
		path := filepath.Join(outside, name)
		if filepath.IsAbs(name) {
			path = name
		}
		if err := os.WriteFile(path, []byte(text), mode); err != nil {
			t.Fatal(err)
		}
		return path
	}
	const local = "127.0.0.1:0"
	good := file("good", "correct horse battery\n", 0o600)
	short := file("short", "short\n", 0o600)
	open := file("open", "correct horse battery\n", 0o644)
	within := file(filepath.Join(dir, "word"), "correct horse battery\n", 0o600)
	missing := filepath.Join(outside, "none")
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"writes beyond this machine, no passphrase", []string{"--addr", "0.0.0.0:0", "--allow-writes"}, "--passphrase-file"},
		{"likewise, all addresses", []string{"--addr", ":0", "--allow-writes"}, "--passphrase-file"},
		{"writes under another name, no passphrase", []string{"--addr", local, "--host", "labels.plant.example", "--allow-writes"},
			"--passphrase-file"},
		{"a passphrase without writes", []string{"--addr", local, "--passphrase-file", good}, "--allow-writes"},
		{"a short passphrase", []string{"--addr", local, "--allow-writes", "--passphrase-file", short}, "at least 12"},
		{"an open file", []string{"--addr", local, "--allow-writes", "--passphrase-file", open}, "can be read by others"},
		{"a file in the folder", []string{"--addr", local, "--allow-writes", "--passphrase-file", within}, "inside the site folder"},
		{"no file", []string{"--addr", local, "--allow-writes", "--passphrase-file", missing}, "no such file"},
		{"no address", []string{"--addr", "nonsense"}, "127.0.0.1:8484"},
		{"half a certificate", []string{"--addr", local, "--tls-cert", good}, "go together"},
		{"an unknown stock", []string{"--addr", local, "--stock", "4x5"}, "did you mean"},
	} {
		code, _, stderr := run(append([]string{"serve", "--site", dir, "--today", "2026-05-01"}, c.args...)...)
		if code != 2 || !strings.Contains(stderr, c.want) {
			t.Errorf("%s: exit %d, %s", c.name, code, stderr)
		}
	}
}

func TestServeOfBadInput(t *testing.T) {
	dir := printed(t)
	if err := os.WriteFile(filepath.Join(dir, "changes.toml"), []byte("nonsense = 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	code, _, stderr := run("serve", "--site", dir, "--addr", "127.0.0.1:0")
	if code != 3 || strings.Count(stderr, "nonsense") != 1 {
		t.Errorf("exit %d, %s", code, stderr)
	}
}

// The command says where it listens, answers there, says that an address is in
// use, and ends in order when it is asked to.
func TestServeCommand(t *testing.T) {
	dir := printed(t)
	out, in := io.Pipe()
	ended := make(chan int, 1)
	go func() {
		ended <- Run(&Env{Stdout: in, Stderr: io.Discard, Now: time.Now, Width: 100}, served,
			[]string{"serve", "--site", dir, "--addr", "127.0.0.1:0", "--today", "2026-05-01"})
		in.Close()
	}()
	said := bufio.NewReader(out)
	line, _ := said.ReadString('\n')
	go io.Copy(io.Discard, said)
	at, rest, _ := strings.Cut(line, " ")
	if !strings.HasPrefix(at, "http://127.0.0.1:") || rest != "shows Brackwater Creamery (invented); press Ctrl-C to stop\n" {
		t.Fatalf("%q", line)
	}
	r, err := http.Get(at)
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if r.StatusCode != 200 {
		t.Error(r.Status)
	}
	u, err := url.Parse(at)
	if err != nil {
		t.Fatal(err)
	}
	code, _, stderr := run("serve", "--site", dir, "--today", "2026-05-01", "--addr", u.Host)
	if code != 1 || !strings.Contains(stderr, "in use") || !strings.Contains(stderr, "--addr") {
		t.Errorf("an address in use: exit %d, %s", code, stderr)
	}
	self, err := os.FindProcess(os.Getpid())
	if err != nil {
		t.Fatal(err)
	}
	if err := self.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if code := <-ended; code != 0 { // go test has a limit for one that does not end
		t.Error("exit", code)
	}
}
