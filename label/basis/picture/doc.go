// Package picture holds the drawings of the pages: plain SVG from data. A
// drawing is part of a page or a file of its own. It has presentation attributes
// and no style element, which the pages' policy would not allow. Color is never
// the only carrier of a meaning: a shape and a word go with it.
//
//	curve.go        how the energy falls with the distance: data and words
//	curve_chart.go  the same as lines and texts in px
//	curve_axes.go   what is outside the plot
//	curve_names.go  the names in it
//	curve_place.go  where a text fits
//	curve_svg.go    the same as SVG
//	shape.go        a sign for each state
//	tree.go         the feeds, from the service down
//	row.go          one row of them
//	ties.go         ties between them
//	write.go        elements, escaped text, widths of text
package picture
