package suppose

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
)

// change is a hypothesis that can be followed.
type change interface {
	// of is what becomes of a case of location i, and whether the change
	// reaches it.
	of(i int, c *assess.Case) (variant, bool)
	outside() string // what is not known of those that it does not reach
	assumptions() []string
}

// variant is a case as it would be.
type variant struct {
	low, high assess.KA // fault current, between which it would lie; 0 where that is not known
	device    *Hypothesis
	notes     []string // how the interval was found
	whyNot    string   // why nothing is known
}

func newChange(s *assess.Site, h *Hypothesis) (change, error) {
	at, ok := s.Index()[h.At]
	if !ok {
		return nil, fmt.Errorf("%q is not a location of this site", h.At)
	}
	l := &s.Locations[at]
	if h.Kind == Device {
		return newDeviceChange(s, h)
	}
	if l.Supply != shock.AC3 {
		return nil, fmt.Errorf("%s is on %s: only fault currents of three-phase AC are scaled", h.At, l.Supply)
	}
	c := &faultChange{network: newNetwork(s, at), volts: l.Voltage, fault: h.Fault, named: h.Case}
	if h.Kind == Source {
		if h.Case != "" && l.CaseNamed(h.Case) == nil {
			return nil, fmt.Errorf("--case: %s has no case %q%s", h.At, h.Case, caseNames(l.Cases))
		}
		if !slices.ContainsFunc(l.Cases, func(c assess.Case) bool { return c.Fault > 0 }) {
			return nil, fmt.Errorf("%s states no fault current, so what it changes from is not known", h.At)
		}
		return c, nil
	}
	old := s.Policy.Transformer(h.At)
	switch {
	case old == nil:
		return nil, fmt.Errorf("site.toml has no [[transformer]] at %s: "+
			"without the nameplate of the present one nothing can be scaled", h.At)
	case old.Secondary != l.Voltage:
		return nil, fmt.Errorf("the transformer at %s has a secondary of %.6g V, and its row says %.6g V: "+
			"correct one of them", h.At, old.Secondary, l.Voltage)
	}
	h.KVA, h.ImpedancePercent = cmp.Or(h.KVA, old.KVA), cmp.Or(h.ImpedancePercent, old.ImpedancePercent)
	next := assess.Transformer{KVA: h.KVA, ImpedancePercent: h.ImpedancePercent, Secondary: old.Secondary}
	c.old, c.ratio = old.Milliohm(), next.Milliohm()/old.Milliohm()
	return c, nil
}

// caseNames are the names of cases, as a hint.
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
	return "; there are: " + strings.Join(names, ", ")
}

// faultChange changes an impedance: that of all that lies above a place, or
// that of the transformer there.
type faultChange struct {
	*network
	volts assess.Volts // of the place
	fault assess.KA    // there then; 0 for a transformer
	named string       // the one case of the place that is changed; "" for all

	old, ratio float64 // of the transformer: impedance, mΩ at volts, and new over old
}

const (
	acrossTie = "its fault current partly comes over a tie in this case, and none is computed across a tie"
	noWay     = "more than one way leads up to it, and the change is not on all of them: " +
		"between the present fault current and the present one times the ratio of the change, " +
		"where all impedances have one X/R"
	moreThan = "it states more fault current than the changed part alone lets by " +
		"(motors or a tolerance, in the study): " +
		"between the present fault current and the present one times the ratio of the change"
	notFollows = "its stated fault current does not follow from the nameplates and feeders of site.toml, " +
		"so they narrow nothing; compare them with the study report"
)

// stated is how exact a study's fault currents are, as part of one: they are
// rounded to some three digits (house choice).
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

