package report

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"vouchmark/assess"
	"vouchmark/assess/intake"
	"vouchmark/label/plant"
)

// Intake is a study's file as it would be taken into a site.
type Intake struct {
	Study     *intake.Study
	Stored    string            // its name under studies/
	Locations *intake.Locations // nil where questions are open that keep it from being made
	After     *plant.Plant      // the site with the study; nil likewise
	Problems  error             // why the site with the study cannot be read
	Differs   []intake.Difference
	Pairs     []intake.Pairing
	Restudy   *plant.Restudy // what it changes for each label; nil likewise
	Again     bool           // the site had rows or labels before: a person reads that first
	Written   []string       // files; nil where nothing was written
	Already   bool           // all of it was there
}

// most is how many lines of one kind a person reads: the rest is counted.
const most = 12

// IntakeText writes it for a person: what a restudy changes first, then how the
// file was read, then what is left to do.
func IntakeText(i *Intake, w io.Writer, width int) error {
	var b strings.Builder
	if i.Restudy != nil && i.Again {
		if err := Restudy(&b, i.Restudy, width); err != nil {
			return err
		}
		b.WriteByte('\n')
	}
	s := i.Study
	b.WriteString(Wrap(intakeHead(s), "", "  ", width))
	intakeColumns(&b, s, width)
	for _, n := range s.Book.Notes {
		b.WriteString(Wrap(n, "note: ", "  ", width))
	}
	list(&b, "Rows left out", len(s.Left), width, func(k int) string {
		return fmt.Sprintf("row %d: %s", s.Left[k].Row, s.Left[k].Why)
	})
	list(&b, "Merged cells filled down", len(s.Filled), width, func(k int) string {
		f := s.Filled[k]
		return fmt.Sprintf("%s: %q also in rows %s", f.Heading, f.Text, rows(f.Rows))
	})
	list(&b, "Not taken as they are", len(s.Converted), width, func(k int) string {
		c := s.Converted[k]
		return fmt.Sprintf("%s: %s %s, the first in row %d: %q", c.Heading, Plural(c.Count, "cell"), c.What, c.Row, c.First)
	})
	if i.Locations != nil {
		keptColumns(&b, i.Locations, width)
	}
	found := feedLines(s)
	list(&b, "Feeds and devices found in the file: compare them with the one-line diagram", len(found), width,
		func(k int) string { return found[k] })
	list(&b, "Feeds and devices that name no location", len(s.Feeds.Unnamed), width, func(k int) string {
		f := s.Feeds.Unnamed[k]
		return fmt.Sprintf("%s: %s stays empty: %q", f.ID, f.Column, f.Text)
	})
	list(&b, "For the engineer: the study differs from what the tables and the ladder give", len(i.Differs), width,
		func(k int) string {
			d := i.Differs[k]
			return fmt.Sprintf("%s (row %d): %s: study %s, derived %s", d.ID, d.Row, d.What, d.Study, d.Derived)
		})
	list(&b, "Words for PPE in the study, and the kits of the ladder", len(i.Pairs), width, func(k int) string {
		p := i.Pairs[k]
		text := fmt.Sprintf("%q: %s at %s", p.Study, p.Kit, Plural(len(p.IDs), "location"))
		if p.Mixed {
			text += "; the same word has other kits elsewhere: " + strings.Join(p.IDs[:min(len(p.IDs), 5)], ", ")
		}
		return text
	})
	if i.After != nil {
		intakeLabels(&b, i, width)
	}
	list(&b, "To be answered first; nothing is written", len(s.Questions), width, func(k int) string {
		return questionText(&s.Questions[k])
	})
	intakeEnd(&b, i, width)
	_, err := io.WriteString(w, b.String())
	return err
}

func intakeHead(s *intake.Study) string {
	text := s.File
	if s.Sheet != "" {
		text += ", sheet " + s.Sheet
	}
	if s.Book.Encoding != "" {
		text += fmt.Sprintf(": %s, separated by %s", s.Book.Encoding, delimiters[s.Book.Delimiter])
	}
	text += ": headings in row " + rows(s.Heading.Rows)
	if s.Heading.Units > 0 {
		text += fmt.Sprintf(", units in row %d", s.Heading.Units)
	}
	if len(s.Rows) > 0 {
		text += fmt.Sprintf("; %s read, %d left out", Plural(len(s.Rows), "row"), len(s.Left))
	} else {
		text += fmt.Sprintf("; no row is read before the questions are answered, %d left out", len(s.Left))
	}
	if s.Layout != nil {
		text += "; read as " + s.Layout.File + " was, by " + intake.LayoutFile
	}
	return text + "."
}

var delimiters = map[rune]string{',': "commas", ';': "semicolons", '\t': "tabs", '|': "bars"}

// rows are row numbers, runs of them as from-to.
func rows(all []int) string {
	var parts []string
	for k := 0; k < len(all); k++ {
		from := k
		for k+1 < len(all) && all[k+1] == all[k]+1 {
			k++
		}
		if from == k {
			parts = append(parts, fmt.Sprint(all[k]))
		} else {
			parts = append(parts, fmt.Sprintf("%d-%d", all[from], all[k]))
		}
	}
	return strings.Join(parts, ", ")
}

