package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/suppose"
	"vouchmark/label"
	"vouchmark/label/plant"
)

// Suppose is what a hypothesis would do to a site's labels, ready to show.
type Suppose struct {
	*suppose.Result
	units assess.Units
}

// NewSuppose applies a hypothesis to the labels that the site prints now.
func NewSuppose(v *plant.Plant, h suppose.Hypothesis) (*Suppose, error) {
	all := make([]assess.Assessment, len(v.Places))
	for i := range v.Places {
		all[i] = *v.Places[i].Assessment
	}
	r, err := suppose.Of(v.Site, all, h)
	if err != nil {
		return nil, err
	}
	for i := range r.Outcomes {
		if o := &r.Outcomes[i]; o.WhyNot == suppose.Stopped {
			o.WhyNot += "; " + v.Text(assess.Remedy{Words: "{} lists it", Act: assess.ToList})
		}
	}
	return &Suppose{r, v.Site.Policy.Units}, nil
}

// supposeCaution ends every such list.
const supposeCaution = "This is not a study and changes no label: it lists what a study would have to confirm. " +
	"Results must come from, and be accepted by, a qualified person under the local code. " +
	"Log the change when it is made (vouchmark change add)."

// Text writes the list for a person: the labels that would change or have no
// bound, why, and the assumptions behind the bounds.
func (r *Suppose) Text(w io.Writer, width int) error {
	var b strings.Builder
	b.WriteString(Wrap("Suppose "+r.Words+". What a study would have to confirm:", "", "", width) + "\n")
	table := grid{of: []column{{head: "LOCATION"}, {head: "FAULT CURRENT", least: 8}, {head: "ENERGY, AT MOST", least: 14},
		{head: "BOUNDARY, AT MOST", least: 8}, {head: "LABEL, AT MOST", least: 7}, {head: "CHANGES", least: 9}}}
	var same []string
	for i := range r.Outcomes {
		if o := &r.Outcomes[i]; o.Effect == suppose.Same && o.Says == nil {
			same = append(same, o.ID)
		} else {
			table.add(r.line(o)...)
		}
	}
	if table.rows != nil {
		table.write(&b, width)
		b.WriteString("\n")
	}
	r.reasons(&b, width)
	if same != nil {
		text := fmt.Sprintf("No more than what is printed now: %s (%s).", Plural(len(same), "label"), strings.Join(same, ", "))
		b.WriteString(Wrap(text, "", "  ", width))
	}
	if r.Outside != nil {
		text := fmt.Sprintf("Not judged: %s (%s), %s.",
			Plural(len(r.Outside), "label"), strings.Join(r.Outside, ", "), r.WhyOutside)
		b.WriteString(Wrap(text, "", "  ", width))
	}
	b.WriteString("\nThe bounds assume:\n")
	for _, text := range r.Assumptions {
		b.WriteString(Wrap(text, "- ", "  ", width))
	}
	b.WriteString("\n" + Wrap(supposeCaution, "", "", width))
	_, err := io.WriteString(w, b.String())
	return err
}

func (r *Suppose) line(o *suppose.Outcome) []string {
	energy, boundary := r.energy(&o.Now), r.boundary(&o.Now)
	says, changes := words(&o.Now), "no bound"
	if o.Danger {
		changes = "no bound: fault may not clear"
	}
	if o.Effect == suppose.NoBound {
		energy, boundary, says = open(energy), open(boundary), open(says)
	} else {
		energy = arrow(energy, r.energy(&o.Then))
		boundary = arrow(boundary, r.boundary(&o.Then))
		says = arrow(says, words(&o.Then))
		changes = strings.Join(o.Changes, ", ")
	}
	if o.Says != nil {
		changes = strings.TrimPrefix(changes+", rating exceeded", ", ")
	}
	return []string{o.ID, fault(o), energy, boundary, says, changes}
}

// fault is the available fault current now and after the change, the interval
// rounded outward to 0.01 kA.
func fault(o *suppose.Outcome) string {
	const step = 100 // parts of a kA
	now := fmt.Sprintf("%.9g", o.FaultNow)
	least := fmt.Sprintf("%.9g", math.Floor(float64(o.FaultLeast)*step*(1+1e-9))/step)
	most := fmt.Sprintf("%.9g", math.Ceil(float64(o.FaultMost)*step*(1-1e-9))/step)
	switch {
	case o.FaultNow == 0:
		return "not stated"
	case o.FaultMost == 0:
		return unbroken(now+" kA") + " → ?"
	case o.FaultLeast == o.FaultMost:
		return unbroken(arrow(now, most) + " kA")
	}
	return now + " → " + least + " to " + unbroken(most+" kA")
}

func arrow(now, then string) string {
	if now == then {
		return now
	}
	return now + " → " + then
}

// open marks a value that has no bound after the change.
func open(now string) string {
	if now == "-" || now == notPrinted {
		return now
	}
	return now + " → ?"
}

func (r *Suppose) energy(l *suppose.Label) string {
	if l.Energy == 0 {
		return "-"
	}
	return withUnit(label.EnergyOf(assess.Governing[assess.CalCM2]{Value: l.Energy, Bound: l.Bound}, r.units))
}

func (r *Suppose) boundary(l *suppose.Label) string {
	if l.Boundary == 0 {
		return "-"
	}
	return unbroken(label.Length(l.Boundary, l.Boundary, r.units))
}

// words gives the signal word and the kit of a label.
func words(l *suppose.Label) string {
	if l.Status == "" {
		return notPrinted
	}
	return string(l.Signal) + " " + kitWords(l.Status, l.Kit)
}

// reasons writes each reason and each note once, after the ids it applies to, in
// the order of the outcomes.
func (r *Suppose) reasons(b *strings.Builder, width int) {
	var ids groups[string, string]
	for _, o := range r.Outcomes {
		if o.WhyNot != "" {
			ids.add("no bound: "+o.WhyNot, o.ID)
		}
	}
	for _, o := range r.Outcomes {
		for _, text := range slices.Concat(o.Says, o.Notes) {
			ids.add(text, o.ID)
		}
	}
	for _, text := range ids.keys {
		b.WriteString(Wrap(strings.Join(ids.of[text], ", ")+": "+text+".", "", "  ", width))
	}
}
