package record

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// immaterial are the columns that neither stand on the label nor decide it.
// The curve is compared by its points.
var immaterial = []string{"id", "case", "class", "curve", "edition", "engineer", "accepted_by", "note"}

// Drift compares facts, never hashes: what the record on a label says, and
// what a print would store now.
func Drift(old, now *Record) standing.Drift {
	d := standing.Drift{Data: dataDrift(old, now)}
	d.Policy = policyDrift(old, now)
	if len(d.Data) == 0 && len(d.Policy) == 0 {
		d.Data = resultDrift(old, now)
	}
	d.Worse = worse(old, now)
	return d
}

func dataDrift(old, now *Record) []standing.Difference {
	var all []standing.Difference
	seen := map[string]bool{} // what describes the equipment is the same in all rows, and is said once
	for i := range old.Rows {
		o := &old.Rows[i]
		n := now.caseRow(o.Case)
		if n == nil {
			all = append(all, standing.Difference{Field: "case", Old: caseName(o.Case)})
			continue
		}
		for _, d := range rowDrift(o, n) {
			if len(old.Rows) > 1 && !shared[d.Field] {
				d.Field += " of " + caseName(o.Case)
			}
			if !seen[d.Field] {
				seen[d.Field] = true
				all = append(all, d)
			}
		}
	}
	for i := range now.Rows {
		if old.caseRow(now.Rows[i].Case) == nil {
			all = append(all, standing.Difference{Field: "case", New: caseName(now.Rows[i].Case)})
		}
	}
	return append(all, curveDrift(old, now)...)
}

// shared are the columns that agree over the cases of a location.
var shared = map[string]bool{"area": true, "equipment": true, "fed_from": true, "supply": true, "conductor": true, "voltage_v": true,
	"rating_ka": true, "distance_mm": true, "electrodes": true, "gap_mm": true, "height_mm": true, "width_mm": true, "depth_mm": true, "assumed": true}

func caseName(name string) string {
	if name == "" {
		return "the case without a name"
	}
	return "case " + name
}

func (r *Record) caseRow(name string) *Row {
	for i := range r.Rows {
		if r.Rows[i].Case == name {
			return &r.Rows[i]
		}
	}
	return nil
}

func rowDrift(old, now *Row) []standing.Difference {
	var all []standing.Difference
	was, is := cells(old), cells(now)
	v := reflect.TypeFor[Row]()
	for i := range v.NumField() {
		name, _, _ := strings.Cut(v.Field(i).Tag.Get("json"), ",")
		if was[name] != is[name] && !slices.Contains(immaterial, name) {
			all = append(all, standing.Difference{Field: name, Old: was[name], New: is[name]})
		}
	}
	return all
}

func cells(r *Row) map[string]string {
	m := map[string]string{}
	for _, c := range r.Cells() {
		m[c.Column] = c.Value
	}
	return m
}

// curveDrift compares the points of the curves that each row names.
func curveDrift(old, now *Record) []standing.Difference {
	var all []standing.Difference
	for i := range old.Rows {
		n := now.caseRow(old.Rows[i].Case)
		if n == nil {
			continue
		}
		a, b := old.curve(old.Rows[i].Curve), now.curve(n.Curve)
		if a == nil && b == nil || a != nil && b != nil && a.TolerancePercent == b.TolerancePercent && slices.Equal(a.Points, b.Points) {
			continue
		}
		d := standing.Difference{Field: "curve", Old: old.Rows[i].Curve, New: n.Curve}
		if d.Old == d.New {
			d.New += " with other points"
		}
		if !slices.Contains(all, d) {
			all = append(all, d)
		}
	}
	return all
}

func (r *Record) curve(name string) *Curve {
	for i := range r.Curves {
		if r.Curves[i].Name == name {
			return &r.Curves[i]
		}
	}
	return nil
}

