package overview

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/label/report"
)

// number is a count in a table: a zero must not catch the eye.
func number(n int) string {
	if n == 0 {
		return "-"
	}
	return fmt.Sprint(n)
}

// changes are the open ones in a table.
func changes(c report.OpenChanges) string {
	if c.More {
		return fmt.Sprintf("%d+", c.Count)
	}
	return number(c.Count)
}

// Name is what a person calls the plant.
func (p *Plant) Name() string { return cmp.Or(p.Site, p.Place) }

// CheckedWords is the day of the last check, and what is wrong with it.
func (p *Plant) CheckedWords() string {
	text := p.Summary.Checked.String()
	switch {
	case p.Stale:
		return text + ", stale"
	case p.Ahead:
		return text + ", ahead"
	}
	return text
}

// Words is a month in a list: what falls due in it.
func (m *Month) Words() string { return dueWords(&m.DueMonth) }

func dueWords(m *report.DueMonth) string {
	var parts []string
	if m.Labels > 0 {
		parts = append(parts, report.Plural(m.Labels, "label"))
	}
	if m.Devices > 0 {
		parts = append(parts, report.Plural(m.Devices, "device"))
	}
	if m.Looks > 0 {
		parts = append(parts, report.Plural(m.Looks, "label")+" to look at")
	}
	return strings.Join(parts, ", ")
}

// fewMonths is how many of the months to come are listed for a person.
const fewMonths = 12

// Text writes the plants for a person.
func (o *Overview) Text(w io.Writer, width int) error {
	rows := [][]string{{"PLANT", "COVER", "IN QUESTION", "LAPSED", "DUE", "HOLD", "READY", "REFUSED", "OPEN CHANGES", "NEXT DUE", "CHECKED"}}
	for i := range o.Plants {
		p := &o.Plants[i]
		if p.Problem != "" {
			continue
		}
		l, next := &p.Summary.Labels, "-"
		if len(p.Summary.Due) > 0 {
			next = p.Summary.Due[0].Month
		}
		rows = append(rows, []string{p.Name(), number(l.Cover), number(l.InQuestion), number(l.Lapsed), number(l.FallsDue), number(l.Holds),
			number(l.Ready), number(l.Refused), changes(p.Summary.Changes), next, p.CheckedWords()})
	}
	t := &o.Totals
	l := &t.Labels
	rows = append(rows, []string{"all", number(l.Cover), number(l.InQuestion), number(l.Lapsed), number(l.FallsDue), number(l.Holds),
		number(l.Ready), number(l.Refused), changes(t.Changes), "", ""})
	var b strings.Builder
	report.Columns(&b, width, rows) // memory takes all
	b.WriteString("\n")
	b.WriteString(report.Wrap(o.Says(), "", "  ", width))
	for i := range t.Due {
		if i == fewMonths {
			fmt.Fprintf(&b, "  and %s more\n", report.Plural(len(t.Due)-i, "month"))
			break
		}
		m := &t.Due[i]
		text := fmt.Sprintf("due in %s: %s, at %s", m.Month, m.Words(), report.Plural(m.Plants, "plant"))
		if m.Passed {
			text += "; this month has passed: check again"
		}
		b.WriteString(report.Wrap(text, "  ", "    ", width))
	}
	if t.Unreadable > 0 {
		b.WriteString("\nCannot be read, so nothing is known of these labels:\n")
	}
	for i := range o.Plants {
		if p := &o.Plants[i]; p.Problem != "" {
			b.WriteString(report.Wrap(p.Place+report.After(", ", p.Site)+": "+p.Problem, "  ", "    ", width))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Says is in a sentence or two how far the counts can be trusted.
func (o *Overview) Says() string {
	t := &o.Totals
	text := fmt.Sprintf("%s on %s", report.Plural(t.Plants, "plant"), o.Today)
	if t.Unreadable > 0 {
		text += fmt.Sprintf("; %d cannot be read and %s not counted", t.Unreadable, isAre(t.Unreadable))
	}
	if t.Stale > 0 {
		text += fmt.Sprintf("; %d %s not checked within the plant's stale_days, so more may have fallen due since", t.Stale, wasWere(t.Stale))
	}
	if t.Ahead > 0 {
		text += fmt.Sprintf("; %d %s checked on a later day than today: a clock is wrong", t.Ahead, wasWere(t.Ahead))
	}
	text += ". In question counts the labels to cover too (" + standing.Cover + ")."
	if t.NotRight > 0 {
		text += fmt.Sprintf(" Rounds found %s that %s not right on the equipment.", report.Plural(t.NotRight, "label"), isAre(t.NotRight))
	}
	return text
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

func wasWere(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}
