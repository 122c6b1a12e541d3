package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// RestudySection holds the rows of one effect under their title, in words.
type RestudySection struct {
	Title string
	Brief bool // its rows need no words, only their ids
	Lines []RestudyLine
}

// RestudyLine is one location in words. A number is empty where it is not known.
type RestudyLine struct {
	*plant.RestudyRow
	Energy, Boundary, Label, Study Beside
	Low                            []string // where the last printed label says too little
	Others                         []Beside // what else differs
	Refused                        string   // why the label of the new row cannot be printed, and what to do
	Do                             string   // what to do about the label; "" for nothing
}

// Beside is a value before and now, as a label words it.
type Beside struct{ What, Before, Now string }

// Differs reports whether it has changed.
func (b Beside) Differs() bool { return b.Before != b.Now }

// restudyTitles are the titles of the sections.
var restudyTitles = map[plant.Effect]string{
	plant.LabelTooLow:  standing.Cover,
	plant.LabelRefused: "Not printed",
	plant.LabelChanges: "The label changes",
	plant.LabelFirst:   "Never printed",
	plant.LabelNew:     "New locations",
	plant.LabelGone:    "Deleted locations",
	plant.LabelKept:    "Not in this study, left unchanged",
	plant.LabelNone:    "Without a label (label = no)",
	plant.LabelStays:   "The label stays",
}

const restudyDates = "The label changes only in the study's name and dates"

// RestudySections puts the rows of a restudy into words, section by section; a
// section without rows is left out.
func RestudySections(r *plant.Restudy) []RestudySection {
	var all []RestudySection
	for _, e := range plant.Effects {
		change := RestudySection{Title: restudyTitles[e],
			Brief: slices.Contains([]plant.Effect{plant.LabelKept, plant.LabelNone, plant.LabelStays}, e)}
		dates := RestudySection{Title: restudyDates, Brief: true}
		for i := range r.Rows {
			switch row := &r.Rows[i]; {
			case row.Effect != e:
			case e == plant.LabelChanges && row.DatesOnly:
				dates.Lines = append(dates.Lines, lineOf(row))
			default:
				change.Lines = append(change.Lines, lineOf(row))
			}
		}
		for _, s := range []RestudySection{change, dates} {
			if s.Lines != nil {
				all = append(all, s)
			}
		}
	}
	return all
}

// RestudySummary counts the locations, in all and by effect.
func RestudySummary(r *plant.Restudy) string {
	dates := r.DatesOnly()
	onDoor := slices.ContainsFunc(r.Rows, func(row plant.RestudyRow) bool { return row.OnDoor() })
	var parts []string
	for _, e := range plant.Effects {
		n := r.Count(e)
		if n == 0 {
			continue
		}
		one, many := "label changes", "labels change"
		switch e {
		case plant.LabelTooLow:
			one, many = "label too low: cover it now", "labels too low: cover them now"
		case plant.LabelChanges:
		case plant.LabelStays:
			one, many = "label stays", "labels stay"
		case plant.LabelKept:
			one, many = "not in this study", "not in this study"
		case plant.LabelNone:
			one, many = "without a label", "without a label"
		case plant.LabelGone:
			one, many = "location deleted", "locations deleted"
		default:
			one, many = string(e), string(e)
		}
		text := fmt.Sprintf("%d %s", n, many)
		if n == 1 {
			text = "1 " + one
		}
		if e == plant.LabelChanges && dates > 0 {
			text += fmt.Sprintf(" (%d only in dates)", dates)
		}
		parts = append(parts, text)
	}
	if onDoor && r.Count(plant.LabelTooLow) == 0 {
		parts = slices.Insert(parts, 0, "no printed label is too low")
	}
	text := Plural(len(r.Rows), "location")
	if parts != nil {
		text += ": " + strings.Join(parts, ", ")
	}
	return text
}

// lineOf puts a row into words.
func lineOf(row *plant.RestudyRow) RestudyLine {
	l := RestudyLine{RestudyRow: row, Do: restudyDo(row)}
	was, is := restudySays(row.Before), restudySays(row.After)
	l.Energy, l.Boundary, l.Label, l.Study = was[0].beside(is[0]), was[1].beside(is[1]), was[2].beside(is[2]), was[3].beside(is[3])
	for _, low := range row.Low {
		l.Low = append(l.Low, lowWords(low, row))
	}
	if row.Refused != nil {
		l.Refused = row.Refused.Why
		if row.Already {
			l.Refused = "as before: " + l.Refused
		}
		if act := row.Refused.Do.Act; act != assess.ToList && act != assess.ToCheck && !row.Refused.Unlabeled { // else the reason already says it
			l.Refused += After(". ", row.Clears)
		}
	}
	if row.Before == nil || row.After == nil {
		return l
	}
	named := map[string]bool{} // columns whose change is already in words
	for i := range was {
		b := was[i].beside(is[i])
		if !b.Differs() {
			continue
		}
		for _, column := range was[i].columns {
			named[column] = true
		}
		if i > 3 {
			l.Others = append(l.Others, Beside{b.What, cmp.Or(b.Before, "none"), cmp.Or(b.Now, "none")})
		}
	}
	for _, dates := range []bool{false, true} { // last the dates, which differ in every row of a new study
		for i := range row.Differences {
			d := &row.Differences[i]
			if named[d.Column()] || d.OfStudy() != dates || followed(d, row.Differences) {
				continue
			}
			l.Others = append(l.Others, Beside{d.Field, cmp.Or(d.Old, "(empty)"), cmp.Or(d.New, "(empty)")})
		}
	}
	return l
}

// followed reports whether a difference merely follows from others that are listed.
func followed(d *standing.Difference, all []standing.Difference) bool {
	return d.Follows() && slices.ContainsFunc(all, func(x standing.Difference) bool { return !x.Follows() })
}

