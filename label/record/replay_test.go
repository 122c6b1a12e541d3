package record

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"vouchmark/assess"
)

// slow answers each question from the whole ledger, and must agree with a replay.
type slow struct {
	lines []Line
	today assess.Date
	has   func(ID) bool
	only  Only
}

// before are the lines before one.
func (s *slow) before(i int) []Line { return s.lines[:i] }

// said reports whether any line says that another ended in this way.
func (s *slow) said(kind Kind, of *Line) bool {
	return slices.ContainsFunc(s.lines, func(l Line) bool { return l.Kind == kind && l.Of == of.Hash })
}

func ends(l Line) bool { return l.Kind == Done || l.Kind == Failed || l.Kind == Unfinished }

// open is the number of the print that a line ends; 0 for none.
func (s *slow) open(i int) int {
	n := 1 + slices.IndexFunc(s.before(i), func(l Line) bool { return l.Hash == s.lines[i].Of })
	ended := slices.ContainsFunc(s.before(i), func(l Line) bool { return ends(l) && l.Of == s.lines[i].Of })
	if n == 0 || ended || !s.lines[n-1].Kind.Prints() && s.lines[n-1].Kind != Entered {
		return 0
	}
	return n
}

// copies counts the copies of a record printed as a thing, up to a label of a line.
func (s *slow) copies(record, thing string, line, label int) int {
	n := 0
	for i, l := range s.lines {
		for k, p := range l.Labels {
			if p.Record != record || l.Thing != thing || !l.Kind.Prints() || i > line || i == line && k > label {
				continue
			}
			n++
			for e := i; e < min(line, len(s.lines)); e++ {
				if s.lines[e].Kind == Failed && s.open(e) == i+1 && l.Kind.Prints() {
					n--
				}
			}
		}
	}
	return n
}

// takesIn reports whether a line takes a study in, by the keys that it has and
// their values.
func takesIn(t *testing.T, l *Line) bool {
	text, err := json.Marshal(l)
	if err != nil {
		t.Fatal(err)
	}
	keys := map[string]any{}
	if err := json.Unmarshal(text, &keys); err != nil {
		t.Fatal(err)
	}
	for _, may := range strings.Fields("schema kind date by tool before prev hash") {
		delete(keys, may)
	}
	digits := regexp.MustCompile("^[0-9a-f]{64}$")
	for _, f := range kept(l) {
		if !StudyFile(f.File) || !digits.MatchString(f.SHA256) || f.Bytes < 1 || f.Bytes > 64<<20 {
			return false
		}
	}
	_, study := keys["study"]
	if !study || len(keys) != 2 || !digits.MatchString(l.Locations) {
		return false
	}
	return l.Before == nil || l.Before.File != l.Study.File && l.Before.SHA256 != l.Locations
}

// tells reports whether a line has one of the keys of lines that take studies in.
func tells(l *Line) bool { return l.Study != nil || l.Before != nil || l.Locations != "" }

// kept are the files that a line which takes a study in names.
func kept(l *Line) (all []*Stored) {
	if l.Kind == Intake && l.Study != nil {
		all = append(all, l.Study)
	}
	if l.Kind == Intake && l.Before != nil {
		all = append(all, l.Before)
	}
	return all
}

// file is what the first line that names a file in studies/ says about it, and the
// number of that line.
func (s *slow) file(name string) (*Stored, int) {
	for i := range s.lines {
		for _, f := range kept(&s.lines[i]) {
			if f.File == name {
				return f, i + 1
			}
		}
	}
	return nil, 0
}

// studies are the files in studies/.
func (s *slow) studies() map[string]*Study {
	all := map[string]*Study{}
	for i := range s.lines {
		for _, f := range kept(&s.lines[i]) {
			first, line := s.file(f.File)
			all[f.File] = &Study{Stored: *first, Line: line}
		}
	}
	for name, study := range all {
		i := slices.IndexFunc(s.lines, func(l Line) bool {
			return l.Kind == Intake && l.Study != nil && *l.Study == study.Stored && l.Study.File == name && !s.today.Before(l.Date)
		})
		if i >= 0 {
			study.Taken = &s.lines[i]
		}
	}
	return all
}

