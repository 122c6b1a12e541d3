package record

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
)

// rounds is a folder with labels, at whose equipment people look.
type rounds struct {
	*testing.T
	dir   string
	store *Store
	day   assess.Date // of the first print
}

func newRounds(t *testing.T, rs ...*Record) *rounds {
	w := &rounds{t, t.TempDir(), nil, job(t, Print).Date}
	w.store = Open(w.dir)
	w.print(0, rs...)
	return w
}

// print prints labels so many days after the first ones.
func (w *rounds) print(after int, rs ...*Record) {
	w.Helper()
	j := job(w.T, Print, rs...)
	j.Date = w.day.AddDays(after)
	carry(w.T, w.dir, j)
}

// on is so many days after the first print.
func (w *rounds) on(days int) assess.Date { return w.day.AddDays(days) }

// see notes looks and says what became of them.
func (w *rounds) see(today int, looks ...Look) string {
	w.Helper()
	all, err := w.store.See(looks, false, w.on(today), "me", "test")
	if err != nil {
		w.Fatal(err)
	}
	var words []string
	for _, l := range all {
		text := string(l.Found)
		if l.Already {
			text = "already " + text
		}
		if l.Err != nil {
			text = "refused"
		}
		words = append(words, text)
	}
	return strings.Join(words, ", ")
}

// tell notes what was done at the equipment on a day, on another day.
func (w *rounds) tell(today int, kind Kind, thing, id string, on int) {
	w.Helper()
	if _, err := w.store.Tell([]Deed{{Kind: kind, Thing: thing, Location: id, Applied: w.on(on)}}, w.on(today), "me", "test"); err != nil {
		w.Fatal(err)
	}
}

func (w *rounds) replay() *Replay {
	w.Helper()
	l, err := w.store.Ledger()
	if err != nil {
		w.Fatal(err)
	}
	r := w.store.Replay(l, w.on(100), nil)
	if len(r.Wrong) > 0 {
		w.Fatalf("a command wrote what none writes: %+v", r.Wrong)
	}
	return r
}

// lines are how many lines of a kind there are.
func (w *rounds) lines(kind Kind) (n int) {
	w.Helper()
	l, err := w.store.Ledger()
	if err != nil {
		w.Fatal(err)
	}
	for i := range l.Lines {
		if l.Lines[i].Kind == kind {
			n++
		}
	}
	return n
}

// is says what is known of a location: what was found last, whether it is amiss, and since when the label is mounted.
func (w *rounds) is(id string) string {
	w.Helper()
	r := w.replay()
	s, last := r.Seen[id], r.Labels[id]
	if s == nil {
		return "never"
	}
	text := string(s.Found)
	if s.Amiss(last) {
		text += ", amiss"
	}
	if last != nil && !last.Mounted.IsZero() {
		text += fmt.Sprintf(", mounted %d", w.days(last.Mounted))
	}
	return text
}

// days are how many days after the first print a day is.
func (w *rounds) days(d assess.Date) (n int) {
	for w.on(n).Before(d) {
		n++
	}
	return n
}

func code(t *testing.T, r *Record) Code {
	t.Helper()
	_, id, err := r.Encode()
	if err != nil {
		t.Fatal(err)
	}
	return id.Code()
}

