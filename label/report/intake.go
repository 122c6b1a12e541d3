package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/intake"
	"vouchmark/label/plant"
)

// Intake is a study's file as it would be taken into a site.
type Intake struct {
	Study     *intake.Study
	Stored    string            // its name under studies/
	Locations *intake.Locations // nil while open questions prevent it
	After     *plant.Plant      // the site with the study; nil likewise
	Problems  error             // why the site with the study cannot be read
	Differs   []intake.Difference
	Pairs     []intake.Pairing
	Restudy   *plant.Restudy // what it changes for each label; nil likewise
	Again     bool           // the site had rows or labels before: the restudy comes first in the text
	Written   []string       // files; nil if nothing was written
	Already   bool           // everything was already there
}

// most is how many lines of a kind are shown; the rest is counted.
const most = 12

// IntakeText writes it for a person: first what a restudy changes, then how the
// file was read, then what remains to be done.
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
	list(&b, "Rows not read", len(s.Left), width, func(k int) string {
		return fmt.Sprintf("row %d: %s", s.Left[k].Row, s.Left[k].Why)
	})
	list(&b, "Merged cells, read for every row that they cover", len(s.Filled), width, func(k int) string {
		f := s.Filled[k]
		return fmt.Sprintf("%s: %q also in rows %s", f.Heading, f.Text, rows(f.Rows))
	})
	list(&b, "Cells not taken unchanged", len(s.Converted), width, func(k int) string {
		c := s.Converted[k]
		return fmt.Sprintf("%s: %s %s, the first in row %d: %q", c.Heading, Plural(c.Count, "cell"), c.What, c.Row, c.First)
	})
	if i.Locations != nil {
		keptColumns(&b, i.Locations, width)
	}
	found := feedLines(s)
	list(&b, "Feeds and devices found in the file: compare them with the one-line diagram", len(found), width,
		func(k int) string { return found[k] })
	list(&b, "Feeds and devices that do not name a location", len(s.Feeds.Unnamed), width, func(k int) string {
		f := s.Feeds.Unnamed[k]
		return fmt.Sprintf("%s: %s left empty: %q", f.ID, f.Column, f.Text)
	})
	list(&b, "For the engineer: here the study differs from the tables and the ladder", len(i.Differs), width,
		func(k int) string {
			d := i.Differs[k]
			return fmt.Sprintf("%s (row %d): %s: study %s, by the tables %s", d.ID, d.Row, d.What, d.Study, d.Derived)
		})
	list(&b, "PPE as the study names it, and the kits of the ladder", len(i.Pairs), width, func(k int) string {
		p := i.Pairs[k]
		text := fmt.Sprintf("%q: %s at %s", p.Study, p.Kit, Plural(len(p.IDs), "location"))
		if p.Mixed {
			text += "; elsewhere the same name goes with other kits: " + strings.Join(p.IDs[:min(len(p.IDs), 5)], ", ")
		}
		return text
	})
	if i.After != nil {
		intakeLabels(&b, i, width)
	}
	list(&b, "Questions to answer first; nothing was written", len(s.Questions), width, func(k int) string {
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
		text += fmt.Sprintf("; %s read, %d not read", Plural(len(s.Rows), "row"), len(s.Left))
	} else {
		text += fmt.Sprintf("; rows are read once the questions are answered; %d not read", len(s.Left))
	}
	if s.Layout != nil {
		text += "; read like " + s.Layout.File + ", as noted in " + intake.LayoutFile
	}
	return text + "."
}

var delimiters = map[rune]string{',': "commas", ';': "semicolons", '\t': "tabs", '|': "bars"}

// rows lists row numbers, runs of them as from-to.
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

