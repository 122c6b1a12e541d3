package serve

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"io/fs"
	"log"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/fstest"
	"time"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/basis/page"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// start is when every test server starts. Its clock stands still until a test
// moves it: no answer depends on how busy this machine is.
var start = time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)

// empty is drawn in place of a label.
type empty struct{}

// drawn counts the pictures, over all tests: a page depends on all that a drawer has.
var drawn atomic.Int64

func (empty) Draw(*record.Record, record.Code) ([]byte, error) {
	drawn.Add(1)
	return []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`), nil
}

// works is a server of a copy of the invented creamery with all labels
// printed.
type works struct {
	*Handler
	*printed
	dir    string
	store  *record.Store
	clock  atomic.Int64 // how long the plant has been served; only a test moves it
	loads  atomic.Int64
	logs   atomic.Int64 // of these, by the log alone
	prints atomic.Int64
	notes  bool // prints are noted in the ledger
	log    bytes.Buffer
}

// day is the day by which all is judged and printed.
var day, _ = assess.ParseDate("2026-05-01")

// view reads and judges a site folder.
func view(dir string, today assess.Date) (*plant.Plant, error) {
	s, err := site.Read(os.DirFS(dir), site.Options{})
	if err != nil {
		return nil, err
	}
	h, err := record.Open(dir).History(today)
	if err != nil {
		return nil, err
	}
	return plant.New(s, h, today, nil)
}

// viewLike judges a site folder of which only the log was edited; alone is false where the
// ledger says something else too.
func viewLike(dir string, before *plant.Plant) (v *plant.Plant, alone bool, err error) {
	l, err := record.Open(dir).Ledger()
	if err != nil {
		return nil, false, err
	}
	h := before.History.Continued(l)
	if h == nil {
		v, err = view(dir, before.Today)
		return v, false, err
	}
	s, err := site.ReadLog(os.DirFS(dir), site.Options{}, before.Site)
	if err != nil {
		return nil, true, err
	}
	v, err = before.With(s, h)
	return v, true, err
}

// printed is what every plant begins with.
type printed struct {
	folder fstest.MapFS
	codes  map[string]record.Code // by location
	facts  map[string]string
}

// sample is made once: a disk takes its time over records.
var sample = sync.OnceValues(func() (*printed, error) {
	dir, err := os.MkdirTemp("", "plant")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	for _, name := range []string{"site.toml", "locations.csv"} {
		data, err := os.ReadFile(filepath.Join("../../../samples/creamery", name))
		if err != nil {
			return nil, err
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return nil, err
		}
	}
	v, err := view(dir, day)
	if err != nil {
		return nil, err
	}
	p := &printed{fstest.MapFS{}, map[string]record.Code{}, map[string]string{}}
	job := record.Job{Kind: record.Print, Date: day, Stock: "4x4", By: "test"}
	for i := range v.Places {
		r := record.New(v.Places[i].Assessment)
		job.Sheet = append(job.Sheet, record.Sheet{Record: r})
		p.codes[r.Location.ID], p.facts[r.Location.ID] = v.Places[i].Code(), label.Facts(r)
	}
	if err := record.Open(dir).Carry(job); err != nil {
		return nil, err
	}
	return p, fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, name))
		p.folder[name] = &fstest.MapFile{Data: data, Mode: 0o644}
		return err
	})
})

func newPlant(t testing.TB, writes bool) *works {
	t.Helper()
	first, err := sample()
	if err != nil {
		t.Fatal(err)
	}
	p := &works{dir: t.TempDir(), printed: first}
	if err := os.CopyFS(p.dir, p.folder); err != nil {
		t.Fatal(err)
	}
	store := record.Open(p.dir)
	p.store = store
	s := Site{Folder: os.DirFS(p.dir), Today: func() assess.Date { return day },
		Names: []string{"labels.example.org"}, Log: log.New(&p.log, "", 0)}
	s.Load = func(today assess.Date, before *page.Book) (*page.Book, error) {
		p.loads.Add(1)
		var v *plant.Plant
		var err error
		if before == nil {
			v, err = view(p.dir, today)
		} else {
			var alone bool
			if v, alone, err = viewLike(p.dir, before.Shelf.Site); alone {
				p.logs.Add(1)
			}
		}
		if err != nil {
			return nil, err
		}
		b := &page.Book{Shelf: basis.NewShelf(v, store), Live: &page.Live{Writes: writes, Audits: true}}
		b.Picture = empty{}
		return b, nil
	}
	logged := func() logbook.Site {
		h, err := store.History(day)
		if err != nil {
			t.Error(err)
		}
		return logbook.Site{Folder: os.DirFS(p.dir), History: h, Today: day}
	}
	if writes {
		s.Desk = &Desk{
			Refused: func(v *basis.View, what What) []Refusal {
				if r := plant.ReprintRefusal(&v.Standing, v.Place); r != nil && (what == Again || what == Interim && !r.Interim) {
					return []Refusal{{r.Why, v.Plant.Worded(page.Words).Do(r)}}
				}
				return nil
			},
			Stocks: func(*assess.Policy) []Stock { return []Stock{{"4x4", 1}, {"4x6", 1}, {"letter-4x3", 6}} },
			Plan:   p.plan,
			Print: func(o Order) (*Printed, error) {
				n := p.prints.Add(1)
				made := &Printed{Files: []File{{"label.pdf", fmt.Appendf(nil, "%%PDF- %d %s %s", n, o.Code, o.By)}}, IDs: o.IDs}
				if !p.notes {
					return made, nil
				}
				return made, p.carry(&o)
			},
			Tell: func(d *logbook.Doing) (*logbook.Noted, error) {
				v, err := view(p.dir, day)
				if err != nil {
					return nil, err
				}
				return d.Note(v, store, "test")
			},
			Withdraw: func(d *logbook.Withdrawal) (*logbook.Withdrawn, error) {
				v, err := view(p.dir, day)
				if err != nil {
					return nil, err
				}
				return d.Note(v, store, "test")
			},
			Accept: func(a *logbook.Acceptance) (*logbook.Accepted, error) {
				l := logged()
				return l.Accept(store, "test", a)
			},
			Preview: func(v *plant.Plant, c logbook.Entry) (*logbook.Effect, error) {
				l := logged()
				return l.Preview(v, c)
			},
			Save: func(c logbook.Entry, agreed func(*logbook.Effect) error) (*logbook.Effect, error) {
				l := logged()
				return l.Add(store, "test", c, agreed)
			},
		}
	}
	s.Audit = p.auditing(t)
	p.Handler = New(s)
	p.Handler.patience = time.Hour
	p.Handler.now = func() time.Time { return start.Add(time.Duration(p.clock.Load())) }
	return p
}

// plan is what is due, or what was named.
func (p *works) plan(v *plant.Plant, o Order) (*Sheets, error) {
	made := &Sheets{}
	for i := range v.Places {
		one := &v.Places[i]
		if o.What == Overlays && (one.Printed == nil || one.Printed.Holds()) {
			continue
		}
		if one.Record != nil && (o.What == Overlays && o.IDs == nil || o.IDs == nil && one.Due() || slices.Contains(o.IDs, one.ID())) {
			made.Items = append(made.Items, Sheet{one.Record, one.Code(), func() ([]byte, error) { return []byte("<svg><title>preview</title></svg>"), nil }})
		}
	}
	return made, nil
}

// carry notes what was ordered in the ledger.
func (p *works) carry(o *Order) error {
	v, err := view(p.dir, day)
	if err != nil {
		return err
	}
	job := record.Job{Kind: record.Reprint, Date: day, Thing: o.What.thing(), Stock: o.Stock, Reason: o.Reason, By: o.By, Tool: "test"}
	if o.What == Interim {
		job.Reason, job.Interim = "", o.Reason
	}
	sheets, err := p.plan(v, *o)
	if err != nil {
		return err
	}
	if o.Code == "" {
		job.Kind = record.Print
		for i := range sheets.Items {
			job.Sheet = append(job.Sheet, record.Sheet{Record: sheets.Items[i].Record})
		}
		return record.Open(p.dir).Carry(job)
	}
	b, err := o.Find(basis.NewShelf(v, record.Open(p.dir)))
	if err != nil {
		return err
	}
	for range max(o.Copies, 1) {
		job.Sheet = append(job.Sheet, record.Sheet{Record: b.Record, Strip: o.What == Interim})
	}
	return record.Open(p.dir).Carry(job)
}

// browser is the cookie of the browser that the tests use.
const browser = "TESTTESTTESTTESTTESTTESTTE"

func (p *works) do(method, path string, form url.Values, head ...string) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	p.ServeHTTP(w, request(method, path, form, head...))
	return w
}

func request(method, path string, form url.Values, head ...string) *http.Request {
	var body io.Reader
	if form != nil {
		body = strings.NewReader(form.Encode())
	}
	r := httptest.NewRequest(method, "http://localhost:8484"+path, body)
	r.Header.Set("Cookie", cookieName+"="+browser)
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for i := 0; i < len(head); i += 2 {
		if head[i] == "Host" {
			r.Host = head[i+1]
		} else {
			r.Header.Set(head[i], head[i+1])
		}
	}
	return r
}

func (p *works) get(path string, head ...string) *httptest.ResponseRecorder {
	return p.do("GET", path, nil, head...)
}

func (p *works) place(id string) string { return fmt.Sprintf("/V/%s/%s/", p.codes[id], p.facts[id]) }

// snap is what a folder holds: names and hashes.
func snap(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	err := fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, name))
		fmt.Fprintf(&b, "%s %x\n", name, sha256.Sum256(data))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestRoutes(t *testing.T) {
	p := newPlant(t, false)
	at, code := p.place("TUB-MC4"), string(p.codes["TUB-MC4"])
	flat := strings.ToLower(strings.ReplaceAll(code, "-", ""))
	for _, c := range []struct {
		path   string
		status int
		want   string // in the body, or where it leads
	}{
		{"/", 200, "<h1>Label status"},
		{"/?q=TUB-MC4", 302, at},
		{"/?q=tubmc4", 302, at},
		{"/?q=TUB-MC", 200, code},
		{"/?q=" + flat, 302, "/V/" + code + "/"},
		{"/?q=HTTPS://LABELS.EXAMPLE.ORG" + strings.TrimSuffix(at, "/"), 302, at},
		{"/?q=" + strings.Replace(strings.TrimSuffix(strings.TrimPrefix(at, "/V/"), "/"), "/", "+", 1), 302, at},
		{"/?q=HTTPS://OTHER.EXAMPLE.ORG" + at, 404, "Not a label of this site"},
		{"/?q=DANGER", 200, "found for “DANGER”"},
		{"/?kit=Kit+B&sort=energy", 200, "found"},
		{"/?q=%3Cscript%3E", 200, "&lt;script&gt;"},
		{"/list/1.html", 200, "TUB-MC4"},
		{"/labels.csv", 200, "TUB-MC4"},
		{"/due.csv", 200, "TUB-MC4"},
		{"/due.ics", 200, "BEGIN:VCALENDAR"},
		{"/due/", 200, "<h1>"},
		{"/due", 302, "/due/"},
		{"/plant/", 200, `id="at-TUB-MC4"`},
		{"/plant/?at=tubmc4", 302, "/plant/index.html#at-TUB-MC4"},
		{"/plant/?at=TUB-M", 302, "/?q=TUB-M"},
		{"/compare/" + code + ".html", 404, "No such page"},
		{"/compare/none.html", 404, "No such page"},
		{"/audit", 302, "/audit/"},
		{"/audit/labels", 302, "/audit/labels/"},
		{"/audit/archive/", 404, "No such page"},
		{"/plant/trouble/", 200, "need attention"},
		{"/plant/drawing/", 200, "<svg"},
		{shared("vouchmark", ".css"), 200, "font"},
		{at, 200, "HOLDS until"},
		{at + "index.html", 200, "HOLDS until"},
		{at + "basis.json", 200, `"code": "` + code + `"`},
		{strings.TrimSuffix(at, "/"), 302, at},
		{strings.ToLower(at), 302, at},
		{"/V/" + code, 302, at},
		{"/V/" + code + "/", 302, at},
		{"/V/" + code + "/index.html", 302, at},
		{"/v/" + flat, 302, at},
		{strings.Replace(at, "CAL", "0CAL", 1), 200, "DIFFERS"},
		{"/V/" + code + "/%22%3E%3Cscript%3E/", 200, "DIFFERS"},
		{"/V/" + code + "/FORGED", 302, "/V/" + code + "/FORGED/"},
		{"/V/" + code + "/FORGED/basis.json", 404, "No such page"},
		{"/V/" + code + "/" + strings.Repeat("A", 500) + "/", 404, "No such page"},
		{"/V/0000-0000-0000-0000/X/", 404, "0000-0000-0000-0000"},
		{"/V/no-code/X/", 404, "No such page"},
		{"/site.toml", 404, "No such page"},
		{"/../site.toml", 404, "No such page"},
		{"/%2e%2e/%2e%2e/etc/passwd", 404, "No such page"},
		{"//example.org/", 404, "No such page"},
		{"/reprint/", 404, "No such page"},
		{"/change/", 404, "No such page"},
	} {
		w := p.get(c.path)
		if w.Code != c.status {
			t.Errorf("%s: %d, want %d", c.path, w.Code, c.status)
			continue
		}
		got := w.Body.String()
		if c.status == 302 {
			base, err := url.Parse("http://localhost" + c.path)
			if err != nil {
				t.Fatal(err)
			}
			to, err := base.Parse(w.Header().Get("Location"))
			if err != nil || strings.HasPrefix(w.Header().Get("Location"), "/") {
				t.Errorf("%s leads to %s, want a relative link", c.path, w.Header().Get("Location"))
				continue
			}
			if got = strings.TrimPrefix(to.String(), base.Scheme+"://"+base.Host); got != c.want {
				t.Errorf("%s leads to %s, want %s", c.path, got, c.want)
			}
			continue
		}
		if !strings.Contains(got, c.want) || strings.Contains(got, "<script>") {
			t.Errorf("%s: want %q and no foreign markup in\n%s", c.path, c.want, got)
		}
	}
	for id := range p.codes { // all labels, by what their QR codes say
		if w := p.get(p.place(id)); w.Code != 200 || !strings.Contains(w.Body.String(), "HOLDS") {
			t.Errorf("%s: %d", id, w.Code)
		}
	}
}

// Every link of the pages leads to a page, as a browser resolves it.
func TestLinksLead(t *testing.T) {
	p := newPlant(t, true)
	links := regexp.MustCompile(`(?:href|src|action)="([^"#]*)"`)
	seen, open := map[string]bool{"/": true}, []string{"/"}
	for len(open) > 0 {
		at := open[0]
		open = open[1:]
		w := p.get(at)
		if w.Code != 200 && w.Code != 302 {
			t.Errorf("%s: %d", at, w.Code)
		}
		base, err := url.Parse("http://localhost" + at)
		if err != nil {
			t.Fatal(err)
		}
		found := []string{w.Header().Get("Location")}
		if strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
			for _, m := range links.FindAllStringSubmatch(w.Body.String(), -1) {
				found = append(found, strings.ReplaceAll(m[1], "&amp;", "&"))
			}
		}
		for _, link := range found {
			to, err := base.Parse(strings.ReplaceAll(link, "&#43;", "+"))
			if err != nil || to.Host != "localhost" {
				t.Errorf("%s: link %q", at, link)
				continue
			}
			if next := to.RequestURI(); !seen[next] {
				seen[next] = true
				open = append(open, next)
			}
		}
	}
	if len(seen) < 60 {
		t.Errorf("%d pages found, expected all", len(seen))
	}
}