// policyDrift is what of the label would read otherwise by the policy as it is
// now, were the row the same.
func policyDrift(old, now *Record) []standing.Difference {
	var all []standing.Difference
	add := func(field, was, is string) {
		if was != is {
			all = append(all, standing.Difference{Field: field, Old: was, New: is})
		}
	}
	o, n := &old.Policy, &now.Policy
	signal, status, kit := now.choose(old.Results.Energy.Value)
	add("signal word", old.Assessment.Signal, signal)
	add("kit", kitWords(old.Assessment.KitStatus, old.Assessment.Kit), kitWords(status, kit))
	add("ladder", ladderWords(o.Ladder), ladderWords(n.Ladder))
	if signal == string(assess.Danger) && old.Assessment.Signal == signal {
		add("cutoff_cal_cm2", number(o.Cutoff), number(n.Cutoff)) // it stands on the label
	}
	if now.Assessment.Kit == old.Assessment.Kit && now.Assessment.KitStatus == old.Assessment.KitStatus {
		all = append(all, wearDrift("wear", o.Wear, n.Wear)...)
		all = append(all, wearDrift("below_threshold_wear", o.BelowThresholdWear, n.BelowThresholdWear)...)
	}
	add("units", o.Units, n.Units)
	if o.ReviewMonths != n.ReviewMonths {
		add("review_months", strconv.Itoa(o.ReviewMonths), strconv.Itoa(n.ReviewMonths))
	}
	a, b := old.Row(), now.Row()
	if a.Voltage == b.Voltage && a.Supply == b.Supply && a.Conductor == b.Conductor {
		x, y := &old.Assessment.Shock, &now.Assessment.Shock
		add("glove class", x.GloveClass, y.GloveClass)
		add("limited_mm", number(x.Limited), number(y.Limited))
		add("restricted", x.Rule+" "+number(x.Restricted), y.Rule+" "+number(y.Restricted))
	}
	if len(dataDrift(old, now)) == 0 && (o.Govern != n.Govern || o.TwoSecondReason != n.TwoSecondReason) {
		all = append(all, resultDrift(old, now)...)
	}
	return all
}

// choose is what the policy of a record makes of an energy.
func (r *Record) choose(energy float64) (signal, status, kit string) {
	p := r.ladder()
	s, k, rung := assess.Choose(assess.CalCM2(energy), p)
	if rung >= 0 {
		kit = p.Ladder[rung].Kit
	}
	return string(s), string(k), kit
}

// ladder is the part of the policy that chooses signal word and kit.
func (r *Record) ladder() *assess.Policy {
	p := &assess.Policy{Cutoff: assess.CalCM2(r.Policy.Cutoff)}
	for _, g := range r.Policy.Ladder {
		p.Ladder = append(p.Ladder, assess.Rung{Kit: g.Kit, Rating: assess.CalCM2(g.Rating)})
	}
	return p
}

func kitWords(status, kit string) string {
	if kit == "" {
		return status
	}
	return kit
}

func ladderWords(ladder []Rung) string {
	parts := make([]string, len(ladder))
	for i, r := range ladder {
		parts[i] = r.Kit + " " + number(r.Rating)
	}
	return strings.Join(parts, ", ")
}