// intakeColumns shows what each heading was read as, with its first cells.
func intakeColumns(b *strings.Builder, s *intake.Study, width int) {
	table := grid{of: []column{{head: "HEADING"}, {head: "READ AS"}, {head: "UNIT"}, {}, {head: "FIRST CELLS"}}}
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
			certainty := string(intake.Unknown)
			if c.Left {
				certainty = "left out"
			}
			table.add(heading, "-", "", certainty, cells)
			why = append(why, fmt.Sprintf("%s: %s", heading, c.Why))
		}
		for j := range c.Means {
			m := &c.Means[j]
			unit := ""
			if m.Kind == assess.Quantity {
				unit = m.Unit.Symbol()
			}
			table.add(heading, m.Name, unit, string(m.Certainty), cells)
			if m.Certainty != intake.Sure || m.Why != "" {
				why = append(why, fmt.Sprintf("%s: %s, %s", heading, m.Name, m.Why))
			}
		}
	}
	var t strings.Builder
	table.write(&t, 1<<10)
	for line := range strings.Lines(t.String()) {
		b.WriteString(strings.TrimRight(cut(strings.TrimRight(line, "\n"), width), " ") + "\n")
	}
	list(b, "Why", len(why), width, func(k int) string { return why[k] })
}

// list writes the first lines of a list and counts the rest.
func list(b *strings.Builder, title string, n, width int, text func(k int) string) {
	if n == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s:\n", title)
	for k := range min(n, most) {
		b.WriteString(Wrap(text(k), "  ", "    ", width))
	}
	if n > most {
		fmt.Fprintf(b, "  and %d more; --json lists all\n", n-most)
	}
}

// feedLines makes a line for each location whose feeds or devices were found.
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
	b.WriteString("\nIn locations.csv but not in the study:\n")
	for _, x := range []struct {
		words string
		of    []string
	}{
		{"columns kept: ", l.Kept},
		{"columns emptied, because their values belong to the earlier study: ", l.Emptied},
		{"rows kept unchanged (--drop-missing deletes them): ", l.Stay},
		{"rows deleted: ", l.Dropped},
		{"rows whose cases have new names, so that values of single cases are not kept: ", l.Unmatched},
	} {
		if len(x.of) > 0 {
			b.WriteString(Wrap(x.words+strings.Join(x.of, ", "), "  ", "    ", width))
		}
	}
}

// refusals groups the locations of the study whose labels could not be printed by
// the reason, in the order of the file.
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
	fmt.Fprintf(b, "\n%d of %s can be printed", prints, Plural(all, "label"))
	if i.After.Site.Policy.Stopped() != "" {
		b.WriteString(", once your own policy replaces the starter's; until then only previews")
	}
	b.WriteString(".\n")
	list(b, "Labels that cannot be printed", len(why.keys), width, func(k int) string {
		ids := why.of[why.keys[k]]
		names := strings.Join(ids[:min(len(ids), 5)], ", ")
		if len(ids) > 5 {
			names += fmt.Sprintf(" and %d more", len(ids)-5)
		}
		return names + ": " + why.keys[k]
	})
}

// tooLow returns the ids of printed labels that are too low by the new rows.
func (i *Intake) tooLow() (ids []string) {
	if i.Restudy == nil {
		return nil
	}
	for k := range i.Restudy.Rows {
		if r := &i.Restudy.Rows[k]; r.Effect == plant.LabelTooLow {
			ids = append(ids, r.ID)
		}
	}
	return ids
}

func intakeEnd(b *strings.Builder, i *Intake, width int) {
	switch {
	case i.Already:
		b.WriteString("\nThis study is already in the folder, with this result: nothing was written.\n")
	case i.Written != nil:
		b.WriteString(Wrap("written: "+strings.Join(i.Written, ", "), "\n", "  ", width))
		if low := i.tooLow(); low != nil {
			b.WriteString(Wrap("cover these labels now, they are printed too low: "+strings.Join(low, ", ")+" ("+
				i.After.Text(assess.Remedy{Words: "{}", Act: assess.ToPrintOverlay})+")", "", "  ", width))
		}
	case len(i.Study.Questions) == 0 && i.Problems == nil:
		b.WriteString("\nNothing was written; add --write to write it.\n")
	}
}
