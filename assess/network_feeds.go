package assess

import (
	"slices"
	"strings"
)

// check adds the findings that need the other locations.
func (f *network) check(a *Assessment) {
	i := f.index[a.Location.ID]
	f.checkNames(a)
	f.checkUnfed(a)
	for k := range a.Location.Cases {
		f.checkInterrupting(a, &a.Location.Cases[k])
	}
	if f.loops[i] != nil {
		f.checkLoop(a, f.loops[i])
		return // what is upstream is not known
	}
	for k := range a.Location.Cases {
		f.checkDevice(a, k)
		f.checkBeyond(a, k)
		f.checkBelow(a, k)
		f.checkLimited(a, k)
	}
}

// checkNames finds feeds, ties and places of devices that are not locations.
func (f *network) checkNames(a *Assessment) {
	l := a.Location
	said := map[string]bool{}
	for k := range l.Cases {
		c := &l.Cases[k]
		for _, list := range []struct {
			field, what string
			ids         []string
		}{{"fed_from", "feed", c.FedFrom}, {"tied_to", "tie", c.TiedTo}} {
			for _, id := range list.ids {
				if key := list.field + " " + id; f.unknown(id) && !said[key] {
					said[key] = true
					a.errorf(c.Line, UnknownFeed, list.field, "%q is not a location of this site; correct the %s, or add a row for it",
						id, list.what)
				}
			}
		}
		if slices.Contains(c.TiedTo, l.ID) && !said["tied_to"] {
			said["tied_to"] = true
			a.errorf(c.Line, FeedLoop, "tied_to", "it is tied to itself; name the location on the other side of the tie")
		}
		if c.DeviceAt != "" && f.unknown(c.DeviceAt) {
			a.errorf(c.Line, UnknownPlace, "device_at", "%q is not a location of this site; name the location where %s is installed, "+
				"or add a row for it", c.DeviceAt, c.deviceName())
		}
	}
}

// checkUnfed finds a location that no change upstream can reach, and that is not a
// source of the plant.
func (f *network) checkUnfed(a *Assessment) {
	l := a.Location
	if l.Unlabeled || !f.unfed(f.index[l.ID]) {
		return
	}
	a.cautionf(l.Cases[0].Line, NoFeeds, "fed_from", "no feed is given, so no change upstream can reach it; "+
		"name what feeds it, or list it under sources in site.toml")
}

// unfed reports whether no feed of a location is given in any case, and nothing says
// that it needs none.
func (f *network) unfed(i int) bool {
	l := &f.site.Locations[i]
	return !f.source[i] && !f.tied[i] && len(l.FedFrom())+len(l.TiedTo()) == 0
}

// loop is a loop of feeds that leads to a location.
type loop struct {
	path      []int // begins and ends with the same place
	on        bool  // the location is on it; else only loops lead to the location
	condition string
}

// findLoops notes the loops in a condition, for locations that have none yet.
func (f *network) findLoops(condition string, w *wiring) {
	on, below := w.Loops()
	for i := range f.loops {
		if f.loops[i] != nil {
			continue
		}
		if path, ok := on[i]; ok {
			f.loops[i] = &loop{path, true, condition}
		} else if path, ok := below[i]; ok {
			f.loops[i] = &loop{path, false, condition}
		}
	}
}

func (f *network) checkLoop(a *Assessment, o *loop) {
	l := a.Location
	where, first := "", slices.Min(o.path)
	if o.condition != "" {
		where = "in case " + o.condition + ": "
	}
	what := "fed only by a circular feed"
	if o.on {
		what, first = "circular feed", f.index[l.ID]
	}
	a.errorf(l.Cases[l.in(o.condition)].Line, FeedLoop, "fed_from",
		"%s%s: %s; one of these feeds is wrong (enter a tie under tied_to; one side is enough)", where, what, f.round(o.path, first))
}

// round writes a loop, starting at the place first. For a long one the beginning and the
// end are enough to find it.
func (f *network) round(path []int, first int) string {
	const most = 12
	ids := make([]string, 0, most)
	round := path[:len(path)-1]
	start := slices.Index(round, first)
	for k := 0; k <= len(round); k++ {
		if len(round) > most && k == most/2 {
			k = len(round) - most/2
			ids = append(ids, "…")
		}
		ids = append(ids, f.site.Locations[round[(start+k)%len(round)]].ID)
	}
	return strings.Join(ids, " is fed from ")
}
