package record

import (
	"maps"
	"reflect"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/site"
)

// Every entry that a command adds to changes.toml is announced in the ledger, with all its
// values. So an entry that was removed or altered since is known, and what a person types
// into the file by hand differs from what somebody decided by name.

// Logged is an entry of changes.toml, as a line of the ledger has it. The line's Text is the
// entry's sum.
type Logged struct {
	Table  string         `json:"table"` // see [assess.Entry]
	Name   string         `json:"name"`
	Values map[string]any `json:"values"`
	// Settles is the sum of the change that a settlement is about: no other change is settled
	// by it, whatever its name.
	Settles string `json:"settles,omitempty"`
	// Was and Is are the SHA-256 of changes.toml before and after a command adds the entry. An
	// empty file and none are the same.
	Was string `json:"was,omitempty"`
	Is  string `json:"is,omitempty"`
	// Earlier are the sums of the entries that were in the file before the first one that was
	// noted: that line has them. They count as they did before.
	Earlier []string `json:"earlier,omitempty"`
}

// NewLogged is a line about an entry, of one of both kinds.
func NewLogged(kind Kind, e *assess.Entry) Line {
	return Line{Kind: kind, Text: e.Sum, Log: &Logged{Table: e.Table, Name: e.Name, Values: e.Values}}
}

// texts are the texts in an entry.
func (g *Logged) texts() []string {
	all := []string{g.Table, g.Name}
	var add func(v any)
	add = func(v any) {
		switch v := v.(type) {
		case string:
			all = append(all, v)
		case []any:
			for _, of := range v {
				add(of)
			}
		case map[string]any:
			for key, of := range v {
				all = append(all, key)
				add(of)
			}
		}
	}
	add(g.Values)
	return all
}

// logs reports whether a line is about an entry of changes.toml and says nothing else.
func (l *Line) logs() bool {
	only := Line{Schema: l.Schema, Kind: l.Kind, Date: l.Date, By: l.By, Role: l.Role, Tool: l.Tool, Text: l.Text, Log: l.Log, Prev: l.Prev, Hash: l.Hash}
	g := l.Log
	if g == nil || g.Values == nil || !reflect.DeepEqual(*l, only) {
		return false
	}
	files := g.Was == "" && g.Is == ""
	if l.Kind == Entered {
		files = isSHA256(g.Was) && isSHA256(g.Is)
	}
	return files && slices.Contains([]string{assess.ChangeEntry, assess.SettlementEntry, assess.ReviewEntry}, g.Table) &&
		assess.NewEntry(g.Table, g.Name, g.Values, 0).Sum == l.Text &&
		(g.Settles == "" || g.Table == assess.SettlementEntry && isSHA256(g.Settles)) &&
		!slices.ContainsFunc(g.Earlier, func(sum string) bool { return !isSHA256(sum) })
}

// Notes are what the ledger says about entries of changes.toml. Nil is a ledger that says
// nothing.
type Notes struct {
	Begun   int    // number of the first line about an entry; 0 for none
	All     []Note // in order
	by      map[string]int
	earlier []string
	before  map[string]bool // the same
	settled map[[2]string]bool
}

// Note is a line about an entry.
type Note struct {
	assess.Entry
	Kind    Kind // Entered or Noted
	Date    assess.Date
	By      string
	Role    Role   // see [Line]
	Settles string // see [Logged]
	Number  int    // of the line
	Ended   End    // of an announcement
}

// note is what a line about an entry says.
func (l *Line) note(number int) Note {
	return Note{Entry: assess.NewEntry(l.Log.Table, l.Log.Name, l.Log.Values, 0), Kind: l.Kind, Date: l.Date, By: l.By, Role: l.Role,
		Settles: l.Log.Settles, Number: number}
}

// Sure reports whether changes.toml had the entry: it was added, or somebody noted it there.
func (n *Note) Sure() bool { return n.Kind == Noted || n.Ended.Done }

