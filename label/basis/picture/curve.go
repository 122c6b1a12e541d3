package picture

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/arc"
	"vouchmark/label"
	"vouchmark/label/record"
)

// Curve draws how the incident energy of a record's label falls with the
// distance: the recomputed energy of the deciding case, from the shortest
// distance for which the method is published to a little beyond the boundary. It
// shows the printed energy at the working distance, the boundary, the owner's
// ladder and the cutoff. Both scales are logarithmic: a ladder goes from 4 to 40,
// an energy from 0.1 to 200 cal/cm², a boundary from one foot to forty.
//
// Where nothing can be drawn, svg is nil and why gives the reason.
func Curve(r *record.Record) (svg []byte, why string) {
	f, why := fallOf(r)
	if f == nil {
		return nil, why
	}
	return newChart(f).svg(), ""
}

// fall is what the drawing shows of a record.
type fall struct {
	units    assess.Units
	energy   float64 // governing, cal/cm²
	distance float64 // working distance, mm
	boundary float64 // as the label needs it, mm

	near, far float64 // ends of the drawing, mm
	lines     []line  // of the case that decides the energy, then of the boundary's if that differs
	marks     []mark  // of the energy: the cutoff, then the ladder

	bound         assess.Bound // of the energy
	study         bool         // the study's energy governs
	studyBoundary bool         // the study's boundary governs

	title, desc string
}

// line is the energy of one case over the distance.
type line struct {
	name   string
	points []assess.Point
}

// mark is an energy set by the owner.
type mark struct {
	at     float64 // cal/cm²
	name   string  // the kit's; "" for the cutoff
	rating string  // what follows the name
	kind   string  // "cutoff", "rung", or "chosen": the rung of the label
}

const (
	beyond  = 1.25 // how far the drawing goes beyond boundary and working distance, as a ratio
	before  = 1.1  // and before the shortest of its distances
	samples = 33   // distances, evenly in the logarithm, besides those that are marked
)

func fallOf(r *record.Record) (f *fall, why string) {
	f = &fall{
		units: r.Policy.Units, energy: float64(r.Energy.Value), bound: r.Energy.Bound,
		distance: float64(r.Location.Distance), boundary: float64(r.BoundaryToPrint),
		study: r.Energy.From == assess.FromStudy, studyBoundary: r.Boundary.From == assess.FromStudy,
	}
	f.near = min(arc.MinDistanceMM, f.distance, f.boundary) / before
	f.far = max(f.distance, f.boundary) * beyond
	first, why := f.line(r, r.Energy.Case)
	if why != "" {
		return nil, why
	}
	f.lines = append(f.lines, first)
	if r.Boundary.Case != r.Energy.Case {
		if second, why := f.line(r, r.Boundary.Case); why == "" {
			f.lines = append(f.lines, second)
		}
	}
	f.marks = marksOf(r)
	f.describe(r)
	return f, ""
}

// line is the recomputed energy of a case over the distance. A result that
// differs from the record's is not the label's, and is not drawn.
func (f *fall) line(r *record.Record, name string) (line, string) {
	c := r.Location.CaseNamed(name)
	if c == nil {
		return line{}, fmt.Sprintf("the record has no case %q", name)
	}
	points, why := assess.EnergyOver(&r.Inputs, c, f.distances())
	if c.Method == assess.Stated {
		why = "the study states the energy at one distance only, and it was not recomputed"
	} else if why != "" {
		why = "the energy was not recomputed: " + why
	}
	if why != "" {
		return line{}, why
	}
	kept := r.ComputedOf(name)
	if kept == nil {
		return line{}, "the record has no recomputed energy for this case, " +
			"and the label is not based on what this version of the program computes"
	}
	k := slices.IndexFunc(points, func(p assess.Point) bool { return p.Distance == r.Location.Distance })
	if k < 0 || !assess.Same(points[k].Energy, kept.Energy) {
		return line{}, fmt.Sprintf("the label is based on the record's %s at the working distance; "+
			"this version of the program computes a different energy", r.Policy.Units.Energy(kept.Energy, 9))
	}
	return line{name, points}, ""
}

// distances are those at which the energy is computed, in rising order. They
// include all that are marked.
func (f *fall) distances() []assess.MM {
	all := []assess.MM{arc.MinDistanceMM, assess.MM(f.distance), assess.MM(f.boundary)}
	for i := range samples {
		all = append(all, assess.MM(f.near*math.Pow(f.far/f.near, float64(i)/(samples-1))))
	}
	slices.Sort(all)
	return slices.Compact(all)
}

const chosenMark = ", chosen"