// What is found follows from what was read, compared with the label printed last.
func TestSee(t *testing.T) {
	was, is, other := example(t, "A", 5), example(t, "A", 6), example(t, "B", 5)
	for name, c := range map[string]struct {
		look  Look
		noted string
		want  string
	}{
		"the code of the label printed last":   {Look{Code: code(t, is)}, "right", "right, mounted 9"},
		"a tick":                               {Look{Found: FoundRight}, "right", "right, mounted 9"},
		"on an earlier day":                    {Look{Code: code(t, is), Day: newRounds(t).on(6)}, "right", "right, mounted 6"},
		"the code of the one before":           {Look{Code: code(t, was)}, "old", "old, amiss"},
		"that of other equipment":              {Look{Code: code(t, other)}, "other", "other, amiss"},
		"a text that is not of the site":       {Look{Text: "X"}, "foreign", "foreign, amiss"},
		"a code that the ledger knows by now":  {Look{Code: code(t, is), Text: "X"}, "right", "right, mounted 9"},
		"one that it does not know":            {Look{Code: "0000-0000-0000-0000", Text: "X"}, "foreign", "foreign, amiss"},
		"none":                                 {Look{Found: FoundMissing}, "missing", "missing, amiss"},
		"damaged, with its code":               {Look{Found: FoundDamaged, Code: code(t, is)}, "damaged", "damaged, amiss, mounted 9"},
		"damaged: nobody read which one it is": {Look{Found: FoundDamaged}, "damaged", "damaged, amiss"},
		"damaged, with the code of another":    {Look{Found: FoundDamaged, Code: code(t, other)}, "other", "other, amiss"},
		"a tick for a day on which another label was the right one": {Look{Found: FoundRight, Day: newRounds(t).on(2)}, "old", "old, amiss"},
		"before any label was printed":                              {Look{Found: FoundMissing, Day: newRounds(t).on(0).AddDays(-1)}, "refused", "never"},
		"before that label was printed":                             {Look{Code: code(t, is), Day: newRounds(t).on(4)}, "refused", "never"},
		"tomorrow":                                                  {Look{Found: FoundRight, Day: newRounds(t).on(10)}, "refused", "never"},
		"a code that nobody printed":                                {Look{Code: "0000-0000-0000-0000"}, "refused", "never"},
		"nothing said":                                              {Look{}, "refused", "never"},
		"an unknown word":                                           {Look{Found: "gone"}, "refused", "never"},
		"a name that cannot be one":                                 {Look{Found: FoundRight, Tick: "short"}, "refused", "never"},
	} {
		w := newRounds(t, was, other)
		w.print(5, is)
		c.look.Location = "A"
		if got := w.see(9, c.look); got != c.noted || w.is("A") != c.want {
			t.Errorf("%s: %q, %q; want %q, %q", name, got, w.is("A"), c.noted, c.want)
		}
	}
}