// intakeColumns is what each heading was taken for, with its first cells.
func intakeColumns(b *strings.Builder, s *intake.Study, width int) {
	lines := []string{"HEADING\tTAKEN FOR\tUNIT\t\tFIRST CELLS"}
	var why []string
	for k := range s.Columns {
		c := &s.Columns[k]
		if c.Heading == "" && c.Filled == 0 {
			continue
		}
		heading, cells := cut(c.Heading, 26), strings.Join(c.Samples, " | ")
		if c.Heading == "" {
			heading = fmt.Sprintf("(column %d)", c.At+1)
		}
		if len(c.Means) == 0 {
			lines = append(lines, strings.Join([]string{heading, "-", "", string(intake.Unknown), cells}, "\t"))
			if c.Left {
				lines[len(lines)-1] = strings.Join([]string{heading, "-", "", "left out", cells}, "\t")
			}
			why = append(why, fmt.Sprintf("%s: %s", heading, c.Why))
		}
		for j := range c.Means {
			m := &c.Means[j]
			unit := ""
			if m.Kind == assess.Quantity {
				unit = m.Unit.Symbol()
			}
			lines = append(lines, strings.Join([]string{heading, m.Name, unit, string(m.Certainty), cells}, "\t"))
			if m.Certainty != intake.Sure || m.Why != "" {
				why = append(why, fmt.Sprintf("%s: %s, %s", heading, m.Name, m.Why))
			}
		}
	}
	var t strings.Builder
	table(&t, lines)
	for _, line := range strings.Split(strings.TrimRight(t.String(), "\n"), "\n") {
		b.WriteString(strings.TrimRight(cut(line, width), " ") + "\n")
	}
	list(b, "Why", len(why), width, func(k int) string { return why[k] })
}

// cut shortens a text to so many characters.
func cut(s string, n int) string {
	s = Printable(s)
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return string([]rune(s)[:n-1]) + "…"
}

// list writes the first lines of a list, and counts the rest.
func list(b *strings.Builder, title string, n, width int, text func(k int) string) {
	if n == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s:\n", title)
	for k := range min(n, most) {
		b.WriteString(Wrap(text(k), "  ", "    ", width))
	}
	if n > most {
		fmt.Fprintf(b, "  and %d more; --json has all\n", n-most)
	}
}

// feedLines is a line for each location of which feeds or devices were found.
func feedLines(s *intake.Study) []string {
	var all groups[int, string]
	for _, f := range s.Feeds.Found {
		text := fmt.Sprintf("%s = %s", f.Column, f.To)
		if f.Text != f.To {
			text += fmt.Sprintf(" (%q)", f.Text)
		}
		if all.of[f.Row] == nil {
			text = f.ID + ": " + text
		}
		all.add(f.Row, text)
	}
	slices.Sort(all.keys)
	lines := make([]string, len(all.keys))
	for k, row := range all.keys {
		lines[k] = strings.Join(all.of[row], ", ")
	}
	return lines
}

func questionText(q *intake.Question) string {
	text := q.What
	if q.Row > 0 {
		text = fmt.Sprintf("row %d: %s", q.Row, q.What)
	}
	return text + "; " + q.Do
}

func keptColumns(b *strings.Builder, l *intake.Locations, width int) {
	if len(l.Kept)+len(l.Emptied)+len(l.Stay)+len(l.Dropped)+len(l.Unmatched) == 0 {
		return
	}
	b.WriteString("\nWhat the study lacks and locations.csv has:\n")
	for _, x := range []struct {
		words string
		of    []string
	}{
		{"columns whose cells are kept: ", l.Kept},
		{"columns whose cells are emptied, since they are of the study before: ", l.Emptied},
		{"ids whose rows stay as they are; --drop-missing takes them out: ", l.Stay},
		{"ids whose rows are taken out: ", l.Dropped},
		{"ids whose cases have other names now; what single cases said is not kept: ", l.Unmatched},
	} {
		if len(x.of) > 0 {
			b.WriteString(Wrap(x.words+strings.Join(x.of, ", "), "  ", "    ", width))
		}
	}
}

// Refusals are the locations of the study whose labels would not print, by the
// reason, in the order of the file.
func (i *Intake) refusals() (prints int, why groups[string, string]) {
	for k := range i.After.Places {
		p := &i.After.Places[k]
		r := p.PreviewRefusal(false)
		switch {
		case r == nil:
			prints++
		case !r.Unlabeled:
			why.add(r.Why, p.ID())
		}
	}
	return prints, why
}

func intakeLabels(b *strings.Builder, i *Intake, width int) {
	prints, why := i.refusals()
	all := prints
	for _, k := range why.keys {
		all += len(why.of[k])
	}
	fmt.Fprintf(b, "\n%d of %s would print", prints, Plural(all, "label"))
	if i.After.Site.Policy.Stopped() != "" {
		b.WriteString(", once the starter's policy is replaced by your own; until then previews do")
	}
	b.WriteString(".\n")
	list(b, "Labels that would not print", len(why.keys), width, func(k int) string {
		ids := why.of[why.keys[k]]
		names := strings.Join(ids[:min(len(ids), 5)], ", ")
		if len(ids) > 5 {
			names += fmt.Sprintf(" and %d more", len(ids)-5)
		}
		return names + ": " + why.keys[k]
	})
}

func intakeEnd(b *strings.Builder, i *Intake, width int) {
	switch {
	case i.Already:
		b.WriteString("\nThis study is in the folder already, with this result: nothing was written.\n")
	case i.Written != nil:
		b.WriteString(Wrap("written: "+strings.Join(i.Written, ", "), "\n", "  ", width))
	case len(i.Study.Questions) == 0 && i.Problems == nil:
		b.WriteString("\nNothing was written; --write writes it.\n")
	}
}
