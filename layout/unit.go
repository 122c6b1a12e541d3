// Package layout draws labels on stock. It takes what a label says and gives a
// display list, [Draw], and from display lists the pages of a document, [PDF].
//
//	label.Label + Stock -> blocks -> arrangement -> Drawing -> PDF
//
// A block draws one part of the label in any width; an arrangement says where each
// block is; then the package looks for a scale at which everything fits. Nothing here
// knows the owner's policy, the disk or the clock.
package layout

// Everything in this package is measured in PostScript points, 1/72 inch,
// from the upper left corner, y downward.

// Inch is v inches in points.
func Inch(v float64) float64 { return v * 72 }

// MM is v millimeters in points.
func MM(v float64) float64 { return v * 72 / 25.4 }

// InMM is v points in millimeters.
func InMM(v float64) float64 { return v * 25.4 / 72 }
