package press

import (
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

const (
	printFirst   = " -> print the labels that are due"
	overlayFirst = " (its overlay must be printed first) -> print the overlays that are due"

	ifGone = "locations.csv no longer has a row for it; verify whether the equipment is gone: if it is, remove the label; " +
		"if it is still there, cover the label and tell the coordinator"
	confirm = "confirm that the equipment is disconnected or needs no label, then remove the label; " +
		"if not, cover the label and tell the coordinator"
)

// Labels to cover come first, whether their overlays are printed or not; what must be
// printed first comes last.
func TestWalkUrgentFirst(t *testing.T) {
	y := newYard(t, 3)
	y.labels(Choice{IDs: []string{"P0", "P1"}})
	y.mounted("P0")
	y.next()
	y.row("P0").Cases[0].FedFrom = []string{"nowhere"} // an error finding
	y.look("an error, a label to mount, and one to print", "P0: cover over new"+overlayFirst, "P1: put on on new", "P2: put on"+printFirst)
	if got, want := WalkText(NewWalk(y.view())), "cover first, 1 label: P0\n    print its overlay before that:\n    -> print the overlays that are due\n"+
		"1 to do: mount 1\nprint first for 1 location: P2\n    -> print the labels that are due\n"; got != want {
		t.Errorf("the summary is\n%s\nwant\n%s", got, want)
	}
	y.overlays(Choice{Changed: true})
	y.look("the overlay is printed", "P0: cover over new", "P1: put on on new", "P2: put on"+printFirst)
	if got, want := WalkText(NewWalk(y.view())), "2 to do: cover 1, mount 1\n"; !strings.HasPrefix(got, want) {
		t.Errorf("the summary is\n%s\nwant\n%s", got, want)
	}
}

// What is to be printed is printed first, what was printed is mounted, and what is
// on the equipment and holds needs nothing.
func TestWalkPutsOn(t *testing.T) {
	y := newYard(t, 3)
	y.look("at first", "P0: put on"+printFirst, "P2: put on"+printFirst, "P1: put on"+printFirst)
	y.labels(Choice{IDs: []string{"P1", "P0"}})
	y.look("two are printed, which come first", "P0: put on on new", "P1: put on on new", "P2: put on"+printFirst)
	y.mounted("P0")
	y.look("one is mounted", "P1: put on on new", "P2: put on"+printFirst)
	y.labels(Choice{})
	y.look("all are printed, one of them twice", "P2: put on on new", "P1: put on on new")
	y.mounted("P1", "P2")
	y.look("all are mounted")

	y.row("P2").Cases[0].FedFrom = []string{"nowhere"} // an error finding
	y.look("an error", "P2: cover over new"+overlayFirst)
	y.drop("P2")
	y.row("P1").Cases[0].Prepared = day(t, "2020-03-14")
	y.site.Locations = y.site.Locations[:2]
	y.add(4)
	y.row("P4").Cases[0].FedFrom = []string{"nowhere"}
	y.look("never printed and refused: nobody has to go for it",
		"P1: cover over new"+overlayFirst, "P2: remove off new ("+ifGone+")")
}

// A newer label takes the place of the one that was noted as mounted, or of the
// one before it where nobody noted anything.
func TestWalkReplaces(t *testing.T) {
	y := newYard(t, 2)
	y.labels(Choice{})
	y.mounted("P0")
	y.next()
	y.study("P0", 6)
	y.study("P1", 6)
	y.look("a newer study", "P0: replace off new"+printFirst, "P1: replace off new"+printFirst)
	y.labels(Choice{Changed: true})
	y.look("printed", "P0: replace off old on new", "P1: replace off old on new")
	y.next()
	y.study("P0", 7)
	first := y.code("P0", 1)
	y.labels(Choice{Changed: true})
	y.look("printed again", "P0: replace off "+first+" on new", "P1: replace off old on new")
	y.mounted("P0", "P1")
	y.look("mounted")
}

// A copy that was printed again goes in the place of the one that is damaged,
// bears the strip or lies below an overlay; one more copy of what is fine does not.
func TestWalkAgain(t *testing.T) {
	y := newYard(t, 1)
	y.labels(Choice{})
	y.mounted("P0")
	y.labels(Choice{})
	y.look("one more copy")
	y.reprint("P0")
	y.look("burnt", "P0: replace off new on new (the same label, printed again)")
	y.mounted("P0")
	y.look("mounted")

	y.next()
	y.change("P0")
	y.look("in question", "P0: cover over new"+overlayFirst)
	y.interim(Choice{})
	y.look("with the strip", "P0: replace off new on new (with the INTERIM strip)")
	y.mounted("P0")
	y.look("the strip says it")
	y.next()
	y.settle()
	y.look("cleared", "P0: replace off new"+printFirst)
	if got := y.labels(Choice{Changed: true}); !slices.Equal(got, []string{"P0"}) {
		t.Errorf("due after the doubt was cleared: %q", got)
	}
	y.look("without the strip", "P0: replace off new on new (the same label, printed again)")
	y.mounted("P0")
	y.look("done")
}

// Nobody noted anything of the copy that is damaged: it is there, even so.
func TestWalkAgainUnnoted(t *testing.T) {
	y := newYard(t, 1)
	y.labels(Choice{})
	y.next()
	y.study("P0", 6)
	y.labels(Choice{})
	y.reprint("P0")
	y.look("burnt", "P0: replace off new on new (the same label, printed again)")
}

// A label whose study is soon due holds.
func TestWalkFallsDue(t *testing.T) {
	y := newYard(t, 1)
	y.site.Policy.NoticeDays = 90
	y.labels(Choice{})
	y.mounted("P0")
	y.today = day(t, "2031-03-01")
	p, _ := y.view().Place("P0")
	if p.State() != "falls due" {
		t.Fatal(p.State())
	}
	y.look("falls due")
	y.today = day(t, "2031-03-15")
	y.look("lapsed", "P0: cover over new"+overlayFirst)
}

// Under the starter's policy nothing can be printed, so nothing is to be printed
// first.
func TestWalkUnderStarter(t *testing.T) {
	y := newYard(t, 2)
	y.labels(Choice{IDs: []string{"P0"}})
	y.mounted("P0")
	y.next()
	y.review()
	y.look("reviewed", "P0: replace off new"+printFirst, "P1: put on"+printFirst)
	y.site.Policy.Findings = []assess.Finding{{Level: assess.Error, Code: assess.StarterPolicy, Message: "invented"}}
	y.look("the starter's policy")
	y.site.Policy.Findings, y.site.Log.Reviews = nil, nil
	y.change("P0")
	y.interim(Choice{IDs: []string{"P0"}})
	y.mounted("P0")
	y.next()
	y.settle()
	y.look("cleared", "P0: replace off new"+printFirst, "P1: put on"+printFirst)
	y.site.Policy.Findings = []assess.Finding{{Level: assess.Error, Code: assess.StarterPolicy, Message: "invented"}}
	y.look("the starter's policy again")
}

// A label with the strip is no longer put on where a label that holds can be printed.
func TestWalkNoStripBesideNewer(t *testing.T) {
	y := newYard(t, 1)
	y.labels(Choice{})
	y.mounted("P0")
	y.next()
	y.change("P0")
	y.interim(Choice{})
	y.next()
	y.study("P0", 6)
	y.look("a newer study", "P0: replace off new"+printFirst)
}

// A label with the strip that is not mounted when its doubt is cleared is no longer
// put on.
func TestWalkNoOldStrip(t *testing.T) {
	y := newYard(t, 1)
	y.change("P0")
	y.interim(Choice{})
	y.look("printed", "P0: put on on new (with the INTERIM strip)")
	y.next()
	y.settle()
	y.look("cleared", "P0: replace off new"+printFirst)
}

// What does not hold is covered and stays covered; when it holds again the overlay
// goes, or a new label takes the place of both.
func TestWalkCovers(t *testing.T) {
	y := newYard(t, 2)
	y.labels(Choice{})
	y.mounted("P0")
	y.next()
	y.change("P0")
	y.look("in question", "P0: cover over new"+overlayFirst, "P1: cover over new"+overlayFirst)
	y.overlays(Choice{Changed: true})
	y.look("printed", "P0: cover over new", "P1: cover over new")
	y.note(record.Mounted, record.Overlay, "P0", "P1")
	y.look("covered")
	if got := y.overlays(Choice{Changed: true}); got != nil {
		t.Errorf("overlays that are due: %q", got)
	}
	y.overlays(Choice{IDs: []string{"P0"}})
	y.look("another overlay", "P0: cover over new")
	y.note(record.Mounted, record.Overlay, "P0")
	y.next()
	y.settle()
	y.look("holds again", "P0: remove overlay over new", "P1: put on on new", "P1: remove overlay over new")
	y.note(record.Removed, record.Overlay, "P1")
	y.mounted("P1")
	y.look("removed", "P0: remove overlay over new")
	y.labels(Choice{Changed: true})
	y.look("a new copy", "P0: replace off new on new (the same label, printed again)")
	y.mounted("P0")
	y.look("done")

	y.next()
	y.study("P0", 6)
	y.overlays(Choice{})
	y.look("a new label is due, and an overlay is there for now", "P0: cover over new")
	y.note(record.Mounted, record.Overlay, "P0")
	y.look("covered until then", "P0: replace off new"+printFirst)
	y.labels(Choice{Changed: true})
	y.look("printed", "P0: replace off old on new")
	y.mounted("P0")
	y.look("the overlay went with the old label")
}

// A newer label that no longer holds when it could be mounted leaves the older one
// covered.
func TestWalkLeavesCovered(t *testing.T) {
	y := newYard(t, 1)
	y.labels(Choice{})
	y.mounted("P0")
	y.next()
	y.change("P0")
	y.overlays(Choice{})
	y.note(record.Mounted, record.Overlay, "P0")
	y.next()
	y.study("P0", 6)
	y.labels(Choice{Changed: true})
	y.look("printed", "P0: replace off old on new")
	if got := y.labels(Choice{Changed: true}); got != nil {
		t.Errorf("due though it is in the person's hand: %q", got)
	}
	y.next()
	y.change("P0")
	y.look("in question before it was mounted")
	if got := y.overlays(Choice{Changed: true}); got != nil {
		t.Errorf("overlays that are due: %q", got)
	}
}

// What changes tell to be printed too low is covered, strip or not.
func TestWalkTooLow(t *testing.T) {
	y := newYard(t, 1)
	y.labels(Choice{})
	y.change("P0")
	y.interim(Choice{})
	y.mounted("P0")
	y.look("the strip says it")
	y.site.Log.Changes[0].New = map[string]assess.NewValues{"P0": {Fault: 44}} // twice what its label says
	y.look("printed too low", "P0: cover over new (COVER: printed too low; its overlay must be printed first) -> print the overlays that are due")
	y.overlays(Choice{Changed: true})
	y.note(record.Mounted, record.Overlay, "P0")
	y.look("covered")
}

// A label that is no longer needed is removed, and noted as withdrawn where nobody had
// said so; it comes back only where it is printed by name.
func TestWalkRemoves(t *testing.T) {
	y := newYard(t, 4)
	y.labels(Choice{})
	y.mounted("P0", "P1", "P2")
	y.next()
	y.withdraw("P1")
	y.row("P2").Unlabeled = true
	y.drop("P3")
	y.look("no longer needed", "P2: remove off new (locations.csv says that it has no label (label = no); "+confirm+")",
		"P1: remove off new (withdrawn on 2026-05-02: burnt; "+confirm+")", "P3: remove off new ("+ifGone+")")
	if got := y.labels(Choice{Changed: true}); got != nil {
		t.Errorf("%q came back", got)
	}
	y.note(record.Removed, "", "P1", "P2", "P3")
	y.look("removed")
	h := y.view().History
	for id, reason := range map[string]string{"P1": "burnt", "P2": "locations.csv says that it has no label (label = no)",
		"P3": "locations.csv no longer has a row for it"} {
		if w := h.Labels[id].Withdrawn; w == nil || w.Reason != reason {
			t.Errorf("%s is withdrawn by %+v", id, w)
		}
	}
	y.next()
	y.row("P2").Unlabeled = false
	y.look("the row is back, and its label was withdrawn")
	y.labels(Choice{IDs: []string{"P1", "P2"}})
	y.look("by name", "P2: put on on new", "P1: put on on new")
	y.withdraw("P1")
	y.look("and withdrawn again before it is noted", "P2: put on on new", "P1: remove off new (withdrawn on 2026-05-03: burnt; "+confirm+")")
}

// Where a newer label was printed and another one is there, that one is removed.
func TestWalkRemovesWhatIsThere(t *testing.T) {
	y := newYard(t, 1)
	y.labels(Choice{})
	y.mounted("P0")
	y.next()
	y.study("P0", 6)
	y.labels(Choice{})
	y.withdraw("P0")
	y.look("withdrawn", "P0: remove off old (withdrawn on 2026-05-02: burnt; "+confirm+")")
	y.note(record.Removed, "", "P0")
	y.look("removed")
}

// After a review that found the study right the new label is due, or an overlay
// that says so stays.
func TestWalkRenews(t *testing.T) {
	y := newYard(t, 2)
	y.labels(Choice{})
	y.mounted("P0", "P1")
	y.next()
	y.change("P1") // P1 alone is fed by nothing else
	y.overlays(Choice{})
	y.note(record.Mounted, record.Overlay, "P1")
	y.next()
	y.settle()
	y.review()
	y.look("reviewed", "P1: remove overlay over new", "P0: replace off new"+printFirst, "P1: replace off new"+printFirst)
	y.next()
	y.overlays(Choice{IDs: []string{"P0"}})
	y.look("an overlay that says so", "P0: cover over new", "P1: remove overlay over new", "P1: replace off new"+printFirst)
	y.note(record.Mounted, record.Overlay, "P0")
	y.look("and stays", "P1: remove overlay over new", "P1: replace off new"+printFirst)
	if got := y.labels(Choice{Changed: true}); !slices.Equal(got, []string{"P0", "P1"}) {
		t.Errorf("due: %q", got)
	}
}

// A label whose record is lost is printed again; where the row does not print, it
// is covered by hand.
func TestWalkLost(t *testing.T) {
	again := func(t *testing.T, v *plant.Plant, y *yard) *plant.Plant {
		t.Helper()
		v, err := plant.New(y.site, v.History, y.today, nil)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	y := newYard(t, 1)
	y.labels(Choice{})
	y.mounted("P0")
	v := y.view()
	l := v.History.Labels["P0"]
	l.Record, l.Err = nil, record.ErrNotFound
	v.History.Labels["P0"] = l
	if tasks := again(t, v, y).Tasks(); len(tasks) != 1 || tasks[0].Do != "replace" || tasks[0].Label != "" {
		t.Errorf("%+v", tasks)
	}
	y.row("P0").Cases[0].FedFrom = []string{"nowhere"}
	if tasks := again(t, v, y).Tasks(); len(tasks) != 1 || tasks[0].Do != "cover" || !strings.Contains(tasks[0].First.Words, "by hand") {
		t.Errorf("%+v", tasks)
	}
}
