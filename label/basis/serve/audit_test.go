package serve

import (
	"archive/zip"
	"bytes"
	"errors"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"

	"vouchmark/assess"
	"vouchmark/label/archive"
	"vouchmark/label/audit"
	"vouchmark/label/basis/page"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// auditing does for an auditor what the commands do, without drawing the report.
func (p *works) auditing(t testing.TB) *Auditing {
	return &Auditing{
		Run: func(v *plant.Plant) (*audit.Report, error) {
			o := audit.Options{}
			o.See(v)
			return audit.Run(os.DirFS(p.dir), v.Today, o)
		},
		PDF: func(r *audit.Report, _ *assess.Policy) ([]byte, error) { return []byte("%PDF- " + r.Head), nil },
		Archive: func() (*Archive, error) {
			file := filepath.Join(t.TempDir(), "records.zip")
			if _, err := archive.WriteFile(file, os.DirFS(p.dir)); err != nil {
				return nil, err
			}
			f, err := os.Open(file)
			if err != nil {
				return nil, err
			}
			info, err := f.Stat()
			return &Archive{f, info.Size()}, err
		},
	}
}

// An auditor makes an audit, reads what it found, and gets the report and the archive; a
// record that was altered meanwhile is found by the next one.
func TestAuditPage(t *testing.T) {
	p := newPlant(t, true)
	before := snap(t, p.dir)
	says := func(path, want string) {
		t.Helper()
		if w := p.get(path); w.Code != 200 || !strings.Contains(w.Body.String(), want) {
			t.Errorf("%s: %d, want %q in\n%.2000s", path, w.Code, want, w.Body)
		}
	}
	makes := func() {
		t.Helper()
		if w := p.do("POST", "/audit/", url.Values{}); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "./" {
			t.Fatal(w.Code, w.Body)
		}
	}
	says("/audit/", "No audit was made since this server started")
	says("/audit/", "No finding was accepted.") // what needs no audit is there at once
	says("/audit/labels/", string(p.codes["TUB-MC4"]))
	if w := p.get("/audit/report.pdf"); w.Code != 404 {
		t.Errorf("the report of no audit: %d", w.Code)
	}
	makes()
	head := p.Handler.current().book.Shelf.Site.History.Ledger.Head()
	says("/audit/", "Records intact, as far as this folder shows: nothing altered or lost.")
	says("/audit/", "<p>Removal of the newest lines of the ledger could not be ruled out.</p>")
	if w := p.get("/audit/"); strings.Contains(w.Body.String(), "--head") {
		t.Error("a page names an option of a command")
	}
	says("/audit/", head)
	says("/audit/", `Made on <time datetime="2026-05-01">`)
	says("/audit/labels/", `printed <time datetime="2026-05-01">`)
	says("/audit/labels/", string(p.codes["TUB-MC4"]))
	says("/audit/report.pdf", "%PDF- "+head)

	made := *p.audited.Load()
	earlier := *made.Report
	earlier.Head = strings.Repeat("0", 64)
	p.audited.Store(&page.Audit{Report: &earlier})
	says("/audit/", "The ledger has other lines now")
	p.audited.Store(&made)
	if w := p.get("/audit/"); strings.Contains(w.Body.String(), "other lines now") {
		t.Error("an audit of this ledger is said to be of another")
	}

	form := url.Values{"ticket": {p.ticket(t, "/audit/archive/")}}
	w := p.do("POST", "/audit/archive/", form)
	z, err := zip.NewReader(bytes.NewReader(w.Body.Bytes()), int64(w.Body.Len()))
	if w.Code != 200 || err != nil || len(z.File) < len(p.codes) {
		t.Fatal(w.Code, err, w.Body)
	}
	if got := w.Header().Get("Content-Disposition"); !strings.HasSuffix(got, `-2026-05-01.zip"`) || !strings.Contains(got, `="records-`) {
		t.Error("the archive is called", got)
	}
	if got := archiveName(`Ö/../"Pit" 7`, day); got != "records-Pit-7-2026-05-01.zip" {
		t.Error("no safe name of a file:", got)
	}
	if w := p.do("POST", "/audit/archive/", url.Values{"ticket": {"x"}}); w.Code != 403 {
		t.Errorf("an archive without a ticket: %d", w.Code)
	}
	if snap(t, p.dir) != before {
		t.Error("an audit wrote")
	}

	id := p.id(t, "TUB-MC4")
	file := filepath.Join(p.dir, filepath.FromSlash(record.Path(id)))
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, append(data, ' '), 0o644); err != nil {
		t.Fatal(err)
	}
	makes()
	says("/audit/", "Records NOT intact: 1 problem.")
	says("/audit/", record.Path(id))
}