// Nothing that somebody found is held against what was done at the equipment later, whichever was noted
// first.
func TestSeenOnEarlierDays(t *testing.T) {
	was, is := example(t, "A", 5), example(t, "A", 6)
	late := func(days int) func(w *rounds) {
		return func(w *rounds) { w.see(20, Look{Location: "A", Code: code(t, was), Day: w.on(days)}) }
	}
	mounted := func(on int) func(w *rounds) { return func(w *rounds) { w.tell(20, Mounted, "", "A", on) } }
	for name, c := range map[string]struct {
		do   []func(w *rounds)
		want string
	}{
		"found, then put right":                   {[]func(w *rounds){late(6), mounted(8)}, "old, mounted 8"},
		"put right, and noted late what it was":   {[]func(w *rounds){mounted(8), late(6)}, "old, mounted 8"},
		"found on a later day":                    {[]func(w *rounds){mounted(8), late(9)}, "old, amiss, mounted 8"},
		"found later, and the mounting was late":  {[]func(w *rounds){late(9), mounted(8)}, "old, amiss, mounted 8"},
		"an earlier day says nothing of a later":  {[]func(w *rounds){late(9), func(w *rounds) { w.see(20, Look{Location: "A", Found: FoundMissing, Day: w.on(6)}) }}, "old, amiss"},
		"found, and that label was printed again": {[]func(w *rounds){late(9), func(w *rounds) { w.print(12, was) }}, "old"},
		"missing, and the same one is mounted again": {[]func(w *rounds){mounted(8),
			func(w *rounds) { w.see(9, Look{Location: "A", Found: FoundMissing}) }, mounted(9)}, "missing, mounted 9"},
		"missing on the day on which it was mounted, and mounted again": {[]func(w *rounds){mounted(8),
			func(w *rounds) { w.see(8, Look{Location: "A", Found: FoundMissing}) }, mounted(8)}, "missing, mounted 8"},
		"missing, mounted and missing again on one day": {[]func(w *rounds){
			func(w *rounds) { w.see(8, Look{Location: "A", Found: FoundMissing}) }, mounted(8),
			func(w *rounds) { w.see(20, Look{Location: "A", Found: FoundMissing, Day: w.on(8)}) }}, "missing, amiss, mounted 8"},
	} {
		w := newRounds(t, was)
		w.print(5, is)
		for _, do := range c.do {
			do(w)
		}
		if got := w.is("A"); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// A tick that is sent again is not noted again, whatever was printed in between; one with other content is
// refused. A device's day that cannot be right is kept, and the day of the note counts.
func TestTicksOnce(t *testing.T) {
	was, is := example(t, "A", 5), example(t, "A", 6)
	name := func(n int) string { return fmt.Sprintf("tick%020d", n) }
	w := newRounds(t, was, example(t, "B", 5))
	ticks := []Look{
		{Location: "A", Found: FoundRight, Tick: name(1)}, {Location: "A", Code: code(t, was), Tick: name(2)},
		{Location: "B", Found: FoundDamaged, Tick: name(3)}, {Location: "B", Text: "X", Tick: name(4)},
		{Location: "B", Found: FoundMissing, Tick: name(5), Day: w.on(-900)}, {Location: "B", Found: FoundRight, Tick: name(5)},
	}
	if got := w.see(1, ticks...); got != "right, right, damaged, foreign, missing, refused" {
		t.Errorf("first: %q", got)
	}
	if s := w.replay().Seen["B"]; s.Clock != w.on(-900) || s.Day != w.on(1) {
		t.Errorf("%+v, %+v", s, s.Sight)
	}
	before := w.lines(Seen)
	again := func(what string) {
		t.Helper()
		if got := w.see(9, ticks[:5]...); got != "already right, already right, already damaged, already foreign, already missing" || w.lines(Seen) != before {
			t.Errorf("%s: %q, %d lines", what, got, w.lines(Seen)-before)
		}
	}
	again("sent again")
	w.print(5, is)
	again("after another label was printed")
	if _, err := w.store.Withdraw("A", w.on(9), "gone", "me", "test"); err != nil {
		t.Fatal(err)
	}
	again("after it was withdrawn")
	for _, l := range []Look{{Location: "B", Found: FoundRight, Tick: name(1)}, {Location: "A", Found: FoundMissing, Tick: name(1)},
		{Location: "A", Text: "X", Tick: name(1)}, {Location: "A", Code: code(t, is), Tick: name(1)}, {Location: "B", Text: "Y", Tick: name(4)}} {
		all, err := w.store.See([]Look{l}, false, w.on(9), "me", "test")
		if taken, ok := all[0].Err.(*LookError); err != nil || !ok || !taken.Taken {
			t.Errorf("%+v: %+v, %v", l, all, err)
		}
	}
}

// Without a tick, the same look of a location and day is noted once; one of another label is not the same.
func TestSeenOnce(t *testing.T) {
	was, is := example(t, "A", 5), example(t, "A", 6)
	w := newRounds(t, was)
	list := []Look{{Location: "A", Found: FoundRight, Day: w.on(1)}, {Location: "A", Found: FoundRight, Day: w.on(1)}}
	if got := w.see(1, list...); got != "right, already right" {
		t.Errorf("a location twice: %q", got)
	}
	if got := w.see(3, Look{Location: "A", Found: FoundMissing}); got != "missing" {
		t.Error(got)
	}
	if got := w.see(4, list...); got != "already right, already right" || w.is("A") != "missing, amiss, mounted 1" {
		t.Errorf("an older list again: %q, %q", got, w.is("A"))
	}
	w.see(5, Look{Location: "A", Code: code(t, was)})
	w.print(5, is)
	if got := w.see(5, Look{Location: "A", Code: code(t, is)}); got != "right" || w.is("A") != "right, mounted 5" {
		t.Errorf("another label on the same day: %q, %q", got, w.is("A"))
	}
	// With whole, nothing is noted where one is refused.
	n := w.lines(Seen)
	all, err := w.store.See([]Look{{Location: "A", Found: FoundMissing}, {Location: "A", Code: "0000-0000-0000-0000"}}, true, w.on(6), "me", "test")
	if err != nil || all[0].Err != nil || all[1].Err == nil || w.lines(Seen) != n {
		t.Errorf("%+v, %v, %d lines", all, err, w.lines(Seen)-n)
	}
}

// A label of other equipment may be found where none was printed. There is nothing else to note there but that
// it is gone.
func TestSeenWhereNoneWasPrinted(t *testing.T) {
	a := example(t, "A", 5)
	w := newRounds(t, a)
	if got := w.see(1, Look{Location: "B", Found: FoundMissing}, Look{Location: "B", Found: FoundRight}, Look{Location: "B", Text: "X"}); got != "refused, refused, refused" {
		t.Error(got)
	}
	if got := w.see(1, Look{Location: "B", Code: code(t, a)}); got != "other" || w.is("B") != "other, amiss" {
		t.Error(got, w.is("B"))
	}
	if got := w.see(2, Look{Location: "B", Found: FoundMissing}); got != "missing" {
		t.Error(got)
	}
	if s := w.replay().Seen["B"]; s.Found != FoundMissing {
		t.Errorf("%+v", s)
	}
	if l := w.replay().Labels["A"]; l.Seen != nil || !l.Mounted.IsZero() {
		t.Errorf("at its own equipment: %+v", l)
	}
}

// An overlay goes with what it covered, and a label that was removed is not gone where one is found.
func TestSeenAndTheDoor(t *testing.T) {
	was, is := example(t, "A", 5), example(t, "A", 6)
	w := newRounds(t, was)
	w.print(2, is)
	w.tell(2, Mounted, "", "A", 2)
	overlays := job(t, Print, is)
	overlays.Thing, overlays.Date = Overlay, w.on(3)
	carry(t, w.dir, overlays)
	w.tell(3, Mounted, Overlay, "A", 3)
	covered := func() bool {
		l := w.replay().Labels["A"]
		return l.Stuck && !l.Door.Covered.IsZero() && !l.Overlay.IsZero()
	}
	w.see(4, Look{Location: "A", Code: code(t, is)}, Look{Location: "A", Found: FoundDamaged}, Look{Location: "A", Text: "X", Day: w.on(2)})
	if !covered() {
		t.Error("a label that is damaged, or read below its overlay, is no longer covered")
	}
	w.see(5, Look{Location: "A", Code: code(t, was)})
	if covered() {
		t.Error("another label is there, and the overlay still covers it")
	}
	// Withdrawn and removed: what is found there afterwards is there.
	if _, err := w.store.Withdraw("A", w.on(6), "moved", "me", "test"); err != nil {
		t.Fatal(err)
	}
	w.tell(7, Removed, "", "A", 7)
	if l := w.replay().Labels["A"]; l.Gone != w.on(7) || l.Seen.Amiss(l) {
		t.Errorf("removed: %+v", l)
	}
	if got := w.see(8, Look{Location: "A", Found: FoundRight}); got != "old" || w.lines(Mounted) != 2 {
		t.Errorf("a label that was withdrawn: %q, %d lines", got, w.lines(Mounted))
	}
	if l := w.replay().Labels["A"]; !l.Gone.IsZero() || !l.Seen.Amiss(l) {
		t.Errorf("found again: %+v", l)
	}
	if got := w.see(9, Look{Location: "A", Found: FoundDamaged}); got != "old" || w.lines(Mounted) != 2 {
		t.Errorf("the same, damaged: %q", got)
	}
	w.see(10, Look{Location: "A", Found: FoundMissing})
	if l := w.replay().Labels["A"]; l.Gone != w.on(10) || !l.Door.Bare {
		t.Errorf("nothing is there: %+v", l)
	}
	// Printed again: what is there can only be the new copy.
	w.print(11, is)
	if got := w.see(12, Look{Location: "A", Code: code(t, is)}); got != "right" || w.is("A") != "right, mounted 12" {
		t.Errorf("%q, %q", got, w.is("A"))
	}
	// A second copy looks like the first one.
	j := job(t, Reprint, is)
	j.Date = w.on(13)
	carry(t, w.dir, j)
	w.see(14, Look{Location: "A", Code: code(t, is)})
	if l := w.replay().Labels["A"]; !l.Waits() {
		t.Errorf("nobody can see which copy it is: %+v", l)
	}
}

// No line says what was found but those that a command writes.
func TestSeenLines(t *testing.T) {
	a, b := example(t, "A", 5), example(t, "B", 5)
	_, ida, _ := a.Encode()
	_, idb, _ := b.Encode()
	line := func(change func(l *Line, s *Sight)) Line {
		d := job(t, Print).Date.AddDays(1)
		s := &Sight{Found: FoundOther, There: idb.String(), Tick: "tick0123456789abcdef"}
		l := Line{Kind: Seen, Date: d, Applied: d, Labels: []Printed{{ID: "A", Record: ida.String(), Sight: s}}}
		change(&l, s)
		return l
	}
	for name, c := range map[string]struct {
		change func(l *Line, s *Sight)
		wrong  bool
	}{
		"as it is written":               {func(*Line, *Sight) {}, false},
		"right":                          {func(_ *Line, s *Sight) { *s = Sight{Found: FoundRight} }, false},
		"damaged, with its code":         {func(_ *Line, s *Sight) { *s = Sight{Found: FoundDamaged, There: ida.String()} }, false},
		"a device's day":                 {func(l *Line, s *Sight) { s.Clock = l.Date.AddDays(9) }, false},
		"an unknown find":                {func(_ *Line, s *Sight) { s.Found = "gone" }, true},
		"none":                           {func(_ *Line, s *Sight) { s.Found = "" }, true},
		"nothing found":                  {func(l *Line, _ *Sight) { l.Labels[0].Sight = nil }, true},
		"no location":                    {func(l *Line, _ *Sight) { l.Labels = nil }, true},
		"of another kind":                {func(l *Line, _ *Sight) { l.Kind = Mounted }, true},
		"a thing":                        {func(l *Line, _ *Sight) { l.Thing = Overlay }, true},
		"a reason":                       {func(l *Line, _ *Sight) { l.Reason = "x" }, true},
		"a stock":                        {func(l *Line, _ *Sight) { l.Stock, l.Count = "4x4", 1 }, true},
		"a copy":                         {func(l *Line, _ *Sight) { l.Labels[0].Copy = 1 }, true},
		"a gist":                         {func(l *Line, _ *Sight) { l.Labels[0].Gist = "x" }, true},
		"no day":                         {func(l *Line, _ *Sight) { l.Applied = assess.Date{} }, true},
		"a day after that of the line":   {func(l *Line, _ *Sight) { l.Applied = l.Date.AddDays(1) }, true},
		"a device's day without a tick":  {func(l *Line, s *Sight) { s.Clock, s.Tick = l.Date.AddDays(9), "" }, true},
		"a name that cannot be one":      {func(_ *Line, s *Sight) { s.Tick = "x" }, true},
		"right, and another label":       {func(_ *Line, s *Sight) { s.Found = FoundRight }, true},
		"damaged, and another label":     {func(_ *Line, s *Sight) { s.Found = FoundDamaged }, true},
		"another label, and a text":      {func(_ *Line, s *Sight) { s.Text = "x" }, true},
		"a label that is not a record":   {func(_ *Line, s *Sight) { s.There = "x" }, true},
		"a label that no print made":     {func(_ *Line, s *Sight) { s.There = strings.Repeat("1", 64) }, true},
		"where a record was not printed": {func(l *Line, _ *Sight) { l.Labels[0].Record = strings.Repeat("1", 64) }, true},
	} {
		w := newRounds(t, a, b)
		if err := w.store.NoteAll(func(*Ledger) ([]Line, error) { return []Line{line(c.change)}, nil }); err != nil {
			t.Fatal(err)
		}
		l, err := w.store.Ledger()
		if err != nil {
			t.Fatal(err)
		}
		if r := w.store.Replay(l, w.on(9), nil); len(r.Wrong) > 0 != c.wrong {
			t.Errorf("%s: %+v", name, r.Wrong)
		}
	}
}

// Wherever the writing of what was found stops, the same ticks sent again leave each once, and the labels that
// are there noted as mounted.
func TestSeeKilled(t *testing.T) {
	w := newRounds(t, example(t, "A", 5), example(t, "B", 5))
	file := filepath.Join(w.dir, LedgerFile)
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	ticks := []Look{{Location: "A", Found: FoundRight, Tick: "tick0123456789abcdefa"}, {Location: "B", Found: FoundMissing, Tick: "tick0123456789abcdefb"},
		{Location: "B", Found: FoundRight, Tick: "tick0123456789abcdefc", Day: w.on(1)}}
	w.see(2, ticks...)
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for n := len(before); n < len(whole); n += 1 + len(whole)/60 {
		torn, _ := filepath.Glob(filepath.Join(w.dir, "ledger.torn-*"))
		for _, f := range torn {
			os.Remove(f)
		}
		if err := os.WriteFile(file, whole[:n], 0o644); err != nil {
			t.Fatal(err)
		}
		w.see(2, ticks...)
		l, err := w.store.Ledger()
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for i := range l.Lines {
			for k := range l.Lines[i].Labels {
				if s := l.Lines[i].Labels[k].Sight; s != nil {
					names = append(names, s.Tick[20:])
				}
			}
		}
		slices.Sort(names)
		if strings.Join(names, "") != "abc" || w.is("A") != "right, mounted 2" || w.is("B") != "missing, amiss, mounted 1" {
			t.Fatalf("stopped after %d of %d bytes: %q, %q, %q", n-len(before), len(whole)-len(before), names, w.is("A"), w.is("B"))
		}
	}
}

// The order of days decides, not that of lines: compared with a slow answer about each location, from all lines.
func TestSeenAgainstSlow(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 1))
	first := job(t, Print).Date
	for range 400 {
		l := &Ledger{Lines: make([]Line, 2+r.IntN(14))}
		for i := range l.Lines {
			kind := []Kind{Print, Seen, Seen, Mounted, Removed}[r.IntN(5)]
			p := Printed{ID: testLocations[r.IntN(2)], Record: testRecords[r.IntN(3)]}
			if kind == Seen {
				p.Sight = &Sight{Found: Founds[r.IntN(len(Founds))]}
			}
			l.Lines[i] = Line{Kind: kind, Date: first.AddDays(20), Labels: []Printed{p}, Hash: fmt.Sprint(i)}
			if kind != Print {
				l.Lines[i].Applied = first.AddDays(r.IntN(5))
			}
			if kind == Mounted && r.IntN(3) == 0 {
				l.Lines[i].Thing = Overlay
			}
		}
		got := l.Replay(first.AddDays(20), func(ID) bool { return true }, nil)
		for _, id := range testLocations[:2] {
			last := -1
			for i := range l.Lines {
				if of := &l.Lines[i]; of.Kind == Seen && of.Labels[0].ID == id && (last < 0 || !of.Applied.Before(l.Lines[last].Applied)) {
					last = i
				}
			}
			s := got.Seen[id]
			if last < 0 {
				if s != nil {
					t.Fatalf("%s: %+v of %+v", id, s, l.Lines)
				}
				continue
			}
			cleared := false
			for i := range l.Lines {
				of := &l.Lines[i]
				door := (of.Kind == Mounted || of.Kind == Removed) && of.Thing == "" && of.Labels[0].ID == id
				day := l.Lines[last].Applied
				cleared = cleared || door && (day.Before(of.Applied) || day == of.Applied && i > last)
			}
			if s == nil || s.Sight != l.Lines[last].Labels[0].Sight || s.Day != l.Lines[last].Applied || s.Cleared != cleared {
				t.Fatalf("%s: %+v, want line %d, cleared %v, of %+v", id, s, last, cleared, l.Lines)
			}
		}
	}
}

