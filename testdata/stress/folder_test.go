package stress

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// folder is a site folder as read by this test, from the documented format of the files
// and without any of the program's code.
type folder struct {
	lines   []line
	torn    int             // bytes after the last complete line
	records map[string]bool // by hash
	temps   int             // in records/ and studies/, and next to the owner's files
	changes []byte
}

type line struct {
	Kind, Of, Prev, Hash string
	Thing                string
	Labels               []struct {
		ID, Record string
		Copy       int
	}
	Study, Before *struct {
		File, SHA256 string
		Bytes        int
	}
	Locations string
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// look reads the folder and checks what must be true at any time: an unbroken chain;
// complete records under their names, each known to the ledger; a record for each
// printed label; copies numbered from 1; at most one end for each intent; and complete
// outputs.
func (p *plant) look(t *testing.T) *folder {
	t.Helper()
	f := &folder{records: map[string]bool{}}
	f.readLedger(t, p.dir)
	f.readRecords(t, p.dir)
	f.readStudies(t, p.dir)
	f.changes, _ = os.ReadFile(filepath.Join(p.dir, "changes.toml"))
	if n := len(f.changes); n > 0 && f.changes[n-1] != '\n' {
		t.Error("half a changes.toml")
	}
	f.agree(t)
	outputs, _ := filepath.Glob(filepath.Join(p.out, "*.pdf"))
	for _, o := range outputs {
		if strings.HasPrefix(filepath.Base(o), ".") {
			continue
		}
		data, err := os.ReadFile(o)
		if err != nil || !bytes.HasPrefix(data, []byte("%PDF-")) || !bytes.HasSuffix(bytes.TrimSpace(data), []byte("%%EOF")) {
			t.Errorf("%s is not a complete PDF, %v", filepath.Base(o), err)
		}
	}
	if t.Failed() {
		t.FailNow()
	}
	return f
}

func (f *folder) readLedger(t *testing.T, dir string) {
	data, err := os.ReadFile(filepath.Join(dir, "ledger.jsonl"))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		t.Fatal(err)
	}
	prev := strings.Repeat("0", 64)
	for len(data) > 0 {
		text, rest, whole := bytes.Cut(data, []byte("\n"))
		if !whole {
			f.torn = len(text)
			return
		}
		var l line
		if err := json.Unmarshal(text, &l); err != nil {
			t.Fatalf("line %d: %v", len(f.lines)+1, err)
		}
		body, _, _ := bytes.Cut(text, []byte(`,"hash":`))
		if sum := sha256.Sum256(body); l.Prev != prev || l.Hash != hex.EncodeToString(sum[:]) {
			t.Fatalf("line %d: the chain breaks", len(f.lines)+1)
		}
		f.lines = append(f.lines, l)
		prev, data = l.Hash, rest
	}
}

func (f *folder) readRecords(t *testing.T, dir string) {
	files, _ := filepath.Glob(filepath.Join(dir, "records", "*", "*"))
	for _, file := range files {
		name := filepath.Base(file)
		if strings.HasPrefix(name, ".") {
			f.temps++
			continue
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(data)
		hash := hex.EncodeToString(sum[:])
		if name != hash+".json" || filepath.Base(filepath.Dir(file)) != hash[:2] {
			t.Errorf("%s has the hash %s", name, hash)
		}
		f.records[hash] = true
	}
	temps, _ := filepath.Glob(filepath.Join(dir, ".*.tmp"))
	f.temps += len(temps)
}

// readStudies checks that each file in studies/ that a line names is complete.
func (f *folder) readStudies(t *testing.T, dir string) {
	temps, _ := filepath.Glob(filepath.Join(dir, "studies", ".*"))
	f.temps += len(temps)
	for _, l := range f.lines {
		if l.Kind != "intake" {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, "studies", l.Study.File))
		if err != nil || sum(data) != l.Study.SHA256 || len(data) != l.Study.Bytes {
			t.Errorf("%s is not the study that was taken in: %d bytes, %v", l.Study.File, len(data), err)
		}
		if l.Before == nil {
			continue
		}
		data, err = os.ReadFile(filepath.Join(dir, "studies", l.Before.File))
		if err != nil || sum(data) != l.Before.SHA256 || len(data) != l.Before.Bytes {
			t.Errorf("%s is not the locations.csv that was replaced: %d bytes, %v", l.Before.File, len(data), err)
		}
	}
}

// agree compares ledger and records.
func (f *folder) agree(t *testing.T) {
	ends, known, copies := map[string]string{}, map[string]bool{}, map[string]int{}
	announced := map[string]bool{}
	for _, l := range f.lines {
		switch l.Kind {
		case "print", "reprint", "entry":
			announced[l.Hash] = true
		case "done", "failed", "unfinished":
			if ends[l.Of] != "" || !announced[l.Of] {
				t.Errorf("%s ends nothing, or ends something twice", l.Hash)
			}
			ends[l.Of] = l.Kind
		}
	}
	for _, l := range f.lines {
		if !announced[l.Hash] {
			continue
		}
		for _, p := range l.Labels {
			known[p.Record] = true
			if ends[l.Hash] == "failed" {
				continue
			}
			copies[p.Record]++
			if p.Copy != copies[p.Record] {
				t.Errorf("%s: copy %d comes after %d", p.ID, p.Copy, copies[p.Record]-1)
			}
			if ends[l.Hash] == "done" && !f.records[p.Record] {
				t.Errorf("%s was printed and has no record", p.ID)
			}
		}
	}
	for hash := range f.records {
		if !known[hash] {
			t.Errorf("the ledger knows nothing of record %s", hash)
		}
	}
}

// open are the intents without an end.
func (f *folder) open() []string {
	ended := map[string]bool{}
	for _, l := range f.lines {
		ended[l.Of] = true
	}
	var open []string
	for _, l := range f.lines {
		if (l.Kind == "print" || l.Kind == "reprint" || l.Kind == "entry") && !ended[l.Hash] {
			open = append(open, l.Hash)
		}
	}
	return open
}

func (f *folder) count(kind string) int {
	n := 0
	for _, l := range f.lines {
		if l.Kind == kind {
			n++
		}
	}
	return n
}