// The headers are those of the OWASP Secure Headers Project.
func TestHeadersOnAllAnswers(t *testing.T) {
	p := newPlant(t, true)
	for _, w := range []*httptest.ResponseRecorder{
		p.get("/"), p.get(p.place("TUB-MC4")), p.get("/V/" + string(p.codes["TUB-MC4"])),
		p.get("/nothing"), p.get(shared("vouchmark", ".css")), p.get("/reprint/"),
		p.do("DELETE", "/", nil), p.get("/", "Host", "evil.example"), p.do("POST", "/change/", url.Values{}),
		p.do("POST", "/change/", url.Values{}, "Sec-Fetch-Site", "cross-site"),
	} {
		for name, want := range map[string]string{
			"Content-Security-Policy": "default-src 'none'", "X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY",
			"Referrer-Policy": "same-origin", "Cross-Origin-Opener-Policy": "same-origin",
			"Cross-Origin-Resource-Policy": "same-origin",
		} {
			if got := w.Header().Get(name); !strings.HasPrefix(got, want) || strings.Contains(got, "unsafe") {
				t.Errorf("answer %d: %s is %q", w.Code, name, got)
			}
		}
	}
}

func TestMethods(t *testing.T) {
	p := newPlant(t, true)
	for _, c := range []struct {
		method, path string
		status       int
		allow        string
	}{
		{"HEAD", "/", 200, ""}, {"HEAD", p.place("TUB-MC4"), 200, ""},
		{"HEAD", "/nothing", 404, ""}, {"HEAD", "/change/", 200, ""},
		{"POST", "/", 405, "GET, HEAD"}, {"PUT", p.place("TUB-MC4"), 405, "GET, HEAD"},
		{"OPTIONS", "/", 405, "GET, HEAD"}, {"TRACE", "/", 405, "GET, HEAD"},
		{"DELETE", "/change/", 405, "GET, HEAD, POST"}, {"PUT", "/reprint/", 405, "GET, HEAD, POST"},
	} {
		w := p.do(c.method, c.path, nil)
		if w.Code != c.status || w.Header().Get("Allow") != c.allow {
			t.Errorf("%s %s: %d, Allow %q", c.method, c.path, w.Code, w.Header().Get("Allow"))
		}
		if c.method == "HEAD" && w.Body.Len() > 0 {
			t.Errorf("HEAD %s has a body", c.path)
		}
	}
}

