package layout

import "slices"

// Ink is what an operation of the display list is drawn with. Signal stands for the
// label's signal color, so that the writer can print a drawing in spot colors, in
// process colors or in black only.
type Ink uint8

const (
	None   Ink = iota // not filled, or no outline
	Black             // 100 % black
	White             // the bare stock
	Tint              // the only light gray: TintPercent of black
	Signal            // safety orange or safety red
)

// TintPercent is the share of black in Tint. A screen coarser than this light
// would break up on a thermal or laser printer.
const TintPercent = 7

// Spot is a named ink with its equivalent in process colors, in whole percent.
type Spot struct {
	Name       string
	C, M, Y, K uint8
}

// The signal colors. ANSI Z535.1 defines them as Munsell and CIE values and not as
// CMYK or RGB (safety orange 5YR 6/15 is outside sRGB), so these mixtures are house
// choices, to be matched against a proof. The red has some black, so that white
// letters on it have enough contrast on a screen too.
var (
	SafetyOrange = Spot{Name: "SAFETY ORANGE", M: 50, Y: 100}
	SafetyRed    = Spot{Name: "SAFETY RED", M: 100, Y: 90, K: 15}
)

// rgb is the mixture for an office printer or a screen: for a mixture that the owner
// chose, its plain conversion; for the built-in ones, what looks most like the
// standard's color.
func (s Spot) rgb() (r, g, b uint8) {
	switch s {
	case SafetyOrange:
		return 255, 121, 0
	case SafetyRed:
		return 190, 18, 36
	}
	part := func(ink uint8) uint8 {
		return uint8((255*(100-int(ink))*(100-int(s.K)) + 5000) / 10000)
	}
	return part(s.C), part(s.M), part(s.Y)
}

// letters is the ink of the text on the signal color: white on safety red for DANGER,
// black on safety orange for WARNING (ANSI Z535.4).
func letters(danger bool) Ink {
	if danger {
		return White
	}
	return Black
}

func (d *Drawing) uses(ink Ink) bool {
	return slices.ContainsFunc(d.Ops, func(o Op) bool { return o.Ink == ink || o.Fill == ink })
}

// oneColor leaves only black and white: the signal color becomes black on a DANGER
// label and white on a WARNING label, and the gray ground becomes white. The blocks
// draw lines where color made the difference.
func (d *Drawing) oneColor(danger bool) {
	signal := White
	if danger {
		signal = Black
	}
	inks := [...]Ink{None: None, Black: Black, White: White, Tint: White, Signal: signal}
	for i := range d.Ops {
		o := &d.Ops[i]
		o.Ink, o.Fill = inks[o.Ink], inks[o.Fill]
	}
}
