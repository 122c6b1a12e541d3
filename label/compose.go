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
	Languages []string   // one or two of the catalog's
	Applied   string     // date for the installed box; "" leaves it blank
	Site      string     // the site's name, for the note at the QR code
	Ask       string     // whom a worker asks; "" for the wording's own
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
	language := "en" // without a language nothing is drawn: the page for a reprint asks only what is refused
	if len(p.Languages) > 0 {
		language = p.Languages[0]
	}
	first := p.wording(language)
	for i, rung := range r.Policy.Ladder {
		l.Ladder = append(l.Ladder, Rung{Kit: rung.Kit, Rating: first.number(assess.Number(rung.Rating)) + " cal"})
		if rung.Kit == r.Kit {
			l.Chosen = i
		}
	}
	for i, lang := range p.Languages {
		w := words(r, p.wording(lang), lang, &p)
		if i > 0 {
			w.notTwice(p.wording(lang), r)
		}
		l.Words = append(l.Words, w)
	}
	return l
}

// notTwice omits from the second language the owner's own texts that are already on
// the label: equipment and area, the name of the study, whom to ask.
func (w *Words) notTwice(t *wording, r *record.Record) {
	w.Where, w.Study, w.ScanAsk = "", "", ""
	if w.WearNote == t.BelowThresholdSource {
		w.WearNote = ""
	}
	if feeds := r.Location.FedFrom(); len(feeds) > 0 {
		w.Where = fill(t.FedFrom, "feeds", strings.Join(feeds, ", "))
	}
}

