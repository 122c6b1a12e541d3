package label

import (
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/label/record"
)

// Presentation is what is on a label but not in its record.
type Presentation struct {
	Link      string     // start of the link, in capitals; "" for none
	Catalogue *Catalogue // nil for the built-in one
	Languages []string   // one or two of the catalogue's
	Applied   string     // date for the applied box; "" leaves it blank
}

// Compose words the label of a record.
func Compose(r *record.Record, code record.Code, p Presentation) *Label {
	row := r.Location
	l := &Label{
		ID: row.ID, Area: row.Area, Code: string(code), QR: QR(p.Link, code, r),
		Danger: r.Signal == assess.Danger,
		Chosen: -1,
		Reach:  reach(r),
	}
	for i, rung := range r.Policy.Ladder {
		rating := assess.Number(rung.Rating)
		if r.Policy.Units == assess.SI {
			rating += " cal" // beside an energy in J/cm²: garments are marked in cal/cm²
		}
		l.Ladder = append(l.Ladder, Rung{Kit: rung.Kit, Rating: rating})
		if rung.Kit == r.Kit {
			l.Chosen = i
		}
	}
	for i, lang := range p.Languages {
		w := words(r, p.wording(lang), lang, p.Applied)
		if i > 0 {
			w.notTwice(p.wording(lang), r)
		}
		l.Words = append(l.Words, w)
	}
	return l
}

// notTwice omits from the second language the owner's own texts that are already on
// the label: equipment and area, the name of the study.
func (w *Words) notTwice(t *wording, r *record.Record) {
	w.Where, w.Source = "", ""
	if feeds := r.Location.FedFrom(); len(feeds) > 0 {
		w.Where = fill(t.FedFrom, "feeds", strings.Join(feeds, ", "))
	}
	if r.Fault.Value > 0 && w.Rated == "" {
		w.Source = fill(t.Fault, "current", Current(r.Fault.Value))
	}
}

// wording is the wording of one of the label's languages.
func (p *Presentation) wording(lang string) *wording {
	if p.Catalogue == nil {
		return builtin().byLanguage[lang]
	}
	return p.Catalogue.byLanguage[lang]
}

// reach are the lengths in the drawing of the boundaries, as printed.
func reach(r *record.Record) Reach {
	s := &r.Shock
	b, d := r.BoundaryToPrint, r.Location.Distance
	if r.Policy.Units == assess.SI {
		printed := func(mm float64) float64 { return float64(assess.PrintedMM(assess.MM(mm))) }
		return Reach{Arc: printed(float64(b)), WorkingDistance: printed(float64(d)), Limited: printed(s.LimitedPrint),
			Restricted: printed(s.RestrictedPrint)}
	}
	inches := func(l assess.MM) float64 { return float64(assess.PrintedInches(l)) * assess.MMPerInch }
	return Reach{Arc: inches(b), WorkingDistance: inches(d), Limited: s.Limited, Restricted: s.Restricted}
}

// words are the label's texts in one language.
func words(r *record.Record, t *wording, lang, applied string) Words {
	l, units, b := r.Location, r.Policy.Units, r.BoundaryToPrint
	distance := Distance(l.Distance, units)
	w := Words{
		Language: lang,
		Signal:   t.SignalWarning, Hazard: t.Hazard, Message: t.MessageWarning,
		Supply: t.supply(l.Supply, l.Voltage), Where: where(t, l),
		WorkingDistance: fill(t.WorkingDistance, "length", distance),
		Arc:             t.Arc, ArcLength: Length(b, b, units),
		Energy:     t.energy(r.Energy, units),
		EnergyNote: fill(t.EnergyNote, "length", distance),
		ToScale:    t.ToScale,
		Dates:      dates(t, r),
		Source:     source(t, r), Rated: rated(t, r),
		Applied: t.Applied, AppliedOn: applied,
		Scan: t.Scan,
	}
	shockWords(&w, t, r, units)
	outermost := w.ArcLength
	if assess.MM(r.Shock.Limited) > b {
		outermost = w.LimitedLength
	}
	w.KeepOut = fill(t.KeepOut, "length", outermost)
	switch r.Status {
	case assess.NoneAllowed:
		w.Signal, w.Message = t.SignalDanger, t.MessageDanger
		w.NoKit = t.NoKit
		w.NoKitWhy = []string{
			fill(t.NoKitLimit, "energy", w.Energy, "length", distance, "cutoff", assess.Number(r.Policy.Cutoff)+" cal/cm²"),
			fill(t.NoKitDo, "boundary", w.ArcLength),
		}
	case assess.NotRequired:
		w.WearTitle = t.BelowThreshold
		w.WearWhy = fill(t.BelowThresholdWhy, "length", distance)
		w.wear(r.Policy.BelowThresholdWear, t)
	default:
		w.wear(r.Wear(), t)
	}
	if m := r.Maintenance; m != nil && m.Permits() && !r.Policy.MaintenanceOnPage {
		w.Maintenance = maintenance(t, r)
	}
	return w
}

