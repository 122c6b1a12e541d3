package commands

import (
	"strings"
	"testing"
	"time"
)

// Nothing is shown in the first second, then at most ten lines a second, and the line is removed at the end.
func TestProgress(t *testing.T) {
	var b strings.Builder
	now := time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	p := &progress{w: &b, now: func() time.Time { return now }, begin: now}
	step := p.of("drawing label")
	const all = 3000
	for i := range all { // 3 seconds
		step(i, all)
		now = now.Add(time.Millisecond)
		if i < 999 && b.Len() > 0 {
			t.Fatalf("after %d ms: %q", i, b.String())
		}
	}
	lines := strings.Count(b.String(), "\r")
	if lines < 19 || lines > 20 {
		t.Errorf("%d lines in the last two seconds, want 20", lines)
	}
	if !strings.Contains(b.String(), "drawing label 1000 of 3000") {
		t.Errorf("%.60q", b.String())
	}
	b.Reset()
	step(all, all)
	if got := b.String(); got != "\r\x1b[K" {
		t.Errorf("at the end: %q", got)
	}
	b.Reset()
	step(all, all)
	p.clear()
	if b.Len() > 0 {
		t.Errorf("after the end: %q", b.String())
	}
	var none *progress
	if none.of("x") != nil {
		t.Error("without a terminal something is shown")
	}
	none.clear()
}
