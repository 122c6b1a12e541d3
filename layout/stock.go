package layout

import (
	"fmt"
	"slices"
	"strings"
)

// Stock is a sheet or a roll that labels are printed on. Lengths are in points.
type Stock struct {
	Name          string
	Page, Label   Size
	Columns, Rows int
	Left, Top     float64 // margins: the first label's corner
	GapX, GapY    float64 // between labels
	Corner        float64 // radius of the labels' corners
	Reading       float64 // distance at which the label must be legible
}

// Size is a width and a height.
type Size struct{ W, H float64 }

// readingDistance is the distance at which a label must be legible where the
// stock does not say: 2 ft, an arm's length before a door. Common practice.
var readingDistance = Inch(24)

// Stocks are the stocks that are built in, by plain geometry: width x height
// in inches, with the sheet's name in front where several share a sheet.
func Stocks() []Stock {
	return []Stock{
		single("4x4", 4, 4),
		single("4x6", 4, 6),
		single("6x4", 6, 4),
		onLetter("letter-4x4", 4, 4, 2, 2),
		onLetter("letter-4x3", 4, 3, 2, 3),
	}
}

// single is a roll or a sheet that holds one label and is all label.
func single(name string, w, h float64) Stock {
	size := Size{Inch(w), Inch(h)}
	return Stock{Name: name, Page: size, Label: size, Columns: 1, Rows: 1,
		Corner: Inch(0.125), Reading: readingDistance}
}

// onLetter is a US Letter sheet with labels in the middle, 1/8 in apart.
func onLetter(name string, w, h float64, columns, rows int) Stock {
	s := Stock{Name: name, Page: Size{Inch(8.5), Inch(11)}, Label: Size{Inch(w), Inch(h)},
		Columns: columns, Rows: rows, GapX: Inch(0.125), GapY: Inch(0.125),
		Corner: Inch(0.125), Reading: readingDistance}
	s.Left = (s.Page.W - float64(columns)*s.Label.W - float64(columns-1)*s.GapX) / 2
	s.Top = (s.Page.H - float64(rows)*s.Label.H - float64(rows-1)*s.GapY) / 2
	return s
}

// StockNamed returns the built-in stock of that name. The error for an unknown
// one names those that are spelt most alike.
func StockNamed(name string) (Stock, error) {
	all := Stocks()
	for _, s := range all {
		if s.Name == name {
			return s, nil
		}
	}
	asked := strings.ToLower(strings.TrimSpace(name))
	slices.SortStableFunc(all, func(a, b Stock) int {
		return editDistance(asked, a.Name) - editDistance(asked, b.Name)
	})
	best := editDistance(asked, all[0].Name)
	var near []string
	for _, s := range all {
		if editDistance(asked, s.Name) <= best {
			near = append(near, fmt.Sprintf("%q", s.Name))
		}
	}
	var names []string
	for _, s := range Stocks() {
		names = append(names, s.Name)
	}
	if len(near) > 3 {
		return Stock{}, fmt.Errorf("no stock %q; there are %s", name, strings.Join(names, ", "))
	}
	return Stock{}, fmt.Errorf("no stock %q; nearest is %s; there are %s",
		name, strings.Join(near, " or "), strings.Join(names, ", "))
}

// editDistance is the least number of letters to insert, drop or replace to
// make b of a.
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// Places is how many labels a page holds.
func (s Stock) Places() int { return s.Columns * s.Rows }

// Place is the upper left corner of the label at place i of a page, counted
// from 0 in the order of reading.
func (s Stock) Place(i int) (x, y float64) {
	return s.Left + float64(i%s.Columns)*(s.Label.W+s.GapX),
		s.Top + float64(i/s.Columns)*(s.Label.H+s.GapY)
}

// validate reports a stock that cannot be printed on.
func (s Stock) validate() error {
	switch {
	case s.Columns < 1 || s.Rows < 1:
		return fmt.Errorf("stock %q holds no label", s.Name)
	case s.Label.W <= 0 || s.Label.H <= 0 || s.Reading <= 0:
		return fmt.Errorf("stock %q: label size and reading distance must be above 0", s.Name)
	}
	x, y := s.Place(s.Places() - 1)
	const slack = 0.01 // sizes in mm seldom add up exactly
	if s.Left < 0 || s.Top < 0 || x+s.Label.W > s.Page.W+slack || y+s.Label.H > s.Page.H+slack {
		return fmt.Errorf("stock %q: its labels do not fit on its page", s.Name)
	}
	return nil
}
