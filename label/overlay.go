package label

import (
	"cmp"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// Overlay is a strip to put over a label that must not be used, since a note on a
// screen does not reach the door; or over one whose study was reviewed and
// confirmed, since it still shows the old date.
type Overlay struct {
	ID, Area, Code, QR string
	Words              []OverlayWords
}

// OverlayWords are an overlay's texts in one language.
type OverlayWords struct {
	Language string
	Title    string   // "DO NOT USE THE LABEL BELOW"
	Why      string   // "LAPSED since 2031-03-15: …"
	Do       []string // what to do, a sentence each
	Covers   string   // "covers 7K3M-9QTD-RC4A-0W2E"
}

// ComposeOverlay makes the overlay for a printed label from its standing, or nil
// where the label needs none. who is whom to contact; "" for the wording's default.
func ComposeOverlay(r *record.Record, code record.Code, s *standing.Standing, who string, p Presentation) *Overlay {
	o := &Overlay{ID: r.Location.ID, Area: r.Location.Area, Code: string(code), QR: QR(p.Link, code, r)}
	for _, lang := range p.Languages {
		t := p.wording(lang)
		w := OverlayWords{Language: lang, Covers: fill(t.OverlayCovers, "code", string(code))}
		switch renewed := s.Renewed(); {
		case s.Worst() != nil && s.Status != standing.FallsDue:
			w.Title, w.Why = t.OverlayTitle, t.doubt(s)
			if s.TooLow {
				w.Why += " " + t.PageTooLow
			}
			for _, d := range t.OverlayDo {
				w.Do = append(w.Do, fill(d, "who", t.who(who)))
			}
		case renewed != nil:
			w.Title = t.OverlayRenewed
			w.Why = fill(t.OverlayRight, "date", renewed.Since.String(), "old", r.ReviewBy.String())
			w.Do = []string{fill(t.OverlayUntil, "review_by", s.Until.String())}
		default:
			return nil
		}
		o.Words = append(o.Words, w)
	}
	return o
}

// MarkInterim puts on a label that it is printed though it does not hold. What
// it said of work without arc-rated clothing is no longer said.
func (l *Label) MarkInterim(s *standing.Standing, who string, p Presentation) {
	for i := range l.Words {
		w := &l.Words[i]
		t := p.wording(w.Language)
		w.Interim = t.Interim
		w.Doubt = strings.Join([]string{t.doubt(s), t.InterimLow, fill(t.OverlayDo[0], "who", t.who(who))}, " ")
		if w.WearWhy != "" { // below 1.2 cal/cm²
			w.WearWhy, w.Wear, w.WearNote = "", nil, ""
		}
		if w.NoWork == "" {
			w.WearTitle = t.InterimPPE
		}
	}
}

// doubt says why a label does not hold.
func (t *wording) doubt(s *standing.Standing) string {
	worst := s.Worst()
	text := t.OverlayInQuestion
	switch {
	case s.Status == standing.Withdrawn:
		text = t.OverlayWithdrawn
	case s.Status == standing.Lapsed:
		text = t.OverlayLapsed
	case worst.Cause == standing.ReviewCause:
		text = t.OverlayReview
	case worst.Cause == standing.DeviceCause:
		text = t.OverlayDevice
	case worst.Cause != standing.UpstreamCause && worst.Cause != standing.RowCause:
		text = t.OverlayDrift
	}
	return fill(text, "date", worst.Since.String())
}

// who is whom to contact.
func (t *wording) who(named string) string { return cmp.Or(named, t.OverlayWho) }