// Compression and conditional requests, by RFC 9110.
func TestStoredPages(t *testing.T) {
	p := newPlant(t, false)
	path := p.place("TUB-MC4")
	plain := p.get(path)
	zipped := p.get(path, "Accept-Encoding", "br, gzip;q=0.5")
	if zipped.Header().Get("Content-Encoding") != "gzip" || plain.Header().Get("Content-Encoding") != "" ||
		plain.Header().Get("Vary") != "Accept-Encoding" {
		t.Fatal("encodings", zipped.Header(), plain.Header())
	}
	z, err := gzip.NewReader(zipped.Body)
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(z)
	if err != nil || !bytes.Equal(data, plain.Body.Bytes()) {
		t.Error("the compressed page is another", err)
	}
	sum := sha256.Sum256(data)
	if tag := plain.Header().Get("ETag"); tag != `"`+hex.EncodeToString(sum[:])+`"` {
		t.Error("ETag", tag)
	}
	if plain.Header().Get("ETag") == zipped.Header().Get("ETag") {
		t.Error("one strong ETag for different bytes")
	}
	if w := p.get(path, "Accept-Encoding", "gzip;q=0"); w.Header().Get("Content-Encoding") != "" {
		t.Error("gzip was refused and given")
	}
	for _, tag := range []string{plain.Header().Get("ETag"), `"x", W/` + plain.Header().Get("ETag"), "*"} {
		if w := p.get(path, "If-None-Match", tag); w.Code != 304 || w.Body.Len() > 0 {
			t.Errorf("If-None-Match %s: %d", tag, w.Code)
		}
	}
	if w := p.get(path, "If-None-Match", `"x"`); w.Code != 200 {
		t.Error("another tag:", w.Code)
	}
}

