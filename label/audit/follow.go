package audit

import (
	"cmp"
	"io/fs"
	"slices"

	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// follow checks that the label of every location that was printed last follows
// from its inputs, by this version of the program.
func (a *audit) follow() {
	for _, id := range a.ids() {
		h := a.hung[id]
		r, err := record.LoadFrom(a.folder, h.ID)
		where := record.Path(h.ID)
		switch {
		case err != nil:
			if a.has(where) { // a missing or altered file was told of already
				if !a.toldOf(where) {
					a.problem(where, "the version of the program that printed it reads it: "+a.printedBy(h.ID), "%v", err)
				}
			}
			continue
		case r.Row().ID != id:
			a.problem(where, "find out who wrote the line", "it is of %s, and the ledger printed it for %s", r.Row().ID, id)
			continue
		}
		a.records[id] = r
		if differs, err := r.Reproduce(); err != nil || differs != "" {
			if err != nil {
				differs = err.Error()
			}
			a.problem(where, "it was printed by version "+a.printedBy(h.ID)+": follow it by that one, and ask which is right before you rely on the label", "the label of %s does not follow from its inputs by this version (%s): %s", id, a.Tool, differs)
		}
	}
}

// hangs is what hangs, and the records behind it.
type hangs struct {
	hung    map[string]record.Hung
	records map[string]*record.Record
}

// ids are the locations whose labels were printed, in order.
func (a *audit) ids() []string {
	if a.hung == nil {
		a.hung, a.records = a.ledger.Hung(a.Today, func(id record.ID) bool { return a.has(record.Path(id)) }), map[string]*record.Record{}
	}
	var ids []string
	for id := range a.hung {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
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
	for _, id := range a.ids() {
		h := a.hung[id]
		l := Label{ID: id, Code: h.ID.Code(), Printed: h.Printed, Standing: status[id], Mounted: h.Mounted, Signed: a.signers[h.ID.String()]}
		if r := a.records[id]; r != nil {
			l.Area, l.ReviewBy = r.Row().Area, r.Assessment.ReviewBy
		}
		if l.Standing != "" {
			a.Standing[l.Standing]++
		}
		a.Labels = append(a.Labels, l)
	}
}
