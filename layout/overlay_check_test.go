package layout

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"vouchmark/label"
)

// textsSound reports what is wrong with the texts of a drawing that is not a hazard
// label: too small, overlapping, outside their block, crossed by a line or half on a
// shape, or a quiet zone that is not empty.
func textsSound(d *Drawing, least float64) error {
	const slack = 0.02
	for i := range d.Ops {
		o := &d.Ops[i]
		x0, y0, x1, y1 := inked(o)
		if o.Kind == QR {
			framed := *d
			framed.Ops = slices.Clone(d.Ops)
			for j := range framed.Ops {
				if p := &framed.Ops[j]; p.Kind == Path && p.Fill == None { // a frame, as far as this test is concerned
					a0, b0, a1, b1 := p.Box()
					*p = Op{Kind: Rect, X: a0, Y: b0, W: a1 - a0, H: b1 - b0, Ink: p.Ink, Stroke: p.Stroke, Block: p.Block}
				}
			}
			if err := quiet(&framed, &framed.Ops[i]); err != nil {
				return err
			}
			if module := o.W / float64(o.Matrix.Side()+2*quietZone); module < MM(0.4)-0.001 {
				return fmt.Errorf("QR module of %.3f mm", InMM(module))
			}
		}
		if o.Kind != Text {
			if o.Kind != Line && (x0 < -slack || y0 < -slack || x1 > d.Size.W+slack || y1 > d.Size.H+slack) {
				return fmt.Errorf("operation %d leaves the drawing", i)
			}
			continue
		}
		if o.Text == "" || strings.TrimSpace(o.Text) != o.Text {
			return fmt.Errorf("text %q", o.Text)
		}
		b := d.Blocks[o.Block]
		if x0 < b.X-slack || x1 > b.X+b.W+slack || y0 < b.Y-slack || y1 > b.Y+b.H+slack {
			return fmt.Errorf("%q at %.1f,%.1f to %.1f,%.1f leaves block %+v", o.Text, x0, y0, x1, y1, b)
		}
		if caps := (font{face: o.Face, size: o.Size}).caps(); caps < least-0.001 {
			return fmt.Errorf("%q has capitals of %.3f mm", o.Text, InMM(caps))
		}
		for j := range d.Ops[:i] {
			p := &d.Ops[j]
			a0, b0, a1, b1 := inked(p)
			if p.Kind == Text && x0 < a1-slack && a0 < x1-slack && y0 < b1-slack && b0 < y1-slack {
				return fmt.Errorf("%q overlaps %q", o.Text, p.Text)
			}
		}
		if err := grounded(&label.Label{}, d, i); err != nil {
			return err
		}
	}
	return nil
}

// inked is the box of an operation; for a text without descenders it ends at the
// baseline, since large digits are close to what is below them.
func inked(o *Op) (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = o.Box()
	if o.Kind == Text && !strings.ContainsAny(o.Text, "gjpqyçQJ,;()") {
		y1 = o.Y
	}
	return x0, y0, x1, y1
}

// says reports the first word of the texts that is not on the drawings.
func says(texts []string, drawings ...*Drawing) error {
	var b strings.Builder
	for _, d := range drawings {
		for i := range d.Ops {
			if d.Ops[i].Kind == Text {
				b.WriteString(d.Ops[i].Text + " ")
			}
		}
	}
	said := b.String()
	for _, text := range texts {
		for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '·' || r == '-' || r == '/' }) {
			if !strings.Contains(said, word) {
				return fmt.Errorf("%q of %q is missing", word, text)
			}
		}
	}
	return nil
}

// colorless reports an ink other than black and white.
func colorless(d *Drawing) error {
	for i := range d.Ops {
		for _, ink := range [...]Ink{d.Ops[i].Ink, d.Ops[i].Fill} {
			if ink == Signal || ink == Tint {
				return fmt.Errorf("operation %d is drawn with %s", i, inkNames[ink])
			}
		}
	}
	return nil
}

// golden compares text with a file of testdata, which -update rewrites.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name+".golden")
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	a, b := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			t.Fatalf("%s line %d:\n got %s\nwant %s", file, i+1, a[i], b[i])
		}
	}
	if len(a) != len(b) {
		t.Errorf("%s differs; -update rewrites it", file)
	}
}

// fieldsOf are the fields that err names for an id.
func fieldsOf(t *testing.T, err error, id string) string {
	t.Helper()
	var all []string
	for _, e := range Misfits(err) {
		if e.ID != id || e.Why == "" {
			t.Errorf("%#v", e)
		}
		all = append(all, e.Field)
	}
	if all == nil {
		t.Errorf("error %v holds no FitError", err)
	}
	return strings.Join(all, ", ")
}
