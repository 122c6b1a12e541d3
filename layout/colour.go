package layout

// Ink is what an operation of the display list is drawn with. Signal stands
// for the signal colour of the label at hand, so that a drawing can be made
// in spot colours, in process colours or in black alone by its writer.
type Ink uint8

const (
	None   Ink = iota // not filled, or no outline
	Black             // 100 % black
	White             // the bare stock
	Tint              // the one light grey: TintPercent of black
	Signal            // safety orange or safety red
)

// TintPercent is the share of black in Tint. A screen coarser than this light
// would break up on a thermal or laser printer.
const TintPercent = 7

// Spot is a named ink with its stand-in in process colours, in whole per cent.
type Spot struct {
	Name       string
	C, M, Y, K uint8
}

// The signal colours. ANSI Z535.1 defines them as Munsell and CIE values and
// not as CMYK (safety orange 5YR 6/15 lies outside sRGB), so these mixtures
// are house choices, to be matched against a proof.
var (
	SafetyOrange = Spot{Name: "SAFETY ORANGE", M: 50, Y: 100}
	SafetyRed    = Spot{Name: "SAFETY RED", M: 100, Y: 100}
)

// signalInk is the colour of the signal word panel and what is written on it:
// white on safety red for DANGER, black on safety orange for WARNING (ANSI
// Z535.4).
func signalInk(danger bool) (panel Spot, letters Ink) {
	if danger {
		return SafetyRed, White
	}
	return SafetyOrange, Black
}