func TestKeptPagesMakeRoom(t *testing.T) {
	k := shelfOfPages{most: 100}
	for i := range 50 {
		k.put(fmt.Sprint(i), &body{zipped: make([]byte, 30)})
	}
	if len(k.all) != 3 || k.bytes != 90 || k.get("49") == nil || k.get("0") != nil || len(k.order) != 3 {
		t.Errorf("%d pages of %d bytes are kept", len(k.all), k.bytes)
	}
	k.put("large", &body{zipped: make([]byte, 101)})
	if k.get("large") != nil || k.get("49") == nil {
		t.Error("a page that does not fit drove out others")
	}
}

func TestHosts(t *testing.T) {
	p := newPlant(t, false)
	for host, want := range map[string]int{
		"localhost": 200, "LOCALHOST:8484": 200, "127.0.0.1:8484": 200, "127.8.8.8": 200, "[::1]:8484": 200,
		"labels.example.org": 200, "Labels.Example.org.:80": 200,
		"evil.example": 421, "127.0.0.1.evil.example": 421, "labels.example.org.evil.example": 421,
		"192.0.2.7": 421, "": 421, "localhost.evil.example:8484": 421,
	} {
		if w := p.get("/", "Host", host); w.Code != want {
			t.Errorf("Host %q: %d, want %d", host, w.Code, want)
		}
	}
	r := httptest.NewRequest("GET", "/", nil)
	r.Host = "192.0.2.7:8484"
	local := &net.TCPAddr{IP: net.ParseIP("192.0.2.7"), Port: 8484}
	r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, local))
	w := httptest.NewRecorder()
	p.ServeHTTP(w, r)
	if w.Code != 200 {
		t.Error("the address of this machine:", w.Code)
	}
}

func TestFolderChanges(t *testing.T) {
	p := newPlant(t, false)
	path := p.place("TUB-MC4")
	for range 50 {
		p.get(path)
	}
	if p.loads.Load() != 1 {
		t.Fatalf("the folder was read %d times", p.loads.Load())
	}
	policy := filepath.Join(p.dir, "site.toml")
	good, err := os.ReadFile(policy)
	if err != nil {
		t.Fatal(err)
	}
	write := func(file string, data []byte) {
		t.Helper()
		if err := os.WriteFile(file, data, 0o644); err != nil {
			t.Fatal(err)
		}
		p.clock.Add(int64(time.Second))
	}
	change := "[[change]]\ndate = 2026-04-30\nat = \"TUB-MC4\"\nkind = \"fuse replaced\"\nby = \"test\"\n"
	write(filepath.Join(p.dir, "changes.toml"), []byte(change))
	if w := p.get(path); !strings.Contains(w.Body.String(), "IN QUESTION since 2026-04-30") {
		t.Error("a change that somebody logged is not shown:", w.Body)
	}
	write(policy, append(slices.Clone(good), "\nnonsense = 1\n"...))
	for _, at := range []string{path, "/", "/due/", shared("vouchmark", ".css")} {
		w := p.get(at)
		if w.Code != 503 || !strings.Contains(w.Body.String(), "nonsense") ||
			strings.Contains(w.Body.String(), "HOLDS") || w.Header().Get("ETag") != "" {
			t.Errorf("%s of a broken folder: %d %s", at, w.Code, w.Body)
		}
	}
	n := p.loads.Load()
	p.clock.Add(int64(time.Second))
	p.get("/")
	if p.loads.Load() != n {
		t.Error("a broken folder that did not change is read again and again")
	}
	write(policy, good)
	if w := p.get(path); w.Code != 200 {
		t.Error("after it was put right:", w.Code)
	}
}

