package record

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// Drift compares the record of a label with what a print would store now. It
// compares facts, never hashes.
func Drift(old, now *Record) standing.Drift {
	if old == now {
		return standing.Drift{}
	}
	data := dataDrift(old, now, assess.Stands)
	d := standing.Drift{Data: data, Policy: policyDrift(old, now, data), Worse: worse(old, now)}
	if len(d.Data) == 0 && len(d.Policy) == 0 {
		d.Data = resultDrift(old, now)
	}
	return d
}

// Decided are the differences in columns that decide a label.
func Decided(old, now *Record) []standing.Difference { return dataDrift(old, now, assess.Decides) }

// dataDrift are the differences in columns of at least a weight.
func dataDrift(old, now *Record, least assess.Weight) []standing.Difference {
	var all []standing.Difference
	was, is := old.Location.ByName(), now.Location.ByName()
	described := false // what describes the equipment is the same in all rows and is listed once
	for i := range old.Location.Cases {
		o := old.Location.Row(i)
		c := is.Named(o.Name)
		if c == nil {
			all = append(all, standing.Difference{Field: "case", Old: caseName(o.Name)})
			continue
		}
		n := assess.Row{Location: now.Location, Case: c}
		for k := range assess.Columns {
			col := &assess.Columns[k]
			if col.Weight < least || !col.PerCase && described {
				continue
			}
			if a, b := col.Text(o), col.Text(n); a != b {
				d := standing.Difference{Field: col.Key(), Old: a, New: b}
				if col.PerCase && len(old.Location.Cases) > 1 {
					d.Field += " of " + caseName(o.Name)
				}
				all = append(all, d)
			}
		}
		described = true
	}
	for i := range now.Location.Cases {
		if name := now.Location.Cases[i].Name; was.Named(name) == nil {
			all = append(all, standing.Difference{Field: "case", New: caseName(name)})
		}
	}
	return append(all, curveDrift(old, now)...)
}

func caseName(name string) string {
	if name == "" {
		return "the case without a name"
	}
	return "case " + name
}

// curveDrift compares the points of the curves that each row names.
func curveDrift(old, now *Record) []standing.Difference {
	var all []standing.Difference
	cases := now.Location.ByName()
	looked := map[[2]string]bool{} // each pair of curves is compared once, whatever cases name it
	for i := range old.Location.Cases {
		o := &old.Location.Cases[i]
		n := cases.Named(o.Name)
		if n == nil || o.Curve == "" && n.Curve == "" || looked[[2]string{o.Curve, n.Curve}] {
			continue
		}
		looked[[2]string{o.Curve, n.Curve}] = true
		if !sameCurve(old.Curves[o.Curve], now.Curves[n.Curve]) {
			all = append(all, standing.Difference{Field: "curve", Old: o.Curve, New: n.Curve + otherPoints(o.Curve, n.Curve)})
		}
	}
	return all
}

func sameCurve(a, b *assess.Curve) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.TolerancePercent == b.TolerancePercent && slices.Equal(a.Points, b.Points)
}

// policyDrift is how the label would differ under the current policy if the row
// were the same. data are the differences in the row.
func policyDrift(old, now *Record, data []standing.Difference) []standing.Difference {
	var all []standing.Difference
	add := func(field, was, is string) {
		if was != is {
			all = append(all, standing.Difference{Field: field, Old: was, New: is})
		}
	}
	o, n := old.Policy, now.Policy
	signal, status, kit := old.Signal, old.Status, old.Kit
	if old.Energy.Value > 0 { // otherwise nothing was chosen
		signal, status, kit = n.ChooseFor(old.Energy)
	}
	add("signal word", string(old.Signal), string(signal))
	add("kit", kitWords(old.Status, old.Kit), kitWords(status, kit))
	add("ladder", ladderWords(o.Ladder), ladderWords(n.Ladder))
	if signal == assess.Danger && old.Signal == signal {
		add("cutoff_cal_cm2", assess.Number(o.Cutoff), assess.Number(n.Cutoff)) // it is on the label
	}
	if now.Kit == old.Kit && now.Status == old.Status {
		all = append(all, wearDrift("wear", old.Wear(), now.Wear())...)
		all = append(all, wearDrift("below_threshold_wear", o.BelowThresholdWear, n.BelowThresholdWear)...)
	}
	if old.Maintenance != nil && now.Maintenance != nil {
		add("maintenance_line", lineWords(o), lineWords(n))
	}
	if signal == assess.Danger && old.Signal == signal {
		all = append(all, wearDrift("danger_test", o.DangerTest, n.DangerTest)...)
	}
	if len(data) == 0 {
		add("show_clearing_time", strconv.FormatBool(o.ShowClearingTime), strconv.FormatBool(n.ShowClearingTime))
	}
	add("units", string(o.Units), string(n.Units))
	add("review_months", strconv.Itoa(o.ReviewMonths), strconv.Itoa(n.ReviewMonths))
	a, b := old.Location, now.Location
	if a.Voltage == b.Voltage && a.Supply == b.Supply && a.Movable == b.Movable {
		x, y := &old.Shock, &now.Shock
		add("glove class", old.Glove.Class, now.Glove.Class)
		add("limited_mm", assess.Number(x.Limited), assess.Number(y.Limited))
		add("restricted", string(x.Rule)+" "+assess.Number(x.Restricted), string(y.Rule)+" "+assess.Number(y.Restricted))
	}
	if len(data) == 0 && (o.Govern != n.Govern || o.TwoSecondReason != n.TwoSecondReason) {
		all = append(all, resultDrift(old, now)...)
	}
	return all
}

