package logbook

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// In a folder without noted entries everything counts as it did, also what was there before
// the first one, which is never noted by itself.
func TestFromBefore(t *testing.T) {
	w := newWorks(t)
	w.write(assess.ChangesFile, "[[change]]\ndate = 2026-05-10\nat = \"MCC\"\nkind = \"fuse replaced\"\nby = \"x\"\n")
	w.are("a change", mccOpen)
	w.typed(typedSettled)
	w.are("settled", allHold)
	if got := w.codes(); !slices.Equal(got, []string{"entry-not-noted"}) {
		t.Errorf("%q", got)
	}
	w.change("2026-05-15", "LP")
	w.are("the first noted one", "holds, holds, in question")
	if got := w.codes(); !slices.Equal(got, []string{"entry-not-noted"}) {
		t.Errorf("%q", got)
	}
	w.settle("2026-05-15/LP", "all")
	w.are("settled by a command", allHold)
	var before int
	for _, u := range w.view().Logged.Unnoted {
		if u.Before {
			before++
		}
	}
	if before != 2 {
		t.Errorf("%d entries are from before, want 2", before)
	}
	// An edit of one from before makes it one that was typed: it is settled no longer.
	text := w.read(assess.ChangesFile)
	w.edited(`kind = "fuse replaced"`, `kind = "breaker replaced"`)
	w.are("edited", mccOpen)
	w.write(assess.ChangesFile, text)
	if err := w.note("the "); err != nil {
		t.Fatal(err)
	}
	w.are("noted by name", allHold)
	if got := w.codes(); got != nil {
		t.Errorf("%q", got)
	}
	w.edited(`kind = "fuse replaced"`, `kind = "breaker replaced"`)
	w.are("edited after that", mccOpen)
}

// After the first noted entry, what a person types counts only in the direction of doubt,
// until somebody notes it by name; no other command does that.
func TestTypedByHand(t *testing.T) {
	for name, c := range map[string]struct{ text, entry, typed, noted string }{
		"a change":             {typedChange, "the change", "holds, in question, in question", "holds, in question, in question"},
		"a settlement":         {typedSettled, "the settlement", mccOpen, allHold},
		"a review found wrong": {typedWrong, "the review", "holds, in question, in question", "holds, in question, in question"},
	} {
		w := newWorks(t)
		w.change("2026-05-10", "MCC")
		w.are(name+": before", mccOpen)
		w.typed(c.text)
		w.are(name+": typed", c.typed)
		if got := w.codes(); !slices.Equal(got, []string{"entry-not-noted"}) {
			t.Errorf("%s: %q", name, got)
		}
		w.change("2026-05-12", "MCC")
		w.settle("2026-05-12/MCC", "all")
		w.add(&Review{Date: w.today, By: "E. Sample, PE", Scope: []string{"SWB"}, Finding: "right", Reason: "walked down"})
		if _, err := w.store.Withdraw("SWB", w.today, "burnt", "x", "test"); err != nil {
			t.Fatal(err)
		}
		c.typed = "withdrawn" + strings.TrimPrefix(c.typed, "holds")
		w.are(name+": after other commands", c.typed)
		if err := w.note(c.entry); err != nil {
			t.Fatal(err)
		}
		w.are(name+": noted", "withdrawn"+strings.TrimPrefix(c.noted, "holds"))
		if got := w.codes(); got != nil {
			t.Errorf("%s: %q", name, got)
		}
	}
	w := newWorks(t)
	w.today = day(t, "2031-04-01")
	w.are("REVIEW BY has passed", "lapsed, lapsed, lapsed")
	w.add(&Review{Date: w.today, By: "E. Sample, PE", Scope: []string{"SWB"}, Finding: "right", Reason: "walked down"})
	w.are("one is reviewed", "holds, lapsed, lapsed")
	w.typed(typedRight)
	w.are("a review typed by hand", "holds, lapsed, lapsed")
	if err := w.note("the review"); err != nil {
		t.Fatal(err)
	}
	w.are("noted by name", allHold)
}

