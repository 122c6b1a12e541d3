package audit

import (
	"cmp"
	"fmt"
	"io/fs"
	"maps"
	"reflect"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// found is what a record says, as far as later checks need it.
type found struct {
	location string
	joins    record.Joins
	gist     record.Gist
	refused  error  // why it cannot be read as a record; nil where it can, or was not tried
	differs  string // how its outcome differs from what its inputs give; "" if it does not
	older    bool   // other rules judged it
	about    *about // nil where it is not of a label printed last
}

// about is a record of a label that was printed last, without its calculation.
type about struct {
	id, area string
	reviewBy assess.Date
	accept   []assess.Acceptance
	codes    []assess.Code
	sources  []string
}

// judge is what reads a printed record and judges its inputs again: always from its
// bytes, never from a record that was made of today's rows.
func (a *audit) judge() func(*file, []byte) {
	newest := map[record.ID]bool{}
	for _, l := range a.replay.Labels {
		newest[l.ID] = true
	}
	return func(f *file, data []byte) {
		if !f.prints() || !f.named.Valid {
			return
		}
		id := f.named.ID
		var r *record.Record
		if f.sum != f.name { // missing, altered, or not where the program puts it
			r, f.refused = record.LoadFrom(a.folder, id)
		} else if r, f.refused = record.Decode(data); f.refused != nil {
			f.refused = fmt.Errorf("%s: %w", f.path(), f.refused)
		}
		if f.refused != nil {
			return
		}
		f.location, f.joins = r.Location.ID, r.Joins()
		if f.gist, f.refused = r.Gist(); f.refused != nil {
			return
		}
		differs, judged := r.Differs()
		f.differs, f.older = differs, !judged
		if newest[id] {
			f.about = aboutOf(r)
		}
	}
}

// otherNotes says what a line notes of a record that its file does not have; "" for nothing.
func (f *file) otherNotes(e *record.Entry) string {
	switch {
	case e.Up != nil && !reflect.DeepEqual(e.Joins, f.joins):
		return "other feeds and ties"
	case f.gist.Contradicts(e.Gist):
		return "another gist"
	}
	return ""
}

// prints reports whether a line names the record for a print, or for what came of
// one, that did not fail.
func (f *file) prints() bool {
	return f.named != nil && slices.ContainsFunc(f.named.Entries, printed)
}

func printed(e *record.Entry) bool { return !e.Failed }

// follow checks that every record that was printed follows from its inputs in
// this version of the program, and belongs to the location that the ledger names.
func (a *audit) follow() {
	a.newest = map[record.ID]*about{}
	for i := range a.records {
		f := &a.records[i]
		if !f.prints() {
			continue
		}
		n := f.named
		if !n.Valid {
			a.problem(record.LedgerFile, "find out who wrote it", "it names a record %q, which is not the name of a record", f.name)
			continue
		}
		where := record.Path(n.ID)
		if f.refused != nil {
			if a.has(where) && !a.told[where] { // a missing or altered file was reported already
				a.problem(where, "read it with the version of the program that printed it: "+n.Tool(), "%v", f.refused)
			}
			continue
		}
		if f.about != nil {
			a.newest[n.ID] = f.about
		}
		told := map[string]bool{f.location: true}
		for _, e := range n.Entries {
			if printed(e) && !told[e.ID] && !elsewhere(e) {
				told[e.ID] = true
				a.problem(where, "find out who wrote the line", "it belongs to %s, but the ledger names it for %s",
					f.location, e.ID)
			}
		}
		for _, e := range n.Entries {
			if what := f.otherNotes(e); what != "" {
				a.problem(where, "find out who wrote the line", "the ledger notes %s of %s than its record has", what, f.location)
				break
			}
		}
		if f.older {
			a.older++
		}
		if f.differs != "" {
			a.problem(where, "it was printed by version "+n.Tool()+": check it with that version, "+
				"and find out which is right before you rely on the label",
				"the label of %s does not follow from its inputs in this version (%s): %s", f.location, a.Tool, f.differs)
		}
	}
	if a.older > 0 {
		a.note("%s judged by rules older than this version's (%d): not altered since, by hash and ledger, "+
			"but the results were not computed again", report.Plural(a.older, "record"), assess.Rules)
	}
}

// elsewhere reports whether somebody found the label on equipment for which none was printed, or that it
// is not there anymore.
func elsewhere(e *record.Entry) bool {
	return e.Kind == record.Seen && e.Sight != nil &&
		(e.Sight.Found == record.FoundOther && e.Sight.There == e.Record || e.Sight.Found == record.FoundMissing)
}

// seen takes what is said of the labels printed last from the records as the site has them.
func (a *audit) seen() {
	a.newest = map[record.ID]*about{}
	if a.o.View != nil {
		a.newest = a.o.View.newest
	}
}

func aboutOf(r *record.Record) *about {
	return &about{r.Location.ID, r.Location.Area, r.ReviewBy, r.Accept, r.Codes, sourcesOf(r.Location)}
}

func (a *audit) has(name string) bool {
	_, err := fs.Stat(a.folder, name)
	return err == nil
}

// labels lists the labels that were printed last.
func (a *audit) labels() {
	var known map[string]judged
	if v := a.o.View; v != nil {
		round := v.round
		a.Round, known = &round, v.labels
	} else {
		a.note("the standing of the labels was not judged: %s", cmp.Or(a.o.Why, "this folder has no locations.csv"))
	}
	for _, id := range slices.Sorted(maps.Keys(a.replay.Labels)) {
		h, as := a.replay.Labels[id], known[id]
		l := Label{ID: id, Code: h.ID.Code(), Printed: h.Printed, Mounted: h.Mounted, Standing: as.Status, TooLow: as.tooLow,
			Signed: a.signers[h.ID.String()], Amiss: as.amiss, Late: !as.lookBy.IsZero() && as.lookBy.Before(a.Today)}
		l.PrintedBy, l.MountedBy = a.hands(h)
		if s := h.Seen; s != nil {
			l.Seen, l.Found, l.SeenBy = s.Day, s.Found, s.By
		}
		if r := a.newest[h.ID]; r != nil {
			l.Area, l.ReviewBy = r.area, r.reviewBy.String()
		}
		if l.Standing != "" {
			a.Standing[l.Standing]++
			if l.TooLow {
				a.TooLow++
			}
		}
		a.Labels = append(a.Labels, l)
	}
}