// Without forms there is no archive: it holds more than the pages show.
func TestNoArchiveWithoutForms(t *testing.T) {
	p := newPlant(t, false)
	for _, method := range []string{"GET", "POST"} {
		if w := p.do(method, "/audit/archive/", nil); w.Code != 404 && w.Code != 405 {
			t.Errorf("%s: %d", method, w.Code)
		}
	}
	if w := p.do("POST", "/audit/", url.Values{}); w.Code != http.StatusSeeOther {
		t.Error(w.Code)
	}
	if w := p.get("/audit/"); strings.Contains(w.Body.String(), "archive/") {
		t.Error("the archive is offered")
	}
	if w := p.do("POST", "/audit/", url.Values{}, "Sec-Fetch-Site", "cross-site", "Origin", "https://other.example.org"); w.Code != 403 {
		t.Errorf("an audit for the page of another site: %d", w.Code)
	}
}

// The archive needs the passphrase where the forms do.
func TestArchiveNeedsThePassphrase(t *testing.T) {
	p := newPlant(t, true)
	word, err := NewPassphrase("correct horse battery")
	if err != nil {
		t.Fatal(err)
	}
	p.site.Desk.Passphrase = word
	form := url.Values{"ticket": {p.ticket(t, "/audit/archive/")}}
	if w := p.do("POST", "/audit/archive/", form); w.Code != 403 || w.Header().Get("Content-Type") == "application/zip" {
		t.Error(w.Code, w.Header())
	}
	form.Set("passphrase", "correct horse battery")
	form.Set("ticket", p.ticket(t, "/audit/archive/"))
	if w := p.do("POST", "/audit/archive/", form); w.Code != 200 || w.Header().Get("Content-Type") != "application/zip" {
		t.Error(w.Code, w.Body)
	}
}

// One audit is made at a time, few wait, and the others are told to come back.
func TestAuditsAreBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPlant(t, false)
		var at, most atomic.Int64
		goOn := make(chan struct{})
		p.site.Audit.Run = func(*plant.Plant) (*audit.Report, error) {
			most.Store(max(most.Load(), at.Add(1)))
			defer at.Add(-1)
			<-goOn
			return nil, errors.New("there is no ledger")
		}
		var all sync.WaitGroup
		var busy atomic.Int64
		for range 10 {
			all.Go(func() {
				if w := p.from("192.0.2.66", browser, "POST", "/audit/", url.Values{}); w.Code == 503 {
					busy.Add(1)
				} else if w.Code != http.StatusSeeOther {
					t.Error(w.Code, w.Body)
				}
			})
		}
		synctest.Wait()
		if busy.Load() != 10-auditsFromAddress {
			t.Errorf("%d of 10 are told to come back", busy.Load())
		}
		close(goOn)
		all.Wait()
		if most.Load() != 1 {
			t.Errorf("%d audits at once", most.Load())
		}
		if w := p.get("/audit/"); !strings.Contains(w.Body.String(), "No audit could be made: there is no ledger.") {
			t.Error(w.Body)
		}
	})
}
