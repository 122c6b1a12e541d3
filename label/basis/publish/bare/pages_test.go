package bare_test

import (
	"encoding/csv"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/basis"
	"vouchmark/label/basis/page"
	"vouchmark/label/basis/publish/bare"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// published are the files that publish writes for an invented plant, by name, after so many of its labels
// were printed: a sample, or its rows so many times over.
func published(t testing.TB, sample string, copies, labels int) map[string][]byte {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../../../samples/"+sample)); err != nil {
		t.Fatal(err)
	}
	if copies > 1 {
		multiply(t, filepath.Join(dir, "locations.csv"), copies)
	}
	read, err := site.Read(os.DirFS(dir), site.Options{Languages: []string{"en", "es"}})
	if err != nil {
		t.Fatal(err)
	}
	today, _ := assess.ParseDate("2026-05-01")
	s := record.Open(dir)
	view := func() *plant.Plant {
		h, err := s.History(today)
		if err != nil {
			t.Fatal(err)
		}
		v, err := plant.New(read, h, today, nil)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	job, v := record.Job{Kind: record.Print, Date: today, By: "A. Sample"}, view()
	for i := range v.Places {
		if v.Places[i].Assessment.Prints() && len(job.Sheet) < labels {
			job.Sheet = append(job.Sheet, record.Sheet{Record: record.New(v.Places[i].Assessment)})
		}
	}
	if err := s.Carry(job); err != nil {
		t.Fatal(err)
	}
	b := &page.Book{Shelf: basis.NewShelf(view(), s), Picture: square{}}
	pages := append(page.Shared(), b.Whole()...)
	for _, id := range b.Shelf.Printed() {
		pages = append(pages, must(b.Label(id))...)
	}
	all := map[string][]byte{"head.json": nil, "site.json": nil}
	for i := range pages {
		all[pages[i].Name] = must(pages[i].Make())
	}
	const lost = "0000-0000-0000-0000"
	for _, f := range slices.Concat(must(b.Gone("list/99.html")), must(b.LostFiles(lost, "lost", "V/"+lost)), must(b.LostFiles(lost, "lost", "V/"+lost+"/A.B"))) {
		all[f.Name] = f.Data
	}
	return all
}

// multiply writes the rows of a locations.csv so many times, each under ids of its own.
func multiply(t testing.TB, file string, copies int) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(f).ReadAll()
	f.Close()
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	w.Write(rows[0])
	for n := range copies {
		for _, row := range rows[1:] {
			row = slices.Clone(row)
			for _, name := range []string{"id", "fed_from", "device_at"} {
				cell := &row[slices.Index(rows[0], name)]
				ids := strings.Split(*cell, ";")
				for i, id := range ids {
					if id != "" && n > 0 {
						ids[i] = id + "-" + strconv.Itoa(n)
					}
				}
				*cell = strings.Join(ids, ";")
			}
			w.Write(row)
		}
	}
	w.Flush()
	if err := os.WriteFile(file, []byte(out.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

// square is drawn in place of a label.
type square struct{}

func (square) Draw(*record.Record, record.Code) ([]byte, error) {
	return []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4" role="img"><title>label</title></svg>`), nil
}

// store serves files under exactly their keys, below a folder.
type store map[string]served

type served struct {
	name string
	data []byte
}

const below = "/plants/7/"

var types = map[string]string{".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".json": "application/json",
	".csv": "text/csv", ".ics": "text/calendar"}

func (s store) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	f, ok := s[strings.TrimPrefix(r.URL.Path, below)]
	if !ok || !strings.HasPrefix(r.URL.Path, below) {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", types[path.Ext(f.name)])
	w.Write(f.data)
}

// laid are files as they lie in a store.
func laid(t testing.TB, files map[string][]byte) store {
	t.Helper()
	s := store{}
	for name, data := range files {
		data, err := bare.Bytes(name, data)
		if err != nil {
			t.Fatal(err)
		}
		s[bare.Key(name)] = served{name, data}
	}
	if len(s) != len(files) {
		t.Errorf("%d files have %d keys", len(files), len(s))
	}
	apart(t, slices.Collect(keys(s)))
	return s
}

func keys(s store) func(func(string) bool) {
	return func(yield func(string) bool) {
		for key := range s {
			if !yield(key) {
				return
			}
		}
	}
}

// apart fails where a key is a folder of another one.
func apart(t testing.TB, all []string) {
	t.Helper()
	there := map[string]bool{}
	for _, key := range all {
		there[key] = true
	}
	for _, key := range all {
		for dir := path.Dir(key); dir != "."; dir = path.Dir(dir) {
			if there[dir] {
				t.Errorf("%s lies below %s", key, dir)
			}
		}
		if strings.HasSuffix(key, "/") || path.Clean(key) != key {
			t.Errorf("%q is not a key", key)
		}
	}
}

// Every reference of every page leads to the file to which it leads in the layout with index files, in a
// store that knows exact keys alone; everything else of a page is the same.
func TestPages(t *testing.T) {
	for _, c := range []struct {
		sample         string
		copies, labels int
		must           []string // some of the pages
	}{
		{"creamery", 1, 1000, []string{"due.ics", "plant/drawing/index.html"}},
		{"mill", 1, 1000, []string{"compare/E5B5-WK45-91ZF-JM4Z.html", "V/E5B5-WK45-91ZF-JM4Z/index.html"}}, // in two languages
		{"creamery", 34, 300, []string{"plant/2.html", "plant/drawing/2.html", "list/2.html", "findings/index.html"}},
	} {
		files := published(t, c.sample, c.copies, c.labels)
		for _, name := range c.must {
			if files[name] == nil {
				t.Fatalf("%s lacks %s", c.sample, name)
			}
		}
		s, labels, moved := laid(t, files), 0, 0
		for name, data := range files {
			got := s.get(t, bare.Key(name))
			switch path.Ext(name) {
			case ".html":
				moved += s.same(t, name, data, got)
			case ".css":
				for _, m := range regexp.MustCompile(`url\(([^)]*)\)`).FindAllSubmatch(got, -1) {
					s.leads(t, bare.Key(name), strings.Trim(string(m[1]), `"'`))
				}
			case ".js":
				for _, m := range regexp.MustCompile(`"([a-z][0-9a-z./]*\.(?:html|js|css))"`).FindAllSubmatch(got, -1) {
					s.leads(t, "index.html", string(m[1])) // scripts lead to files as seen from the start page
				}
			}
			if strings.HasPrefix(name, "V/") && strings.Count(name, "/") == 3 && path.Base(name) == "index.html" {
				labels++
				if key := bare.Key(name); key+"/index.html" != name {
					t.Errorf("the page of a label, %s, is at %s", name, key)
				}
			}
		}
		if labels < 20 || moved < 10*labels {
			t.Errorf("%s: %d pages of labels, %d references changed", c.sample, labels, moved)
		}
		s.search(t, labels)
	}
}

// get is a file of the store.
func (s store) get(t testing.TB, key string) []byte {
	t.Helper()
	w := httptest.NewRecorder()
	s.ServeHTTP(w, httptest.NewRequest(http.MethodGet, below+key, nil))
	if w.Code != http.StatusOK {
		t.Errorf("%s answers %d", key, w.Code)
	}
	return w.Body.Bytes()
}

// leads follows a reference of a file as a browser does, and gives the name of the file to which it leads.
func (s store) leads(t testing.TB, key, ref string) (name string) {
	t.Helper()
	if key == "404.html" { // its script is asked for at the path of the site's link, here the start page's
		ref = strings.TrimPrefix(ref, "/")
	}
	base, to := &url.URL{Scheme: "https", Host: "bucket.example", Path: below + key}, must(url.Parse(ref))
	at := base.ResolveReference(to)
	w := httptest.NewRecorder()
	s.ServeHTTP(w, httptest.NewRequest(http.MethodGet, at.EscapedPath(), nil))
	if at.Host != base.Host || w.Code != http.StatusOK {
		t.Fatalf("%s: %q leads to %s: %d", key, ref, at, w.Code)
	}
	return s[strings.TrimPrefix(at.Path, below)].name
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// same compares a page with what it was made of, and gives how many references are changed.
func (s store) same(t *testing.T, name string, was, is []byte) (changed int) {
	t.Helper()
	a, b := nodes(t, was), nodes(t, is)
	if len(a) != len(b) {
		t.Fatalf("%s has %d nodes, and %d before", name, len(b), len(a))
	}
	for i := range a {
		if a[i].Data != b[i].Data || len(a[i].Attr) != len(b[i].Attr) {
			t.Fatalf("%s: %q was %q", name, b[i].Data, a[i].Data)
		}
		for k, from := range a[i].Attr {
			to := b[i].Attr[k]
			if from.Key != to.Key {
				t.Fatalf("%s: %s was %s", name, to.Key, from.Key)
			}
			_, isAddress := addresses[from.Key]
			if !isAddress || strings.Contains(from.Val, "://") {
				if from.Val != to.Val && !strings.HasSuffix(from.Key, "-page") {
					t.Errorf("%s: %s=%q was %q", name, to.Key, to.Val, from.Val)
				}
				if strings.Contains(from.Val, "/index.html") && !strings.HasSuffix(from.Key, "-page") || strings.Contains(strings.ReplaceAll(from.Val, "url(#", ""), "url(") {
					t.Errorf("%s: %s=%q leads somewhere", name, from.Key, from.Val)
				}
				continue
			}
			path1, more1 := cut(from.Val)
			path2, more2 := cut(to.Val)
			if more1 != more2 {
				t.Errorf("%s: %q was %q", name, to.Val, from.Val)
			}
			changed += map[bool]int{true: 1}[path1 != path2]
			if path1 == "" {
				continue
			}
			target := path.Join(path.Dir(name), path1)
			if got := s.leads(t, bare.Key(name), to.Val); got != target {
				t.Errorf("%s: %q leads to %s, not to %s", name, to.Val, got, target)
			}
			if must := addresses[from.Key][b[i].Data]; must != "" && must != path.Ext(target) {
				t.Errorf("%s: <%s %s> leads to %s", name, b[i].Data, from.Key, target)
			}
		}
	}
	return changed
}

// addresses are the attributes that lead to a file, and what it must be, by element.
var addresses = map[string]map[string]string{"href": {"link": ".css"}, "src": {"script": ".js", "iframe": ".html"},
	"action": {"form": ".html"}, "formaction": nil, "data": nil, "srcset": nil, "poster": nil}

// cut is an address without query and fragment, and these.
func cut(ref string) (file, more string) {
	i := strings.IndexAny(ref, "?#")
	if i < 0 {
		return ref, ""
	}
	return ref[:i], ref[i:]
}

func nodes(t testing.TB, data []byte) (all []*html.Node) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(string(data)))
	if err != nil {
		t.Fatal(err)
	}
	for n := range root.Descendants() {
		all = append(all, n)
	}
	return all
}

// search finds each label as find.js does: its address is made of the data and of what the start page says.
func (s store) search(t *testing.T, labels int) {
	t.Helper()
	var rows [][]string
	data := strings.TrimSuffix(strings.TrimPrefix(string(s.get(t, "labels.js")), "const labels = "), ";\n")
	if err := json.Unmarshal([]byte(data), &rows); err != nil {
		t.Fatal(err)
	}
	form := map[string]string{}
	for _, n := range nodes(t, s.get(t, "index.html")) {
		for _, a := range n.Attr {
			form[a.Key] = a.Val
		}
	}
	found := 1 // the lost one is not listed
	for _, row := range rows {
		want := row[4]
		if want == "" {
			continue
		}
		found++
		code, facts, address := strings.Split(want, "/")[1], strings.Split(want, "/")[2], form["data-label-page"]
		if facts == "index.html" {
			address = form["data-code-page"]
		}
		if got := s.leads(t, "index.html", strings.NewReplacer("{code}", code, "{facts}", facts).Replace(address)); got != want {
			t.Errorf("the search leads to %s, not to %s", got, want)
		}
	}
	if found < labels {
		t.Errorf("the search finds %d of %d labels", found, labels)
	}
}
