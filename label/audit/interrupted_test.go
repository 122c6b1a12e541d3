package audit

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"vouchmark/label/record"
)

// killed is a folder in which a print of A was killed before its last line: its label
// may exist. print is what makes it.
func killed(t *testing.T) (dir string, id record.ID) {
	t.Helper()
	dir = t.TempDir()
	r := example(t, "A", 5)
	out, err := record.Prepare(filepath.Join(dir, "out.pdf"), []byte("PDF"), 0o644)
	if err != nil {
		t.Fatal(err)
	}
	if err := record.Open(dir).Carry(record.Job{Kind: record.Print, Date: day(t, "2026-05-01"), Sheet: []record.Sheet{{Record: r}}, Tool: "v1"}, out); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, record.LedgerFile)
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	intent, _, _ := bytes.Cut(data, []byte("\n"))
	if err := os.WriteFile(file, append(intent, '\n'), 0o644); err != nil {
		t.Fatal(err)
	}
	if id, err = r.Hash(); err != nil {
		t.Fatal(err)
	}
	return dir, id
}

// A record that any line vouches for must be there: also one whose print was interrupted,
// once a writer found its label, or somebody mounted, withdrew or signed it.
func TestRecordOfInterruptedPrint(t *testing.T) {
	today := day(t, "2026-05-02")
	note := func(kind record.Kind, id record.ID) record.Line {
		return record.Line{Kind: kind, Date: today, Labels: []record.Printed{{ID: "A", Record: id.String()}}, Applied: today}
	}
	sight := func(l record.Line) record.Line {
		if l.Kind == record.Seen {
			l.Labels[0].Sight = &record.Sight{Found: record.FoundRight}
		}
		return l
	}
	for name, later := range map[string]func(s *record.Store, id record.ID) error{
		"found by the next writer": func(s *record.Store, _ record.ID) error {
			return s.NoteAll(func(*record.Ledger) ([]record.Line, error) { return nil, nil })
		},
		"mounted": func(s *record.Store, _ record.ID) error {
			_, err := s.Mount([]string{"A"}, today, today, "x", "v1")
			return err
		},
		"seen": func(s *record.Store, id record.ID) error {
			_, err := s.See([]record.Look{{Location: "A", Code: id.Code()}}, true, today, "x", "v1")
			return err
		},
		"found elsewhere": func(s *record.Store, id record.ID) error {
			_, err := s.See([]record.Look{{Location: "B", Code: id.Code()}}, true, today, "x", "v1")
			return err
		},
		"withdrawn": func(s *record.Store, _ record.ID) error {
			_, err := s.Withdraw("A", today, "burnt", "x", "v1")
			return err
		},
	} {
		dir, id := killed(t)
		if err := later(record.Open(dir), id); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if r := run(t, os.DirFS(dir), nil, ""); !r.Sound() {
			t.Errorf("%s: %v", name, r.Problems)
		}
		if err := os.Remove(filepath.Join(dir, record.Path(id))); err != nil {
			t.Fatal(err)
		}
		r := run(t, os.DirFS(dir), nil, "")
		if r.Sound() || !strings.Contains(fmt.Sprint(r.Problems), "A, "+string(id.Code())+" is based, is missing") {
			t.Errorf("%s: a record taken out is not found: %v", name, r.Problems)
		}
		if len(r.Labels) != 1 || r.Labels[0].ID != "A" {
			t.Errorf("%s: the label is forgotten with its record: %+v", name, r.Labels)
		}
	}
	// Lines as a version before this one left them: it noted only that the print was interrupted.
	for _, kind := range []record.Kind{record.Mounted, record.Removed, record.Seen, record.Withdrawn, record.Signed} {
		dir, id := killed(t)
		s := record.Open(dir)
		err := s.Note(func(l *record.Ledger) (record.Line, error) { return sight(note(kind, id)), nil })
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, record.LedgerFile)
		forget(t, file)
		if err := os.Remove(filepath.Join(dir, record.Path(id))); err != nil {
			t.Fatal(err)
		}
		r := run(t, os.DirFS(dir), nil, "")
		if !strings.Contains(fmt.Sprint(r.Problems), "the record "+id.String()+", on which the label of A, ") {
			t.Errorf("%s: a record taken out is not found: %v", kind, r.Problems)
		}
	}
	// Nobody looked since: whether there was a record cannot be known, which is said.
	dir, id := killed(t)
	if err := os.Remove(filepath.Join(dir, record.Path(id))); err != nil {
		t.Fatal(err)
	}
	r := run(t, os.DirFS(dir), nil, "")
	if !r.Sound() || !strings.Contains(fmt.Sprint(r.Notes), "do not use a label of A, "+string(id.Code())) {
		t.Errorf("%v, %v", r.Problems, r.Notes)
	}
}

// forget writes a ledger again without the labels that "unfinished" lines name, as earlier
// versions wrote it.
func forget(t *testing.T, file string) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	labels := regexp.MustCompile(`,"labels":\[[^\]]*\]`)
	hashes := regexp.MustCompile(`"(of|prev)":"([0-9a-f]{64})"`)
	of := map[string]string{} // new hashes by old ones
	var all []byte
	for _, line := range strings.SplitAfter(strings.TrimSuffix(string(data), "\n"), "\n") {
		body, old, _ := strings.Cut(line, `,"hash":"`)
		if strings.Contains(body, `"kind":"unfinished"`) {
			body = labels.ReplaceAllString(body, "")
		}
		body = hashes.ReplaceAllStringFunc(body, func(s string) string {
			m := hashes.FindStringSubmatch(s)
			return fmt.Sprintf(`"%s":"%s"`, m[1], cmp.Or(of[m[2]], m[2]))
		})
		of[old[:64]] = record.SHA256([]byte(body))
		all = append(all, body+`,"hash":"`+of[old[:64]]+`"}`+"\n"...)
	}
	if err := os.WriteFile(file, all, 0o644); err != nil {
		t.Fatal(err)
	}
}
