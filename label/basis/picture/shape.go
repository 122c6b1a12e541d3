package picture

// Shapes of states that are not the standing of a label.
const (
	Cover   = "cover"   // printed too low
	Differs = "differs" // the label differs from its record
	Unknown = "unknown" // not in the ledger
)

// shapes are the signs of the states, a house choice: 24 by 24, in the color of
// the text around them. Those of labels that do not hold are filled, so that
// they stand out.
var shapes = map[string]string{
	"holds":     ring("") + stroke("M7 12.4L10.6 16L17 8.6", "2.4"),
	"falls due": ring("") + stroke("M12 6.2V12.4L16 15", "2.2"),
	// a square, the exclamation mark cut out of it
	"lapsed": filled("M2 2H22V22H2Z M10.6 5.4V14.4H13.4V5.4Z M10.6 16.4V19H13.4V16.4Z"),
	// an octagon, the question mark cut out of it. A question mark in a diamond is
	// what programs show in place of a character that they do not have.
	"in question": filled("M7.44 1H16.56L23 7.44V16.56L16.56 23H7.44L1 16.56V7.44Z " +
		"M8 9.8A4 4 0 1 1 13.1 13.65V15H10.9V11.9H12A2.1 2.1 0 1 0 9.9 9.8Z M10.8 16.2V18.5H13.2V16.2Z"),
	// a label, and the strip across it
	Cover: stroke("M4 2H20V22H4Z", "2") + filled("M.5 14L23.5 4V11L.5 21Z"),
	// two arrows, there and back
	"replaced":  stroke("M3 8.2H19M15 4L19.4 8.2L15 12.4M21 16.4H5M9 12.2L4.6 16.4L9 20.6", "2.2"),
	"withdrawn": stroke("M4.5 4.5L19.5 19.5M19.5 4.5L4.5 19.5", "2.8"),
	// ten dashes round the circle, with a stroke through what cannot be printed
	"ready to print": ring(dashes),
	"not printed":    ring(dashes) + stroke("M5 19L19 5", "2.2"),
	// a dot: nothing is to be mounted there
	"no label": filled("M12 8A4 4 0 1 1 11.99 8Z"),
	// a square in two halves, torn apart
	Differs: filled("M2 2H11.5L8.6 8.2L12.6 11.6L8.8 15.8L11 22H2Z M14.5 2H22V22H14L11.8 16.2L15.8 11.4L11.7 8Z"),
	Unknown: stroke("M12 1.6L22.4 12L12 22.4L1.6 12Z", "2") + stroke("M5 5L19 19", "2"),
}

// dashes make ten of a ring.
const dashes = ` stroke-dasharray="3.8 2.483"`

func ring(dashes string) string {
	return `<circle cx="12" cy="12" r="10" fill="none" stroke="currentColor" stroke-width="2.2"` + dashes + `/>`
}

func stroke(d, width string) string {
	return `<path d="` + d + `" fill="none" stroke="currentColor" stroke-width="` + width +
		`" stroke-linecap="round" stroke-linejoin="round"/>`
}

func filled(d string) string {
	return `<path d="` + d + `" fill="currentColor" fill-rule="evenodd"/>`
}

// Shape is the sign of a state as SVG markup, for an element whose view box is
// 24 by 24. A name is a standing, "ready to print", "not printed", "no label",
// "cover", "differs" or "unknown"; any other name gets the sign of unknown. A
// sign says nothing to a screen reader: the word must be next to it.
func Shape(name string) string {
	if s, ok := shapes[name]; ok {
		return s
	}
	return shapes[Unknown]
}
