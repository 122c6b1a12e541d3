package commands

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	across "vouchmark/label/overview"
)

const atItsStart = `{"pages": "vouchmark", "site": "Invented Works", "ledger": "ab", "checked": "2026-05-01", ` +
	`"summary": {"form": 1, "site": "Invented Works", "checked": "2026-05-01", "labels": {"holds": 3}, "stale_days": 7}, "files": {`

// A published site is read from the server that somebody named and no other, only its start, and in bounded time.
func TestReadOverTheNetwork(t *testing.T) {
	elsewhere := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, atItsStart) }))
	defer elsewhere.Close()
	other := strings.Replace(elsewhere.URL, "127.0.0.1", "localhost", 1)
	over := make(chan struct{})
	sent := 0
	mux := http.NewServeMux()
	mux.HandleFunc("/good/site.json", func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, atItsStart) })
	mux.HandleFunc("/long/site.json", func(w http.ResponseWriter, _ *http.Request) {
		io.WriteString(w, atItsStart)
		for sent = 0; sent < 1000; sent++ { // until the reader has gone
			if _, err := w.Write(bytes.Repeat([]byte{' '}, 1<<20)); err != nil {
				return
			}
		}
	})
	mux.HandleFunc("/flood/site.json", func(w http.ResponseWriter, _ *http.Request) {
		io.WriteString(w, `{"pages": "vouchmark", "site": "`)
		for range 64 {
			if _, err := w.Write(bytes.Repeat([]byte{'x'}, 1<<20)); err != nil {
				return
			}
		}
	})
	mux.HandleFunc("/slow/site.json", func(w http.ResponseWriter, r *http.Request) {
		io.WriteString(w, `{"pages": `)
		w.(http.Flusher).Flush()
		<-over
	})
	mux.Handle("/moved/site.json", http.RedirectHandler("/good/site.json", http.StatusFound))
	mux.Handle("/away/site.json", http.RedirectHandler(other+"/site.json", http.StatusFound))
	mux.Handle("/round/site.json", http.RedirectHandler("/round/site.json", http.StatusFound))
	here := httptest.NewServer(mux)
	defer here.Close()
	defer close(over)

	r := (&Env{Stderr: io.Discard}).plants("")
	slow := (&Env{Stderr: io.Discard}).plants("")
	slow.client.Timeout = 100 * time.Millisecond
	if _, err := slow.read(here.URL + "/slow"); err == nil || !strings.Contains(err.Error(), "no answer within") {
		t.Errorf("a server that goes on waiting: %v", err)
	}
	for place, want := range map[string]string{
		here.URL + "/good": "", here.URL + "/good/": "", here.URL + "/good/index.html": "", here.URL + "/long": "", here.URL + "/moved": "",
		here.URL + "/away":  "it redirects to http://localhost",
		here.URL + "/round": "too often",
		here.URL + "/none":  "the server answered 404",
		here.URL + "/flood": "no summary in its first 4 MiB",
		strings.Replace(here.URL, "http://", "http://me:secret@", 1) + "/good": "with a name or password",
		strings.Replace(here.URL, "http:", "ftp:", 1) + "/good":                "only http, https and s3",
		"file:///etc": "not an address", here.URL + "/good?x=1": "with ? or #", "http://127.0.0.1:1/": "refused",
	} {
		got, err := r.read(place)
		switch {
		case want == "" && (err != nil || got.Summary.Labels.Holds != 3 || !strings.HasPrefix(got.Link, here.URL)):
			t.Errorf("%s: %+v, %v", place, got, err)
		case want != "" && (err == nil || !strings.Contains(err.Error(), want)):
			t.Errorf("%s: %v, want %q", place, err, want)
		case want != "" && strings.Contains(err.Error(), "secret"):
			t.Errorf("%v tells the password", err)
		}
	}
	if sent > 100 {
		t.Errorf("%d MB were sent before the reader closed", sent)
	}
}

// A list of places is read up to its limit, and names no plant twice.
func TestListOfPlaces(t *testing.T) {
	file := filepath.Join(t.TempDir(), "places.txt")
	write := func(text string) {
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("\ufeff# the north\n\n plants/a \r\nplants/b/\n")
	got, err := places([]string{"plants/c"}, file)
	if err != nil || strings.Join(got, " ") != "plants/c plants/a plants/b/" {
		t.Errorf("%q, %v", got, err)
	}
	if _, err := places([]string{"plants/b"}, file); err == nil || !strings.Contains(err.Error(), "twice") {
		t.Errorf("a plant that is named twice: %v", err)
	}
	line := "p\n" + strings.Repeat("#", mostPlaces-3) + "\n"
	if write(line); len(line) != mostPlaces {
		t.Fatal(len(line))
	}
	if got, err = places(nil, file); err != nil || len(got) != 1 {
		t.Errorf("as long as may be: %d, %v", len(got), err)
	}
	write(line + "\n")
	if _, err = places(nil, file); err == nil {
		t.Error("a longer list is read")
	}
}

// The page of an overview is written when all that it asks for is there, or stays as it was.
func TestOverviewWhole(t *testing.T) {
	o := &across.Overview{Pages: across.Maker}
	dir := filepath.Join(t.TempDir(), "new")
	if err := write(dir, nil, o); err != nil {
		t.Fatal(err)
	}
	old, err := os.ReadFile(filepath.Join(dir, across.PageFile))
	if err != nil {
		t.Fatal(err)
	}
	o.Totals.Plants = 7
	if err := os.RemoveAll(filepath.Join(dir, "fonts")); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "fonts"), nil, 0o644); err != nil { // in the way
		t.Fatal(err)
	}
	if err := write(dir, nil, o); err == nil {
		t.Error("it was written without typefaces")
	}
	now, err := os.ReadFile(filepath.Join(dir, across.PageFile))
	if err != nil || !bytes.Equal(old, now) {
		t.Errorf("the page changed: %v", err)
	}
	left, err := filepath.Glob(filepath.Join(dir, ".*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
	if _, err := free(dir, nil); err != nil {
		t.Errorf("it is not taken for an overview: %v", err)
	}
	if err := os.Remove(filepath.Join(dir, across.DataFile)); err != nil {
		t.Fatal(err)
	}
	if _, err := free(dir, nil); err == nil {
		t.Error("a folder with other files is taken for an overview")
	}
}
