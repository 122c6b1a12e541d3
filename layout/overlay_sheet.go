package layout

import "vouchmark/label"

// leastStrip is the least height of a strip if a label is high enough to be cut into
// several: a lower strip is overlooked.
var leastStrip = Inch(1.5)

// StripStock is the stock of the overlays that are cut from the labels of stock: as
// wide as the labels, n of them one below the other on each.
func StripStock(stock Stock, n int) Stock {
	stock.Label.H /= float64(n)
	if n > 1 {
		stock.Corner = 0
	}
	return stock
}

// stripsOn is how many strips of at least the least height fit on a label.
func stripsOn(stock Stock) int { return max(1, int(stock.Label.H/leastStrip+1e-6)) }

// OverlaySheets places one strip after the other on sheets of stock, from place start
// on (from 1; 0 is 1): on a label's place as many as stay legible, with a line between
// them to cut along.
func OverlaySheets(overlays []*label.Overlay, stock Stock, start int) (*Sheets, error) {
	return sheetsOf(len(overlays), func(i int) *label.Overlay { return overlays[i] }, func(o *label.Overlay) string { return o.QR }, drawOverlay, stock, stripsOn(stock), start)
}

// place puts drawings on the page of stock, from place first on, n on each place.
func (p *Page) place(drawings []*Drawing, stock Stock, first, n int) {
	border := stock.border()
	for i, d := range drawings {
		x, y := stock.Place(first + i/n)
		row := i % n
		x, y = border+x, border+y+float64(row)*d.Size.H
		p.Drawings = append(p.Drawings, At{X: x, Y: y, Drawing: d})
		if row > 0 {
			p.Drawings = append(p.Drawings, At{X: x, Y: y, Drawing: cutLine(d.Size.W)})
		}
	}
}

// cutLine is a dashed line w wide to cut along.
func cutLine(w float64) *Drawing {
	p := pen{Drawing: &Drawing{Size: Size{W: w}, Scale: 1, Blocks: []Block{{"cut", 0, 0, w, 0}}}}
	const dash = 4.0
	for x := 0.0; x < w; x += 2 * dash {
		p.line(x, 0, min(dash, w-x), 0, 0.4, Black)
	}
	return p.Drawing
}