// Notes are what the lines say about entries of changes.toml.
func (l *Ledger) Notes() *Notes {
	n := &Notes{by: map[string]int{}, settled: map[[2]string]bool{}}
	open := map[string]int{} // announcements by hash
	for i := range l.Lines {
		line := &l.Lines[i]
		switch line.Kind {
		case Entered, Noted:
			if !line.logs() {
				continue
			}
			if n.Begun == 0 {
				n.begin(i+1, line)
			}
			if line.Kind == Entered {
				open[line.Hash] = len(n.All)
			}
			n.All = append(n.All, line.note(i+1))
		case Done, Failed, Unfinished:
			if k, ok := open[line.Of]; ok {
				delete(open, line.Of)
				n.All[k].Ended = End{line.Kind == Done, line.Kind == Failed, line.Kind == Unfinished}
			}
		case Settled:
			n.settled[[2]string{line.Change, line.Text}] = true
		}
	}
	for k := range n.All {
		n.put(k)
	}
	return n
}

// begin is the first line about an entry.
func (n *Notes) begin(number int, line *Line) {
	n.Begun, n.earlier, n.before = number, line.Log.Earlier, map[string]bool{}
	for _, sum := range n.earlier {
		n.before[sum] = true
	}
}

// put makes the note known by its sum, unless one is known that is as sure.
func (n *Notes) put(k int) {
	is := &n.All[k]
	if was, ok := n.by[is.Sum]; !is.Ended.Failed && (!ok || is.Sure() && !n.All[was].Sure()) {
		n.by[is.Sum] = k
	}
}

// Of is the note of an entry by its sum; nil for none. An entry that could not be added has none.
func (n *Notes) Of(sum string) *Note {
	if n == nil {
		return nil
	}
	if k, ok := n.by[sum]; ok {
		return &n.All[k]
	}
	return nil
}

// Role is the role of who added an entry, by its sum; "" where that is not known.
func (n *Notes) Role(sum string) Role {
	if is := n.Of(sum); is != nil && is.Sure() {
		return is.Role
	}
	return ""
}

// Earlier are the sums of the entries that were there before the first one that was noted.
func (n *Notes) Earlier() []string {
	if n == nil {
		return nil
	}
	return n.earlier
}

// Knows reports whether the ledger notes an entry, also as older versions noted settlements.
func (n *Notes) Knows(e *assess.Entry) bool {
	if n == nil {
		return false
	}
	if n.Of(e.Sum) != nil {
		return true
	}
	if e.Table != assess.SettlementEntry || len(n.settled) == 0 {
		return false
	}
	all := site.Restore([]assess.Entry{*e}).Settlements
	return len(all) == 1 && n.settled[[2]string{e.Name, site.SettlementHash(&all[0])}]
}

// None reports whether no entry is noted yet.
func (n *Notes) None() bool { return n == nil || n.Begun == 0 }

// Before reports whether an entry counts as it did before entries were noted: none is noted
// yet, or it was there before the first one was.
func (n *Notes) Before(e *assess.Entry) bool {
	return n.None() || n.before[e.Sum]
}

// With are the notes with another one, of an entry that is about to be noted.
func (n *Notes) With(line Line) *Notes {
	more := &Notes{by: map[string]int{}, settled: map[[2]string]bool{}}
	if n != nil {
		*more = *n
		more.by = maps.Clone(n.by)
	}
	if more.Begun == 0 {
		more.begin(1, &line)
	}
	is := line.note(0)
	is.Ended.Done = true
	more.All = append(slices.Clip(more.All), is)
	more.put(len(more.All) - 1)
	return more
}

// Lost are the notes of entries that changes.toml had and no longer has, given those that it has.
func (n *Notes) Lost(has func(sum string) bool) (all []*Note) {
	if n == nil {
		return nil
	}
	for k := range n.All {
		if is := &n.All[k]; n.by[is.Sum] == k && is.Sure() && !is.Ended.Failed && !has(is.Sum) {
			all = append(all, is)
		}
	}
	return all
}
