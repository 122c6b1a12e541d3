package basis

import (
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label"
	"vouchmark/label/record"
)

// Item is one thing that the label says, and why.
type Item struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

// Items are what the label of a record says, in the order of the label.
func Items(r *record.Record) []Item {
	u := assess.Units(r.Policy.Units)
	row, a := r.Row(), &r.Assessment
	energy := assess.CalCM2(r.Results.Energy.Value)
	items := []Item{
		{"Voltage", label.Supply(r), number(row.Voltage) + " V, supply " + row.Supply + ", as locations.csv states it"},
		{"Signal word", a.Signal, signalWhy(r)},
		kit(r),
		{"Incident energy at " + label.Distance(assess.MM(row.Distance), u), label.Energy(energy, u),
			fmt.Sprintf("%s cal/cm² %s%s; rounded up", number(r.Results.Energy.Value), origin(r, r.Results.Energy), other(r, r.Results.Energy, energyOf, "cal/cm²", 1))},
		boundary(r, u),
		{"Working distance", label.Distance(assess.MM(row.Distance), u), distanceWhy(row)},
	}
	items = append(items, shockItems(r, u)...)
	if f := r.Results.Fault; f != nil {
		items = append(items, Item{"Available fault current", label.Current(assess.KA(f.Value)),
			fmt.Sprintf("%s kA %s; the largest over the cases, rounded up (NEC 110.24, 408.6)", number(f.Value), origin(r, *f))})
	}
	items = append(items, Item{"Study", a.Prepared, studyWhy(r)})
	from := a.Prepared
	if r.Policy.Reviewed != "" {
		from = fmt.Sprintf("%s, when %s found the study right,", r.Policy.Reviewed, r.Policy.ReviewedBy)
	}
	return append(items, Item{"Review by", a.ReviewBy,
		fmt.Sprintf("%s and %d months, the owner's interval; at most 5 years by NFPA 70E 130.5(G)", from, r.Policy.ReviewMonths)})
}

func number(x float64) string { return fmt.Sprintf("%.9g", x) }

func distanceWhy(row *record.Row) string {
	if slices.Contains(row.Assumed, "distance_mm") {
		return fmt.Sprintf("%s mm assumed: typical of a %s (IEEE 1584-2018), since the row gives none and the owner allows it", number(row.Distance), row.Class)
	}
	return fmt.Sprintf("%s mm in the study; rounded up, never to a shorter distance than was calculated", number(row.Distance))
}

// origin says which case and which study a governing number comes from.
func origin(r *record.Record, g record.Governing) string {
	row := r.RowOf(g.Case)
	text := "recomputed by " + assess.Method(row.Method).Standard()
	if g.From == string(assess.FromStudy) {
		text = "stated by the study"
		if row.Study != "" {
			text = "stated by study " + row.Study
		}
		if row.Revision != "" {
			text += " rev " + row.Revision
		}
	}
	if g.Case != "" {
		text += fmt.Sprintf(", case %q", g.Case)
	}
	return text
}

// other says what the result that does not govern is, where there are two for
// the case that decided: stated and recomputed.
func other(r *record.Record, g record.Governing, of func(*record.Row, *record.Computed) (stated, computed float64), unit string, per float64) string {
	for i := range r.Rows {
		if r.Rows[i].Case != g.Case {
			continue
		}
		stated, computed := of(&r.Rows[i], &r.Results.Computed[i])
		if stated == 0 || computed == 0 {
			return ""
		}
		text := fmt.Sprintf("; recomputed by %s: %s %s", assess.Method(r.Rows[i].Method).Standard(), number(assess.Round9(computed/per)), unit)
		if g.From != string(assess.FromStudy) {
			text = fmt.Sprintf("; the study states %s %s", number(assess.Round9(stated/per)), unit)
		}
		return text + "; " + governs(r)
	}
	return ""
}

// governs says by whose decision one of two results governs.
func governs(r *record.Record) string {
	p := &r.Policy
	if p.Govern == string(assess.Larger) {
		return "the larger governs"
	}
	return fmt.Sprintf("the %s one governs, accepted by %s on %s: %s", p.Govern, p.GovernAcceptedBy, p.GovernDate, p.GovernReason)
}

func energyOf(row *record.Row, c *record.Computed) (float64, float64) { return row.Energy, c.Energy }
func boundaryOf(row *record.Row, c *record.Computed) (float64, float64) {
	return row.Boundary, c.Boundary
}

func inches(mm float64) string { return number(assess.Round9(mm / assess.MMPerInch)) }