// said is something that a label says, and the columns that it comes from.
type said struct {
	what, text string
	columns    []string
}

func (s said) beside(now said) Beside { return Beside{s.what, s.text, now.text} }

// restudySays lists what a label says: energy, boundary, signal word and kit, date
// of the study, then what is shown only if it differs. nil says nothing.
func restudySays(r *record.Record) []said {
	all := []said{
		{what: "energy", columns: []string{"energy_cal_cm2", "energy_bound"}},
		{what: "boundary", columns: []string{"boundary_mm"}},
		{what: "signal word and kit", columns: []string{"signal word", "kit"}},
		{what: "study", columns: []string{"prepared", "review_by"}},
		{what: "working distance", columns: []string{"distance_mm"}},
		{what: "supply", columns: []string{"voltage_v", "supply"}},
		{what: "available fault current", columns: []string{"fault_ka"}},
		{what: "limited approach", columns: []string{"limited_mm", "approach row"}},
		{what: "restricted approach", columns: []string{"restricted", "approach row"}},
		{what: "gloves", columns: []string{"glove class"}},
		{what: "maintenance switch", columns: []string{"with the maintenance switch on"}},
	}
	if r == nil {
		return all
	}
	u := r.Policy.Units
	if r.Energy.Value > 0 {
		all[0].text, all[2].text = label.EnergyOf(r.Energy, u), restudyLabel(r.Signal, r.Status, r.Kit)
	}
	if b := r.BoundaryToPrint; b > 0 {
		all[1].text = label.Length(b, b, u)
	}
	all[3].text = r.Prepared.String()
	if d := r.Location.Distance; d > 0 {
		all[4].text = label.Distance(d, u)
	}
	all[5].text = label.Supply(r)
	if r.Fault.Value > 0 {
		all[6].text = label.Current(r.Fault.Value)
	}
	all[7].text, all[8].text = restudyApproach(&r.Shock, u)
	all[9].text = After("class ", r.Glove.Class)
	all[10].text = label.Maintenance(r)
	return all
}

// restudyLabel is the signal word with the kit, or with "below 1.2" if none is required.
func restudyLabel(signal assess.Signal, status assess.KitStatus, kit string) string {
	switch status {
	case assess.NoneAllowed:
		return string(signal)
	case assess.NotRequired:
		return string(signal) + ", below 1.2"
	}
	return strings.TrimSpace(string(signal) + " " + kit)
}

// restudyApproach gives the limited and the restricted approach boundary as text.
func restudyApproach(s *shock.Boundaries, u assess.Units) (limited, restricted string) {
	if s.Rule == shock.NotSpecified {
		return string(s.Rule), string(s.Rule)
	}
	if s.Limited > 0 {
		limited = label.Length(assess.MM(s.Limited), assess.MM(s.LimitedPrint), u)
	}
	if restricted = string(s.Rule); s.Rule == shock.AtDistance {
		restricted = label.Length(assess.MM(s.Restricted), assess.MM(s.RestrictedPrint), u)
	}
	return limited, restricted
}

// lowWords says where a label says too little.
func lowWords(low plant.Low, r *plant.RestudyRow) string {
	if low == plant.LowTold {
		return r.Printed.Standing.Screening.Words()
	}
	was, is := restudySays(r.Before), restudySays(r.After)
	than := func(what string, i int) string { return what + is[i].text + ", above the printed " + was[i].text }
	differ := func(places ...int) string {
		var parts []string
		for _, i := range places {
			if was[i].text != is[i].text {
				parts = append(parts, was[i].what+" "+is[i].text+"; the label says "+was[i].text)
			}
		}
		return strings.Join(parts, "; ")
	}
	switch low {
	case plant.LowSignal:
		return "now DANGER, no energized work; the label says WARNING"
	case plant.LowKit:
		if r.Before.Status == assess.NotRequired {
			return cmp.Or(r.After.Kit, "a kit") + " is required now; the label says that arc-rated clothing is not required"
		}
		return r.Before.Kit + " is not enough for " + is[0].text
	case plant.LowEnergy:
		return than("energy ", 0)
	case plant.LowDistance:
		return "its energy is for a working distance of " + is[4].text + "; the label says " + was[4].text
	case plant.LowBoundary:
		return than("boundary ", 1)
	case plant.LowApproach:
		return differ(7, 8)
	case plant.LowGloves:
		return differ(9)
	case plant.LowVoltage:
		return differ(5)
	}
	return "the label says about the maintenance switch: " + was[10].text + "; now: " + cmp.Or(is[10].text, "nothing")
}

// restudyDo says what to do about the label.
func restudyDo(r *plant.RestudyRow) string {
	prints := r.Refused == nil
	unlabeled := !prints && r.Refused.Unlabeled
	switch {
	case unlabeled && r.OnDoor():
		return "remove the label: this place no longer has one"
	case r.Effect == plant.LabelTooLow && prints:
		return "cover the label now; print the new one and mount it"
	case r.Effect == plant.LabelTooLow:
		return "cover the label now; a new one can be printed once its row is corrected"
	case r.Effect == plant.LabelGone && r.OnDoor():
		return "remove the label if the equipment is gone; if not, cover the label"
	case r.Effect == plant.LabelChanges:
		return "print the new label and mount it"
	case r.Effect == plant.LabelRefused && r.OnDoor() && r.Printed.Standing.Status.Rank() < standing.FallsDue.Rank():
		return "cover the label: it does not hold"
	case (r.Effect == plant.LabelFirst || r.Effect == plant.LabelNew) && prints:
		return "print the first label and mount it"
	}
	return ""
}
