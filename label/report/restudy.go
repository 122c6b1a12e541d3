package report

import (
	"fmt"
	"io"
	"strings"

	"vouchmark/label/plant"
)

// Restudy tells a person what a new study changes: the counts, then the rows in
// order of importance. For labels that stay, or that change only in their dates,
// it lists the ids. Lines are broken at width where possible.
func Restudy(w io.Writer, r *plant.Restudy, width int) error {
	var b strings.Builder
	b.WriteString(Wrap(RestudySummary(r), "", "  ", width))
	if r.Stopped != "" {
		b.WriteString(Wrap("No label can be printed yet: "+r.Stopped, "", "  ", width))
	}
	sections := RestudySections(r)
	cells := lined{width: width}
	heading := []string{"LOCATION", "ENERGY", "BOUNDARY", "SIGNAL WORD, KIT"}
	cells.measure(heading)
	for _, s := range sections {
		if !s.Brief {
			for i := range s.Lines {
				cells.measure(s.Lines[i].cells())
			}
		}
	}
	for _, s := range sections {
		fmt.Fprintf(&b, "\n%s (%d)\n", s.Title, len(s.Lines))
		if s.Brief {
			var ids []string
			for i := range s.Lines {
				ids = append(ids, s.Lines[i].ID)
			}
			b.WriteString(Wrap(strings.Join(ids, ", "), "  ", "  ", width))
			continue
		}
		if heading != nil {
			cells.write(&b, heading)
			heading = nil // once
		}
		for i := range s.Lines {
			l := &s.Lines[i]
			cells.write(&b, l.cells())
			for _, note := range l.Notes(" → ", 4) {
				lead := note.What + ": "
				if note.What == NoteDo {
					lead = "-> "
				}
				b.WriteString(Wrap(lead+note.Text, "  ", "    ", width))
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (l *RestudyLine) cells() []string {
	return []string{l.ID, l.Energy.text(), l.Boundary.text(), l.Label.text()}
}

// text is the old and the new value; one of them if they are equal or the other
// is not known.
func (b Beside) text() string {
	switch {
	case b.Before == b.Now || b.Before == "":
		return b.Now
	case b.Now == "":
		return b.Before
	}
	const unit, warning = " cal/cm²", "WARNING"
	was, now := b.Before, b.Now
	if strings.HasSuffix(was, unit) && strings.HasSuffix(now, unit) { // said once
		was = strings.TrimSuffix(was, unit)
	}
	if strings.HasPrefix(was, warning) && strings.HasPrefix(now, warning) {
		now = strings.TrimLeft(strings.TrimPrefix(now, warning), " ,")
	}
	return was + " → " + now
}

// Note is something to say about a row besides its numbers.
type Note struct{ What, Text string }

// The subjects of notes.
const (
	NoteTooLow  = "too low"
	NoteRefused = "not printed"
	NoteOthers  = "also"
	NoteDo      = "to do"
)

// Notes says what the numbers of a row do not: why its label is too low, why none
// can be printed, what else differs (the first most of it in full), and what to
// do. to separates before and now.
func (l *RestudyLine) Notes(to string, most int) []Note {
	var all []Note
	add := func(what string, parts ...string) {
		if text := strings.Join(parts, "; "); text != "" {
			all = append(all, Note{what, text})
		}
	}
	add(NoteTooLow, l.Low...)
	add(NoteRefused, l.Refused)
	var others []string
	for i, o := range l.Others {
		if i == most {
			others = append(others, fmt.Sprintf("%d more", len(l.Others)-most))
			break
		}
		others = append(others, o.What+" "+o.Before+to+o.Now)
	}
	add(NoteOthers, others...)
	var rest []string
	if l.Row == plant.RowKept && l.Effect != plant.LabelKept {
		rest = append(rest, "not in this study")
	}
	if l.Already && l.Refused == "" {
		rest = append(rest, "unchanged by this study")
	}
	if l.Printed != nil && !l.FromLabel {
		rest = append(rest, "the record of its label cannot be read, so this compares with the old row")
	}
	if l.Do != "" {
		rest = append(rest, l.Do)
	}
	add(NoteDo, rest...)
	return all
}

// lined writes rows of cells in aligned columns. A cell that does not fit on its
// line goes on the next one, and so does whatever follows a first cell that is
// wider than a quarter of the line.
type lined struct {
	width int
	w     []int // of each column, in characters
}

// measure makes room for the cells of a row.
func (l *lined) measure(cells []string) {
	for len(l.w) < len(cells) {
		l.w = append(l.w, 0)
	}
	for i, c := range cells {
		n := Width(Printable(c))
		if i == 0 && n > l.width/4 {
			continue
		}
		l.w[i] = max(l.w[i], n)
	}
}

func (l *lined) write(b *strings.Builder, cells []string) {
	const gap, indent = 2, 2
	var line strings.Builder
	used := 0
	for i, c := range cells {
		c = Printable(c)
		n := Width(c)
		if i > 0 {
			at := used + gap
			if from := l.w[0] + gap; at+n > l.width || i == 1 && used > l.w[0] {
				b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
				line.Reset()
				used = 0
				if at = from; at+n > l.width {
					at = indent
				}
			}
			line.WriteString(strings.Repeat(" ", at-used))
			used = at
		}
		line.WriteString(c)
		pad := max(0, l.w[i]-n)
		line.WriteString(strings.Repeat(" ", pad))
		used += n + pad
	}
	b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
}
