package serve

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/label/basis/page"
	"vouchmark/label/logbook"
	"vouchmark/label/record"
)

// A page that is kept does not outlive its record, and a record that is brought
// back clears what its loss made of the label.
func TestRecordsAreWatched(t *testing.T) {
	p := newPlant(t, false)
	place := p.place("TUB-MC4")
	if w := p.get(place); !strings.Contains(w.Body.String(), "HOLDS until") {
		t.Fatal(w.Code, w.Body)
	}
	id, err := record.Open(p.dir).Find(p.codes["TUB-MC4"])
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(p.dir, filepath.FromSlash(record.Path(id)))
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	// The clock of a disk may be too coarse to tell what follows from this.
	earlier := time.Now().Add(-time.Hour)
	if err := os.Chtimes(filepath.Dir(file), earlier, earlier); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	if w := p.get(place); w.Code != 500 || strings.Contains(w.Body.String(), "HOLDS") {
		t.Error("lost:", w.Code, w.Body)
	}
	if w := p.get("/due/"); !strings.Contains(w.Body.String(), "TUB-MC4") {
		t.Error("what falls due says nothing of a lost record")
	}
	if err := os.WriteFile(file, data, 0o444); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	if w := p.get(place); !strings.Contains(w.Body.String(), "HOLDS until") {
		t.Error("brought back:", w.Code, w.Body)
	}
}

// An edit that keeps size and time is found when the bytes are read again.
func TestEditOfTheSameSizeAndTime(t *testing.T) {
	p := newPlant(t, false)
	place := p.place("TUB-MC4")
	p.get(place)
	file := filepath.Join(p.dir, "locations.csv")
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(data, []byte("\nTUB-MC4,"))
	line := bytes.Replace(data[at:], []byte(",480,"), []byte(",481,"), 1)
	if err := os.WriteFile(file, append(data[:at:at], line...), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(file, info.ModTime(), info.ModTime()); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(readAgain))
	if w := p.get(place); strings.Contains(w.Body.String(), "HOLDS") || !strings.Contains(w.Body.String(), "IN QUESTION") {
		t.Error("after the edit:", w.Code, w.Body.String()[:600])
	}
}

// Pages of other sites cannot open forms, so nobody's browser works for them.
func TestForeignPagesOpenNoForms(t *testing.T) {
	p := newPlant(t, true)
	form := p.order(t)
	for range 3 {
		if w := p.get("/reprint/?code=TUB-MC4", "Sec-Fetch-Site", "cross-site"); w.Code != 403 {
			t.Fatal(w.Code)
		}
	}
	if w := p.do("POST", "/reprint/", form); w.Code != 303 {
		t.Error("the planner's own form:", w.Code, w.Body)
	}
}

