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

// follow checks that every record that was printed follows from its inputs in
// this version of the program, and belongs to the location that the ledger names.
func (a *audit) follow() {
	older := 0 // records that other rules judged
	a.records = map[record.ID]*record.Record{}
	printed := func(e *record.Entry) bool { return !e.Failed }
	for i, hex := range slices.Sorted(maps.Keys(a.replay.Records)) {
		if a.o.Progress != nil {
			a.o.Progress(i, len(a.replay.Records))
		}
		n := a.replay.Records[hex]
		if !slices.ContainsFunc(n.Entries, printed) {
			continue
		}
		if !n.Valid {
			a.problem(record.LedgerFile, "find out who wrote it", "it names a record %q, which is not the name of a record", hex)
			continue
		}
		where := record.Path(n.ID)
		r, err := record.LoadFrom(a.folder, n.ID)
		if err != nil {
			if a.has(where) && !a.toldOf(where) { // a missing or altered file was reported already
				a.problem(where, "read it with the version of the program that printed it: "+n.Tool(), "%v", err)
			}
			continue
		}
		a.records[n.ID] = r
		told := map[string]bool{r.Location.ID: true}
		for _, e := range n.Entries {
			if printed(e) && !told[e.ID] {
				told[e.ID] = true
				a.problem(where, "find out who wrote the line", "it belongs to %s, but the ledger names it for %s",
					r.Location.ID, e.ID)
			}
		}
		differs, judged := r.Differs()
		if !judged {
			older++
		}
		if differs != "" {
			a.problem(where, "it was printed by version "+n.Tool()+": check it with that version, "+
				"and find out which is right before you rely on the label",
				"the label of %s does not follow from its inputs in this version (%s): %s", r.Location.ID, a.Tool, differs)
		}
	}
	if older > 0 {
		a.note("%s judged by rules older than this version's (%d): not altered since, by hash and ledger, "+
			"but the results were not computed again", report.Plural(older, "record"), assess.Rules)
	}
}

func (a *audit) has(name string) bool {
	_, err := fs.Stat(a.folder, name)
	return err == nil
}

func (a *audit) toldOf(where string) bool {
	return slices.ContainsFunc(a.Problems, func(p Problem) bool { return p.Where == where })
}

// labels lists the labels that were printed last.
func (a *audit) labels() {
	status := map[string]standing.Status{}
	if v := a.o.View; v != nil {
		for i := range v.Places {
			if p := &v.Places[i]; p.Printed != nil {
				status[p.ID()] = p.Printed.Standing.Status
			}
		}
		for i := range v.Unlisted {
			status[v.Unlisted[i].ID] = v.Unlisted[i].Standing.Status
		}
	} else {
		a.note("the standing of the labels was not judged: %s", cmp.Or(a.o.Why, "this folder has no locations.csv"))
	}
	for _, id := range slices.Sorted(maps.Keys(a.replay.Labels)) {
		h := a.replay.Labels[id]
		l := Label{ID: id, Code: h.ID.Code(), Printed: h.Printed, Standing: status[id], Mounted: h.Mounted,
			Signed: a.signers[h.ID.String()]}
		if r := a.records[h.ID]; r != nil {
			l.Area, l.ReviewBy = r.Location.Area, r.ReviewBy.String()
		}
		if l.Standing != "" {
			a.Standing[l.Standing]++
		}
		a.Labels = append(a.Labels, l)
	}
}
