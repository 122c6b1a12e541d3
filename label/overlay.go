package label

import (
	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// Overlay is a strip that is stuck over a label which is not to be relied on,
// since a mark on a screen does not reach the door.
type Overlay struct {
	ID, Area, Code, QR string
	Words              []OverlayWords
}

// OverlayWords is an overlay's text in one language.
type OverlayWords struct {
	Language string
	Title    string   // "DO NOT RELY ON THIS LABEL"
	Why      string   // "LAPSED since 2031-03-15: …"
	Do       []string // what to do, a sentence each
	Covers   string   // "covers 7K3M-9QTD-RC4A-0W2E"
}

// ComposeOverlay words the strip for a printed label that does not hold. who
// is to be asked; "" for the wording's own.
func ComposeOverlay(r *record.Record, code record.Code, status standing.Status, since assess.Date, who string, p Presentation) *Overlay {
	o := &Overlay{ID: r.Row().ID, Area: r.Row().Area, Code: string(code), QR: QR(p.Link, code, r)}
	for _, lang := range p.Languages {
		t := p.wording(lang)
		why := t.OverlayInQuestion
		if status == standing.Lapsed {
			why = t.OverlayLapsed
		}
		ask := who
		if ask == "" {
			ask = t.OverlayWho
		}
		w := OverlayWords{Language: lang, Title: t.OverlayTitle, Why: fill(why, "date", since.String()), Covers: fill(t.OverlayCovers, "code", string(code))}
		for _, s := range t.OverlayDo {
			w.Do = append(w.Do, fill(s, "who", ask))
		}
		o.Words = append(o.Words, w)
	}
	return o
}
