package basis

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Item is one statement of the label, and why it says so.
type Item struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	Why   string `json:"why"`
}

// Items are what the label of a record says, in the order of the label.
func Items(r *record.Record) []Item {
	l, u := r.Location, r.Policy.Units
	items := []Item{
		{"Voltage", label.Supply(r), assess.Number(l.Voltage) + " V, supply " + string(l.Supply) +
			", from locations.csv"},
		{"Signal word", string(r.Signal), signalWhy(r)},
		kit(r),
		{"Incident energy at " + label.Distance(l.Distance, u), label.EnergyOf(r.Energy, u), energyWhy(r, r.Energy)},
		boundary(r),
	}
	items = append(items, maintenanceItems(r)...)
	items = append(items, Item{"Working distance", label.Distance(l.Distance, u), distanceWhy(l, u)})
	items = append(items, shockItems(r)...)
	items = append(items, faultItems(r)...)
	items = append(items, Item{"Study", r.Prepared.String(), studyWhy(r)})
	from := r.Prepared.String()
	if r.Reviewed != nil {
		from = fmt.Sprintf("%s, when %s found the study right,", r.Reviewed.Date, r.Reviewed.By)
	}
	return append(items, Item{"Review by", r.ReviewBy.String(),
		fmt.Sprintf("%s plus %d months, the owner's interval; at most 5 years (NFPA 70E 130.5(G))",
			from, r.Policy.ReviewMonths)})
}

func distanceWhy(l *assess.Location, u assess.Units) string {
	if slices.Contains(l.Assumed(), "distance_mm") {
		return fmt.Sprintf("%s assumed, typical of a %s (IEEE 1584-2018): "+
			"the row gives none, and the owner allows this", asStated(l.Distance), l.Class)
	}
	text := asStated(l.Distance) + " in the study"
	if rounded := roundedLength(l.Distance, u); rounded != "" {
		text += rounded + ", never to less than the calculated distance"
	}
	return text
}

// origin says which case and which study a governing number comes from.
func origin(r *record.Record, name string, from assess.Origin) string {
	row := r.RowOf(name)
	text := "recomputed by " + row.Method.Standard()
	switch proven := r.ProvenOf(name); {
	case from == assess.FromStudy:
		text = "stated by " + cmp.Or(report.After("study ", row.Study), "the study") + report.After(" rev ", row.Revision)
	case proven != nil:
		text = "at least, proven from the row's own inputs by " + proven.Method.Standard()
	}
	if name != "" {
		text += fmt.Sprintf(", case %q", name)
	}
	return text
}

// governing says where a governing number comes from. Where the deciding case
// has two results, stated and recomputed, it also gives the one that does not
// govern. Each is spelled with its unit.
func governing[T ~float64](r *record.Record, g assess.Governing[T], stated, computed T,
	spell func(T, assess.Bound) string) string {
	bound := r.RowOf(g.Case).Bound
	text := spell(g.Value, g.Bound) + " " + origin(r, g.Case, g.From)
	switch {
	case stated == 0 || computed == 0:
	case g.From == assess.FromStudy:
		by := computedBy(r, g.Case).Method.Standard()
		text += "; recomputed by " + by + ": " + spell(computed, "") + "; " + governs(r)
	case bound == assess.Above:
		text += ", which agrees with the study: " + spell(stated, bound)
	case r.Policy.Govern == assess.GovernStudy:
		text += "; the study states " + spell(stated, bound) + ", which is too low, so the larger governs"
	default:
		text += "; the study states " + spell(stated, bound) + "; " + governs(r)
	}
	return text
}

// asStored is how the numbers behind a label are spelled: all digits, in the label's units.
type asStored assess.Units

func stored(r *record.Record) asStored { return asStored(r.Policy.Units) }

const storedDigits = 9

func (u asStored) length(x assess.MM, _ assess.Bound) string {
	return assess.Units(u).Length(x, storedDigits)
}

