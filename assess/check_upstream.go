package assess

// upstream is how a device stands to the location whose arc it clears. Of a
// row in several conditions the last of these counts.
type upstream int

const (
	elsewhere  upstream = iota
	acrossTie           // what is upstream there is so over a tie alone
	unsure              // what stands upstream is not wholly known
	isUpstream          // or there is nothing to look for
)

// upstream looks for the place of a device on the ways up from a location.
func (f *network) upstream(w *wiring, i int, deviceAt string) upstream {
	at, ok := f.index[deviceAt]
	if !ok || at == i {
		return isUpstream // another finding's business
	}
	feeds := func(v int) [][]int { return [][]int{w.Up[v]} }
	ties := func(v int) [][]int { return [][]int{w.Up[v], w.ties[v]} }
	up, blind := w.walk(i, at, feeds)
	if up {
		return isUpstream
	}
	if beside, _ := w.walk(i, at, ties); beside {
		return acrossTie
	}
	if below, _ := w.walk(at, i, feeds); !below && (blind || f.unfed(i)) {
		return unsure
	}
	return elsewhere
}

// walk looks for a place on all ways from another. blind is then true where one
// of them passes a place whose feeds are not all known.
func (w *wiring) walk(from, to int, next func(int) [][]int) (found, blind bool) {
	seen := map[int]bool{from: true}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		blind = blind || w.blind[queue[0]]
		for _, list := range next(queue[0]) {
			for _, v := range list {
				if v == to {
					return true, blind
				}
				if !seen[v] {
					seen[v] = true
					queue = append(queue, v)
				}
			}
		}
	}
	return false, blind
}

// checkDevice finds a device that cannot clear an arc at the location, for it
// does not stand upstream.
func (f *network) checkDevice(a *Assessment, k int) {
	l := a.Location
	c := &l.Cases[k]
	const ask = "; name the place of the device that clears an arc here, or correct fed_from"
	switch f.rows[f.index[l.ID]][k].device {
	case elsewhere:
		a.finalf(c.Line, DeviceNotUpstream, "device_at", "%s%s is not upstream of %s, so %s there does not clear an arc here%s",
			l.caseWords(c), c.DeviceAt, l.ID, c.deviceName(), ask)
	case acrossTie:
		a.errorf(c.Line, DeviceNotUpstream, "device_at", "%s%s is upstream of %s only across a tie: "+
			"what comes by its own feeds, %s there does not clear%s", l.caseWords(c), c.DeviceAt, l.ID, c.deviceName(), ask)
	case unsure:
		a.cautionf(c.Line, DeviceNotUpstream, "device_at", "%sit is not known whether %s is upstream of %s: "+
			"a feed here or above is not given, not a location of this site, or cannot be read; correct fed_from",
			l.caseWords(c), c.DeviceAt, l.ID)
	}
}

// checkInterrupting compares the rating of a device with the fault current
// where it stands. Where nothing says at which place that is, the row's own
// current counts: see checkFault.
func (f *network) checkInterrupting(a *Assessment, c *Case) {
	l := a.Location
	at, ok := f.index[c.DeviceAt]
	if !ok || c.DeviceRating == 0 {
		return
	}
	d := &f.site.Locations[at]
	available, where := d.faultIn(c.Name), d.ID
	if available == 0 && d.Voltage == l.Voltage {
		available, where = c.Fault, l.ID // at least about what is available at the device
	}
	if available > c.DeviceRating {
		a.errorf(c.Line, OverInterrupting, "device_rating_ka", "%s%.5g kA is available at %s, and %s, which stands at %s, "+
			"interrupts %.5g kA at most: it may not clear the fault at all, so the stated clearing time is not valid (NEC 110.9); "+
			"a series rating (NEC 240.86) is accepted by name",
			l.caseWords(c), available, where, c.deviceName(), d.ID, c.DeviceRating)
	}
}

// farBeyond is how many times more than is possible a stated fault current must
// be to stop the label: a house choice. Less may be motors, or a bound that is
// too narrow.
const farBeyond = 1.5

// checkBeyond finds more fault current than all sources can give.
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
	by := "by nameplates, with the tolerance on impedance and motors allowed for, or by what is stated there and 10 % for motors"
	if r.givers.rows {
		by = "by what is stated there, and 10 % for motors"
	}
	say(c.Line, FaultBeyondSource, "fault_ka", "%s%.5g kA is stated, but at most %.5g kA can come from %s, %s; "+
		"compare both with the study report, and see that every feed and tie is named",
		l.caseWords(c), c.Fault, r.most, f.names(r.givers.places), by)
}