// below is a case of a location below the place whose fault current is given.
// Of the place's cases the one of the same name belongs to it; where there is
// none, it may be any.
func (f *faultChange) below(i int, c *assess.Case) (all variant, reached bool) {
	place := &f.site.Locations[f.at]
	cases := casesFor(place, c)
	if f.acrossTie(i, c) && (f.named == "" || slices.ContainsFunc(cases, f.changes)) {
		return variant{whyNot: acrossTie}, true
	}
	for k := range cases {
		pc := &cases[k]
		v := variant{low: c.Fault, high: c.Fault} // as it is, where its case of the place is not changed
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
		all.notes = once(all.notes, fmt.Sprintf("%s has %d cases and none of the name %q: the widest interval over them",
			place.ID, len(cases), c.Name))
	}
	return all, reached
}

// changes reports whether the hypothesis is about a case of the place.
func (f *faultChange) changes(c assess.Case) bool { return f.named == "" || f.named == c.Name }

// join widens an interval by another one.
func (v *variant) join(o variant) {
	if v.high == 0 {
		v.low = o.low
	}
	v.low, v.high = min(v.low, o.low), max(v.high, o.high)
	for _, note := range o.notes {
		v.notes = once(v.notes, note)
	}
}

// scale is the interval of a case's fault current where an impedance at the
// place, of which old is the present one at its voltage, is multiplied.
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

// rest is the sum of the impedances that do not change: not less than the
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
	return "beside or above the change, by the feeds and ties in locations.csv: " +
		"what motors and other sources there would add or lose is not modeled"
}

// proportion is said of every hypothesis.
const proportion = "Where the study's own result governs, " +
	"it is taken to change in the proportion of the recomputed one."

func (f *faultChange) assumptions() []string {
	all := []string{
		"Of impedances only magnitudes are known. " +
			"The far end of an interval is that of sums of magnitudes (all of one X/R), " +
			"the near end that of a changed part at a right angle to the rest, " +
			"or as far from it as the nameplates and feeders of site.toml leave room for.",
		"The X/R of the changed part stays as it is; a transformer or source of another X/R needs the study.",
		"What feeds what is as locations.csv says, and all devices and settings stay as they are, " +
			"those above the change too.",
		"Conductors that site.toml does not give are implied by the study's own fault currents.",
		"Where a fault current partly comes over a tie, there is no bound.",
		"Contributions of motors are not modeled; what the stated fault currents hold of them is scaled with the rest.",
		"Without a curve a row's durations stand where the fault current only rises, " +
			"since an overcurrent device does not clear later at a higher current (common practice). " +
			"Where it may fall there is no bound.",
		proportion,
	}
	if f.fault == 0 {
		all = append(all, "Nameplates count as they are written, without the tolerance on impedance.")
	} else if f.named == "" && len(f.site.Locations[f.at].Cases) > 1 {
		all = append(all, fmt.Sprintf("The %.4g kA stand for every case of %s.", f.fault, f.site.Locations[f.at].ID))
	}
	return all
}

// deviceChange changes how long the devices at a place take to clear.
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
		return nil, fmt.Errorf("--case: no row that such a device clears is of the case %q%s", h.Case, caseNames(cases))
	}
	if names == nil {
		return nil, fmt.Errorf("no row names %s as device_at: what a device there clears is not known", h.At)
	}
	return nil, fmt.Errorf("no row names a device %q at %s; there are: %s", h.Device, h.At, strings.Join(names, ", "))
}

func (d *deviceChange) of(_ int, c *assess.Case) (variant, bool) {
	if c.DeviceAt != d.h.At || d.h.Device != "" && d.h.Device != c.Device || d.h.Case != "" && d.h.Case != c.Name {
		return variant{}, false
	}
	return variant{low: c.Fault, high: c.Fault, device: d.h}, true
}

func (d *deviceChange) outside() string {
	return "which other devices clear, by the rows' own device_at"
}

func (d *deviceChange) assumptions() []string {
	return []string{
		"Fault currents stay as they are; so does what the device interrupts (device_rating_ka of the row).",
		"How it clears is taken as given: total clearing time at the arc, and not the setting alone.",
		proportion,
	}
}