func (s *slow) wrong(t *testing.T) []Wrong {
	var all []Wrong
	for i, l := range s.lines {
		add := func(wrong bool, what string, args ...any) {
			if wrong && s.only == nil {
				all = append(all, Wrong{i + 1, fmt.Sprintf(what, args...)})
			}
		}
		entry := func(l Line) bool { return l.Kind == Entered || l.Kind == Noted }
		add(l.Torn != nil && l.Kind != Torn, "it names a file with half a line and is of another kind")
		add(l.Log != nil && !entry(l), "it has an entry of changes.toml and is of another kind")
		begun := slices.ContainsFunc(s.before(i), func(l Line) bool { return entry(l) && l.logs() })
		add(entry(l) && !l.logs(), "no command writes such a line")
		add(entry(l) && l.logs() && begun && l.Log.Earlier != nil, "it lists the entries before the first one that was noted, and is not the first one")
		notes := slices.Contains([]Kind{Withdrawn, Mounted, Removed, Signed, Settled}, l.Kind)
		onDoor := l.Thing == overlay && slices.Contains([]Kind{Mounted, Removed}, l.Kind)
		odd := notes && l.Thing != "" && !onDoor || l.Kind == Withdrawn && len(l.Labels) != 1
		odd = odd || l.Kind == Settled && l.Change == "" || l.Kind == Settled && len(l.Labels) > 0
		head := slices.ContainsFunc(s.before(i), func(b Line) bool { return b.Hash == l.Of })
		add(l.Kind.Prints() && l.Count != len(l.Labels), "it counts %d labels and names %d", l.Count, len(l.Labels))
		add(ends(l) && s.open(i) == 0, "it ends a print that is not open")
		add(odd, "no command writes such a line")
		add(l.Kind == Signed && len(l.Labels) == 0 && !head, "it signs a line that is not before it")
		add(l.Kind == Intake && !takesIn(t, &l), "no command writes such a line")
		add(l.Kind == Torn && !l.tears(), "no command writes such a line")
		add(!l.Kind.Prints() && !ends(l) && !notes && l.Kind != Intake && l.Kind != Torn && !entry(l), "an unknown kind of line, %q", l.Kind)
		for _, p := range l.Labels {
			of := s.open(i)
			add(l.Kind == Unfinished && of > 0 && !hasLabel(&s.lines[of-1], p.ID, p.Record), "it found a label of %s, which the print did not name", p.ID)
		}
		add(l.Kind != Intake && tells(&l), "it names a study file and takes none in")
		for _, file := range kept(&l) {
			first, line := s.file(file.File)
			other := *first != *file
			add(other, "it names other bytes for studies/%s than ledger.jsonl:%d does", file.File, line)
		}
		for k, p := range l.Labels {
			n := s.copies(p.Record, l.Thing, i, k)
			made := slices.ContainsFunc(s.before(i), func(b Line) bool {
				return b.Kind.Prints() && slices.ContainsFunc(b.Labels, func(o Printed) bool { return o.Record == p.Record })
			})
			add(l.Kind.Prints() && p.Copy != n, "it counts the label of %s as copy %d, but after the lines before it this is copy %d", p.ID, p.Copy, n)
			add(notes && !made, "it names a record of %s that no print made", p.ID)
		}
	}
	return all
}

// hasLabel reports whether a line names a record for a location; "" is any.
func hasLabel(l *Line, id, record string) bool {
	return slices.ContainsFunc(l.Labels, func(p Printed) bool { return (id == "" || p.ID == id) && p.Record == record })
}

// stored reports whether any line proves that a record was stored.
func (s *slow) stored(record string) bool {
	return slices.ContainsFunc(s.lines, func(l Line) bool {
		proves := slices.Contains([]Kind{Unfinished, Withdrawn, Mounted, Removed, Signed}, l.Kind)
		return hasLabel(&l, "", record) && (proves || s.said(Done, &l))
	})
}

// told is a line about the label of a location, as far as it counts.
type told struct {
	*Line
	id    ID
	strip bool
}