// After an edit only the pages that it reaches are made again.
func TestPagesAreKept(t *testing.T) {
	p := newPlant(t, false)
	here, there := p.place("TUB-MC4"), p.place("GAL-SB1")
	p.get(here)
	before := p.get(there).Body.String()
	made := drawn.Load()
	log := filepath.Join(p.dir, "changes.toml")
	text := "[[change]]\ndate = 2026-04-30\nat = \"TUB-MC4\"\nkind = \"fuse replaced\"\nby = \"N. Example\"\n"
	if err := os.WriteFile(log, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	if w := p.get(there); w.Body.String() != before || drawn.Load() != made || p.logs.Load() != 1 {
		t.Errorf("the page of a label that the change does not reach: %d pictures drawn, %d read by the log alone",
			drawn.Load()-made, p.logs.Load())
	}
	if w := p.get(here); !strings.Contains(w.Body.String(), "IN QUESTION") || drawn.Load() != made+1 {
		t.Errorf("%d pictures drawn, %s", drawn.Load()-made, w.Body.String()[:600])
	}
	if err := os.Remove(log); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	if w := p.get(here); !strings.Contains(w.Body.String(), "HOLDS until") {
		t.Error("the page of the change is still shown")
	}
}

// After a command logged a change, only the log is read again, and what the ledger notes of it;
// after a print everything is.
func TestLoggedByACommand(t *testing.T) {
	p := newPlant(t, true)
	here := p.place("TUB-MC4")
	p.get(here)
	c := &logbook.Change{Date: day, At: "TUB-MC4", Kind: "fuse replaced", By: "N. Example"}
	if _, err := p.Handler.site.Desk.Save(c, nil); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	if w := p.get(here); !strings.Contains(w.Body.String(), "IN QUESTION") || p.logs.Load() != 1 || p.loads.Load() != 2 {
		t.Errorf("%d times read by the log alone, %d times in all: %s", p.logs.Load(), p.loads.Load(), w.Body.String()[:600])
	}
	log := filepath.Join(p.dir, assess.ChangesFile)
	text, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	settled := "\n[[settlement]]\nchange = \"2026-05-01/TUB-MC4\"\ndate = 2026-05-01\nby = \"N. Example\"\nreason = \"same\"\nscope = \"all\"\n"
	if err := os.WriteFile(log, append(text, settled...), 0o644); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	if w := p.get(here); !strings.Contains(w.Body.String(), "IN QUESTION") || p.logs.Load() != 2 {
		t.Error("a settlement typed by hand releases the label")
	}
	if w := p.get("/"); !strings.Contains(w.Body.String(), "was typed into the file by hand, and releases no label") {
		t.Error("the start page says nothing of it")
	}
	if w := p.get("/due/"); !strings.Contains(w.Body.String(), "was typed into the file by hand, and releases no label") {
		t.Error("what falls due says nothing of it")
	}
	r, err := record.Open(p.dir).Load(p.id(t, "TUB-MC4"))
	if err != nil {
		t.Fatal(err)
	}
	if err := record.Open(p.dir).Carry(record.Job{Kind: record.Reprint, Date: day, Sheet: []record.Sheet{{Record: r}}}); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	if w := p.get(here); !strings.Contains(w.Body.String(), "(copy 2)") || p.logs.Load() != 2 {
		t.Error("a print is not seen")
	}
}

// id is the name of the record of a label.
func (p *works) id(t *testing.T, location string) record.ID {
	t.Helper()
	id, err := record.Open(p.dir).Find(p.codes[location])
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// notCurrent is a title, or the name of a sheet, that says that it is not of today.
var notCurrent = regexp.MustCompile(`(>|data-sheet=")NOT CURRENT: [^<"]*HOLDS`)

// While a changed site is being read, a page shows the site before, and says so first. What is
// not a page waits.
func TestMeanwhile(t *testing.T) {
	p := newPlant(t, true)
	here := p.place("TUB-MC4")
	if w := p.get(here); strings.Contains(w.Body.String(), "DO NOT RELY ON THIS PAGE YET") {
		t.Fatal("marked without a change")
	}
	text := "[[change]]\ndate = 2026-04-30\nat = \"TUB-MC4\"\nkind = \"fuse replaced\"\nby = \"N. Example\"\n"
	if err := os.WriteFile(filepath.Join(p.dir, "changes.toml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	p.clock.Add(int64(time.Second))
	load, goOn := p.Handler.site.Load, make(chan bool)
	p.Handler.site.Load = func(today assess.Date, before *page.Book) (*page.Book, error) {
		<-goOn
		return load(today, before)
	}
	p.Handler.patience = 0
	for _, path := range []string{here, "/due/", "/"} {
		w := p.get(path, "Accept-Encoding", "gzip", "If-None-Match", "*")
		body := w.Body.String()
		marked, verdict := strings.Index(body, "DO NOT RELY ON THIS PAGE YET"), strings.Index(notCurrent.ReplaceAllString(body, ""), "HOLDS")
		if w.Code != 200 || marked < 0 || verdict >= 0 && verdict < marked || w.Header().Get("Cache-Control") != "no-store" || w.Header().Get("ETag") != "" {
			t.Errorf("%s: %d %v %s", path, w.Code, w.Header(), body[:min(len(body), 900)])
		}
	}
	if w := p.do("HEAD", here, nil); w.Body.Len() != 0 || w.Header().Get("Content-Length") == "" {
		t.Error("HEAD:", w.Header(), w.Body)
	}
	program := make(chan string, 1)
	go func() { program <- p.get(here + "basis.json").Body.String() }()
	select {
	case body := <-program:
		t.Error("a program got the record of the site before:", body[:300])
	case <-time.After(50 * time.Millisecond):
	}
	close(goOn)
	if body := <-program; !strings.Contains(body, "in question") {
		t.Error(body[:600])
	}
	p.Handler.patience = time.Hour
	if w := p.get(here); !strings.Contains(w.Body.String(), "IN QUESTION") || strings.Contains(w.Body.String(), "DO NOT RELY ON THIS PAGE YET") {
		t.Error(w.Body.String()[:900])
	}
}
