package basis

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"vouchmark/label/record"
)

// The record of a label printed last is read to see that its bytes are those of its name, unless that was just
// seen.
func TestIntactRecordsAreNotReadAgain(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../samples/mill")); err != nil {
		t.Fatal(err)
	}
	h := shelf(t, dir)
	for id, l := range h.Site.History.Labels {
		if l.Record == nil {
			continue
		}
		if err := os.Remove(filepath.Join(dir, filepath.FromSlash(record.Path(l.ID)))); err != nil {
			t.Fatal(err)
		}
		if _, _, err := h.Known(l.ID); !errors.Is(err, record.ErrNotFound) && !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%s: %v", id, err)
		}
		h.Intact = map[record.ID]bool{l.ID: true}
		if _, _, err := h.Known(l.ID); err != nil {
			t.Errorf("%s was known to be intact: %v", id, err)
		}
		return
	}
	t.Fatal("no label")
}