// is reports whether it has a kind and a thing; "" is a print of any kind.
func (e told) is(kind Kind, thing string) bool {
	return e.Thing == thing && (e.Kind == kind || kind == "" && e.Kind.Prints())
}

// of are the lines that count for the label of a location, in order.
func (s *slow) of(location string) story {
	var all story
	for i := range s.lines {
		l := &s.lines[i]
		for _, p := range l.Labels {
			id, err := ParseID(p.Record)
			if p.ID != location || err != nil || id == (ID{}) || s.today.Before(l.Date) || s.said(Failed, l) {
				continue
			}
			exists := l.Kind.Prints() && (s.stored(p.Record) || s.has(id))
			last, printed := all.last(func(e told) bool { return e.is("", "") })
			same := printed >= 0 && last.id == id
			counts := false
			switch {
			case l.Kind.Prints():
				counts = exists && (l.Thing == "" || l.Thing == overlay && same)
			case l.Kind == Withdrawn, l.Kind == Mounted:
				counts = same && (l.Thing == "" || l.Thing == overlay)
			case l.Kind == Removed:
				counts = (same || printed >= 0 && all.door() == id) && (l.Thing == "" || l.Thing == overlay)
			}
			if counts {
				all = append(all, told{l, id, p.Strip})
			}
		}
	}
	return all
}

// story is what the lines say about the label of a location, in order. Each answer
// is looked for separately, from the end.
type story []told

// last is the last of the matching lines and its index; negative for none.
func (s story) last(some func(e told) bool) (e told, at int) {
	for at = len(s) - 1; at >= 0; at-- {
		if some(s[at]) {
			return s[at], at
		}
	}
	return e, at
}

// door is the label that is noted as mounted.
func (s story) door() ID {
	if e, at := s.last(func(e told) bool { return e.is(Mounted, "") || e.is(Removed, "") }); at >= 0 && e.Kind == Mounted {
		return e.id
	}
	return ID{}
}

// since is the part from the last print of a label on, and the part from the first
// of consecutive prints of its record on.
func (s story) since() (last, run story) {
	e, at := s.last(func(e told) bool { return e.is("", "") })
	_, other := s.last(func(o told) bool { return o.is("", "") && o.id != e.id })
	from := at
	for i := at; i > other; i-- {
		if s[i].is("", "") {
			from = i
		}
	}
	return s[at:], s[from:]
}

func (s story) overlaid() (printed assess.Date, stuck bool) {
	last, _ := s.since()
	gone := func(e told) bool { return e.Kind == Removed }
	if e, at := last.last(func(e told) bool { return e.is("", overlay) || gone(e) }); at >= 0 && !gone(e) {
		printed = e.Date
	}
	e, at := last.last(func(e told) bool { return e.Thing == overlay && e.Kind != Withdrawn || gone(e) })
	return printed, at >= 0 && e.is(Mounted, overlay)
}

func (s story) covered() assess.Date {
	for i := len(s) - 1; i >= 0; i-- {
		switch e := s[i]; {
		case e.is(Mounted, overlay):
			return e.Applied
		case e.Kind == Removed:
			return assess.Date{}
		case e.is(Mounted, ""):
			if _, stuck := s[:i].overlaid(); !stuck {
				return assess.Date{}
			}
		}
	}
	return assess.Date{}
}

func (s story) withdrawn() *Line {
	last, _ := s.since()
	if e, at := last.last(func(e told) bool { return e.Kind == Withdrawn }); at >= 0 {
		return e.Line
	}
	return nil
}

// again reports whether a copy was printed, since one was mounted or removed, that
// must replace the one before.
func (s story) again() bool {
	_, run := s.since()
	from := len(s) - len(run)
	for i := len(s) - 1; i > from; i-- {
		e := s[i]
		if e.is(Mounted, "") || e.is(Removed, "") {
			return false
		}
		if before, _ := s[:i].last(func(e told) bool { return e.is("", "") }); e.is("", "") {
			printed, _ := s[:i].overlaid()
			if e.Kind == Reprint || e.strip != before.strip || s[:i].withdrawn() != nil || !printed.IsZero() {
				return true
			}
		}
	}
	return false
}

