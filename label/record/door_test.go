package record

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// What was done at the equipment is noted in few lines, in an order in which each is
// valid: labels are withdrawn before they are removed, and mounted before they are
// covered. A deed listed twice is noted once.
func TestTell(t *testing.T) {
	dir := t.TempDir()
	s, today := Open(dir), job(t, Print).Date
	tomorrow := today.AddDays(1)
	a, b := example(t, "A", 6.5), example(t, "B", 6.5)
	carry(t, dir, job(t, Print, a, b, example(t, "C", 6.5), example(t, "D", 6.5), example(t, "E", 6.5)))
	overlays := job(t, Print, example(t, "D", 6.5))
	overlays.Thing = Overlay
	carry(t, dir, overlays)
	if _, err := s.Mount([]string{"A"}, today, today, "me", "test"); err != nil {
		t.Fatal(err)
	}
	carry(t, dir, job(t, Print, example(t, "A", 7.5))) // the label before it is there
	if _, err := s.Withdraw("B", today, "burnt", "me", "test"); err != nil {
		t.Fatal(err)
	}
	told := []Deed{
		{Kind: Mounted, Thing: Overlay, Location: "D"}, {Kind: Mounted, Location: "D"}, {Kind: Mounted, Location: "D", Applied: today},
		{Kind: Mounted, Location: "C", Applied: tomorrow}, {Kind: Removed, Location: "E", Reason: "gone"},
		{Kind: Removed, Location: "B", Applied: today}, {Kind: Removed, Location: "B"}, {Kind: Removed, Location: "A", Reason: "moved"},
	}
	lines, err := s.Tell(told, tomorrow, "B. Sample", "v1")
	if err != nil {
		t.Fatal(err)
	}
	_, was, _ := a.Encode()
	var got []string
	for _, l := range lines {
		text := strings.TrimSpace(fmt.Sprint(l.Kind, " ", l.Thing, " ", l.Applied, " ", l.Reason))
		for _, p := range l.Labels {
			if text += " " + p.ID; p.Record == was.String() {
				text += " (the one before)"
			}
		}
		if l.Date != tomorrow || l.By != "B. Sample" || l.Tool != "v1" {
			t.Errorf("%+v", l)
		}
		got = append(got, strings.Join(strings.Fields(text), " "))
	}
	want := []string{"withdrawn moved A", "withdrawn gone E", "removed 2026-05-01 B", "removed 2026-05-02 A (the one before) E",
		"mounted 2026-05-02 C D", "mounted overlay 2026-05-02 D"}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	l, err := s.Ledger()
	if err != nil {
		t.Fatal(err)
	}
	if r := s.Replay(l, tomorrow, nil); len(r.Wrong) > 0 || r.Labels["A"].Withdrawn == nil || r.Labels["A"].Gone != tomorrow {
		t.Errorf("%+v, %+v", r.Wrong, r.Labels["A"])
	}
	before, _ := os.ReadFile(filepath.Join(dir, LedgerFile))
	if lines, err = s.Tell(told[:2], tomorrow, "me", "test"); err != nil || lines != nil {
		t.Errorf("told again: %+v, %v", lines, err)
	}
	if lines, err = s.Tell(nil, tomorrow, "me", "test"); err != nil || lines != nil {
		t.Errorf("nothing: %+v, %v", lines, err)
	}
	// If one of them is wrong or cannot be written, none is noted.
	right := Deed{Kind: Mounted, Location: "C", Applied: today}
	if lines, err = s.Tell([]Deed{right, {Kind: Mounted, Location: "X"}}, tomorrow, "me", "test"); err == nil || lines != nil {
		t.Errorf("%+v, %v", lines, err)
	}
	if lines, err = s.Tell([]Deed{right}, tomorrow, "me\x1b", "test"); err == nil || lines != nil {
		t.Errorf("%+v, %v", lines, err)
	}
	if after, _ := os.ReadFile(filepath.Join(dir, LedgerFile)); string(after) != string(before) {
		t.Errorf("%s", after[len(before):])
	}
}

// What cannot have been done is refused, with the reason.
func TestTellWrong(t *testing.T) {
	dir := t.TempDir()
	s, today := Open(dir), job(t, Print).Date
	carry(t, dir, job(t, Print, example(t, "A", 6.5), example(t, "B", 6.5)))
	if _, err := s.Mount([]string{"A"}, today, today, "me", "test"); err != nil {
		t.Fatal(err)
	}
	later := job(t, Reprint, example(t, "A", 6.5))
	later.Date = today.AddDays(3)
	carry(t, dir, later)
	if _, err := s.Withdraw("B", today, "burnt", "me", "test"); err != nil {
		t.Fatal(err)
	}
	yesterday := today.AddDays(-1)
	for _, c := range []struct {
		d     Deed
		about About
		why   string
	}{
		{Deed{Kind: Mounted, Location: "X"}, AboutPlace, `"X": no label was printed for it`},
		{Deed{Kind: Mounted, Location: "B"}, AboutDeed, "the label of B was withdrawn on 2026-05-01"},
		{Deed{Kind: Removed, Location: "A"}, AboutDeed, "the label of A is in use"},
		{Deed{Kind: Removed, Location: "B", Applied: yesterday}, AboutDay, "the label of B was printed on 2026-05-01, after 2026-04-30"},
		{Deed{Kind: Mounted, Location: "A", Applied: today.AddDays(2)}, AboutDay, "the label of A was printed on 2026-05-04, after 2026-05-03"},
		{Deed{Kind: Mounted, Thing: Overlay, Location: "A"}, AboutDeed, "no overlay was printed for the label of A"},
		{Deed{Kind: Removed, Thing: Overlay, Location: "A"}, AboutDeed, "the label of A has no overlay"},
		{Deed{Kind: Mounted, Location: "A", Code: "0000-0000-0000-0000"}, AboutLabel, "the label printed last for A is "},
	} {
		_, err := s.Tell([]Deed{{Kind: Removed, Location: "B"}, c.d}, later.Date, "me", "test")
		var wrong *DeedError
		if !errors.As(err, &wrong) || wrong.About != c.about || wrong.Number != 1 || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%+v: %v", c.d, err)
		}
	}
	if !errors.Is(Wrongs([]Deed{{Location: "X"}}, today, func(string) *Label { return nil })[0], errNotPrinted) {
		t.Error("not by its cause")
	}
}