func (u asStored) energy(x assess.CalCM2, b assess.Bound) string {
	return strings.TrimSpace(string(b) + " " + assess.Units(u).Energy(x, storedDigits))
}

// energyWhy says where an energy comes from.
func energyWhy(r *record.Record, g assess.Governing[assess.CalCM2]) string {
	row := r.RowOf(g.Case)
	text := governing(r, g, row.Energy, computedBy(r, g.Case).Energy, stored(r).energy)
	if g.Bound == assess.Above && row.Bound != assess.Above {
		text += "; another case is only known to be above a value, so the energy may be higher than this"
	}
	return text + roundedEnergy(g, r.Policy.Units)
}

// computedBy is the recomputed result of a case, or what its row proves; empty
// where it has neither.
func computedBy(r *record.Record, name string) *assess.Computed {
	return cmp.Or(r.ComputedOf(name), r.ProvenOf(name), &assess.Computed{})
}

// governs says which of two results governs, and who decided that.
func governs(r *record.Record) string {
	p := r.Policy
	if p.Govern == assess.Larger {
		return "the larger governs"
	}
	return fmt.Sprintf("the %s result governs, accepted by %s on %s: %s",
		p.Govern, p.GovernAcceptedBy, p.GovernDate, p.GovernReason)
}

func signalWhy(r *record.Record) string {
	switch e := r.Energy; e.Bound {
	case assess.Above:
		return fmt.Sprintf("the energy is only known to be %s; the owner's cutoff is %s cal/cm²",
			stored(r).energy(e.Value, e.Bound), assess.Number(r.Policy.Cutoff))
	case assess.Under:
		return fmt.Sprintf("the energy is %s, which is not above the owner's cutoff of %s cal/cm²",
			stored(r).energy(e.Value, e.Bound), assess.Number(r.Policy.Cutoff))
	}
	is := "is not above"
	if r.Signal == assess.Danger {
		is = "is above"
	}
	return fmt.Sprintf("the printed %s cal/cm² %s the owner's cutoff of %s cal/cm²",
		assess.Number(assess.PrintedCal(r.Energy.Value)), is, assess.Number(r.Policy.Cutoff))
}

func kit(r *record.Record) Item {
	e := assess.Number(assess.PrintedCal(r.Energy.Value))
	switch {
	case r.Energy.Bound == assess.Above:
		return Item{"Kit", "NO ENERGIZED WORK",
			"the energy has no known upper limit, so no kit can be chosen: de-energize"}
	case r.Status == assess.NoneAllowed:
		return Item{"Kit", "NO ENERGIZED WORK", "the energy is above the owner's cutoff: de-energize"}
	case r.Status == assess.NotRequired && r.Energy.Bound == assess.Under:
		return Item{"Kit", "arc-rated clothing not required",
			"the study states an energy " + stored(r).energy(r.Energy.Value, r.Energy.Bound) +
				" at the working distance; closer, it is higher (NFPA 70E Article 100, arc-flash boundary)"}
	case r.Status == assess.NotRequired:
		return Item{"Kit", "arc-rated clothing not required",
			fmt.Sprintf("the printed %s cal/cm² is below 1.2 cal/cm² at the working distance or farther "+
				"(NFPA 70E Article 100, arc-flash boundary); closer, it is higher", e)}
	}
	return Item{"Kit", r.Kit, fmt.Sprintf("the lowest kit of the owner's ladder rated at least %s cal/cm²: "+
		"it is rated %s cal/cm²", e, assess.Number(r.Policy.Rung(r.Kit).Rating))}
}

func boundary(r *record.Record) Item {
	shown := r.BoundaryToPrint
	return Item{"Arc-flash boundary", label.Length(shown, shown, r.Policy.Units),
		boundaryWhy(r, r.Boundary, shown) + " (1.2 cal/cm², NFPA 70E Article 100)"}
}