// label is the label printed last for a location; nil for none.
func (s *slow) label(location string) *Label {
	all := s.of(location)
	if _, at := all.last(func(e told) bool { return e.is("", "") }); at < 0 {
		return nil
	}
	last, run := all.since()
	l := &Label{ID: last[0].id, Since: run[0].Date, Printed: last[0].Date, Strip: last[0].strip,
		Withdrawn: all.withdrawn(), Again: all.again()}
	l.Overlay, l.Stuck = all.overlaid()
	onDoor := func(e told) bool { return e.is(Mounted, "") || e.is(Removed, "") }
	if e, at := run.last(onDoor); at >= 0 && e.Kind == Mounted {
		l.Mounted = e.Applied
	}
	if e, at := last.last(onDoor); at >= 0 && e.Kind == Removed {
		l.Gone = e.Applied
	}
	l.Door = Door{Label: all.door(), Covered: all.covered()}
	if e, at := all.last(onDoor); at >= 0 {
		l.Door.Bare = e.Kind == Removed
	}
	var before *told
	for i := range all {
		e := &all[i]
		if !e.is("", "") {
			continue
		}
		if before != nil && before.id != e.id {
			l.Earlier = slices.DeleteFunc(l.Earlier, func(o Earlier) bool { return o.ID == before.id || o.ID == e.id })
			l.Earlier = append(l.Earlier, Earlier{before.id, e.Date, e.id})
		}
		before = e
	}
	return l
}

var (
	testLocations = []string{"A", "B", "C"}
	testRecords   = []string{strings.Repeat("1", 64), strings.Repeat("2", 64), strings.Repeat("3", 64),
		strings.Repeat("a", 64), firstPrev, "no record"}
)

// randomLedger is a ledger in which most lines make sense after each other, and some
// do not.
func randomLedger(t *testing.T, r *rand.Rand) []Line {
	pick := func(all ...string) string { return all[r.IntN(len(all))] }
	date := func() assess.Date { return job(t, Print).Date.AddDays(r.IntN(10)) }
	s := &slow{lines: make([]Line, r.IntN(60))}
	locations, records := testLocations[:1+r.IntN(3)], testRecords[:1+r.IntN(6)]
	for i := range s.lines {
		l := &s.lines[i]
		l.Hash, l.Date, l.Tool = fmt.Sprint("hash of ", i), date(), pick("", "v1", "v2")
		if i > 0 && r.IntN(3) > 0 && (s.lines[i-1].Kind.Prints() || s.lines[i-1].Kind == Entered) {
			l.Kind, l.Of = Kind(pick("done", "done", "failed", "unfinished")), s.lines[i-1].Hash
		} else {
			l.Kind = Kind(pick("print", "print", "print", "reprint", "withdrawn", "mounted", "mounted", "removed", "signed", "settled", "intake", "intake", "torn", "entry", "noted",
				"done", "failed", "unfinished", "odd"))
		}
		if r.IntN(12) == 0 || l.Of == "" && (ends(*l) || l.Kind == Signed) {
			l.Of = fmt.Sprint("hash of ", r.IntN(i+1)-1)
		}
		if l.Kind == Mounted || l.Kind == Removed {
			l.Applied = date()
		}
		if l.Kind == Intake && r.IntN(12) > 0 || r.IntN(60) == 0 {
			takeIn(r, l)
		}
		if l.Kind == Intake && r.IntN(12) > 0 {
			continue
		}
		if (l.Kind.Prints() || l.Applied != assess.Date{}) && r.IntN(3) == 0 || r.IntN(15) == 0 {
			l.Thing = pick("fault", "overlay", "overlay", "odd")
		}
		l.Change = pick("", "a change")
		if l.Kind == Torn && r.IntN(4) > 0 || r.IntN(60) == 0 {
			l.Torn = &Stored{TornName(3, []byte("half")), SHA256([]byte("half")), int64(r.IntN(3))}
		}
		if entry := l.Kind == Entered || l.Kind == Noted; entry && r.IntN(6) > 0 || r.IntN(60) == 0 {
			enter(r, l)
			if entry && r.IntN(4) > 0 {
				continue
			}
		}
		if of := s.open(i); l.Kind == Unfinished && of > 0 && r.IntN(2) == 0 { // as the program writes it
			for _, p := range s.lines[of-1].Labels[:r.IntN(len(s.lines[of-1].Labels)+1)] {
				l.Labels = append(l.Labels, Printed{ID: p.ID, Record: p.Record})
			}
			continue
		}
		if ends(*l) && r.IntN(10) > 0 {
			continue
		}
		for k := range r.IntN(4) {
			p := Printed{ID: pick(locations...), Record: pick(records...), Strip: r.IntN(3) == 0}
			l.Labels = append(l.Labels, p)
			if r.IntN(10) > 0 {
				l.Labels[k].Copy = s.copies(p.Record, l.Thing, i, k)
			}
		}
		if l.Count = len(l.Labels); r.IntN(10) == 0 {
			l.Count++
		}
	}
	return s.lines
}