func marksOf(r *record.Record) []mark {
	cal := ""
	if r.Policy.Units == assess.SI {
		cal = " cal" // the energies are in J/cm², but garments are marked in cal/cm²
	}
	marks := []mark{{float64(r.Policy.Cutoff), "", "cutoff " + assess.Number(r.Policy.Cutoff) + cal, "cutoff"}}
	for _, g := range r.Policy.Ladder {
		m := mark{float64(g.Rating), g.Kit, " · " + assess.Number(g.Rating) + cal, "rung"}
		if r.Status == assess.KitChosen && g.Kit == r.Kit {
			m.kind = "chosen"
			m.rating += chosenMark
		}
		marks = append(marks, m)
	}
	return marks
}

func (f *fall) energyText() string {
	return label.EnergyOf(assess.Governing[assess.CalCM2]{Value: assess.CalCM2(f.energy), Bound: f.bound}, f.units)
}
func (f *fall) distanceText() string { return label.Distance(assess.MM(f.distance), f.units) }
func (f *fall) boundaryText() string {
	return label.Length(assess.MM(f.boundary), assess.MM(f.boundary), f.units)
}

// thresholdText is the energy at the boundary. In J/cm² it is rounded to two
// digits, as the standard prints it.
func (f *fall) thresholdText() string {
	if f.units == assess.SI {
		return "5.0 J/cm²"
	}
	return "1.2 cal/cm²"
}

// describe says in words what the drawing shows.
func (f *fall) describe(r *record.Record) {
	f.title = "Incident energy over distance, " + r.Location.ID
	var b strings.Builder
	say := func(format string, a ...any) { fmt.Fprintf(&b, format+" ", a...) }
	say("A falling curve: the incident energy over the distance from the arc, recomputed by %s%s. "+
		"Both scales are logarithmic.", r.RowOf(f.lines[0].name).Method.Standard(), ofCase(r, f.lines[0].name))
	if n := r.RowOf(f.lines[0].name).Method; n == assess.IEEE1584 {
		say("It starts at %s, the shortest distance for which the method is published.",
			label.Distance(arc.MinDistanceMM, f.units))
	}
	if f.study {
		say("At the working distance of %s the study states %s, which governs; "+
			"its point is off the curve, which is at %s there.",
			f.distanceText(), f.energyText(), label.Energy(f.computed(), f.units))
	} else {
		say("At the working distance of %s it is %s.", f.distanceText(), f.energyText())
	}
	b.WriteString(f.boundaryWords(r))
	b.WriteString(f.ladderWords(r))
	f.desc = strings.TrimSpace(b.String())
}

// ofCase names a case of a record that has several.
func ofCase(r *record.Record, name string) string {
	switch {
	case len(r.Location.Cases) == 1:
		return ""
	case name == "":
		return ", case without a name"
	}
	return ", case “" + name + "”"
}

// computed is the curve's energy at the working distance.
func (f *fall) computed() assess.CalCM2 {
	for _, p := range f.lines[0].points {
		if float64(p.Distance) == f.distance {
			return p.Energy
		}
	}
	return 0
}

func (f *fall) boundaryWords(r *record.Record) string {
	text := fmt.Sprintf("The arc-flash boundary, where the energy falls to %s, is at %s", f.thresholdText(), f.boundaryText())
	g := r.Boundary
	switch {
	case r.BoundaryToPrint > g.Value:
		text += ", raised to the working distance"
	case f.studyBoundary:
		text += ", as the study states it"
	}
	if g.Case != r.Energy.Case {
		text += ofCase(r, g.Case)
	}
	if len(f.lines) > 1 {
		text += "; a second, dashed curve is the recomputed energy of that case"
	}
	return text + ". "
}

// ladderWords says which kits are below and above the energy.
func (f *fall) ladderWords(r *record.Record) string {
	var below, above []string
	printed := assess.PrintedCal(r.Energy.Value)
	for _, g := range r.Policy.Ladder {
		name := fmt.Sprintf("%s · %s", g.Kit, assess.Number(g.Rating))
		if g.Kit == r.Kit {
			name += " (chosen)"
		}
		if g.Rating < printed {
			below = append(below, name)
		} else {
			above = append(above, name)
		}
	}
	text := "Of the owner's ladder, by arc rating in cal/cm²,"
	if len(below) > 0 {
		text += " below the energy at the working distance: " + strings.Join(below, ", ") + ";"
	}
	if len(above) > 0 {
		text += " at or above it: " + strings.Join(above, ", ") + ";"
	}
	text = strings.TrimSuffix(text, ";") + ". "
	limit := fmt.Sprintf("The owner's cutoff is %s cal/cm²", assess.Number(r.Policy.Cutoff))
	switch r.Status {
	case assess.NoneAllowed:
		limit += ": the energy is above it, so no energized work."
	case assess.NotRequired:
		limit += "; at the working distance arc-rated clothing is not required."
	default:
		limit += "."
	}
	return text + limit
}
