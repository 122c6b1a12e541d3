package press

import (
	"fmt"

	"vouchmark/label"
	"vouchmark/label/record"
	"vouchmark/layout"
)

// Picture is the label of a record as a drawing for a screen, on the stock on
// which it would be printed, without any strip. Its error says what cannot
// stand on it. Many may be drawn at once.
func Picture(r *record.Record, code record.Code, stock layout.Stock, look Look) ([]byte, error) {
	stock.Preprinted = false // the paper has the panel, and a screen has not
	made := label.Compose(r, code, look.Presentation)
	codes, err := layout.EncodeQR([]string{made.QR})
	if err != nil {
		return nil, err
	}
	d, err := layout.Draw(made, stock, codes[0])
	if err != nil {
		return nil, err
	}
	return layout.SVG(d, fmt.Sprintf("The label %s of %s", code, r.Location.ID), ""), nil
}