// takeIn turns a line into one that takes a study in, usually correctly.
func takeIn(r *rand.Rand, l *Line) {
	pick := func(all ...string) string { return all[r.IntN(len(all))] }
	file := func(names ...string) *Stored {
		f := &Stored{pick(names...), testRecords[r.IntN(2)], int64(1 + r.IntN(2))}
		switch r.IntN(40) {
		case 0:
			f.File = pick("a/b.csv", "..", "", "con.csv", "-a.csv")
		case 1:
			f.SHA256 = pick("", "12", strings.Repeat("A", 64), strings.Repeat("g", 64))
		case 2:
			f.Bytes = [...]int64{0, -1, MostStudy, MostStudy + 1}[r.IntN(4)]
		}
		return f
	}
	l.Study, l.Locations = file("R.csv", "S.xlsx"), testRecords[2+r.IntN(2)]
	if r.IntN(2) == 0 {
		l.Before = file("before.csv", "before-2.csv", "before.csv", "R.csv")
	}
	switch r.IntN(30) {
	case 0:
		l.Study = nil
	case 1:
		l.Locations = pick("", "12", testRecords[0], testRecords[1])
	case 2:
		l.Stock = "4x4"
	case 3:
		l.Reason, l.Interim = pick("", "x"), pick("", "x")
	case 4:
		l.Text, l.Signature = pick("", "x"), pick("", "x")
	}
}

// enter turns a line into one about an entry of changes.toml, usually correctly.
func enter(r *rand.Rand, l *Line) {
	pick := func(all ...string) string { return all[r.IntN(len(all))] }
	e := assess.NewEntry(pick("change", "settlement", "review", "odd"), pick("X", "Y"), map[string]any{"by": pick("x", "y")}, 0)
	*l = Line{Kind: l.Kind, Hash: l.Hash, Date: l.Date, Tool: l.Tool, Text: e.Sum, Log: NewLogged(l.Kind, &e).Log}
	if l.Kind == Entered {
		l.Log.Was, l.Log.Is = testRecords[0], testRecords[1]
	}
	switch r.IntN(12) {
	case 0:
		l.Log.Earlier = []string{testRecords[2]}
	case 1:
		l.Log.Settles = pick(testRecords[3], "x")
	case 2:
		l.Log.Was = pick("", "x")
	case 3:
		l.Text = testRecords[0]
	}
}

// A replay agrees with the lines read one by one, for all labels and for some.
func TestReplay(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	rightIntakes, wrongIntakes := 0, 0
	for run := range 2000 {
		today, there := job(t, Print).Date.AddDays(r.IntN(12)), r.IntN(16)
		s := &slow{lines: randomLedger(t, r), today: today, has: func(id ID) bool { return there>>(id[0]&3)&1 == 1 }}
		if run%3 == 1 {
			s.only = Locations("A", "C")
		} else if run%3 == 2 {
			s.only = Records(testRecords[0], testRecords[5])
		}
		got := (&Ledger{Lines: s.lines}).Replay(today, s.has, s.only)
		s.hold(t, got)
		if t.Failed() {
			for i, l := range s.lines {
				t.Logf("%d: %+v", i+1, l)
			}
			t.Fatalf("run %d", run)
		}
		for i := range s.lines {
			if l := &s.lines[i]; l.Kind == Intake && takesIn(t, l) {
				rightIntakes++
			} else if l.Kind == Intake {
				wrongIntakes++
			}
		}
	}
	if rightIntakes < 1000 || wrongIntakes < 200 {
		t.Errorf("%d studies taken in, and %d wrongly", rightIntakes, wrongIntakes)
	}
}

