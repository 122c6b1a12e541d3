package assess

import (
	"slices"

	"vouchmark/assess/feeds"
)

// upstream says where a device is relative to the location whose arc it clears. For a
// row in several conditions the last of these counts.
type upstream int

const (
	elsewhere  upstream = iota
	acrossTie           // it is upstream only across a tie
	unsure              // not everything upstream is known
	isUpstream          // or there is nothing to look for
)

// findDevices finds out where the devices of the rows judged in a condition are
// relative to their locations, for those not yet found upstream. Most devices are
// where the location is fed from; the others are looked for all at once.
func (f *network) findDevices(at []int, w *wiring) {
	var ask []feeds.Way
	for i, k := range at {
		if k == none || f.rows[i][k].device == isUpstream || f.rows[i][k].tried == w {
			continue
		}
		r := &f.rows[i][k]
		r.tried = w
		d, ok := f.index[f.site.Locations[i].Cases[k].DeviceAt]
		if !ok || d == i || slices.Contains(w.Up[i], d) {
			r.device = isUpstream // or another finding deals with it
			continue
		}
		ask = append(ask, feeds.Way{From: i, To: d})
	}
	if ask == nil {
		return
	}
	below := make([]feeds.Way, len(ask))
	for q, way := range ask {
		below[q] = feeds.Way{From: way.To, To: way.From}
	}
	isAbove, isBelow, isBeside, blind := w.Lead(ask), w.Lead(below), w.withTies().Lead(ask), w.blindAbove()
	for q, way := range ask {
		r := &f.rows[way.From][at[way.From]]
		switch {
		case isAbove[q]:
			r.device = isUpstream
		case isBeside[q]:
			r.device = max(r.device, acrossTie)
		case !isBelow[q] && (blind[way.From] || f.unfed(way.From)):
			r.device = max(r.device, unsure)
		}
	}
}

// withTies is the graph in which a tie feeds both sides.
func (w *wiring) withTies() *feeds.Graph {
	up := make([][]int, len(w.Up))
	for i := range up {
		up[i] = slices.Concat(w.Up[i], w.ties[i])
	}
	return feeds.New(up)
}

// blindAbove tells for each place whether its feeds, or those of a place upstream, are
// not all known.
func (w *wiring) blindAbove() []bool {
	blind := slices.Clone(w.blind)
	for _, group := range w.Groups { // what feeds comes first
		some := false
		for _, v := range group {
			some = some || blind[v] || slices.ContainsFunc(w.Up[v], func(u int) bool { return blind[u] })
		}
		for _, v := range group {
			blind[v] = some
		}
	}
	return blind
}

// checkDevice finds a device that cannot clear an arc at the location because it is not
// upstream.
func (f *network) checkDevice(a *Assessment, k int) {
	l := a.Location
	c := &l.Cases[k]
	const ask = "; enter the place of the device that clears an arc here, or correct fed_from"
	switch f.rows[f.index[l.ID]][k].device {
	case elsewhere:
		a.finalf(c.Line, DeviceNotUpstream, "device_at", "%s%s is not upstream of %s, so %s there does not clear an arc here%s",
			l.caseWords(c), c.DeviceAt, l.ID, c.deviceName(), ask)
	case acrossTie:
		a.errorf(c.Line, DeviceNotUpstream, "device_at", "%s%s is upstream of %s only across a tie: "+
			"%s there does not clear current that comes by its own feeds%s", l.caseWords(c), c.DeviceAt, l.ID, c.deviceName(), ask)
	case unsure:
		a.cautionf(c.Line, DeviceNotUpstream, "device_at", "%sit cannot be determined whether %s is upstream of %s: "+
			"a feed here or upstream is missing, is not a location of this site, or cannot be read; correct fed_from",
			l.caseWords(c), c.DeviceAt, l.ID)
	}
}

// checkInterrupting compares the rating of a device with the fault current where it is
// installed. If nothing says where that is, the row's own current counts: see
// checkFault.
func (f *network) checkInterrupting(a *Assessment, c *Case) {
	l := a.Location
	at, ok := f.index[c.DeviceAt]
	if !ok || c.DeviceRating == 0 {
		return
	}
	d := &f.site.Locations[at]
	available, where := f.faultIn(at, c.Name), d.ID
	if available == 0 && sameVoltage(d.Voltage, l.Voltage) {
		available, where = c.Fault, l.ID // at least about as much as is available at the device
	}
	if available > c.DeviceRating {
		a.errorf(c.Line, OverInterrupting, "device_rating_ka", "%s%.5g kA is available at %s, but %s, which is at %s, "+
			"can interrupt only %.5g kA: it may not clear the fault at all, so the stated clearing time is not valid (NEC 110.9); "+
			"for a series rating (NEC 240.86), have a named person accept this",
			l.caseWords(c), available, where, c.deviceName(), d.ID, c.DeviceRating)
	}
}

// farBeyond is how many times the possible fault current a stated one must be to stop the
// label: a house choice. Less may come from motors, or from a bound that is too low.
const farBeyond = 1.5

// checkBeyond finds more fault current than all sources can supply.
func (f *network) checkBeyond(a *Assessment, k int) {
	l := a.Location
	i := f.index[l.ID]
	c, r := &l.Cases[k], &f.rows[i][k]
	if f.source[i] || !exceeds(c.Fault, r.most) {
		return
	}
	say := a.cautionf
	if exceeds(c.Fault, r.most*farBeyond) {
		say = a.errorf
	}
	by := "by nameplates with impedance tolerance and motors, or by what is stated there plus 10 % for motors"
	if r.givers.rows {
		by = "by what is stated there plus 10 % for motors"
	}
	say(c.Line, FaultBeyondSource, "fault_ka", "%s%.5g kA is stated, but at most %.5g kA can come from %s (%s); "+
		"compare both with the study report, and check that every feed and tie is named",
		l.caseWords(c), c.Fault, r.most, f.names(r.givers.places), by)
}
