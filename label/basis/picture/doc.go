// Package picture holds the drawings of the pages: plain SVG from data. A
// drawing stands in a page as it is or alone as a file, so it has presentation
// attributes and no style of its own, which the pages' policy would not allow.
// What colour tells, a shape and a word tell too.
//
//	curve.go        how the energy falls with the distance: data and words
//	curve_chart.go  the same as lines and texts in px
//	curve_axes.go   what stands outside the plot
//	curve_names.go  the names in it
//	curve_place.go  where a text has room
//	curve_svg.go    the same as SVG
//	shape.go        a sign for each state
//	tree.go         the feeds, from the service down
//	row.go          one row of them
//	ties.go         ties between them
//	write.go        elements, escaped text, widths of text
package picture