// What can be noted, by whom, and how often.
func TestNote(t *testing.T) {
	w := newWorks(t)
	w.change("2026-05-10", "MCC")
	w.typed(typedSettled + typedChange)
	u := w.view().Logged.Unnoted
	if len(u) != 2 {
		t.Fatalf("%+v", u)
	}
	mark := u[0].Mark()
	for _, c := range []struct{ by, mark, want string }{
		{"", mark, "name the person"}, {"-", mark, "says nothing"}, {"a\u202eb", mark, "U+202E"},
		{"E. Sample", "00000000", `no entry that the ledger does not note has the mark "00000000"`}, {"E. Sample", "", "has the mark"},
		{"E. Sample", mark[:7], "has the mark"}, {"E. Sample", w.view().Logged.File.Entries[0].Mark(), "has the mark"},
	} {
		before := w.read(record.LedgerFile)
		_, err := w.site().Note(w.store, "test", c.by, []string{c.mark})
		if err == nil || !strings.Contains(err.Error(), c.want) || w.read(record.LedgerFile) != before {
			t.Errorf("%q, %q: %v", c.by, c.mark, err)
		}
	}
	effect, err := w.site().Note(w.store, "test", "E. Sample, PE", []string{strings.ToUpper(mark), u[0].Sum, u[1].Mark()})
	if err != nil || len(effect.Moved) != 1 || effect.Moved[0].Is != "holds" || effect.Entry != "noted the settlement of 2026-05-10/MCC, the change 2026-05-20/LP" {
		t.Errorf("%+v, %v", effect, err)
	}
	l, err := w.store.Ledger()
	if err != nil {
		t.Fatal(err)
	}
	last := l.Lines[len(l.Lines)-2:]
	if last[0].Kind != record.Noted || last[0].By != "E. Sample, PE" || last[0].Text != u[0].Sum || last[0].Log.Settles == "" ||
		last[0].Log.Values["by"] != "N. Example" || last[1].Log.Settles != "" {
		t.Errorf("%+v", last)
	}
	if _, err := w.site().Note(w.store, "test", "E. Sample", []string{mark}); err == nil {
		t.Error("it is noted twice")
	}
	w.edited(`reason = "same fuse"`, `reason = "another"`)
	if err := w.note("the settlement"); err == nil || !strings.Contains(err.Error(), "has another text than the ledger notes of it") {
		t.Errorf("%v", err)
	}
	w.edited(`reason = "another"`, `reason = "same fuse"`)
	list := NewUnnoted(w.view())
	var b bytes.Buffer
	if err := list.Text(&b, 80); err != nil || len(list.Entries) != 0 || b.String() != "changes.toml: the ledger notes every entry\n" {
		t.Errorf("%q, %v", b.String(), err)
	}
}

// An older version noted a settlement by the hash of its text: that one counts.
func TestNotedByAnOlderVersion(t *testing.T) {
	w := newWorks(t)
	w.write(assess.ChangesFile, "[[change]]\ndate = 2026-05-10\nat = \"MCC\"\nkind = \"fuse replaced\"\nby = \"x\"\n"+typedSettled)
	all := w.view().Logged.File.Settlements
	line := record.Line{Kind: record.Settled, Date: w.today, Change: all[0].Change, Text: site.SettlementHash(&all[0]), By: "x"}
	if err := w.store.Note(func(*record.Ledger) (record.Line, error) { return line, nil }); err != nil {
		t.Fatal(err)
	}
	if u := w.view().Logged.Unnoted; len(u) != 1 || u[0].Table != assess.ChangeEntry {
		t.Errorf("%+v", u)
	}
	w.change("2026-05-15", "LP")
	w.are("after the first noted one", "holds, holds, in question")
}

// Many entries are listed as the first ones and a count.
func TestManyUnnoted(t *testing.T) {
	w := newWorks(t)
	var b strings.Builder
	for i := range 40 {
		fmt.Fprintf(&b, "[[change]]\ndate = 2026-05-%02d\nat = \"LP\"\nkind = \"fuse replaced\"\nby = \"x\"\n", 1+i%28)
	}
	w.write(assess.ChangesFile, b.String())
	f := w.view().LogFindings()
	if len(f) != 1 || !strings.Contains(f[0].Message, "40 entries are from before") || !strings.Contains(f[0].Message, ", and 28 more; ") {
		t.Errorf("%+v", f)
	}
	w.write(assess.ChangesFile, "")
	w.change("2026-05-10", "MCC")
	w.typed(b.String())
	if f = w.view().LogFindings(); len(f) != 13 || !strings.HasPrefix(f[12].Message, "28 more entries are not noted") {
		t.Errorf("%+v", f)
	}
}