// hold compares a replay with the lines.
func (s *slow) hold(t *testing.T, got *Replay) {
	t.Helper()
	same := func(what string, got, want any) {
		t.Helper()
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v\nwant %+v", what, got, want)
		}
	}
	same("wrong", got.Wrong, s.wrong(t))
	same("studies", got.Studies, s.studies())
	var open []*Line
	var entries []Entry
	records := map[string]*Named{}
	for i := range s.lines {
		l := &s.lines[i]
		end := End{s.said(Done, l), s.said(Failed, l), s.said(Unfinished, l)}
		if (l.Kind.Prints() || l.Kind == Entered) && end == (End{}) {
			open = append(open, l)
		}
		for k := range l.Labels {
			p := &l.Labels[k]
			if l.Kind == Unfinished || s.only != nil && !s.only(p) {
				continue
			}
			e := Entry{l, p, end}
			entries = append(entries, e)
			n := records[p.Record]
			if n == nil {
				id, err := ParseID(p.Record)
				n = &Named{ID: id, Valid: err == nil}
				records[p.Record] = n
			}
			n.Printed = n.Printed || l.Kind.Prints()
			n.Entries = append(n.Entries, &e)
			if proof := slices.Contains([]Kind{Withdrawn, Mounted, Removed, Signed}, l.Kind); proof && n.Needed == 0 {
				n.Needed = i + 1
			}
		}
		if of := s.open(i); l.Kind == Unfinished && of > 0 {
			for _, p := range l.Labels {
				if n := records[p.Record]; n != nil && n.Needed == 0 && hasLabel(&s.lines[of-1], p.ID, p.Record) && (s.only == nil || s.only(&p)) {
					n.Needed = i + 1
				}
			}
		}
		if of := s.open(i); l.Kind == Done && of > 0 && s.lines[of-1].Kind.Prints() {
			for _, p := range s.lines[of-1].Labels {
				if n := records[p.Record]; n != nil && (s.only == nil || s.only(&p)) {
					n.Needed = of
				}
			}
		}
		same("of", got.Of(i+1), 1+slices.IndexFunc(s.before(i), func(b Line) bool { return b.Hash == l.Of }))
	}
	same("open", got.Open, open)
	same("entries", append([]Entry(nil), got.Entries...), entries)
	same("records", got.Records, records)
	if s.only != nil && !s.only(&Printed{ID: "A"}) {
		return // only some records of a location: what follows is about all
	}
	for _, location := range testLocations {
		want := s.label(location)
		if s.only != nil && !s.only(&Printed{ID: location}) {
			want = nil
		}
		same("label of "+location, got.Labels[location], want)
	}
	for _, record := range testRecords {
		for _, thing := range []string{"", "fault", "overlay", "odd"} {
			if s.only == nil {
				same("copies of "+record, got.copies[copied{record, thing}], s.copies(record, thing, len(s.lines), 0))
			}
		}
	}
}

// For some locations, no other records are read.
func TestHistoryOfSome(t *testing.T) {
	dir := t.TempDir()
	j := job(t, Print, example(t, "A", 6.5), example(t, "B", 9.5))
	carry(t, dir, j)
	for _, c := range []struct{ locations, want []string }{
		{nil, []string{"A", "B"}}, {[]string{"B"}, []string{"B"}}, {[]string{"B", "A", "C"}, []string{"A", "B"}}, {[]string{"C"}, nil},
	} {
		h, err := Open(dir).History(j.Date, c.locations...)
		if err != nil {
			t.Fatal(err)
		}
		got := slices.Sorted(maps.Keys(h.Labels))
		if !slices.Equal(got, c.want) || len(h.Replay.Records) != len(c.want) {
			t.Errorf("%q: labels of %q, %d records; want %q", c.locations, got, len(h.Replay.Records), c.want)
		}
	}
}
