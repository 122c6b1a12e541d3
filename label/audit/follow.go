package audit

import (
	"cmp"
	"io/fs"
	"maps"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// follow checks that every record that was printed follows from its inputs, by
// this version of the program, and is of the location that the ledger says.
func (a *audit) follow() {
	a.hang()
	places := a.places()
	older := 0 // records that other rules judged
	for _, hex := range slices.Sorted(maps.Keys(places)) {
		id, err := record.ParseID(hex)
		if err != nil {
			a.problem(record.LedgerFile, "find out who wrote it", "it names a record %q, which is none", hex)
			continue
		}
		where := record.Path(id)
		r, err := record.LoadFrom(a.folder, id)
		if err != nil {
			if a.has(where) && !a.toldOf(where) { // a missing or altered file was told of already
				a.problem(where, "the version of the program that printed it reads it: "+a.printedBy(id), "%v", err)
			}
			continue
		}
		a.records[id] = r
		for _, place := range places[hex] {
			if r.Location.ID != place {
				a.problem(where, "find out who wrote the line", "it is of %s, and the ledger names it for %s", r.Location.ID, place)
			}
		}
		differs, judged := r.Differs()
		if !judged {
			older++
		}
		if differs != "" {
			a.problem(where, "it was printed by version "+a.printedBy(id)+": follow it by that one, and ask which is right before you rely on the label", "the label of %s does not follow from its inputs by this version (%s): %s", r.Location.ID, a.Tool, differs)
		}
	}
	if older > 0 {
		a.note("%s judged by older rules than this version's (%d): checked by hash and chain, and not judged again", report.Plural(older, "record"), assess.Rules)
	}
}

// places are the records that lines of the ledger name, each with the
// locations that they are named for. What could not be printed is left out.
func (a *audit) places() map[string][]string {
	failed := a.ledger.Failed()
	all := map[string][]string{}
	for _, l := range a.ledger.Lines {
		for _, p := range l.Labels {
			if !failed[l.Hash] && !slices.Contains(all[p.Record], p.ID) {
				all[p.Record] = append(all[p.Record], p.ID)
			}
		}
	}
	return all
}

// hangs is what hangs, and the records that were printed.
type hangs struct {
	hung    map[string]record.Hung
	records map[record.ID]*record.Record
}

// hang finds what hangs by the whole ledger, also by lines that are dated after
// today: no date keeps a label from being looked at.
func (a *audit) hang() {
	last := a.Today
	for _, l := range a.ledger.Lines {
		if last.Before(l.Date) {
			last = l.Date
		}
	}
	a.hung = a.ledger.Hung(last, func(id record.ID) bool { return a.has(record.Path(id)) })
	a.records = map[record.ID]*record.Record{}
}

func (a *audit) has(name string) bool {
	_, err := fs.Stat(a.folder, name)
	return err == nil
}

func (a *audit) toldOf(where string) bool {
	return slices.ContainsFunc(a.Problems, func(p Problem) bool { return p.Where == where })
}

// printedBy is the version of the program that printed a record first.
func (a *audit) printedBy(id record.ID) string {
	for _, l := range a.ledger.Lines {
		for _, p := range l.Labels {
			if p.Record == id.String() && l.Tool != "" {
				return l.Tool
			}
		}
	}
	return "unknown"
}

// labels lists what hangs.
func (a *audit) labels() {
	status := map[string]standing.Status{}
	if v := a.o.View; v != nil {
		for i := range v.Places {
			if p := &v.Places[i]; p.Printed != nil {
				status[p.Assessment.Location.ID] = p.Standing.Status
			}
		}
		for i := range v.Unlisted {
			status[v.Unlisted[i].ID] = v.Unlisted[i].Standing.Status
		}
	} else {
		a.note("the standing of the labels was not judged: %s", cmp.Or(a.o.Why, "there is no locations.csv here"))
	}
	for _, id := range slices.Sorted(maps.Keys(a.hung)) {
		h := a.hung[id]
		l := Label{ID: id, Code: h.ID.Code(), Printed: h.Printed, Standing: status[id], Mounted: h.Mounted, Signed: a.signers[h.ID.String()]}
		if r := a.records[h.ID]; r != nil {
			l.Area, l.ReviewBy = r.Location.Area, r.ReviewBy.String()
		}
		if l.Standing != "" {
			a.Standing[l.Standing]++
		}
		a.Labels = append(a.Labels, l)
	}
}