// dates are the date of the study, the date of a review that confirmed it, and the
// date by which it must be reviewed.
func dates(t *wording, r *record.Record) string {
	text := t.Dates
	reviewed := ""
	if r.Reviewed != nil {
		text, reviewed = t.DatesReviewed, r.Reviewed.Date.String()
	}
	return fill(text, "prepared", r.Prepared.String(), "reviewed", reviewed, "review_by", r.ReviewBy.String())
}

// shockWords are the texts for what the voltage requires.
func shockWords(w *Words, t *wording, r *record.Record, units assess.Units) {
	s := &r.Shock
	if s.Rule == shock.NotSpecified {
		w.Gloves = t.NoShockLimit
		return
	}
	w.Limited = t.Limited
	if r.Location.Movable {
		w.Limited = t.LimitedMovable
	}
	w.LimitedLength = Length(assess.MM(s.Limited), assess.MM(s.LimitedPrint), units)
	w.Restricted = t.Restricted
	w.Gloves = fill(t.Gloves, "class", r.Glove.Class)
	kind := t.AC
	if r.Location.Supply == shock.DC {
		kind = t.DC
	}
	limit := Voltage(r.Glove.Limit) + " " + kind
	if s.Rule == shock.AvoidContact {
		w.RestrictedRule = t.AvoidContact
		w.GlovesNote = fill(t.GlovesOnContact, "voltage", limit)
		return
	}
	w.RestrictedRule = Length(assess.MM(s.Restricted), assess.MM(s.RestrictedPrint), units)
	w.GlovesNote = fill(t.GlovesAtDistance, "voltage", limit)
}

// Where says what and where the equipment is, as on an English label.
func Where(r *record.Record) string { return where(english, r.Location) }

// Supply is the text for a record's voltage and kind of supply, as on an English label.
func Supply(r *record.Record) string { return SupplyOf(r.Location) }

// SupplyOf is the text for a location's voltage and kind of supply, as on an English
// label.
func SupplyOf(l *assess.Location) string { return english.supply(l.Supply, l.Voltage) }

func (t *wording) supply(s shock.Supply, v assess.Volts) string {
	text := map[shock.Supply]string{shock.AC3: t.SupplyAC3, shock.AC1: t.SupplyAC1, shock.DC: t.SupplyDC}[s]
	return fill(text, "voltage", Voltage(v))
}

func where(t *wording, l *assess.Location) string {
	parts := []string{l.Equipment}
	if l.Area != "" {
		parts = append(parts, l.Area)
	}
	if len(l.FedFrom()) > 0 {
		parts = append(parts, fill(t.FedFrom, "feeds", strings.Join(l.FedFrom(), ", ")))
	}
	return strings.Join(parts, " · ")
}

func source(t *wording, r *record.Record) string {
	var parts []string
	if s := study(t, r.RowOf(r.Energy.Case).Case); s != "" {
		parts = append(parts, s)
	}
	if r.Fault.Value > 0 && !OverRated(r) {
		parts = append(parts, fill(t.Fault, "current", Current(r.Fault.Value)))
	}
	return strings.Join(parts, " · ")
}

func study(t *wording, row *assess.Case) string {
	if row.Study == "" || row.Revision == "" {
		return row.Study
	}
	return fill(t.StudyRevision, "study", row.Study, "revision", row.Revision)
}

// wear takes over the owner's list of what to wear, and says so where it is in
// another language.
func (w *Words) wear(list assess.Words, t *wording) {
	w.Wear = list.In(w.Language)
	if len(w.Wear) > 0 && !list.Speaks(w.Language) {
		w.WearNote = t.WearUntranslated
	}
}

// OverRated reports whether a named person accepted more fault current than the
// equipment is rated for. The label then says so.
func OverRated(r *record.Record) bool {
	rating := r.Location.Rating
	return rating > 0 && r.Fault.Value > rating && slices.ContainsFunc(r.Accept, func(a assess.Acceptance) bool {
		return a.Finding == assess.OverRating
	})
}

// rated is the text with both currents; "" where the rating is not exceeded. The
// rating is not rounded.
func rated(t *wording, r *record.Record) string {
	if !OverRated(r) {
		return ""
	}
	return fill(t.Rated, "rating", assess.Number(r.Location.Rating)+" kA", "current", Current(r.Fault.Value))
}
