package assess

// Stock is a sheet or a roll that the owner prints on, as site.toml describes
// it. Lengths are in mm.
type Stock struct {
	Name        string
	Page, Label [2]float64 // width, height; a roll's page is one label
	Columns     int
	Rows        int
	Left, Top   float64 // margins: the first label's corner
	GapX, GapY  float64 // between labels
	Corner      float64 // radius
	Bleed       float64 // how far colour runs over the cut
	CropMarks   bool
	Reading     float64 // distance at which the label must be legible; 0: the built-in one
	Colour      Colour
	Panel       float64 // height of a preprinted signal panel, from the upper edge
	Preprinted  bool    // the coloured signal panel is already on the stock
	Languages   int     // how many it holds: 1 or 2; 0: as many as its size allows
	Orange, Red [4]int
	HasOrange   bool // Orange, in per cent of CMYK, replaces the built-in alternate
	HasRed      bool
	Line        int // of site.toml
}

// Colour says how a stock's signal colours are printed.
type Colour string

// The ways of colour, as site.toml spells them.
const (
	Spot      Colour = "spot"       // named spot colours with a CMYK alternate
	Process   Colour = "process"    // CMYK
	RGB       Colour = "rgb"        // for office printers
	OneColour Colour = "one-colour" // black only: thermal stock
)
