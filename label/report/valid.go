package report

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/label/plant"
)

// What a list says in place of the values of a label, where nobody may take them for
// those of a label that holds.
const (
	notPrinted = "not printed"
	blocked    = "new label blocked"
	newReady   = "new label ready"
	interim    = "INTERIM"
	doNotUse   = "do not use"
)

// explained says what these words mean.
var explained = []struct{ word, means string }{
	{blocked, "an error stops the label that would replace the one on the equipment"},
	{newReady, "the label on the equipment does not hold; print makes the one that replaces it"},
	{interim, "the label printed last does not hold, and its INTERIM strip says so"},
	{doNotUse, "the label on the equipment does not hold"},
}

// instead is what a list says in place of the values of a location's label; "" where
// the label holds, or was never printed and is ready to print.
func instead(p *plant.Place) string {
	switch l := p.Printed; {
	case l == nil && p.Assessment.Location.Unlabeled:
		return plant.NoLabel
	case l == nil && p.Refusal(false) != nil:
		return notPrinted
	case l == nil:
		return ""
	case l.Withdrawn != nil:
		return doNotUse
	case p.Assessment.Location.Unlabeled:
		return plant.NoLabel
	case p.Assessment.Stopped() != "":
		return blocked
	case l.Holds():
		return ""
	case p.Refusal(false) == nil:
		return newReady
	case l.Strip && !l.Standing.TooLow:
		return interim
	}
	return doNotUse
}

// valid gives the values of a location's label: signal word, energy, kit, working
// distance, boundary. If nobody may rely on them, it gives the word instead, and
// nothing else.
func valid(p *plant.Place) []string {
	if words := instead(p); words != "" {
		return []string{words, "", "", "", ""}
	}
	a := p.Assessment
	energy, _, _ := numbers(a)
	return []string{string(a.Signal), withUnit(energy), kitWords(a.Status, a.Kit), oneUnit(a.Location.Distance, a.Policy.Units),
		oneUnit(a.BoundaryToPrint, a.Policy.Units)}
}

// oneUnit is a length as printed, in the one unit of its column.
func oneUnit(l assess.MM, u assess.Units) string {
	switch {
	case l == 0:
		return "-"
	case u == assess.SI:
		return fmt.Sprintf("%d mm", assess.PrintedMM(l))
	}
	return fmt.Sprintf("%d in", assess.PrintedInches(l))
}