// lineWords says where the maintenance-switch line is shown.
func lineWords(p *assess.Policy) string {
	return map[bool]string{false: "label", true: "page"}[p.MaintenanceOnPage]
}

// Wear is what to wear with the chosen kit; nil for none.
func (r *Record) Wear() assess.Words {
	if rung := r.Policy.Rung(r.Kit); rung != nil {
		return rung.Wear
	}
	return nil
}

func kitWords(status assess.KitStatus, kit string) string { return cmp.Or(kit, string(status)) }

func ladderWords(ladder []assess.Rung) string {
	parts := make([]string, len(ladder))
	for i, r := range ladder {
		parts[i] = r.Kit + " " + assess.Number(r.Rating)
	}
	return strings.Join(parts, ", ")
}

// wearDrift names the items of a list that changed, or a changed order.
func wearDrift(field string, old, now assess.Words) []standing.Difference {
	var all []standing.Difference
	languages := map[string][]string{}
	maps.Copy(languages, old)
	maps.Copy(languages, now)
	for _, lang := range slices.Sorted(maps.Keys(languages)) {
		a, b := old[lang], now[lang]
		if slices.Equal(a, b) {
			continue
		}
		d := standing.Difference{Field: strings.TrimSuffix(field+"_"+lang, "_"), Old: without(a, b), New: without(b, a)}
		if d.Old == "" && d.New == "" {
			d.Old, d.New = strings.Join(a, ", "), strings.Join(b, ", ")
		}
		all = append(all, d)
	}
	return all
}

// without are the items of a list that the other does not have.
func without(list, other []string) string {
	rest := slices.DeleteFunc(slices.Clone(list), func(x string) bool { return slices.Contains(other, x) })
	return strings.Join(rest, ", ")
}

// resultDrift are the differences in the results that govern the label.
func resultDrift(old, now *Record) []standing.Difference {
	var all []standing.Difference
	for _, g := range []struct {
		field    string
		old, now float64
	}{
		{"governing energy_cal_cm2", float64(old.Energy.Value), float64(now.Energy.Value)},
		{"governing boundary_mm", float64(old.Boundary.Value), float64(now.Boundary.Value)},
	} {
		if !assess.Same(g.old, g.now) {
			all = append(all, standing.Difference{Field: g.field, Old: assess.Number(g.old), New: assess.Number(g.now)})
		}
	}
	if was, is := old.Energy.Bound, now.Energy.Bound; was != is {
		all = append(all, standing.Difference{Field: "energy_bound", Old: string(was), New: string(is)})
	}
	if was, is := maintenanceWords(old), maintenanceWords(now); was != is {
		all = append(all, standing.Difference{Field: "with the maintenance switch on", Old: was, New: is})
	}
	return all
}

// maintenanceWords is what a label says about the maintenance switch, in numbers;
// "" for nothing.
func maintenanceWords(r *Record) string {
	m := r.Maintenance
	if m == nil {
		return ""
	}
	return strings.TrimSpace(fmt.Sprintf("%s %s cal/cm², %s mm, %s, %s %s", m.Energy.Bound, assess.Number(m.Energy.Value),
		assess.Number(m.BoundaryToPrint), kitWords(m.Status, m.Kit), m.Device, m.DeviceAt))
}

