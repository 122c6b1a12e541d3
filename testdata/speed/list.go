package main

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"vouchmark/layout"
	"vouchmark/layout/press"
)

// list writes what is on pages, for programs that know nothing of labels. A line has
// fields separated by tabs; lengths are in points from the upper left corner, an ink is
// RRGGBB or - for none:
//
//	page  width height
//	text  x y size regular|medium|bold ink text   x, y is the start of the baseline
//	line  x1 y1 x2 y2 ink width
//	rect  x y width height fill ink width
//	path  fill ink width curves                   M x y, L x y, C x y x y x y and Z, as in SVG
//	qr    x y width text                          width has the quiet zone of 4 modules
func list(w io.Writer, drawn []*layout.Drawing, items []press.Item) error {
	out := bufio.NewWriter(w) // keeps its first error
	for i, d := range drawn {
		row(out, "page", d.Size.W, d.Size.H)
		for k := range d.Ops {
			o := &d.Ops[k]
			switch o.Kind {
			case layout.Text:
				row(out, "text", o.X, o.Y, o.Size, o.Face.Name, ink(d, o.Ink), o.Text)
			case layout.Line:
				row(out, "line", o.X, o.Y, o.X+o.W, o.Y+o.H, ink(d, o.Ink), o.Stroke)
			case layout.Rect, layout.Path:
				if o.Kind == layout.Rect && o.Corners == (layout.Corners{}) {
					row(out, "rect", o.X, o.Y, o.W, o.H, ink(d, o.Fill), ink(d, o.Ink), o.Stroke)
					continue
				}
				row(out, "path", ink(d, o.Fill), ink(d, o.Ink), o.Stroke, curves(o))
			case layout.QR:
				row(out, "qr", o.X, o.Y, o.W, items[i].Label().QR)
			}
		}
	}
	return out.Flush()
}

func row(w io.Writer, kind string, fields ...any) {
	fmt.Fprint(w, kind)
	for _, f := range fields {
		if v, ok := f.(float64); ok {
			f = number(v)
		}
		fmt.Fprint(w, "\t", f)
	}
	fmt.Fprintln(w)
}

// number is a length with the two decimals of the PDF.
func number(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) }

// ink is the color of an ink on a screen.
func ink(d *layout.Drawing, i layout.Ink) string {
	switch i {
	case layout.Black:
		return "000000"
	case layout.White:
		return "ffffff"
	case layout.Tint:
		return "ededed"
	case layout.Signal:
		if d.Signal == layout.SafetyRed {
			return "be1224"
		}
		return "ff7900"
	}
	return "-"
}

// curves is a rectangle with rounded corners, or a path.
func curves(o *layout.Op) string {
	points, k := o.Path, 2.0/3 // a quadratic curve as a cubic one
	if o.Kind == layout.Rect {
		points, k = rounded(o), 0.5523 // a quarter of a circle as a cubic one
	}
	var b strings.Builder
	put := func(letter string, v ...float64) {
		b.WriteString(letter)
		for _, n := range v {
			b.WriteString(" " + number(n))
		}
		b.WriteByte(' ')
	}
	var from layout.Point
	for i, to := range points {
		toward := func(a, by float64) float64 { return a + k*(by-a) }
		switch {
		case i == 0:
			put("M", to.X, to.Y)
		case !to.Curve:
			put("L", to.X, to.Y)
		default:
			put("C", toward(from.X, to.CX), toward(from.Y, to.CY), toward(to.X, to.CX), toward(to.Y, to.CY), to.X, to.Y)
		}
		from = to
	}
	return b.String() + "Z"
}

func rounded(o *layout.Op) []layout.Point {
	t, u := o.Corners.Top, o.Corners.Bottom
	x0, y0, x1, y1 := o.X, o.Y, o.X+o.W, o.Y+o.H
	return []layout.Point{
		{X: x0 + t, Y: y0},
		{X: x1 - t, Y: y0}, {X: x1, Y: y0 + t, CX: x1, CY: y0, Curve: true},
		{X: x1, Y: y1 - u}, {X: x1 - u, Y: y1, CX: x1, CY: y1, Curve: true},
		{X: x0 + u, Y: y1}, {X: x0, Y: y1 - u, CX: x0, CY: y1, Curve: true},
		{X: x0, Y: y0 + t}, {X: x0 + t, Y: y0, CX: x0, CY: y0, Curve: true},
	}
}
