package press

import (
	"fmt"

	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout"
)

// Look says how labels are presented, and whether they are printed if they do
// not hold.
type Look struct {
	label.Presentation
	Interim string // why labels are printed although they do not hold; "" refuses them
	Preview bool   // draw what would be printed, with a strip that says so, and no code
}

// overrides reports whether a refused label is printed with the strip.
func (l *Look) overrides(r *plant.Refusal) bool { return l.Interim != "" && r.Interim }

// compose words a label; a preview and one that was refused have the strip.
func (l *Look) compose(r *record.Record, code record.Code, refused *plant.Refusal) *label.Label {
	made := label.Compose(r, code, l.Presentation)
	switch {
	case l.Preview:
		made.MarkPreview(l.Presentation)
	case refused != nil:
		made.MarkInterim(refused.Standing, l.Ask, l.Presentation)
	}
	return made
}

// Picture draws the label of a record for a screen, on the stock on which it
// would be printed, without any strip. Its error says what does not fit on it.
// Many may be drawn at the same time.
func Picture(r *record.Record, code record.Code, stock layout.Stock, look Look) ([]byte, error) {
	made := label.Compose(r, code, look.Presentation)
	codes, err := layout.EncodeQR([]string{made.QR})
	if err != nil {
		return nil, err
	}
	return picture(made, stock, codes[0], fmt.Sprintf("The label %s of %s", code, r.Location.ID))
}

// Draft is Picture for a label that is not printed yet: it says so, and has no code, so that no
// picture of a screen is mounted.
func Draft(r *record.Record, stock layout.Stock, look Look) ([]byte, error) {
	look.Preview = true
	return picture(look.compose(r, "", nil), stock, nil, "A preview of the label of "+r.Location.ID)
}

func picture(made *label.Label, stock layout.Stock, code *layout.Matrix, title string) ([]byte, error) {
	stock.Preprinted = false // the paper has the panel, and a screen has not
	d, err := layout.Draw(made, stock, code)
	if err != nil {
		return nil, err
	}
	return layout.SVG(d, title, ""), nil
}
