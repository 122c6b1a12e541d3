package site

import (
	"io/fs"
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"

	"vouchmark/assess"
	"vouchmark/assess/alike"
)

// Near says which locations are to be read, given the outlines of all in the order of the file,
// and the log of changes. Those in must are needed to check the other files.
type Near func(all []assess.Outline, log *assess.Log, must []string) (keep []bool)

// ReadNear reads the part of a site that decides about some of its locations: what near says.
// Everything that concerns the folder as a whole is checked as [Read] checks it, and a folder
// with a problem gives the same error. Of the log, changes at places that are not read are left
// out.
func ReadNear(folder fs.FS, o Options, near Near) (*assess.Site, error) {
	s, err := readSite(folder, o, near)
	if err != nil { // for a report of all problems, all must be read
		return Read(folder, o)
	}
	return s, nil
}

// keepNear leaves in a table the rows of the locations to read. It is false if the folder has a
// problem that only reading everything can report.
func (r *reader) keepNear(t *table) bool {
	outlines, rows, ok := t.outlines()
	if !ok {
		r.faults++
		return false
	}
	r.listed = make(map[string]bool, len(outlines))
	for i := range outlines {
		r.listed[outlines[i].ID] = true
	}
	r.readLog()
	r.logged = true
	keep := r.near(outlines, &r.site.Log, r.must())
	var kept []row
	for i := range outlines {
		o := &outlines[i]
		if keep[i] {
			for _, k := range rows[i] {
				kept = append(kept, t.rows[k])
			}
		} else {
			r.site.Beyond = append(r.site.Beyond, o.ID)
		}
		for _, name := range o.Cases {
			if !slices.Contains(r.site.Conditions, name) {
				r.site.Conditions = append(r.site.Conditions, name)
			}
		}
	}
	slices.SortFunc(kept, func(a, b row) int { return a.line - b.line })
	r.checkCurves(t)
	t.rows = kept
	beyond := make(map[string]bool, len(r.site.Beyond))
	for _, id := range r.site.Beyond {
		beyond[id] = true
	}
	log := &r.site.Log
	log.Changes = slices.DeleteFunc(log.Changes, func(c assess.Change) bool { return beyond[c.At] })
	return true
}

// checkCurves reads the curves that any row names: a file that cannot be read is a problem of
// the folder.
func (r *reader) checkCurves(t *table) {
	at, has := t.place["curve"]
	seen := map[string]bool{"": true}
	for _, row := range t.rows {
		if !has || at >= len(row.cells) || seen[row.cells[at]] {
			continue
		}
		seen[row.cells[at]] = true
		if name := cleanText(row.cells[at]); curveName.MatchString(name) {
			r.readCurve(path.Join("curves", name), func() {}) // a missing one stops only its rows
		}
	}
}

// must are the locations whose rows site.toml or changes.toml is checked against.
func (r *reader) must() []string {
	ids := slices.Clone(r.fed)
	for i := range r.site.Log.Changes {
		ids = slices.AppendSeq(ids, maps.Keys(r.site.Log.Changes[i].New))
	}
	return ids
}

// outlines reads what connects the locations, on all cores, and the numbers of each one's rows. It
// is false if a row has a problem that concerns the folder.
func (t *table) outlines() (all []assess.Outline, rows [][]int, ok bool) {
	one := make([]assess.Outline, len(t.rows))
	names := make([]string, len(t.rows)) // of the cases
	parts := runtime.GOMAXPROCS(0)
	sound := make([]bool, parts)
	var wg sync.WaitGroup
	for p := range parts {
		wg.Go(func() { sound[p] = t.outline(p*len(t.rows)/parts, (p+1)*len(t.rows)/parts, one, names) })
	}
	wg.Wait()
	if slices.Contains(sound, false) || t.broken || t.faults > 0 {
		return nil, nil, false
	}
	index := make(map[string]int, len(one))
	var ids alike.Ids
	all, rows = one[:0], make([][]int, 0, len(one))
	single := make([]int, len(one)) // of most locations the only row
	for i := range one {
		o := one[i]
		at, known := index[o.ID]
		if !known {
			if ids.Add(o.ID) != "" {
				return nil, nil, false
			}
			index[o.ID] = len(all)
			single[i] = i
			all, rows = append(all, o), append(rows, single[i:i+1:i+1])
			continue
		}
		to := &all[at]
		if to.Cases == nil {
			to.Cases = []string{names[rows[at][0]]}
		}
		if slices.ContainsFunc(to.Cases, func(name string) bool { return strings.EqualFold(name, names[i]) }) {
			return nil, nil, false
		}
		to.Cases = append(to.Cases, names[i])
		rows[at] = append(rows[at], i)
		for _, list := range []struct {
			to   *[]string
			more []string
		}{{&to.FedFrom, o.FedFrom}, {&to.TiedTo, o.TiedTo}, {&to.DeviceAt, o.DeviceAt}} {
			for _, id := range list.more {
				if !slices.Contains(*list.to, id) {
					*list.to = append(*list.to, id)
				}
			}
		}
		to.Unsure = to.Unsure || o.Unsure || !t.sameEquipment(rows[at][0], i)
	}
	return all, rows, len(all) > 0
}

// sameEquipment reports whether two rows describe the equipment in the same words. Where they do
// not, they may contradict each other: only reading them tells.
func (t *table) sameEquipment(a, b int) bool {
	for i, c := range t.columns {
		if c.Column == nil || c.PerCase || c.Noted {
			continue
		}
		was, is := "", ""
		if cells := t.rows[a].cells; i < len(cells) {
			was = cells[i]
		}
		if cells := t.rows[b].cells; i < len(cells) {
			is = cells[i]
		}
		if was != is {
			return false
		}
	}
	return true
}

// outline reads some rows. It is false where one has a problem that concerns the folder.
func (t *table) outline(from, to int, all []assess.Outline, names []string) bool {
	r := *t.reader // problems are not reported from here
	r.problems, r.cells, r.faults, r.files = Collected{}, Collected{}, 0, nil
	quiet := *t
	quiet.reader = &r
	column := func(name string) *assess.Column { return assess.ColumnNamed(name) }
	id, name, supply, voltage := column("id"), column("case"), column("supply"), column("voltage")
	fed, tied, device := column("fed_from"), column("tied_to"), column("device_at")
	for i := from; i < to; i++ {
		quiet.row = t.rows[i]
		if len(quiet.row.cells) > len(quiet.columns) {
			return false
		}
		var l assess.Location
		quiet.to, quiet.bad = &l, nil
		l.Cases = []assess.Case{{}}
		at := l.Row(0)
		for _, c := range []*assess.Column{id, name, supply, voltage, fed, tied, device} {
			if quiet.gives(c.Name) {
				c.Set(at, quiet.value(c))
			}
		}
		if l.ID == "" || l.ID == scopeAll || r.faults > 0 {
			return false
		}
		o := &all[i]
		*o = assess.Outline{ID: l.ID, FedFrom: at.Case.FedFrom, TiedTo: at.Case.TiedTo, Voltage: l.Voltage, Supply: l.Supply,
			Unsure: len(quiet.bad) > 0}
		if at.DeviceAt != "" {
			o.DeviceAt = []string{at.DeviceAt}
		}
		names[i] = at.Name
	}
	return true
}
