package suppose

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/shock"
)

// change is a hypothesis that can be applied.
type change interface {
	// of gives the variant of a case of location i, and whether the change reaches it.
	of(i int, c *assess.Case) (variant, bool)
	outside() string // what is not known about those that it does not reach
	assumptions() []string
}

// variant is a case as it would be.
type variant struct {
	low, high assess.KA // range of the fault current; 0 if not known
	device    *Hypothesis
	notes     []string // how the range was found
	whyNot    string   // why nothing is known
}

func newChange(s *assess.Site, h *Hypothesis) (change, error) {
	at, ok := s.Index()[h.At]
	if !ok {
		return nil, &near.UnknownID{Flag: "at", IDs: []string{h.At}, Known: s.IDs()}
	}
	l := &s.Locations[at]
	if h.Kind == Device {
		return newDeviceChange(s, h)
	}
	if l.Supply != shock.AC3 {
		return nil, fmt.Errorf("%s is on %s: only fault currents of three-phase AC can be scaled", h.At, l.Supply)
	}
	c := &faultChange{network: newNetwork(s, at), volts: l.Voltage, fault: h.Fault, named: h.Case}
	if h.Kind == Source {
		if h.Case != "" && l.CaseNamed(h.Case) == nil {
			return nil, fmt.Errorf("--case: %s has no case %q%s", h.At, h.Case, caseNames(l.Cases))
		}
		if !slices.ContainsFunc(l.Cases, func(c assess.Case) bool { return c.Fault > 0 }) {
			return nil, fmt.Errorf("%s states no fault current, so the present one is not known", h.At)
		}
		return c, nil
	}
	old := s.Policy.Transformer(h.At)
	switch {
	case old == nil:
		return nil, fmt.Errorf("site.toml has no [[transformer]] at %s: "+
			"without the nameplate of the present transformer nothing can be scaled", h.At)
	case old.Secondary != l.Voltage:
		return nil, fmt.Errorf("the transformer at %s has a secondary of %.6g V, but its row says %.6g V: "+
			"correct one of them", h.At, old.Secondary, l.Voltage)
	}
	h.KVA, h.ImpedancePercent = cmp.Or(h.KVA, old.KVA), cmp.Or(h.ImpedancePercent, old.ImpedancePercent)
	next := assess.Transformer{KVA: h.KVA, ImpedancePercent: h.ImpedancePercent, Secondary: old.Secondary}
	c.old, c.ratio = old.Milliohm(), next.Milliohm()/old.Milliohm()
	return c, nil
}

// caseNames lists the names of cases, as a hint.
func caseNames(cases []assess.Case) string {
	var names []string
	for i := range cases {
		if n := cases[i].Name; n != "" {
			names = once(names, n)
		}
	}
	if names == nil {
		return "; its cases have no names"
	}
	return "; its cases are: " + strings.Join(names, ", ")
}

// faultChange changes an impedance: that of everything upstream of a place, or that of
// the transformer there.
type faultChange struct {
	*network
	volts assess.Volts // of the place
	fault assess.KA    // the new one there; 0 for a transformer
	named string       // the only case of the place that changes; "" for all

	old, ratio float64 // of the transformer: impedance, mΩ at volts, and new over old
}

const (
	acrossTie = "in this case part of its fault current comes over a tie, and nothing is computed across a tie"
	noWay     = "it is fed by more than one path, and the change is not on all of them: " +
		"between the present fault current and the present one times the ratio of the change, " +
		"assuming that all impedances have one X/R ratio"
	moreThan = "it states more fault current than the changed part alone lets through " +
		"(motors or tolerances in the study): " +
		"between the present fault current and the present one times the ratio of the change"
	notFollows = "its stated fault current does not follow from the nameplates and feeders of site.toml, " +
		"so they do not narrow the range; compare them with the study report"
)

// stated is how exact a study's fault currents are, as a fraction: they are rounded to
// about three digits (house choice).
const stated = 0.01

func (f *faultChange) of(i int, c *assess.Case) (variant, bool) {
	l := &f.site.Locations[i]
	switch {
	case !f.reached[i]:
		return variant{}, false
	case l.Supply != shock.AC3:
		return variant{whyNot: "it is not on three-phase AC, and its fault current cannot be scaled"}, true
	case c.Fault == 0:
		return variant{whyNot: "no fault current is stated"}, true
	}
	if f.fault == 0 {
		if f.acrossTie(i, c) {
			return variant{whyNot: acrossTie}, true
		}
		return f.scale(i, c, f.old, f.ratio), true
	}
	if i == f.at {
		if f.named != "" && c.Name != f.named {
			return variant{}, false
		}
		return variant{low: f.fault, high: f.fault}, true
	}
	return f.below(i, c)
}

// below is the variant of a case of a location below the place whose fault current is
// given. The place's case of the same name belongs to it; if there is none, any may.
func (f *faultChange) below(i int, c *assess.Case) (all variant, reached bool) {
	place := &f.site.Locations[f.at]
	cases := casesFor(place, c)
	if f.acrossTie(i, c) && (f.named == "" || slices.ContainsFunc(cases, f.changes)) {
		return variant{whyNot: acrossTie}, true
	}
	for k := range cases {
		pc := &cases[k]
		v := variant{low: c.Fault, high: c.Fault} // unchanged, if its case of the place does not change
		switch {
		case !f.changes(*pc):
		case pc.Fault == 0:
			return variant{whyNot: fmt.Sprintf("%s states no fault current in the case %q", place.ID, pc.Name)}, true
		default:
			reached = true
			v = f.scale(i, c, milliohm(f.volts, pc.Fault), float64(pc.Fault/f.fault))
		}
		all.join(v)
	}
	if len(cases) > 1 {
		all.notes = once(all.notes, fmt.Sprintf("%s has %d cases, none of them named %q: the widest range over all of them",
			place.ID, len(cases), c.Name))
	}
	return all, reached
}