// A label is printed again because none was there, by print as by reprint: it waits to be mounted, and
// when somebody sees it there, it is noted as mounted. The line of whoever signed in is one that a command
// writes.
func TestPrintedAgainWhereNoneWas(t *testing.T) {
	for _, kind := range []Kind{Print, Reprint} {
		s := Open(t.TempDir())
		s.Role = RolePlanner
		j := job(t, Print, example(t, "A", 6.5))
		must := func(err error) {
			t.Helper()
			if err != nil {
				t.Fatal(err)
			}
		}
		must(s.Carry(j))
		at := j.Sheet[0].Record.Location.ID
		on := func(days int) assess.Date { return j.Date.AddDays(days) }
		_, err := s.Mount([]string{at}, on(1), on(1), "A", "test")
		must(err)
		_, err = s.See([]Look{{Location: at, Found: FoundMissing}}, true, on(2), "A", "test")
		must(err)
		again := job(t, kind, example(t, "A", 6.5))
		again.Date = on(2)
		must(s.Carry(again))
		h, err := s.History(on(2))
		must(err)
		l := h.Labels[at]
		if !l.Waits() {
			t.Errorf("%s: the copy does not wait to be mounted", kind)
		}
		_, err = s.See([]Look{{Location: at, Code: l.ID.Code()}}, true, on(3), "A", "test")
		must(err)
		h, err = s.History(on(3))
		must(err)
		if l := h.Labels[at]; l.Mounted != on(3) || l.Waits() {
			t.Errorf("%s: %+v", kind, l.Label)
		}
		if h.Replay.Wrong != nil {
			t.Errorf("%v", h.Replay.Wrong)
		}
		for _, line := range h.Ledger.Lines {
			if line.Kind == Seen && line.Role != RolePlanner {
				t.Errorf("%+v", line)
			}
		}
	}
}
