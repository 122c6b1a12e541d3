package audit

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/label/basis"
	"vouchmark/label/report"
)

// Text writes the report for a person: the verdict first, then a line for each
// problem.
func (r *Report) Text(w io.Writer, width int) error {
	var b strings.Builder
	b.WriteString(report.Wrap(r.Verdict(), "", "  ", width))
	if limits := r.Limited(); limits != "" {
		b.WriteString(report.Wrap(limits, "", "  ", width))
	}
	for _, p := range r.Problems {
		b.WriteString(report.Wrap(p.String(), "  ", "    ", width))
	}
	for _, n := range r.Notes {
		b.WriteString(report.Wrap(InWords(n), "  note: ", "    ", width))
	}
	fmt.Fprintf(&b, "\nledger: %s, %s, %s to %s\n", report.Plural(r.Lines, "line"), report.Plural(r.Prints, "print"),
		cmp.Or(r.First.String(), "-"), cmp.Or(r.Last.String(), "-"))
	fmt.Fprintf(&b, "records: %d\n", r.Records)
	if r.Studies > 0 {
		fmt.Fprintf(&b, "study files: %d\n", r.Studies)
	}
	if r.Mirror != nil {
		b.WriteString(report.Wrap(r.mirrorSays(), "mirror: ", "  ", width))
	}
	if s := r.counts(); s != "" {
		b.WriteString(report.Wrap(s, "newest label of each location: ", "  ", width))
	}
	if r.Round.Any() {
		b.WriteString(report.Wrap(r.Round.Says(), "round: ", "  ", width))
		for _, a := range r.Areas() {
			b.WriteString(report.Wrap(a, "  ", "    ", width))
		}
	}
	for _, s := range r.Signatures {
		text := fmt.Sprintf("signature: %s by %s, %s: %s", InWords(s.What), orUnknown(s.By), s.When(), s.Verdict)
		b.WriteString(report.Wrap(text, "", "  ", width))
	}
	if len(r.Findings) > 0 {
		b.WriteString("\nfindings of the program when these labels were printed:\n")
	}
	for i := range r.Findings {
		b.WriteString(report.Wrap(r.Findings[i].String(), "  ", "    ", width))
	}
	if len(r.Accepted) > 0 {
		b.WriteString("\n" + report.Wrap("findings that a named person accepted; an acceptance does not make the equipment safe:", "", "  ", width))
	}
	for i := range r.Accepted {
		b.WriteString(report.Wrap(r.Accepted[i].String(), "  ", "    ", width))
	}
	if len(r.Decided) > 0 {
		b.WriteString("\n" + report.Wrap("who settled changes and reviewed studies, with the role of whoever had signed in:", "", "  ", width))
	}
	for i := range r.Decided {
		b.WriteString(report.Wrap(r.Decided[i].String(), "  ", "    ", width))
	}
	b.WriteString("\n" + report.Wrap(r.Head, "chain head: ", "  ", width))
	for _, p := range r.Proves {
		b.WriteString(report.Wrap(p, "  ", "  ", width))
	}
	if r.Headless {
		b.WriteString(report.Wrap("To rule it out, give a chain head that was written down outside this folder (--head).", "  ", "  ", width))
	}
	b.WriteString("\n")
	for _, c := range basis.Cautions {
		b.WriteString(report.Wrap(c, "", "", width))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Areas say of each area what is not in order on the equipment; nil for nothing.
func (r *Report) Areas() (all []string) {
	for i := range r.Round.Areas {
		var parts []string
		a := &r.Round.Areas[i]
		add := func(n int, what string) {
			if n > 0 {
				parts = append(parts, fmt.Sprintf("%d %s", n, what))
			}
		}
		add(a.Amiss, "not right on the equipment")
		add(a.Never, "never seen")
		add(a.Late, fmt.Sprintf("not seen for %d months", r.Round.Months))
		if parts != nil {
			all = append(all, fmt.Sprintf("%s (%s): %s", a.Name(), report.Plural(a.Labels, "label"), strings.Join(parts, ", ")))
		}
	}
	return all
}

// Sound reports whether the records are intact.
func (r *Report) Sound() bool { return len(r.Problems) == 0 }

// Verdict is the outcome in a sentence or two, with the day.
func (r *Report) Verdict() string { return fmt.Sprintf("%s Checked %s.", r.Outcome(), r.Today) }

// Outcome is the outcome without the day. Intact records are not a reason to rely on a
// label, so it also counts the labels that do not hold.
func (r *Report) Outcome() string {
	if !r.Sound() {
		return fmt.Sprintf("Records NOT intact: %s.", report.Plural(len(r.Problems), "problem"))
	}
	how := ""
	if len(r.Limits) > 0 {
		how = ", as far as this folder shows"
	}
	return fmt.Sprintf("Records intact%s: nothing altered or lost. This does not say that every label is valid%s.", how, r.bad())
}

// Limited says what the outcome does not cover; "" for nothing.
func (r *Report) Limited() string { return strings.Join(r.Limits, " ") }

// Checked says what was checked, and what was not.
func (r *Report) Checked() (all []string) {
	all = []string{
		"Each line of the ledger: its form, its hash and that of the line before it, and what lines say about each other.",
		"Each record: that it is there, that its bytes have the hash that the ledger names, and that there is no other.",
		"Each study file that the ledger names, the log of changes compared with what the ledger notes of it, and each signature.",
	}
	if r.Names {
		return append(all, "Not checked: whether each label follows from the inputs in its record by the equations of this version. "+
			"vouchmark audit judges every record again.")
	}
	return append(all, "Each record was judged again from its inputs, if this version's rules made it.")
}

// bad counts the labels that must not be relied on; "" where no standing was
// judged.
func (r *Report) bad() string {
	if len(r.Standing) == 0 {
		return ""
	}
	return fmt.Sprintf(": %s, %d lapsed", r.Counted(standing.InQuestion), r.Standing[standing.Lapsed])
}

// Counted is how many labels have a standing, and how many of them are to be covered.
func (r *Report) Counted(s standing.Status) string {
	text := report.Counted(r.Standing[s], s)
	if s == standing.InQuestion && r.TooLow > 0 {
		text += fmt.Sprintf(" (%d to cover: printed too low)", r.TooLow)
	}
	return text
}

// counts says how many labels have which standing, from bad to good.
func (r *Report) counts() string {
	var parts []string
	for _, s := range standing.States {
		if r.Standing[s] > 0 {
			parts = append(parts, r.Counted(s))
		}
	}
	return strings.Join(parts, ", ")
}