func TestReadOnceForAll(t *testing.T) {
	p := newPlant(t, false)
	var all sync.WaitGroup
	for range 40 {
		all.Go(func() {
			for id := range p.codes {
				if w := p.get(p.place(id)); w.Code != 200 {
					t.Errorf("%s: %d", id, w.Code)
				}
			}
			p.get("/list/1.html")
		})
	}
	all.Wait()
	if p.loads.Load() != 1 {
		t.Errorf("the folder was read %d times", p.loads.Load())
	}
}

var ticketForm = regexp.MustCompile(`name="ticket" value="([^"]+)"`)
var hidden = regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)">`)

func (p *works) ticket(t *testing.T, path string) string {
	t.Helper()
	m := ticketForm.FindStringSubmatch(p.get(path).Body.String())
	if m == nil {
		t.Fatalf("%s shows no form", path)
	}
	return m[1]
}

func (p *works) order(t *testing.T) url.Values {
	code := string(p.codes["TUB-MC4"])
	return url.Values{
		"ticket": {p.ticket(t, "/reprint/?code="+code)}, "head": {p.head(t)},
		"code": {code}, "by": {"A. Sample"}, "reason": {"burnt"}, "stock": {"4x6"},
	}
}

// head is the ledger's, as a form that is opened now has it.
func (p *works) head(t *testing.T) string {
	l, err := record.Open(p.dir).Ledger()
	if err != nil {
		t.Fatal(err)
	}
	return l.Head()
}

// follow is the page to which a form that was carried out leads.
func (p *works) follow(t *testing.T, from string, w *httptest.ResponseRecorder) (page *httptest.ResponseRecorder, path string) {
	t.Helper()
	to, err := url.Parse(w.Header().Get("Location"))
	if w.Code != 303 || err != nil {
		t.Fatalf("%d %v %s", w.Code, err, w.Body)
	}
	path = (&url.URL{Path: from}).ResolveReference(to).Path
	return p.get(path), path
}

func TestReprintForm(t *testing.T) {
	p := newPlant(t, true)
	if w := p.get("/reprint/?code=TUB-MC4"); !strings.Contains(w.Body.String(), string(p.codes["TUB-MC4"])) {
		t.Error("an id leads to no form")
	}
	if w := p.get("/reprint/?code=%3Cb%3E"); w.Code != 404 || strings.Contains(w.Body.String(), "<b>") {
		t.Error("an unknown code:", w.Code)
	}
	form := p.order(t)
	w := p.do("POST", "/reprint/", form)
	page, at := p.follow(t, "/reprint/", w)
	if page.Code != 200 || page.Header().Get("Cache-Control") != "no-store" ||
		!strings.Contains(page.Body.String(), `href="../../mounted/?at=TUB-MC4"`) {
		t.Fatal(page.Code, page.Body)
	}
	pdf := p.get(at + "label.pdf")
	if pdf.Code != 200 || pdf.Header().Get("Content-Type") != "application/pdf" ||
		!strings.HasPrefix(pdf.Header().Get("Content-Disposition"), "attachment;") || !strings.HasPrefix(pdf.Body.String(), "%PDF- 1 ") {
		t.Fatal(pdf.Code, pdf.Body)
	}
	for _, path := range []string{at, at + "label.pdf"} {
		if w := p.get(path, "Cookie", cookieName+"="+anotherBrowser); w.Code != 404 {
			t.Error("another browser sees what was printed:", w.Code)
		}
	}
	again := p.do("POST", "/reprint/", form)
	if again.Header().Get("Location") != w.Header().Get("Location") || p.prints.Load() != 1 {
		t.Error("a double click printed twice")
	}
	form.Set("reason", "another")
	if w := p.do("POST", "/reprint/", form); w.Code != 403 || p.prints.Load() != 1 {
		t.Error("a used ticket with other words:", w.Code)
	}
	for _, c := range []struct {
		field, value, id string
	}{
		{"by", " ", "by-error"}, {"reason", "", "reason-error"}, {"stock", "nothing", "stock-error"},
		{"by", "a\u202eb", "by-error"}, {"reason", strings.Repeat("x", 2001), "reason-error"},
	} {
		form := p.order(t)
		form.Set(c.field, c.value)
		w := p.do("POST", "/reprint/", form)
		if w.Code != 422 || !strings.Contains(w.Body.String(), `id="`+c.id+`"`) ||
			!strings.Contains(w.Body.String(), `aria-describedby="`+c.id+`"`) {
			t.Errorf("%s %.20q: %d", c.field, c.value, w.Code)
		}
	}
	if p.prints.Load() != 1 {
		t.Error("a wrong form printed")
	}
}

func TestDoubleClickAtOnce(t *testing.T) {
	p := newPlant(t, true)
	form := p.order(t)
	var all sync.WaitGroup
	for range 10 {
		all.Go(func() {
			if w := p.do("POST", "/reprint/", form); w.Code != 303 {
				t.Error(w.Code)
			}
		})
	}
	all.Wait()
	if p.prints.Load() != 1 {
		t.Errorf("%d prints", p.prints.Load())
	}
}

