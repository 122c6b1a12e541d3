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
// their places by id, and the log of changes. Those in must are needed to check the other files.
type Near func(all []assess.Outline, index map[string]int, log *assess.Log, must []string) (keep []bool)

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
	outlines, rows, index, ok := t.outlines()
	if !ok {
		r.faults++
		return false
	}
	r.listed = index
	r.readLog()
	r.logged = true
	keep := r.near(outlines, index, &r.site.Log, r.must())
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
	log := &r.site.Log
	log.Changes = slices.DeleteFunc(log.Changes, func(c assess.Change) bool {
		i, known := index[c.At]
		return known && !keep[i]
	})
	return true
}

// checkCurves reads the curves that any row names: a file that cannot be read is a problem of
// the folder.
func (r *reader) checkCurves(t *table) {
	at := t.at("curve")
	seen := map[string]bool{"": true}
	for _, row := range t.rows {
		cell := row.cell(at)
		if seen[cell] {
			continue
		}
		seen[cell] = true
		if name := cleanText(cell); curveName.MatchString(name) {
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

// outlines reads what connects the locations, on all cores, the numbers of each one's rows, and the
// places of the ids. It is false if a row has a problem that concerns the folder.
func (t *table) outlines() (all []assess.Outline, rows [][]int, index map[string]int, ok bool) {
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
		return nil, nil, nil, false
	}
	index = make(map[string]int, len(one))
	ids := alike.Sized(len(one))
	all, rows = one[:0], make([][]int, 0, len(one))
	single := make([]int, len(one)) // of most locations the only row
	for i := range one {
		o := one[i]
		at, known := index[o.ID]
		if !known {
			if ids.Add(o.ID) != "" {
				return nil, nil, nil, false
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
			return nil, nil, nil, false
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
	return all, rows, index, len(all) > 0
}

// sameEquipment reports whether two rows describe the equipment in the same words. Where they do
// not, they may contradict each other: only reading them tells.
func (t *table) sameEquipment(a, b int) bool {
	for i, c := range t.columns {
		if c.Column == nil || c.PerCase || c.Noted {
			continue
		}
		if t.rows[a].cell(i) != t.rows[b].cell(i) {
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
	var connects []int // the columns
	for i := range assess.Columns {
		if slices.Contains([]string{"id", "case", "supply", "voltage", "fed_from", "tied_to", "device_at"}, assess.Columns[i].Name) {
			connects = append(connects, i)
		}
	}
	one := make([]assess.Case, 1)
	for i := from; i < to; i++ {
		quiet.row = t.rows[i]
		if quiet.row.cells() > len(quiet.columns) {
			return false
		}
		one[0] = assess.Case{}
		l := assess.Location{Cases: one}
		quiet.to, quiet.bad = &l, nil
		at := l.Row(0)
		for _, k := range connects {
			if c := &assess.Columns[k]; quiet.gives(c, t.order[k]) {
				c.Set(at, quiet.value(c, t.order[k]))
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