// wearDrift names the items of a list that are others now, or another order.
func wearDrift(field string, old, now map[string][]string) []standing.Difference {
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

// without are the items of a list that another does not have.
func without(list, other []string) string {
	var rest []string
	for _, x := range list {
		if !slices.Contains(other, x) {
			rest = append(rest, x)
		}
	}
	return strings.Join(rest, ", ")
}

// resultDrift is what governs the label and comes out otherwise.
func resultDrift(old, now *Record) []standing.Difference {
	var all []standing.Difference
	for _, g := range []struct {
		field    string
		old, now float64
	}{
		{"governing energy_cal_cm2", old.Results.Energy.Value, now.Results.Energy.Value},
		{"governing boundary_mm", old.Results.Boundary.Value, now.Results.Boundary.Value},
	} {
		// The last of nine digits may differ between processors.
		if diff := g.old - g.now; diff > 1e-8*g.old || -diff > 1e-8*g.old {
			all = append(all, standing.Difference{Field: g.field, Old: number(g.old), New: number(g.now)})
		}
	}
	return all
}

// worse is the first thing that the folder as it is would warn of and the
// label does not.
func worse(old, now *Record) string {
	o, n := &old.Results, &now.Results
	x, y := &old.Assessment, &now.Assessment
	more := func(was, is float64) bool { return is > was*(1+1e-8) }
	fault := func(g *Governing) float64 {
		if g == nil {
			return 0
		}
		return g.Value
	}
	for _, w := range []struct {
		is   bool
		what string
	}{
		{more(o.Energy.Value, n.Energy.Value), fmt.Sprintf("incident energy %s → %s cal/cm²", number(o.Energy.Value), number(n.Energy.Value))},
		{more(o.Boundary.Value, n.Boundary.Value), fmt.Sprintf("arc-flash boundary %s → %s mm", number(o.Boundary.Value), number(n.Boundary.Value))},
		{more(fault(o.Fault), fault(n.Fault)), fmt.Sprintf("fault current %s → %s kA", number(fault(o.Fault)), number(fault(n.Fault)))},
		{more(old.Row().Voltage, now.Row().Voltage), fmt.Sprintf("voltage %s → %s V", number(old.Row().Voltage), number(now.Row().Voltage))},
		{old.Row().Supply != now.Row().Supply, "another supply"},
		{more(old.Row().Distance, now.Row().Distance), fmt.Sprintf("working distance %s → %s mm", number(old.Row().Distance), number(now.Row().Distance))},
		{x.Signal != y.Signal && y.Signal == string(assess.Danger), "DANGER"},
		{now.rating(y.Kit) > old.rating(x.Kit), "a stronger kit: " + kitWords(x.KitStatus, x.Kit) + " → " + kitWords(y.KitStatus, y.Kit)},
		{x.Kit != "" && now.rating(x.Kit) < float64(assess.PrintedCal(assess.CalCM2(o.Energy.Value))), fmt.Sprintf("the kit %s is rated %s now (0: it is gone)", x.Kit, number(now.rating(x.Kit)))},
		{x.Kit == y.Kit && moreToWear(&old.Policy, &now.Policy) != "", "more to wear: " + moreToWear(&old.Policy, &now.Policy)},
		{more(max(o.Energy.Value, mostComputed(o)), mostComputed(n)), fmt.Sprintf("a recomputed energy of %s cal/cm²", number(mostComputed(n)))},
		{more(x.Shock.Limited, y.Shock.Limited) || more(x.Shock.Restricted, y.Shock.Restricted), "an approach boundary farther out"},
		{more(x.Shock.GloveLimit, y.Shock.GloveLimit), fmt.Sprintf("gloves of class %s → %s", x.Shock.GloveClass, y.Shock.GloveClass)},
	} {
		if w.is {
			return w.what
		}
	}
	return ""
}

// moreToWear are the items that the list of now has and the old one has not.
func moreToWear(old, now *Policy) string {
	var more []string
	for _, lists := range [][2]map[string][]string{{old.Wear, now.Wear}, {old.BelowThresholdWear, now.BelowThresholdWear}} {
		for _, lang := range slices.Sorted(maps.Keys(lists[1])) {
			was, ok := lists[0][lang]
			if !ok {
				was = lists[0][""]
			}
			if s := without(lists[1][lang], was); s != "" {
				more = append(more, s)
			}
		}
	}
	return strings.Join(more, "; ")
}

// mostComputed is the largest recomputed energy over the cases; 0 for none.
func mostComputed(r *Results) float64 {
	most := 0.0
	for i := range r.Computed {
		most = max(most, r.Computed[i].Energy)
	}
	return most
}

// rating is the arc rating of a kit in the record's own ladder; 0 for none.
func (r *Record) rating(kit string) float64 {
	for _, g := range r.Policy.Ladder {
		if g.Kit == kit {
			return g.Rating
		}
	}
	return 0
}

func number(x float64) string { return strconv.FormatFloat(assess.Round9(x), 'f', -1, 64) }