// boundaryWhy says where a boundary comes from, and how it was raised or rounded
// for print.
func boundaryWhy(r *record.Record, g assess.Governing[assess.MM], shown assess.MM) string {
	row := r.RowOf(g.Case)
	var text string
	if g.From == assess.FromStudy && row.Boundary == 0 {
		text = "not stated: the energy at the working distance is " + stored(r).energy(row.Energy, row.Bound) +
			", so the boundary is no farther out than the working distance"
	} else {
		text = governing(r, g, row.Boundary, computedBy(r, g.Case).Boundary, stored(r).length)
	}
	if shown > g.Value {
		text += "; raised to the working distance, since the energy there is above 1.2 cal/cm²"
	}
	return text + roundedLength(shown, r.Policy.Units)
}

// faultItems are the available fault current and the clearing time at it.
func faultItems(r *record.Record) []Item {
	f := r.Fault
	if f.Value == 0 {
		return nil
	}
	why := fmt.Sprintf("%s kA %s; the largest over the cases", assess.Number(f.Value), origin(r, f.Case, f.From))
	if !same(float64(assess.PrintedKA(f.Value)), float64(f.Value)) {
		why += ", rounded up"
	}
	why += " (NEC 110.24, 408.6)"
	if label.OverRated(r) {
		why += fmt.Sprintf("; above the equipment's rating of %s kA, accepted by a named person: the label shows both",
			assess.Number(r.Location.Rating))
	}
	items := []Item{{"Available fault current", label.Current(f.Value), why}}
	if t := r.RowOf(f.Case).ServiceClearing; t > 0 {
		items = append(items, Item{"Service device clearing time", label.Duration(t),
			fmt.Sprintf("%s ms stated at this current, rounded up; on the fault current marking (NEC 110.16(B), 2017 and 2020)",
				assess.Number(t))})
	}
	return items
}

func shockItems(r *record.Record) []Item {
	s, l, u := &r.Shock, r.Location, r.Policy.Units
	source := shock.Source(r.Policy.Edition, l.Supply, s.Row, s.Owner)
	if s.Voltage != float64(l.Voltage) {
		source += fmt.Sprintf("; single-phase, so the table was read at %s V times 1.732 (its footnote, from memory)",
			assess.Number(l.Voltage))
	}
	if s.Rule == shock.NotSpecified {
		return []Item{{"Approach boundaries", "not specified", source}}
	}
	part := "exposed fixed circuit part"
	if l.Movable {
		part = "exposed movable conductor"
	}
	restricted := Item{"Restricted approach boundary", "avoid contact", source}
	if s.Rule == shock.AtDistance {
		restricted.Value = label.Length(assess.MM(s.Restricted), assess.MM(s.RestrictedPrint), u)
	}
	glove := fmt.Sprintf("%s: class %s to %s V", shock.GloveSource(l.Supply), r.Glove.Class, assess.Number(r.Glove.Limit))
	if r.Policy.MinimumGloveClass != "" {
		glove += fmt.Sprintf("; the owner requires at least class %s", r.Policy.MinimumGloveClass)
	}
	return []Item{
		{"Limited approach boundary", label.Length(assess.MM(s.Limited), assess.MM(s.LimitedPrint), u), source + ", " + part},
		restricted,
		{"Rubber insulating gloves", "class " + r.Glove.Class + ", with leather protectors",
			glove + "; inside the restricted approach boundary"},
	}
}

func studyWhy(r *record.Record) string {
	row := r.RowOf(r.Energy.Case)
	var parts []string
	for _, p := range []struct{ name, value string }{
		{"study", strings.TrimSpace(row.Study + report.After(" rev ", row.Revision))},
		{"edition", row.Edition},
		{"surveyed", r.Surveyed.String()},
		{"engineer", row.Engineer},
		{"accepted by", row.AcceptedBy},
	} {
		if p.value != "" {
			parts = append(parts, p.name+" "+p.value)
		}
	}
	if n := len(r.Location.Cases); n > 1 {
		parts = append(parts, fmt.Sprintf("the oldest of %d cases counts", n))
	}
	return cmp.Or(strings.Join(parts, ", "), "from locations.csv")
}