// worse is the first thing that a label printed now would warn of and the old one
// does not.
func worse(old, now *Record) string {
	o, n := old.Location, now.Location
	rating := func(r *Record, kit string) assess.CalCM2 {
		if rung := r.Policy.Rung(kit); rung != nil {
			return rung.Rating
		}
		return 0
	}
	wear := moreToWear(old, now)
	energy := func(e assess.CalCM2) string { return now.Policy.Units.Energy(e, 9) }
	length := func(l assess.MM) string { return now.Policy.Units.Length(l, 9) }
	switch {
	case assess.More(old.Energy.Value, now.Energy.Value):
		return "incident energy " + energy(old.Energy.Value) + " → " + energy(now.Energy.Value)
	case now.Energy.Bound == assess.Above && old.Energy.Bound != assess.Above:
		return "an incident energy that is only known to be above " + energy(now.Energy.Value)
	case old.Energy.Bound == assess.Under && now.Energy.Bound == "":
		return "an incident energy of " + energy(now.Energy.Value) + ", which may be reached"
	case assess.More(old.Boundary.Value, now.Boundary.Value):
		return "arc-flash boundary " + length(old.Boundary.Value) + " → " + length(now.Boundary.Value)
	case assess.More(old.Fault.Value, now.Fault.Value):
		return from("fault current", old.Fault.Value, now.Fault.Value, "kA")
	case assess.More(o.Voltage, n.Voltage):
		return from("voltage", o.Voltage, n.Voltage, "V")
	case o.Supply != n.Supply:
		return "another supply"
	case assess.More(o.Distance, n.Distance):
		return "working distance " + length(o.Distance) + " → " + length(n.Distance)
	case old.Signal != now.Signal && now.Signal == assess.Danger:
		return "DANGER"
	case old.Signal != assess.Danger && rating(now, now.Kit) > rating(old, old.Kit):
		return "a stronger kit: " + kitWords(old.Status, old.Kit) + " → " + kitWords(now.Status, now.Kit)
	case old.Kit != "" && rating(now, old.Kit) < assess.PrintedCal(old.Energy.Value):
		return fmt.Sprintf("the kit %s is now rated %s (0: it is no longer on the ladder)", old.Kit, assess.Number(rating(now, old.Kit)))
	case old.Kit == now.Kit && wear != "":
		return "more to wear: " + wear
	case assess.More(max(old.Energy.Value, mostComputed(old)), mostComputed(now)):
		return "a recomputed energy of " + energy(mostComputed(now))
	case worseSwitched(old, now):
		return "another result with the maintenance switch on: " + cmp.Or(maintenanceWords(now), "none")
	case assess.More(old.Shock.Limited, now.Shock.Limited), assess.More(old.Shock.Restricted, now.Shock.Restricted):
		return "an approach boundary farther out"
	case assess.More(old.Glove.Limit, now.Glove.Limit):
		return fmt.Sprintf("gloves of class %s → %s", old.Glove.Class, now.Glove.Class)
	}
	return ""
}

// worseSwitched reports whether the old label shows a lower hazard with the
// maintenance switch on than one printed now would.
func worseSwitched(old, now *Record) bool {
	o, n := old.Maintenance, now.Maintenance
	switch {
	case o == nil:
		return false // it shows nothing
	case n == nil:
		return true // what it shows no longer holds
	}
	return assess.More(o.Energy.Value, n.Energy.Value) || assess.More(o.BoundaryToPrint, n.BoundaryToPrint) ||
		n.Energy.Bound == assess.Above && o.Energy.Bound != assess.Above || o.Device != n.Device || o.DeviceAt != n.DeviceAt
}

func from[T ~float64](what string, was, is T, unit string) string {
	return fmt.Sprintf("%s %s → %s %s", what, assess.Number(was), assess.Number(is), unit)
}

// moreToWear are the items that are in the list now and were not in the old one.
func moreToWear(old, now *Record) string {
	var extra []string
	for _, lists := range [][2]assess.Words{
		{old.Wear(), now.Wear()},
		{old.Policy.BelowThresholdWear, now.Policy.BelowThresholdWear},
	} {
		for _, lang := range slices.Sorted(maps.Keys(lists[1])) {
			if s := without(lists[1][lang], lists[0].In(lang)); s != "" {
				extra = append(extra, s)
			}
		}
	}
	return strings.Join(extra, "; ")
}

// mostComputed is the largest recomputed energy over the cases; 0 for none.
func mostComputed(r *Record) assess.CalCM2 {
	if worst := r.Worst(); worst != nil {
		return worst.Energy
	}
	return 0
}
