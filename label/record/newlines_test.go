package record

import (
	"bytes"
	"runtime"
	"testing"
)

// A ledger of newlines alone, a few bytes in a ZIP, asks for little more memory than it has.
func TestLedgerOfNewlines(t *testing.T) {
	data := bytes.Repeat([]byte("\n"), 4<<20)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if _, err := ParseLedger(data); err == nil {
		t.Error("it was read")
	}
	runtime.ReadMemStats(&after)
	if got := after.TotalAlloc - before.TotalAlloc; got > 64<<20 {
		t.Errorf("%d MB for %d MB", got>>20, len(data)>>20)
	}
}
