package layout

import (
	"fmt"

	"vouchmark/assess"
	"vouchmark/label"
)

// Draw draws one label on stock, code being its QR code (see [EncodeQR]), which
// a preview does not have.
//
// The label has the form of its stock (see compact). One with the INTERIM strip has the
// compact form also where it does not fit otherwise: the strip needs room, and a label in
// doubt should not have to wait for larger stock.
//
// It uses the most generous level at which everything fits, at the largest scale that
// the level allows. A text that does not fit on the label in letters of the legible
// minimum is a [FitError]; there is one for each such text.
func Draw(l *label.Label, stock Stock, code *Matrix) (*Drawing, error) {
	return setLabel(l, stock, code, new(memory))
}

func setLabel(l *label.Label, stock Stock, code *Matrix, lines *memory) (*Drawing, error) {
	if l.Preview {
		code = blankCode
	}
	d, err := drawForm(l, stock, code, lines, stock.compact())
	strip := !l.Preview && len(l.Words) > 0 && l.Words[0].Interim != ""
	if err != nil && strip && !stock.compact() && !stock.large() {
		if brief, no := drawForm(l, stock, code, lines, true); no == nil {
			d, err = brief, nil
		}
	}
	if err != nil {
		return nil, err
	}
	d.Signal, d.color = stock.signal(l.Danger), stock.Color
	if stock.Color == assess.OneColor {
		d.oneColor(l.Danger)
	}
	if l.Preview {
		d.across(l.Words[0].Interim)
	}
	return d, nil
}

// drawForm draws a label in one of its two forms, in color.
func drawForm(l *label.Label, stock Stock, code *Matrix, lines *memory, compact bool) (*Drawing, error) {
	s := &setting{label: l, stock: stock, code: code, lines: lines, texts: fields(l), compact: compact,
		plans: arrangements(stock, l.Danger, l.Preview, compact),
		frame: func(c *canvas) { c.boxed(c.radius) }}
	return s.draw()
}

// languagesFit reports a label of more languages than the stock holds, or of none.
func languagesFit(l *label.Label, stock Stock) error {
	switch n := len(l.Words); {
	case n == 0:
		return &FitError{ID: l.ID, Field: "languages", Stock: stock.Name, Why: "the label has no words"}
	case n > stock.Languages:
		return &FitError{ID: l.ID, Field: "languages", Text: l.Words[0].Language + ", " + l.Words[1].Language, Stock: stock.Name,
			Why: fmt.Sprintf("stock %s holds %d of the %d languages; %s hold two",
				stock.Name, stock.Languages, n, holding(2))}
	}
	return nil
}

// fields are all texts that a label shows.
func fields(l *label.Label) []field {
	all := []field{{"equipment id", l.ID}, {"code", l.Code}}
	each := func(name string, texts []string) {
		for _, s := range texts {
			all = append(all, field{name, s})
		}
	}
	for i := range l.Words {
		w := &l.Words[i]
		all = append(all, []field{
			{"signal word", w.Signal}, {"interim", w.Interim}, {"interim reason", w.Doubt}, {"hazard", w.Hazard},
			{"supply", w.Supply}, {"equipment and place", w.Where}, {"working distance", w.WorkingDistance},
			{"boundary", w.Arc}, {"boundary", w.ArcLength}, {"boundary", w.Limited}, {"boundary", w.LimitedLength},
			{"boundary", w.Restricted}, {"boundary", w.RestrictedRule}, {"scale note", w.ToScale},
			{"keep-out sentence", w.KeepOut}, {"energy", w.Energy}, {"energy note", w.EnergyNote},
			{"maintenance switch", w.Maintenance}, {"rating", w.Rated}, {"wear note", w.WearNote}, {"wear note", w.WearLead}, {"ladder note", w.ArcRating},
			{"wear title", w.WearTitle}, {"reason why no kit is required", w.WearWhy},
			{"no-work sentence", w.NoWork}, {"reason for no energized work", w.NoWorkWhy},
			{"gloves", w.Gloves}, {"gloves note", w.GlovesNote},
			{"dates", w.Dates}, {"fault current", w.Fault}, {"study", w.Study}, {"applied", w.Applied}, {"applied", w.AppliedOn},
			{"scan note", w.Scan}, {"scan note", w.ScanAsk}}...)
		each("message", w.Message)
		each("wear list", w.Wear)
		each("how to make it safe", w.NoWorkDo)
	}
	for _, r := range l.Ladder {
		each("kit", []string{r.Kit, r.Rating})
	}
	return all
}