func signalWhy(r *record.Record) string {
	e := assess.PrintedCal(assess.CalCM2(r.Results.Energy.Value))
	if r.Assessment.Signal == string(assess.Danger) {
		return fmt.Sprintf("the printed %s cal/cm² is above the owner's cutoff of %s cal/cm²", number(float64(e)), number(r.Policy.Cutoff))
	}
	return fmt.Sprintf("the printed %s cal/cm² is not above the owner's cutoff of %s cal/cm²", number(float64(e)), number(r.Policy.Cutoff))
}

func kit(r *record.Record) Item {
	e := number(float64(assess.PrintedCal(assess.CalCM2(r.Results.Energy.Value))))
	switch assess.KitStatus(r.Assessment.KitStatus) {
	case assess.NoneAllowed:
		return Item{"Kit", "none is allowed", "above the owner's cutoff no kit is enough: de-energize"}
	case assess.NotRequired:
		return Item{"Kit", "no arc-rated kit is demanded", fmt.Sprintf("the printed %s is below 1.2 cal/cm² at the working distance or more (NFPA 70E Article 100, arc-flash boundary); closer in it is higher", e)}
	}
	i := slices.IndexFunc(r.Policy.Ladder, func(g record.Rung) bool { return g.Kit == r.Assessment.Kit })
	return Item{"Kit", r.Assessment.Kit, fmt.Sprintf("the lowest rung of the owner's ladder rated at least %s cal/cm²: it is rated %s", e, number(r.Policy.Ladder[i].Rating))}
}

func boundary(r *record.Record, u assess.Units) Item {
	b, d := assess.MM(r.Results.Boundary.Value), assess.MM(r.Row().Distance)
	print := assess.BoundaryToPrint(assess.CalCM2(r.Results.Energy.Value), b, d)
	why := fmt.Sprintf("%s in %s%s; rounded up", inches(float64(b)), origin(r, r.Results.Boundary), other(r, r.Results.Boundary, boundaryOf, "in", assess.MMPerInch))
	if print > b {
		why += "; raised to the working distance, since the energy there is above 1.2 cal/cm²"
	}
	return Item{"Arc-flash boundary", label.Length(print, print, u), why + " (1.2 cal/cm², NFPA 70E Article 100)"}
}

func shockItems(r *record.Record, u assess.Units) []Item {
	s := &r.Assessment.Shock
	source := shock.Source(r.Policy.Edition, r.Supply(), s.Row, s.Owner)
	if s.LookedUp != r.Row().Voltage {
		source += fmt.Sprintf("; single phase, so %s V times 1.732 was looked up (footnote of the table, from memory)", number(r.Row().Voltage))
	}
	if shock.Rule(s.Rule) == shock.NotSpecified {
		return []Item{{"Approach boundaries", "not specified", source}}
	}
	part := "exposed fixed circuit part"
	if r.Row().Conductor == "movable" {
		part = "exposed movable conductor"
	}
	restricted := Item{"Restricted approach boundary", "avoid contact", source}
	if shock.Rule(s.Rule) == shock.AtDistance {
		restricted.Value = label.Length(assess.MM(s.Restricted), assess.MM(s.RestrictedPrint), u)
	}
	glove := fmt.Sprintf("%s: class %s to %s V", shock.GloveSource(r.Supply()), s.GloveClass, number(s.GloveLimit))
	if r.Policy.MinimumGloveClass != "" {
		glove += fmt.Sprintf("; the owner asks for class %s at least", r.Policy.MinimumGloveClass)
	}
	return []Item{
		{"Limited approach boundary", label.Length(assess.MM(s.Limited), assess.MM(s.LimitedPrint), u), source + ", " + part},
		restricted,
		{"Rubber insulating gloves", "class " + s.GloveClass + ", with leather protectors", glove + "; inside the restricted approach boundary"},
	}
}

func studyWhy(r *record.Record) string {
	row := r.RowOf(r.Results.Energy.Case)
	var parts []string
	for _, p := range []struct{ name, value string }{
		{"study", strings.TrimSpace(row.Study + " " + revision(row))}, {"edition", row.Edition}, {"surveyed", r.Assessment.Surveyed},
		{"engineer", row.Engineer}, {"accepted by", row.AcceptedBy},
	} {
		if p.value != "" {
			parts = append(parts, p.name+" "+p.value)
		}
	}
	if len(r.Rows) > 1 {
		parts = append(parts, fmt.Sprintf("the oldest of %d cases counts", len(r.Rows)))
	}
	if len(parts) == 0 {
		return "as locations.csv says"
	}
	return strings.Join(parts, ", ")
}

func revision(row *record.Row) string {
	if row.Revision == "" {
		return ""
	}
	return "rev " + row.Revision
}