func TestForgedForms(t *testing.T) {
	p := newPlant(t, true)
	before := snap(t, p.dir)
	change := url.Values{"at": {"REP-TX3"}, "kind": {"fuse replaced"}, "date": {"2026-05-01"}, "by": {"x"}, "save": {"yes"}}
	for _, path := range []string{"/reprint/", "/change/"} {
		form := p.order(t)
		if path == "/change/" {
			form = change
			form.Set("ticket", p.ticket(t, path))
		}
		for _, head := range [][]string{
			{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"},
			{"Origin", "http://evil.example"}, {"Origin", "null"}, {"Origin", "http://localhost:9999"},
			{"Host", "evil.example", "Origin", "http://evil.example"},
		} {
			if w := p.do("POST", path, form, head...); w.Code != 403 && w.Code != 421 {
				t.Errorf("%s with %v: %d", path, head, w.Code)
			}
		}
		for _, ticket := range []string{"", "AAAAAAAAAAAAAAAAAAAAAAAAAA"} {
			form.Set("ticket", ticket)
			w := p.do("POST", path, form, "Origin", "http://localhost:8484", "Sec-Fetch-Site", "same-origin")
			if w.Code != 403 {
				t.Errorf("%s with ticket %q: %d", path, ticket, w.Code)
			}
		}
		form.Set("ticket", p.ticket(t, path+"?code=TUB-MC4"))
		p.clock.Add(int64(ticketLife + time.Minute))
		if w := p.do("POST", path, form); w.Code != 403 {
			t.Errorf("%s with an old ticket: %d", path, w.Code)
		}
		form.Set("note", strings.Repeat("x", mostSent))
		if w := p.do("POST", path, form); w.Code != 413 {
			t.Errorf("%s, too large: %d", path, w.Code)
		}
	}
	if p.prints.Load() != 0 || snap(t, p.dir) != before {
		t.Error("a forged form wrote")
	}
}

// keep are the fields that the page of a preview sends on.
func keep(body string) url.Values {
	form := url.Values{}
	for _, m := range hidden.FindAllStringSubmatch(body, -1) {
		form.Set(m[1], html.UnescapeString(m[2]))
	}
	return form
}

func (p *works) told(t *testing.T) url.Values {
	return url.Values{
		"ticket": {p.ticket(t, "/change/")},
		"at":     {"REP-TX3"}, "kind": {"fuse replaced"}, "date": {"2026-05-01"}, "by": {"maintenance"},
		"note": {`a "quoted" <note> & more`}, "clear_ms": {"60"},
	}
}

func TestChangeForm(t *testing.T) {
	p := newPlant(t, true)
	before := snap(t, p.dir)
	w := p.do("POST", "/change/", p.told(t))
	if w.Code != 200 || !strings.Contains(w.Body.String(), `class="state in-question">3 in question`) ||
		!strings.Contains(w.Body.String(), `<strong>REP-LP1</strong> <span class="turn"><span class="state holds">holds</span> <span class="to">then</span> <span class="state in-question">in question</span>`) ||
		!strings.Contains(w.Body.String(), "Nothing is saved yet") {
		t.Fatal(w.Code, w.Body)
	}
	says(t, w.Body.String(), "<dt>New clearing time at the arcing current</dt><dd>60 ms</dd>", "<dt>Reported by</dt><dd>maintenance</dd>",
		"<dt>Location</dt><dd>REP-TX3")
	if snap(t, p.dir) != before {
		t.Fatal("a preview wrote")
	}
	form := keep(w.Body.String())
	form.Set("save", "yes")
	w = p.do("POST", "/change/", form)
	if page, _ := p.follow(t, "/change/", w); page.Code != 200 || !strings.Contains(page.Body.String(), "The change is logged") {
		t.Fatal(w.Code, w.Body)
	}
	if again := p.do("POST", "/change/", form); again.Body.String() != w.Body.String() {
		t.Error("a double click got another answer")
	}
	data, err := os.ReadFile(filepath.Join(p.dir, "changes.toml"))
	if text := string(data); err != nil || strings.Count(text, "[[change]]") != 1 ||
		!strings.Contains(text, `a \"quoted\" <note> & more`) || !strings.Contains(text, "60") {
		t.Errorf("%v\n%s", err, data)
	}
	// The pages know of it at once, without a look at the clock.
	if w := p.get(p.place("REP-LP1")); !strings.Contains(w.Body.String(), "IN QUESTION since 2026-05-01") {
		t.Error("REP-LP1 does not show the change")
	}
}

func TestChangeThatWasOvertaken(t *testing.T) {
	p := newPlant(t, true)
	form := keep(p.do("POST", "/change/", p.told(t)).Body.String())
	form.Set("save", "yes")
	other := []byte("[[change]]\ndate = 2026-04-30\nat = \"GAL-SB1\"\nkind = \"fuse replaced\"\nby = \"another\"\n")
	if err := os.WriteFile(filepath.Join(p.dir, "changes.toml"), other, 0o644); err != nil {
		t.Fatal(err)
	}
	w := p.do("POST", "/change/", form)
	if !strings.Contains(w.Body.String(), "The site has changed since") ||
		!strings.Contains(w.Body.String(), "Nothing is saved yet") {
		t.Error(w.Code, w.Body)
	}
	if data, err := os.ReadFile(filepath.Join(p.dir, "changes.toml")); err != nil || !bytes.Equal(data, other) {
		t.Error("it was saved even so", err)
	}
	form = keep(w.Body.String())
	form.Set("save", "yes")
	if w := p.do("POST", "/change/", form); w.Code != 303 {
		t.Error("what was shown again cannot be saved:", w.Code, w.Body)
	}
}

func TestWrongChanges(t *testing.T) {
	p := newPlant(t, true)
	before := snap(t, p.dir)
	for _, c := range [][3]string{
		{"at", "", "at"}, {"at", "NOWHERE", "at"}, {"at", "<b>", "at"}, {"kind", "", "kind"}, {"kind", "magic", "kind"},
		{"date", "soon", "date"}, {"date", "2026-02-30", "date"}, {"by", "", "by"}, {"by", strings.Repeat("x", 201), "by"},
		{"note", "a\u202eb", "note"}, {"note", strings.Repeat("x", 2001), "note"},
		{"clear_ms", "-1", "clear_ms"}, {"clear_ms", "0.35", "clear_ms"}, {"fault_ka", "many", "fault_ka"}, {"fault_ka", "16000", "fault_ka"}, {"by", "-", "by"},
		{"fault_ka", "RAW-MC1=5", "fault_ka"},
		{"curve", "none.csv", "new"}, {"curve", "../site.toml", "curve"}, {"curve", "RAW-MC1=none.csv", "curve"}, {"case", "tie closed", "new"},
	} {
		for _, save := range []string{"", "yes"} {
			form := p.told(t)
			form.Set(c[0], c[1])
			if save != "" {
				form.Set("save", save)
			}
			w := p.do("POST", "/change/", form)
			if save != "" && w.Code == 303 {
				t.Errorf("%s %.20q was saved", c[0], c[1])
			}
			if text := w.Body.String(); w.Code != 422 || !strings.Contains(text, `id="`+c[2]+`-error"`) ||
				!strings.Contains(text, `aria-describedby="`+c[2]+`-error"`) || strings.Contains(text, "<b>") || strings.Contains(text, "TUB-MC4=") {
				t.Errorf("%s %.20q: %d\n%s", c[0], c[1], w.Code, w.Body)
			}
		}
	}
	all := p.told(t)
	for _, name := range []string{"at", "kind", "date", "by"} {
		all.Set(name, "")
	}
	if w := p.do("POST", "/change/", all); strings.Count(w.Body.String(), `class="error"`) != 4 {
		t.Error("four mistakes are not told at once:", w.Body)
	}
	if snap(t, p.dir) != before {
		t.Error("a wrong form wrote")
	}
}

func TestRefusedReprint(t *testing.T) {
	p := newPlant(t, true)
	form := keep(p.do("POST", "/change/", p.told(t)).Body.String())
	form.Set("save", "yes")
	p.do("POST", "/change/", form)
	w := p.get("/reprint/?code=rep-lp1") // in other capitals
	if !strings.Contains(w.Body.String(), "in question since 2026-05-01") || strings.Contains(w.Body.String(), "ticket") {
		t.Error("a label in question gets a form:", w.Body)
	}
	says(t, w.Body.String(), "<strong>REP-LP1</strong>", "interim/?at=")
	// One that is printed too low gets no interim label, so that is not offered.
	form = keep(p.do("POST", "/change/", url.Values{"ticket": {p.ticket(t, "/change/")}, "at": {"tub-mc4"}, "kind": {"fuse replaced"},
		"date": {"2026-05-01"}, "by": {"maintenance"}, "clear_ms": {"500"}, "clear_reduced_ms": {"500"}}).Body.String())
	form.Set("save", "yes")
	page, _ := p.follow(t, "/change/", p.do("POST", "/change/", form))
	says(t, page.Body.String(), "above the printed 1.8 cal/cm²: cover it")
	for form, other := range map[string]string{"reprint": "interim", "interim": "reprint"} {
		w := p.get("/" + form + "/?code=tub-mc4")
		says(t, w.Body.String(), "overlay/?at=", "<strong>TUB-MC4</strong>")
		if strings.Contains(w.Body.String(), other+"/?at=") {
			t.Errorf("%s offers %s, which is refused too:\n%s", form, other, w.Body)
		}
	}
}

// A name that is an id and another label's code is not taken for either in the form; the search shows both.
func TestIDLikeACode(t *testing.T) {
	p := newPlant(t, true)
	code := string(p.codes["TUB-MC4"])
	file := filepath.Join(p.dir, "locations.csv")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	data = bytes.Replace(data, []byte("\nBRN-MC5,"), []byte("\n"+code+","), 1)
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
	if w := p.get("/reprint/?code=" + code); w.Code != 409 || strings.Contains(w.Body.String(), `name="ticket"`) ||
		!strings.Contains(w.Body.String(), "reads as the code of the label of TUB-MC4") {
		t.Error(w.Code, w.Body)
	}
	if w := p.get("/reprint/?code=/V/" + code); w.Code != 200 || !strings.Contains(w.Body.String(), "<strong>TUB-MC4</strong>") {
		t.Error(w.Code, w.Body)
	}
	if w := p.get("/?q=" + code); !strings.Contains(w.Body.String(), "2 found") && strings.Count(w.Body.String(), ">TUB-MC4<")+strings.Count(w.Body.String(), ">"+code+"<") < 3 {
		t.Error(w.Body)
	}
	if w := p.get(p.place("TUB-MC4")); !strings.Contains(w.Body.String(), "reprint/?code=/V/"+code) {
		t.Error("the page's own form:", w.Body)
	}
}

// relink gives the site another link.
func (p *works) relink(t *testing.T, link string) {
	t.Helper()
	p.get("/") // the server has read the site before
	file := filepath.Join(p.dir, "site.toml")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	data = bytes.Replace(data, []byte(`link = "HTTPS://LABELS.EXAMPLE.ORG"`), []byte(link), 1)
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
}

// Where the link of site.toml has a path, all pages are there too, as the QR codes say; in small letters
// where somebody typed the address of a label.
func TestLinkWithAPath(t *testing.T) {
	for _, path := range []string{"/PLANT", "/A/B", "/V", "/LIST", "/REPRINT"} {
		p := newPlant(t, true)
		p.relink(t, "link = \"HTTPS://LABELS.EXAMPLE.ORG"+path+"\"")
		at := p.place("TUB-MC4")
		for _, c := range []struct{ path, want string }{
			{path + at, "HOLDS until"}, {at, "HOLDS until"}, {path + "/", "<h1>Label status"}, {path + "/due/", "<h1>"},
			{path + "/list/1.html", "TUB-MC4"}, {path + "/reprint/?code=TUB-MC4", "name=\"ticket\""}, {"/list/1.html", "TUB-MC4"},
		} {
			if w := p.get(c.path); w.Code != 200 || !strings.Contains(w.Body.String(), c.want) {
				t.Errorf("%s: %d", c.path, w.Code)
			}
		}
		for _, from := range []string{path, path + strings.TrimSuffix(at, "/"), strings.ToLower(path + at)} {
			w := p.get(from)
			base, _ := url.Parse("http://localhost" + from)
			to, err := base.Parse(w.Header().Get("Location"))
			if err != nil || w.Code != 302 || !strings.HasPrefix(strings.ToUpper(to.Path), path+"/") {
				t.Errorf("%s leads to %s, %d", from, to, w.Code)
				continue
			}
			if w := p.get(to.Path); w.Code != 200 {
				t.Errorf("%s leads to %s: %d", from, to, w.Code)
			}
		}
		// What is refused at the root is refused there too.
		if w := p.get(path+"/reprint/", "Sec-Fetch-Site", "cross-site"); w.Code != 403 {
			t.Errorf("%s: a form opened from another site: %d", path, w.Code)
		}
		form := p.order(t)
		form.Set("ticket", p.ticket(t, path+"/reprint/?code=TUB-MC4"))
		if w := p.do("POST", path+"/reprint/", form); w.Code != 303 || p.prints.Load() != 1 {
			t.Errorf("%s: the form: %d", path, w.Code)
		}
		if w := p.do("POST", path, nil); w.Code != 405 {
			t.Errorf("%s: POST: %d", path, w.Code)
		}
	}
}

// A label of another site may have the same code: the path of its link says whose it is. It is not called
// altered or forged.
func TestLinkOfAnotherSite(t *testing.T) {
	p := newPlant(t, true)
	p.relink(t, "link = \"HTTPS://LABELS.EXAMPLE.ORG/PLANT\"\nformer_links = [\"HTTPS://LABELS.EXAMPLE.ORG/OLD\", \"HTTP://X\"]")
	at := p.place("TUB-MC4")
	for _, path := range []string{"/OTHER" + at, "/PLANT-B" + at, "/plant/b" + at, "/PLANT/V" + at, "/OTHER/V/" + string(p.codes["TUB-MC4"]),
		"/OTHER/V/0000-0000-0000-0000/X", "/OTHER" + at + "basis.json"} {
		w := p.get(path)
		text := strings.ToLower(w.Body.String())
		if w.Code != 404 || !strings.Contains(text, "not a label of this site") ||
			strings.Contains(text, "forged") || strings.Contains(text, "altered") || strings.Contains(text, "holds") {
			t.Errorf("%s: %d\n%s", path, w.Code, text)
		}
	}
	for _, path := range []string{"/OLD" + at, "/PLANT" + at, at} {
		if w := p.get(path); w.Code != 200 || !strings.Contains(w.Body.String(), "HOLDS until") {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
	link := "HTTPS://LABELS.EXAMPLE.ORG/OTHER" + strings.TrimSuffix(at, "/")
	if w := p.get("/reprint/?code=" + url.QueryEscape(link)); w.Code != 404 || strings.Contains(w.Body.String(), `name="ticket"`) ||
		!strings.Contains(w.Body.String(), "not a label of this site") {
		t.Error("a reprint by it:", w.Code, w.Body)
	}
}

// Behind a server that adds a path, all that is asked for stays below it.
func TestBelowAPath(t *testing.T) {
	p := newPlant(t, true)
	front := httptest.NewServer(http.StripPrefix("/labels", p))
	defer front.Close()
	for _, path := range []string{"/V/" + string(p.codes["TUB-MC4"]), "/due", "/change"} {
		r, err := http.Get(front.URL + "/labels" + path)
		if err != nil {
			t.Fatal(err)
		}
		r.Body.Close()
		if r.StatusCode != 200 || !strings.HasPrefix(r.Request.URL.Path, "/labels"+path) {
			t.Errorf("%s: %s at %s", path, r.Status, r.Request.URL)
		}
	}
}

func TestDamagedRecord(t *testing.T) {
	p := newPlant(t, false)
	id, err := record.Open(p.dir).Find(p.codes["TUB-MC4"])
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(p.dir, filepath.FromSlash(record.Path(id)))
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	if w := p.get(p.place("TUB-MC4")); w.Code != 500 ||
		strings.Contains(w.Body.String(), "HOLDS") || !strings.Contains(w.Body.String(), "is lost") {
		t.Error("a record that was taken out:", w.Code, w.Body)
	}
	if err := os.WriteFile(file, []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	if w := p.get(p.place("TUB-MC4")); w.Code != 500 || strings.Contains(w.Body.String(), "HOLDS") {
		t.Error("a damaged record:", w.Code, w.Body)
	}
}

// A browser keeps for good only what has its digest in its name.
func TestWhatIsKept(t *testing.T) {
	p := newPlant(t, true)
	for path, want := range map[string]string{
		shared("fonts/condensed-bold", ".woff2"): "public, max-age=31536000, immutable", "/": "no-cache", p.place("TUB-MC4"): "no-cache", "/labels.csv": "no-cache",
	} {
		if w := p.get(path); w.Code != 200 || w.Header().Get("Cache-Control") != want || w.Header().Get("ETag") == "" {
			t.Errorf("%s: %d, %v", path, w.Code, w.Header())
		}
	}
	for _, path := range []string{"/reprint/?code=TUB-MC4", "/change/"} {
		if got := p.get(path).Header().Get("Cache-Control"); got != "no-store" {
			t.Errorf("%s: Cache-Control %q", path, got)
		}
	}
}

func TestBasisJSONIsJSON(t *testing.T) {
	p := newPlant(t, false)
	w := p.get(p.place("TUB-MC4") + "basis.json")
	var got map[string]any
	if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil || got["code"] != string(p.codes["TUB-MC4"]) {
		t.Error(err, w.Header())
	}
}

func BenchmarkHit(b *testing.B) {
	p := newPlant(b, false)
	path := p.place("TUB-MC4")
	r := httptest.NewRequest("GET", "http://localhost"+path, nil)
	r.Header.Set("Accept-Encoding", "gzip")
	for b.Loop() {
		p.ServeHTTP(httptest.NewRecorder(), r)
	}
}
