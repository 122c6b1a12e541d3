package assess

import (
	"cmp"
	"fmt"
	"slices"

	"vouchmark/assess/shock"
)

// Reach says which locations a change puts in question.
type Reach string

const (
	// Below is the place, everything fed from it by any of several feeds, and every
	// location whose protective device is installed there.
	Below Reach = "below"
	// Connected is everything connected with the place, also at its side and
	// upstream: a change of the sources of fault current.
	Connected Reach = "connected"
)

// ChangeKind is what was changed, in trade words, as changes.toml writes it.
type ChangeKind struct {
	Name  string
	Reach Reach
	// Device is true if the protective device may now clear at another time: what
	// was known about its curve and its durations no longer counts.
	Device bool
}

// ChangeKinds are the kinds of changes that can make a study's results wrong
// (NFPA 70E 130.5(G): review when a major modification or renovation takes
// place; the list from memory of IEEE 1584.1).
var ChangeKinds = []ChangeKind{
	{"fuse replaced", Below, true},
	{"breaker replaced", Below, true},
	{"setting changed", Below, true},
	{"device failed its maintenance test", Below, true},
	{"device out of service", Below, true},
	{"arc-sensing or zone interlocking defeated", Below, true},
	{"transformer replaced", Below, false},
	{"conductor changed", Below, false},
	{"equipment replaced or moved", Below, true},
	{"utility source changed", Connected, false},
	{"motor load changed", Connected, false},
	{"generator, storage or solar changed", Connected, false},
	{"tie or operating mode changed", Connected, false},
	{"renovation", Connected, false},
}

// ChangesFile is where a site folder keeps its log.
const ChangesFile = "changes.toml"

// Log lists the changes of the power system and how each was settled, in the order
// of changes.toml, which only grows.
type Log struct {
	Changes     []Change
	Settlements []Settlement
	Reviews     []Review
	Entries     []Entry // all of the file, also those that do not count
}

// Change is one alteration.
type Change struct {
	ID   string // "2026-08-11/SWB-1"; a second one of that day and place ends in "/2"
	Date Date
	At   string // the location
	Kind ChangeKind
	Note string
	By   string
	New  map[string]NewValues // what is known about single locations after the change
	Line int                  // of changes.toml
	Sum  string               // see [Entry.Sum]
}

// Words says what was changed, where and when.
func (c *Change) Words() string { return c.Kind.Name + " at " + c.At + " on " + c.Date.String() }

// Settlement clears a change for the locations in its scope: a qualified person
// found that their labels still hold.
type Settlement struct {
	Change string // the change's ID
	Date   Date
	By     string
	Reason string
	Scope  Scope
	// AgainstScreening says why labels hold although their screening is above what
	// they print; "" for no reason, and then it releases no such label.
	AgainstScreening string
	Line             int
	Sum              string // see [Entry.Sum]
}

// Finds is what a review found about the study.
type Finds string

// The findings of a review, as changes.toml writes them.
const (
	FoundRight Finds = "right" // a new interval begins
	FoundWrong Finds = "wrong" // in question until a later survey
)

// Review is one review of the study for the locations in its scope.
type Review struct {
	Date    Date   `json:"date"`
	By      string `json:"by"`
	Scope   Scope  `json:"-"`
	Finding Finds  `json:"-"`
	Reason  string `json:"-"` // "" in older files
	Line    int    `json:"-"`
	Sum     string `json:"-"` // see [Entry.Sum]
}

// Scope is all locations, or some.
type Scope struct {
	All bool
	IDs []string
}

// Holds reports whether a location is in the scope.
func (s Scope) Holds(id string) bool { return s.All || slices.Contains(s.IDs, id) }

// Set is Holds for asking often.
func (s Scope) Set() func(id string) bool {
	ids := make(map[string]bool, len(s.IDs))
	for _, id := range s.IDs {
		ids[id] = true
	}
	return func(id string) bool { return s.All || ids[id] }
}

// ChangeNames are the names of changes so far, each with the number to try first for
// the next change of that day and place.
type ChangeNames map[string]int

// Next names another change by its day, its place and its number among those of
// that day and place. A name that is taken, also by a change at a place whose id
// ends in a number, is skipped.
func (n ChangeNames) Next(date Date, at string) string {
	first := date.String() + "/" + at
	k := n[first]
	if k == 0 {
		n.take(first)
		return first
	}
	for ; ; k++ {
		id := fmt.Sprintf("%s/%d", first, k)
		if n[id] == 0 {
			n[first] = k + 1
			n.take(id)
			return id
		}
	}
}

func (n ChangeNames) take(id string) { n[id] = max(n[id], 2) }

// NextID names a change that is to be appended.
func (l *Log) NextID(date Date, at string) string {
	names := ChangeNames{}
	for i := range l.Changes {
		names.take(l.Changes[i].ID)
	}
	return names.Next(date, at)
}

// Reviewed returns the reviews up to today with this finding for a location.
func (l *Log) Reviewed(finding Finds, today Date) func(id string) []*Review {
	byID := map[string][]*Review{}
	for i := range l.Reviews {
		r := &l.Reviews[i]
		if r.Finding != finding || today.Before(r.Date) {
			continue
		}
		if r.Scope.All {
			byID[""] = append(byID[""], r)
		}
		for _, id := range r.Scope.IDs {
			byID[id] = append(byID[id], r)
		}
	}
	return func(id string) []*Review { return slices.Concat(byID[""], byID[id]) }
}

// ReviewedRight returns the last review up to today that found a location's study
// right. A review on or after the day of a newer study, zero for none, was of that
// one.
func (l *Log) ReviewedRight(today Date) func(id string, prepared, newer Date) *Review {
	right := l.Reviewed(FoundRight, today)
	return func(id string, prepared, newer Date) *Review {
		var last *Review
		for _, r := range right(id) {
			of := !r.Date.Before(prepared) && (newer.IsZero() || r.Date.Before(newer))
			if of && (last == nil || last.Date.Before(r.Date)) {
				last = r
			}
		}
		return last
	}
}

// Findings is what a person must look at in a site as a whole: its policy, entries
// of changes.toml that do not count yet, and devices.csv.
func (s *Site) Findings(today Date) []Finding {
	all := slices.Clone(s.Policy.Findings)
	if e := s.Policy.Edition; !shock.Holds(e) {
		all = append(all, Finding{Level: Caution, Code: EditionUnknown, Field: "edition",
			Message: fmt.Sprintf("this program does not have the tables of %q: approach boundaries are those of NFPA 70E-2024, and are cited as such; "+
				"compare them with your own edition", e)})
	}
	policy := len(all)
	add := func(line int, what string, d Date) {
		if today.Before(d) {
			text := fmt.Sprintf("the %s is dated %s, after today (%s), and does not count yet; correct the date, or wait until then",
				what, d, today)
			all = append(all, Finding{Level: Caution, Code: EntryAhead, Field: "date", Message: text, File: ChangesFile, Line: line})
		}
	}
	for _, c := range s.Log.Changes {
		add(c.Line, "change "+c.ID, c.Date)
	}
	for _, t := range s.Log.Settlements {
		add(t.Line, "settlement of "+t.Change, t.Date)
	}
	for _, r := range s.Log.Reviews {
		add(r.Line, "review", r.Date)
	}
	slices.SortStableFunc(all[policy:], func(a, b Finding) int { return cmp.Compare(a.Line, b.Line) })
	return append(all, s.deviceFindings(today)...)
}
