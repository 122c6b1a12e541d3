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
	Bleed       float64 // how far color runs over the cut
	CropMarks   bool
	Reading     float64 // distance at which the label must be legible; 0: the built-in one
	Color       Color
	Panel       float64 // height of a preprinted signal panel, from the upper edge
	Preprinted  bool    // the stock already has the colored signal panel
	Languages   int     // how many it holds: 1 or 2; 0: as many as its size allows
	Orange, Red [4]int
	HasOrange   bool // Orange, in percent of CMYK, replaces the built-in alternate
	HasRed      bool
	// OutputCondition is the printing condition that the print shop named, as registered
	// ("CGATS TR 001"): with it the stock's PDFs are PDF/X-1a. Only for spot and process.
	OutputCondition string
	Line            int // of site.toml
}

// How a stock's signal colors are printed.
type Color string

// The ways to print color, as site.toml writes them.
const (
	Spot     Color = "spot"      // named spot colors with a CMYK alternate
	Process  Color = "process"   // CMYK
	RGB      Color = "rgb"       // for office printers
	OneColor Color = "one-color" // black only: thermal stock
)