// changes reports whether the hypothesis concerns a case of the place.
func (f *faultChange) changes(c assess.Case) bool { return f.named == "" || f.named == c.Name }

// join widens a range by another one.
func (v *variant) join(o variant) {
	if v.high == 0 {
		v.low = o.low
	}
	v.low, v.high = min(v.low, o.low), max(v.high, o.high)
	for _, note := range o.notes {
		v.notes = once(v.notes, note)
	}
}

// scale is the range of a case's fault current if an impedance at the place is
// multiplied; old is the present one at its voltage.
func (f *faultChange) scale(i int, c *assess.Case, old, ratio float64) variant {
	l := &f.site.Locations[i]
	whole, part := milliohm(l.Voltage, c.Fault), refer(old, f.volts, l.Voltage)
	var v variant
	var least, most float64
	switch {
	case !f.through[i]:
		v.notes = []string{noWay}
		least, most = coarse(1 / ratio)
	case whole < part:
		v.notes = []string{moreThan}
		least, most = coarse(1 / ratio)
	default:
		rest := math.Inf(1)
		if known, ok := f.rest(i, c); ok {
			if rest = known + stated*whole; rest < whole-part {
				v.notes, rest = []string{notFollows}, math.Inf(1)
			}
		}
		small, large := series(whole, part, ratio, rest) // of the impedance
		least, most = 1/large, 1/small
	}
	v.low, v.high = assess.KA(assess.Round9(float64(c.Fault)*least)), assess.KA(assess.Round9(float64(c.Fault)*most))
	return v
}

// rest is the sum of the impedances that do not change: at least the
// magnitude of their sum.
func (f *faultChange) rest(i int, c *assess.Case) (float64, bool) {
	sum, ok := f.between(i)
	if ok && f.fault == 0 {
		var above float64
		above, ok = f.above(c, f.site.Locations[i].Voltage)
		sum += above
	}
	return sum, ok
}

func (f *faultChange) outside() string {
	return "upstream of the change or parallel to it, by the feeds and ties in locations.csv: " +
		"changes in what motors and other sources there contribute are not modeled"
}

// proportion is an assumption of every hypothesis.
const proportion = "If the study's own result governs, " +
	"it is assumed to change in proportion to the recomputed one."

func (f *faultChange) assumptions() []string {
	all := []string{
		"Only the magnitudes of impedances are known. " +
			"The far end of a range is the sum of magnitudes (all with one X/R ratio), " +
			"the near end has the changed part at a right angle to the rest, " +
			"or as close to that as the nameplates and feeders of site.toml allow.",
		"The X/R ratio of the changed part stays the same; a transformer or source with another X/R ratio requires a study.",
		"Feeds are as in locations.csv, and all devices and settings stay unchanged, " +
			"including those upstream of the change.",
		"Conductors that are not in site.toml are implied by the study's own fault currents.",
		"If part of a fault current comes over a tie, there is no bound.",
		"Motor contributions are not modeled; what the stated fault currents include of them is scaled with the rest.",
		"Without a curve a row's durations are kept if the fault current only rises, " +
			"since an overcurrent device does not clear later at a higher current (common practice). " +
			"If it may fall, there is no bound.",
		proportion,
	}
	if f.fault == 0 {
		all = append(all, "Nameplates are used as written, without the tolerance on impedance.")
	} else if f.named == "" && len(f.site.Locations[f.at].Cases) > 1 {
		all = append(all, fmt.Sprintf("The %.4g kA apply to every case of %s.", f.fault, f.site.Locations[f.at].ID))
	}
	return all
}

// deviceChange changes the clearing times of the devices at a place.
type deviceChange struct{ h *Hypothesis }

func newDeviceChange(s *assess.Site, h *Hypothesis) (change, error) {
	var names []string
	var cases []assess.Case
	for i := range s.Locations {
		for _, c := range s.Locations[i].Cases {
			if c.DeviceAt != h.At {
				continue
			}
			if h.Device != "" && h.Device != c.Device {
				names = once(names, c.Device)
				continue
			}
			if h.Case == "" || h.Case == c.Name {
				return &deviceChange{h}, nil
			}
			cases = append(cases, c)
		}
	}
	if cases != nil {
		return nil, fmt.Errorf("--case: no row cleared by such a device has the case %q%s", h.Case, caseNames(cases))
	}
	if names == nil {
		return nil, fmt.Errorf("no row has %s as device_at, so it is not known what a device there clears", h.At)
	}
	return nil, fmt.Errorf("no row has a device %q at %s; the devices there are: %s", h.Device, h.At, strings.Join(names, ", "))
}

func (d *deviceChange) of(_ int, c *assess.Case) (variant, bool) {
	if c.DeviceAt != d.h.At || d.h.Device != "" && d.h.Device != c.Device || d.h.Case != "" && d.h.Case != c.Name {
		return variant{}, false
	}
	return variant{low: c.Fault, high: c.Fault, device: d.h}, true
}

func (d *deviceChange) outside() string {
	return "which other devices clear, according to their rows (device_at)"
}

func (d *deviceChange) assumptions() []string {
	return []string{
		"Fault currents stay unchanged, and so does the device's interrupting rating (device_rating_ka of the row).",
		"The clearing time is used as given: it must be the total clearing time of the arc, not only the setting.",
		proportion,
	}
}