// wording is the wording of one of the label's languages.
func (p *Presentation) wording(lang string) *wording {
	if p.Catalogue == nil {
		return own.byLanguage[lang]
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

// words words the label in one language.
func words(r *record.Record, t *wording, lang string, p *Presentation) Words {
	l, units, b := r.Location, r.Policy.Units, r.BoundaryToPrint
	distance := t.number(Distance(l.Distance, units))
	w := Words{
		Language: lang,
		Signal:   t.SignalWarning, Hazard: t.Hazard, Message: t.MessageWarning,
		Supply: t.supply(l.Supply, l.Voltage), Where: where(t, l),
		WorkingDistance: fill(t.WorkingDistance, "length", distance),
		Arc:             t.Arc, ArcLength: t.number(Boundary(b, b, units)),
		Energy:     t.energy(r.Energy, units),
		EnergyNote: fill(t.EnergyNote, "length", distance),
		ToScale:    t.ToScale,
		Dates:      dates(t, r),
		Fault:      fault(t, r), Study: study(t, r.RowOf(r.Energy.Case).Case), Rated: rated(t, r),
		Applied: t.Applied, AppliedOn: p.Applied,
		Scan: t.Scan,
	}
	if p.Ask != "" && p.Site != "" {
		w.ScanAsk = fill(t.ScanAsk, "site", p.Site, "who", p.Ask)
	}
	shockWords(&w, t, r, units)
	switch r.Status {
	case assess.NoneAllowed:
		w.danger(t, r, distance, t.who(p.Ask))
	case assess.NotRequired:
		w.WearTitle = t.BelowThreshold
		w.WearWhy = fill(t.BelowThresholdWhy, "length", distance)
		if w.wear(r.Policy.BelowThresholdWear, t); len(w.Wear) == 0 {
			w.Wear, w.WearNote = t.BelowThresholdWear, t.BelowThresholdSource
		}
	default:
		w.WearLead, w.ArcRating = t.WearLead, t.ArcRating
		w.wear(r.Wear(), t)
	}
	w.KeepOut = keepOut(t, r)
	if m := r.Maintenance; m != nil && m.Permits() && !r.Policy.MaintenanceOnPage {
		w.Maintenance = maintenance(t, r)
	}
	return w
}

// danger words the block of a DANGER label: why nobody works on it energized,
// and how to make it safe.
func (w *Words) danger(t *wording, r *record.Record, distance, who string) {
	w.Signal, w.Message, w.NoWork = t.SignalDanger, t.MessageDanger, t.NoWork
	limit := t.NoWorkLimit
	if r.Energy.Bound == assess.Above {
		limit = t.NoWorkBound
	}
	w.NoWorkWhy = fill(limit, "energy", w.Energy, "length", distance,
		"cutoff", t.number(assess.Number(r.Policy.Cutoff))+" cal/cm²")
	test := fill(t.NoWorkTestAsk, "who", who)
	if told := r.Policy.DangerTest.In(w.Language); len(told) > 0 {
		test = told[0]
	}
	w.NoWorkDo = []string{fill(t.NoWorkDo, "boundary", t.number(Length(r.BoundaryToPrint, r.BoundaryToPrint, r.Policy.Units))), fill(t.NoWorkTest, "test", strings.TrimSuffix(test, "."))}
	if r.Location.StaysLive() {
		w.NoWorkDo = append(w.NoWorkDo, fill(t.NoWorkLive, "who", who))
	}
}

// keepOut is what the boundaries ask for: of energized work that needs a kit
// that everyone inside the arc-flash boundary wears it, and inside a farther
// limited approach boundary who may be there at all.
func keepOut(t *wording, r *record.Record) string {
	b, units := r.BoundaryToPrint, r.Policy.Units
	limited := assess.MM(r.Shock.Limited)
	arc := t.number(Length(b, b, units))
	shock := t.number(Length(limited, assess.MM(r.Shock.LimitedPrint), units))
	farthest := arc
	if limited > b {
		farthest = shock
	}
	switch {
	case r.Status == assess.NoneAllowed:
		return fill(t.KeepOutDanger, "length", farthest)
	case r.Status == assess.NotRequired && limited > 0:
		return fill(t.KeepOutShock, "length", shock)
	case limited > b:
		return fill(t.KeepOutBoth, "arc", arc, "length", shock)
	}
	return fill(t.KeepOutKit, "length", arc)
}

// dates are the date of the study, that of the review which found it right,
// and by when it is to be reviewed.
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
	w.LimitedLength = t.number(Boundary(assess.MM(s.Limited), assess.MM(s.LimitedPrint), units))
	w.Restricted = t.Restricted
	w.Gloves = fill(t.Gloves, "class", r.Glove.Class)
	kind := t.AC
	if r.Location.Supply == shock.DC {
		kind = t.DC
	}
	note := t.GlovesAtDistance
	if w.RestrictedRule = t.number(Boundary(assess.MM(s.Restricted), assess.MM(s.RestrictedPrint), units)); s.Rule == shock.AvoidContact {
		w.RestrictedRule, note = t.AvoidContact, t.GlovesOnContact
	}
	if r.Status == assess.NoneAllowed {
		note = t.GlovesDanger
	}
	w.GlovesNote = fill(note, "voltage", t.number(Voltage(r.Glove.Limit))+" "+kind)
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
	return fill(text, "voltage", t.number(Voltage(v)))
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

// fault is the text for the available fault current; "" where none is stated, or
// where the label shows it with the rating that it exceeds. It is marked as the
// largest if it is not from the case of the energy. The clearing time of the service's
// own device follows where the owner wants it (NEC 110.16(B), 2017 and 2020).
func fault(t *wording, r *record.Record) string {
	var parts []string
	if r.Fault.Value > 0 && !OverRated(r) {
		text := t.Fault
		if r.Fault.Case != r.Energy.Case {
			text = t.FaultMax
		}
		parts = append(parts, fill(text, "current", t.number(Current(r.Fault.Value))))
	}
	if ms := r.RowOf(r.Fault.Case).ServiceClearing; ms > 0 && r.Policy.ShowClearingTime {
		parts = append(parts, fill(t.Clearing, "time", t.number(Duration(ms))))
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
	return fill(t.Rated, "rating", t.number(assess.Number(r.Location.Rating))+" kA", "current", t.number(Current(r.Fault.Value)))
}
