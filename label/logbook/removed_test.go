package logbook

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// What the ledger notes and the file no longer has is known: a change, and a review that found
// the study wrong, still count; a settlement, and a review that found it right, do not.
func TestRemoved(t *testing.T) {
	w := newWorks(t)
	w.add(&Change{Date: day(t, "2026-05-10"), At: "MCC", Kind: "fuse replaced", By: "A. Sample", Told: site.Told{FaultKA: []string{"30"}}})
	unsettled := w.read(assess.ChangesFile)
	w.add(&Review{Date: day(t, "2026-05-11"), By: "E. Sample, PE", Scope: []string{"LP"}, Finding: "wrong", Reason: "other feeder"})
	w.change("2026-05-12", "SWB")
	w.settle("2026-05-12/SWB", "SWB", "LP")
	w.are("as logged", "holds, in question, in question")
	low := func() (n int) {
		for _, p := range w.view().Places {
			if p.Printed.Standing.TooLow {
				n++
			}
		}
		return n
	}
	if low() != 1 {
		t.Errorf("%d labels are too low, want 1", low())
	}
	whole := w.read(assess.ChangesFile)
	for name, text := range map[string]string{"emptied": "", "only comments": "# nothing\n", "cut": unsettled} {
		w.write(assess.ChangesFile, text)
		w.are(name, "in question, in question, in question")
		if low() != 1 {
			t.Errorf("%s: %d labels are too low, want 1", name, low())
		}
		if !slices.Contains(w.codes(), "entry-lost") {
			t.Errorf("%s: nothing is said", name)
		}
	}
	if err := os.Remove(filepath.Join(w.dir, assess.ChangesFile)); err != nil {
		t.Fatal(err)
	}
	w.are("deleted", "in question, in question, in question")
	// What is gone cannot be settled, and its name goes to no other change.
	_, err := w.site().Add(w.store, "test", &Settlement{Change: "2026-05-10/MCC", Date: w.today, By: "x y", Reason: "same", Scope: []string{"all"}}, nil)
	if err == nil || !strings.Contains(err.Error(), "has another text of 2026-05-10/MCC than the ledger notes, or none") {
		t.Errorf("%v", err)
	}
	w.write(assess.ChangesFile, whole)
	w.are("restored", "holds, in question, in question")
	if got := w.codes(); got != nil {
		t.Errorf("%q", got)
	}
}

// An altered entry counts as what it is now only if that is a doubt, and as what it was.
func TestAltered(t *testing.T) {
	for name, c := range map[string]struct{ old, new, states string }{
		"a change moved before the survey": {"date = 2026-05-10\n", "date = 2025-05-10\n", "folder"},
		"another place":                    {`at = "MCC"`, `at = "LP"`, "folder"},
		"the scope of a settlement":        {`scope = ["MCC"]`, `scope = "all"`, "in question, in question, in question"},
		"the reason of a settlement":       {`reason = "same fuse"`, `reason = "the same fuse"`, "in question, in question, in question"},
		"the kind of a settled change":     {`kind = "breaker replaced"`, `kind = "renovation"`, "in question, in question, in question"},
		"only spaces and a comment":        {`reason = "same fuse"`, `reason  =  "same fuse" # as it was`, "in question, holds, in question"},
	} {
		w := newWorks(t)
		w.add(&Change{Date: day(t, "2026-05-10"), At: "SWB", Kind: "breaker replaced", By: "A. Sample"})
		w.settle("2026-05-10/SWB", "MCC")
		w.are(name+": before", "in question, holds, in question")
		if c.states == "folder" {
			w = newWorks(t)
			w.change("2026-05-10", "MCC")
			w.edited(c.old, c.new)
			if got := w.states(); !strings.Contains(got, "holds, in question") {
				t.Errorf("%s: %s", name, got)
			}
			if got := w.codes(); !slices.Contains(got, "entry-lost") {
				t.Errorf("%s: %q", name, got)
			}
			continue
		}
		w.edited(c.old, c.new)
		w.are(name, c.states)
		if lost := slices.Contains(w.codes(), "entry-lost"); lost == strings.HasPrefix(name, "only") {
			t.Errorf("%s: %q", name, w.codes())
		}
	}
}

// A settlement is about the change that it was made for: no other change of that name is
// settled by it, whether the file was reordered, shortened or added to.
func TestSettlementOfAnother(t *testing.T) {
	w := newWorks(t)
	w.change("2026-05-10", "MCC")
	w.settle("2026-05-10/MCC", "all")
	w.add(&Change{Date: day(t, "2026-05-10"), At: "MCC", Kind: "breaker replaced", By: "A. Sample"})
	w.are("the second change of that day and place", mccOpen)
	text := w.read(assess.ChangesFile)
	entries := strings.SplitAfter(text, "\n\n") // header, change, settlement, change
	if len(entries) != 4 {
		t.Fatalf("%q", entries)
	}
	w.write(assess.ChangesFile, entries[0]+entries[2]+entries[3])
	w.are("the first one removed, so that the second has its name", mccOpen)
	w.write(assess.ChangesFile, entries[0]+entries[3]+"\n"+entries[1]+entries[2])
	w.are("in another order", mccOpen)
	w.write(assess.ChangesFile, text)

	w.settle("2026-05-10/MCC/2", "all")
	w.are("both settled", allHold)
	w.write(assess.ChangesFile, "")
	w.change("2026-05-10", "MCC") // it gets the name of the first one
	w.typed("\n" + strings.TrimSpace(entries[2]) + "\n")
	w.are("an old settlement typed again after a new change of its name", mccOpen)
}

// A command that was stopped before its line "done" leaves an entry that counts if it is in the
// file, and no doubt about it; the next writer ends it.
func TestStoppedCommand(t *testing.T) {
	for name, c := range map[string]struct {
		inFile, edited bool
		end            record.Kind
		states         string
	}{
		"after the file":              {true, false, record.Done, allHold},
		"before the file":             {false, false, record.Failed, mccOpen},
		"after the file, then edited": {true, true, record.Unfinished, "holds, holds, in question"},
		"before it, then edited":      {false, true, record.Unfinished, "holds, in question, in question"},
	} {
		w := newWorks(t)
		w.change("2026-05-10", "MCC")
		old := w.read(assess.ChangesFile)
		w.settle("2026-05-10/MCC", "all")
		lines := strings.SplitAfter(w.read(record.LedgerFile), "\n")
		w.write(record.LedgerFile, strings.Join(lines[:len(lines)-2], ""))
		if !c.inFile {
			w.write(assess.ChangesFile, old)
		}
		if c.edited {
			w.typed(typedChange)
		}
		w.are(name+", for a reader", c.states)
		if err := w.store.NoteAll(func(*record.Ledger) ([]record.Line, error) { return nil, nil }); err != nil {
			t.Fatal(err)
		}
		l, err := w.store.Ledger()
		if err != nil || l.Lines[len(l.Lines)-1].Kind != c.end {
			t.Errorf("%s: it is ended by %+v, %v", name, l.Lines[len(l.Lines)-1], err)
		}
		w.are(name+", after the next writer", c.states)
		if got := w.codes(); slices.Contains(got, "entry-lost") {
			t.Errorf("%s: %q", name, got)
		}
	}
}
