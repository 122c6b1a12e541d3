package page

import (
	"encoding/xml"
	"errors"
	"html"
	"io"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/basis"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// mill is the pages of the sample with trouble of every kind.
func mill(t testing.TB, today string, live *Live) *Book {
	t.Helper()
	const folder = "../../../samples/mill"
	s, err := site.Read(os.DirFS(folder), site.Options{Languages: []string{"en", "es"}})
	if err != nil {
		t.Fatal(err)
	}
	d, err := assess.ParseDate(today)
	if err != nil {
		t.Fatal(err)
	}
	store := record.Open(folder)
	h, err := store.History(d)
	if err != nil {
		t.Fatal(err)
	}
	v, err := plant.New(s, h, d, nil)
	if err != nil {
		t.Fatal(err)
	}
	return &Book{Shelf: basis.NewShelf(v, store), Live: live, Picture: square{}}
}

// square is drawn in place of a label.
type square struct{}

func (square) Draw(*record.Record, record.Code) ([]byte, error) {
	return []byte(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4" role="img"><title>label</title></svg>`), nil
}

// all gives every file of a book.
func all(t *testing.T, b *Book) map[string]string {
	t.Helper()
	files := map[string]string{}
	for _, p := range pages(t, b) {
		if _, twice := files[p.Name]; twice {
			t.Errorf("%s is made twice", p.Name)
		}
		data, err := p.Make()
		if err != nil {
			t.Fatal(err)
		}
		files[p.Name] = string(data)
	}
	return files
}

// pages gives every page of a book, not made yet.
func pages(t testing.TB, b *Book) (all []Page) {
	t.Helper()
	for _, id := range b.Shelf.Printed() {
		some, err := b.Label(id)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, some...)
	}
	return slices.Concat(all, Shared(), b.Whole())
}

var link = regexp.MustCompile(`(?:href|src|action)="([^"]*)"`)

// Every link of every page leads to a file that is there, and nowhere else.
func TestLinks(t *testing.T) {
	files := all(t, mill(t, "2026-05-01", nil))
	n := 0
	for name, data := range files {
		if !strings.HasSuffix(name, ".html") {
			continue
		}
		for _, m := range link.FindAllStringSubmatch(data, -1) {
			to, row, _ := strings.Cut(html.UnescapeString(m[1]), "#")
			if to, _, _ = strings.Cut(to, "?"); to == "" {
				to = path.Base(name)
			}
			n++
			if data, ok := files[path.Join(path.Dir(name), to)]; !ok || row != "" && !strings.Contains(data, ` id="`+row+`"`) {
				t.Errorf("%s leads to %q, which is not there", name, m[1])
			}
		}
	}
	if n < 300 {
		t.Errorf("only %d links", n)
	}
}

// Every page closes its elements (the pages are written as XML, except for what
// HTML leaves open), has one first heading, and keeps to the style sheet.
func TestForm(t *testing.T) {
	for _, live := range []*Live{nil, {}, {Writes: true}} {
		for name, data := range all(t, mill(t, "2026-05-01", live)) {
			if !strings.HasSuffix(name, ".html") {
				continue
			}
			if n := strings.Count(data, "<h1>"); n != 1 && name != "checked.html" {
				t.Errorf("%s has %d first headings", name, n)
			}
			if strings.Contains(data, "style=") || strings.Contains(data, "<style") || regexp.MustCompile(`<script[^>]*>[^<]`).MatchString(data) || regexp.MustCompile(`\son[a-z]+=`).MatchString(data) {
				t.Errorf("%s has style or script within", name)
			}
			d := xml.NewDecoder(strings.NewReader(data))
			d.Strict = false
			d.AutoClose = xml.HTMLAutoClose
			d.Entity = xml.HTMLEntity
			for {
				_, err := d.Token()
				if errors.Is(err, io.EOF) {
					break
				}
				if err != nil {
					t.Errorf("%s: %v", name, err)
					break
				}
			}
		}
	}
}

// On another day of the same standings only the small file is another, and the calendar,
// whose format asks for the day.
func TestDaily(t *testing.T) {
	one, two := all(t, mill(t, "2026-05-01", nil)), all(t, mill(t, "2026-05-02", nil))
	if !strings.Contains(one["due.ics"], "DTSTAMP:20260501") || !strings.Contains(one["due.csv"], "BARK-P1") ||
		!strings.Contains(one["labels.csv"], "BARK-P1,Bark shed,Power panel P1,WARNING,") {
		t.Errorf("the lists for programs are %.200q, %.200q, %.200q", one["due.ics"], one["due.csv"], one["labels.csv"])
	}
	delete(one, "due.ics")
	delete(two, "due.ics")
	for name := range one {
		if name != "checked.html" && one[name] != two[name] {
			t.Errorf("%s differs", name)
		}
		if strings.Contains(one[name], "2026-05-01") && name != "checked.html" {
			t.Errorf("%s names the day", name)
		}
		if strings.Contains(one[name], "Checked") || strings.Contains(one[name], `"today"`) {
			t.Errorf("%s speaks of a day that it leaves out", name)
		}
	}
	if one["checked.html"] == two["checked.html"] || len(one) != len(two) {
		t.Error("the small file does not change")
	}
}

// The verdict comes first, by word and by shape.
func TestVerdictFirst(t *testing.T) {
	b := mill(t, "2026-05-01", nil)
	seen := map[basis.Sign]bool{}
	for _, id := range b.Shelf.Printed() {
		v, err := b.Shelf.View(id)
		if err != nil {
			t.Fatal(err)
		}
		html, err := b.LabelPage(v)
		if err != nil {
			t.Fatal(err)
		}
		seen[v.Verdict().Sign] = true
		main := string(html[strings.Index(string(html), `<main id="main">`):])
		_, main, _ = strings.Cut(main, `<p class="sheet-name" aria-hidden="true">`) // not shown on a screen
		sheet, main, _ := strings.Cut(main, "</p>")
		at := strings.Index(main, v.Verdict().Word)
		if !strings.Contains(sheet, " · "+v.Verdict().Word) {
			t.Errorf("each sheet of %s is named %s", id.Code(), sheet)
		}
		if at < 0 || at > 1500 || !strings.Contains(main[:at], `class="shape"`) {
			t.Errorf("%s: %s is at %d", id.Code(), v.Verdict().Word, at)
		}
	}
	if len(seen) < 4 {
		t.Errorf("only %v", seen)
	}
	if dir := os.Getenv("LOOK"); dir != "" {
		for name, data := range all(t, b) {
			file := filepath.Join(dir, name)
			os.MkdirAll(filepath.Dir(file), 0o755)
			os.WriteFile(file, []byte(data), 0o644)
		}
	}
}

// On paper only cases that decide something on the label have their inputs and steps, where there are
// more than two: the basis must fit on three sheets. The page has all.
func TestAside(t *testing.T) {
	cases := []assess.Case{{Name: "a"}, {Name: "b"}, {Name: "c"}, {Name: "d"}}
	r := &record.Record{Outcome: &assess.Outcome{}}
	r.Location = &assess.Location{Cases: cases}
	r.Energy.Case, r.Boundary.Case, r.Fault.Case = "a", "b", "a"
	r.Maintenance = &assess.Maintenance{}
	r.Maintenance.Energy.Case, r.Maintenance.Boundary.Case = "c", "c"
	p := labelPage{shown: shown{&basis.View{Record: r}}}
	for name, want := range map[string]bool{"a": false, "b": false, "c": false, "d": true} {
		if p.Aside(name) != want {
			t.Errorf("case %s is left out: %v", name, !want)
		}
	}
	r.Location.Cases = cases[:2]
	if p.Aside("d") {
		t.Error("one of two cases is left out")
	}
}
