package layout

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
)

// Stock is a sheet or a roll on which labels are printed. Lengths are in points.
type Stock struct {
	Name          string
	Page, Label   Size
	Columns, Rows int
	Left, Top     float64 // margins: the first label's corner
	GapX, GapY    float64 // between labels
	Corner        float64 // radius of the labels' corners
	Reading       float64 // distance at which the label must be legible

	Bleed       float64 // how far color extends past the cut
	CropMarks   bool
	Color       assess.Color
	Preprinted  bool    // the stock already has the colored signal panel
	Panel       float64 // its height from the upper edge
	Languages   int     // how many it has room for
	Orange, Red Spot    // the signal colors
	Condition   string  // registered name of the printing condition; with it the PDF is PDF/X-1a
}

// Size is a width and a height.
type Size struct{ W, H float64 }

// readingDistance is the distance at which a label must be legible if the stock does
// not say: 2 ft, an arm's length from a door. Common practice.
var readingDistance = Inch(24)

// Stocks are the built-in stocks, named by their size: width x height in inches, or in
// mm where the numbers are large, with the sheet's name in front if several labels
// share a sheet.
func Stocks() []Stock {
	return []Stock{
		single("4x4", Inch, 4, 4),
		single("4x6", Inch, 4, 6),
		single("6x4", Inch, 6, 4),
		single("5x3.5", Inch, 5, 3.5),
		single("3x5", Inch, 3, 5),
		single("100x100", MM, 100, 100),
		single("100x150", MM, 100, 150),
		single("150x100", MM, 150, 100),
		single("70x100", MM, 70, 100),
		sheet("letter-4x4", letter, Inch, 4, 4, 2, 2),
		sheet("letter-4x3", letter, Inch, 4, 3, 2, 3),
		sheet("a4-100x100", a4, MM, 100, 100, 2, 2),
	}
}

var (
	letter = Size{Inch(8.5), Inch(11)}
	a4     = Size{MM(210), MM(297)}
)

// single is a roll or a sheet that consists of one label.
func single(name string, unit func(float64) float64, w, h float64) Stock {
	return sheet(name, Size{unit(w), unit(h)}, unit, w, h, 1, 1)
}

// sheet is a page with labels in the middle, 1/8 in apart.
func sheet(name string, page Size, unit func(float64) float64, w, h float64, columns, rows int) Stock {
	s := Stock{Name: name, Page: page, Label: Size{unit(w), unit(h)}, Columns: columns, Rows: rows,
		GapX: Inch(0.125), GapY: Inch(0.125), Corner: Inch(0.125)}
	s.Left = (s.Page.W - float64(columns)*s.Label.W - float64(columns-1)*s.GapX) / 2
	s.Top = (s.Page.H - float64(rows)*s.Label.H - float64(rows-1)*s.GapY) / 2
	return defaults(s)
}

// twoLanguages is the least area of a label for two languages: that of a label of 4 x 6
// in, minus the little by which 100 x 150 mm is smaller.
var twoLanguages = MM(100) * MM(150)

// defaults fills in what a stock does not say.
func defaults(s Stock) Stock {
	languages := 1
	if s.Label.W*s.Label.H >= twoLanguages*0.999 {
		languages = 2
	}
	s.Languages = cmp.Or(s.Languages, languages)
	s.Reading = cmp.Or(s.Reading, readingDistance)
	s.Color = cmp.Or(s.Color, assess.Spot)
	s.Orange = cmp.Or(s.Orange, SafetyOrange)
	s.Red = cmp.Or(s.Red, SafetyRed)
	s.Bleed = min(s.Bleed, s.around())
	return s
}

// around is the white around each label of a sheet into which its color may extend
// without reaching the next label's or the edge of the paper. A page that is one label
// is printed oversize, as far as needed.
func (s Stock) around() float64 {
	if s.Places() == 1 && s.Page == s.Label {
		return math.Inf(1)
	}
	room := min(s.Left, s.Top)
	if s.Columns > 1 {
		room = min(room, s.GapX/2)
	}
	if s.Rows > 1 {
		room = min(room, s.GapY/2)
	}
	return max(0, room)
}

// StockFrom is a stock as the owner describes it.
func StockFrom(a assess.Stock) Stock {
	return defaults(Stock{
		Name: a.Name, Page: Size{MM(a.Page[0]), MM(a.Page[1])}, Label: Size{MM(a.Label[0]), MM(a.Label[1])},
		Columns: a.Columns, Rows: a.Rows, Left: MM(a.Left), Top: MM(a.Top), GapX: MM(a.GapX), GapY: MM(a.GapY),
		Corner: MM(a.Corner), Reading: MM(a.Reading), Bleed: MM(a.Bleed), CropMarks: a.CropMarks,
		Color: a.Color, Preprinted: a.Preprinted, Panel: MM(a.Panel), Languages: a.Languages,
		Orange: mixed(SafetyOrange, a.HasOrange, a.Orange), Red: mixed(SafetyRed, a.HasRed, a.Red), Condition: a.OutputCondition,
	})
}

// mixed is an ink, in the owner's mixture if there is one.
func mixed(ink Spot, owners bool, cmyk [4]int) Spot {
	if owners {
		ink.C, ink.M, ink.Y, ink.K = uint8(cmyk[0]), uint8(cmyk[1]), uint8(cmyk[2]), uint8(cmyk[3])
	}
	return ink
}

// Choose returns the stock with a name: one of the owner's, or a built-in one. Without a
// name it is the owner's first, or the built-in 4x4. The error for an unknown name has
// similar names, and lists all.
func Choose(name string, owner []assess.Stock) (Stock, error) {
	var all []Stock
	for _, a := range owner {
		all = append(all, StockFrom(a))
	}
	all = append(all, Stocks()...)
	if name == "" {
		return all[0], nil
	}
	if i := slices.IndexFunc(all, func(s Stock) bool { return s.Name == name }); i >= 0 {
		return all[i], nil
	}
	hint := near.Hint(name, names(all))
	if hint == "" {
		hint = ";"
	}
	return Stock{}, fmt.Errorf("no stock %q%s stocks: %s", name, hint, strings.Join(names(all), ", "))
}

// StockNamed is the built-in stock of that name.
func StockNamed(name string) (Stock, error) { return Choose(name, nil) }

// StockNames are the names of the built-in stocks.
func StockNames() []string { return names(Stocks()) }

func names(all []Stock) []string {
	out := make([]string, len(all))
	for i, s := range all {
		out[i] = s.Name
	}
	return out
}

// holding are the names of the stocks with room for n languages.
func holding(n int) string {
	return strings.Join(names(slices.DeleteFunc(Stocks(), func(s Stock) bool { return s.Languages < n })), ", ")
}

// large reports whether a label of the stock is of 4 x 4 in or 100 x 100 mm up.
func (s Stock) large() bool { return s.Label.W*s.Label.H >= 0.999*MM(100)*MM(100) }

// Signal is the stock's signal color for a label.
func (s Stock) signal(danger bool) Spot {
	if danger {
		return s.Red
	}
	return s.Orange
}

// Places is how many labels a page has.
func (s Stock) Places() int { return s.Columns * s.Rows }

// Place is the upper left corner of the label at place i of a page, counted from 0 in
// reading order.
func (s Stock) Place(i int) (x, y float64) {
	return s.Left + float64(i%s.Columns)*(s.Label.W+s.GapX),
		s.Top + float64(i/s.Columns)*(s.Label.H+s.GapY)
}
