package label

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
	"vouchmark/label/record"
)

// PageWords are the words of the pages of labels, for whoever scans one, in one
// language.
type PageWords struct {
	PageLanguage    string `toml:"page_language"`
	PageHolds       string `toml:"page_holds"`
	PageFallsDue    string `toml:"page_falls_due"`
	PageLapsed      string `toml:"page_lapsed"`
	PageInQuestion  string `toml:"page_in_question"`
	PageWithdrawn   string `toml:"page_withdrawn"`
	PageSince       string `toml:"page_since"`
	PageReplaced    string `toml:"page_replaced"`
	PageDiffers     string `toml:"page_differs"`
	PageUnknown     string `toml:"page_unknown"`
	PageNoChange    string `toml:"page_no_change"`
	PageSettled     string `toml:"page_settled"`
	PageNoFeeds     string `toml:"page_no_feeds"`
	PageReviewBy    string `toml:"page_review_by"`
	PageCover       string `toml:"page_cover"`
	PageTooLow      string `toml:"page_too_low"`
	PageCoverIt     string `toml:"page_cover_it"`
	PageDiffersWhy  string `toml:"page_differs_why"`
	PageUnknownWhy  string `toml:"page_unknown_why"`
	PageTyped       string `toml:"page_typed"`
	PageReplacedWhy string `toml:"page_replaced_why"`
	PageDoNotUse    string `toml:"page_do_not_use"`
	PagePast        string `toml:"page_past"`
	PageSays        string `toml:"page_says"`
	PageFacts       string `toml:"page_facts"`
	PageFactsVoid   string `toml:"page_facts_void"`
	PageSignal      string `toml:"page_signal"`
	PageEnergy      string `toml:"page_energy"`
	PagePPE         string `toml:"page_ppe"`
	PageWear        string `toml:"page_wear"`
	PageMaintenance string `toml:"page_maintenance"`
	PageBoundary    string `toml:"page_boundary"`
	PageLimited     string `toml:"page_limited"`
	PageRestricted  string `toml:"page_restricted"`
	PageGloves      string `toml:"page_gloves"`
	PageGloveClass  string `toml:"page_glove_class"`
	PageStudy       string `toml:"page_study"`
	PageReview      string `toml:"page_review"`
	PageShowNew     string `toml:"page_show_new"`
	PageShow        string `toml:"page_show"`
	PageBelongs     string `toml:"page_belongs"`
	PageForged      string `toml:"page_forged"`
	PageCaution     string `toml:"page_caution"`
	PageChecked     string `toml:"page_checked"`
	PageSpelled     string `toml:"page_spelled"`
	// PageMonths are the names of the twelve months.
	PageMonths     []string `toml:"page_months"`
	PageLongAgo    string   `toml:"page_long_ago"`
	PageStale      string   `toml:"page_stale"`
	PageVoid       string   `toml:"page_void"`
	PageStray      string   `toml:"page_stray"`
	PageMissing    string   `toml:"page_missing"`
	PageMissingWhy string   `toml:"page_missing_why"`

	PageElsewhere    string `toml:"page_elsewhere"`
	PageElsewhereWhy string `toml:"page_elsewhere_why"`
}

// Page is what the page of a label says to whoever scans it, in one language:
// does the label hold, what to do, whom to ask, and what the label says. All
// else on a page is for whoever keeps the labels, in English.
type Page struct {
	PageTexts
	Verdict string   // "IN QUESTION since 2026-08-11"
	Means   []string // what that means; a sentence each
	Stray   string   // where it was found on other equipment; "" for nowhere
	Do      []string // what to do, and whom to ask; none where the label holds
	Past    string   // for a device whose clock says that the last day has passed
	Where   string   // "Motor control center · Packaging hall · fed from SWB-1"
	Supply  string   // "480 V AC 3-phase"
	Says    string   // under the picture of the label
	Belongs string   // on the page of a code alone: whose label it is
	Facts   []Fact
}

// Fact is one line of what a label says.
type Fact struct {
	Name, Value string
	Note        string   // before the list
	List        []string // what to wear
	Language    string   // of the list, where it differs from that of the page
}

// PageTexts are the texts of a page that depend on nothing but the site.
type PageTexts struct {
	Language   string // BCP 47, "en"
	Name       string // of the language, in itself: "English"
	DoNotUse   string // "Do not use this label. Treat the equipment as energized."
	Contact    string // "Before any work, contact …"
	FactsTitle string // heading of the facts; it says so where they must not be used
	ShowNew    string // leads to the label that replaced this one
	Show       string // leads from the page of a code to that of its label
	Forged     string // on the page of a code: what a label is that says anything else
	Caution    string
	Checked    string // "Last checked: {date}"; the day is filled in by On
	LongAgo    string // beside that day, for a reader whose browser cannot compare it with today
	Differs    string // where a scanned text differs from the record of its code
	Unknown    string // where no label has the code that was scanned
	Typed      string // which characters of a typed code to check
	Void       string // over the picture of a label that does not hold
	Missing    string // heading where an address leads to no page
	MissingWhy string
	// Heading where the path of a link is not that of the site, and what that means.
	Elsewhere, ElsewhereWhy string

	words *wording
	ask   string
}

// On is the line that says when the standing was last checked, in figures and in
// words. The day is an ISO date.
func (t PageTexts) On(day string) string {
	d, err := time.Parse(time.DateOnly, day)
	if err != nil || len(t.words.PageMonths) != 12 {
		return fill(t.Checked, "date", day)
	}
	spelled := fill(t.words.PageSpelled, "day", strconv.Itoa(d.Day()), "month", t.words.PageMonths[d.Month()-1],
		"year", strconv.Itoa(d.Year()))
	return fill(t.Checked, "date", day+" ("+spelled+")")
}

// Stale says that a page was not checked within so many days, and what to do.
func (t PageTexts) Stale(days int) string {
	return fill(t.words.PageStale, "count", strconv.Itoa(days), "who", t.words.who(t.ask))
}

// Told is what a page knows of a label besides its record.
type Told struct {
	Standing *standing.Standing
	Differs  bool   // what was scanned differs from the record
	Unknown  bool   // no print of this site made it
	Newer    string // code of the label that replaced it; "" for none
	Ask      string // whom a worker asks; "" for the wording's own
	// Cover is true where the label is to be covered on the equipment.
	Cover bool
	// Strays are other locations on whose equipment somebody found this label.
	Strays []string
}

// pageTexts are the texts in one language. A language of the owner's own whose
// file has none of them gets the English ones, marked as such.
func (t *wording) pageTexts(lang, ask string) PageTexts {
	if t.PageLanguage == english.PageLanguage {
		lang = "en"
	}
	who := t.who(ask)
	return PageTexts{Language: lang, Name: t.PageLanguage, DoNotUse: t.PageDoNotUse,
		Contact: fill(t.OverlayDo[0], "who", who), FactsTitle: t.PageFacts, ShowNew: t.PageShowNew, Show: t.PageShow,
		Forged: t.PageForged, Caution: t.PageCaution, Checked: t.PageChecked,
		LongAgo: t.PageLongAgo, Void: t.PageVoid, Differs: t.PageDiffers, Unknown: t.PageUnknown, Typed: t.PageTyped, words: t, ask: ask,
		Missing: t.PageMissing, MissingWhy: fill(t.PageMissingWhy, "who", who),
		Elsewhere: t.PageElsewhere, ElsewhereWhy: fill(t.PageElsewhereWhy, "who", who)}
}

// Texts are the texts of pages in the languages of a site, each language once.
func (p Presentation) Texts(ask string) []PageTexts {
	var all []PageTexts
	p.Catalogue = cmp.Or(p.Catalogue, own)
	for _, lang := range p.Languages {
		one := p.wording(lang).pageTexts(lang, ask)
		if !slices.ContainsFunc(all, func(o PageTexts) bool { return o.Language == one.Language }) {
			all = append(all, one)
		}
	}
	return all
}

// Pages words the page of a record in the languages of the site, each language
// once, the first language first.
func (p Presentation) Pages(r *record.Record, told Told) []Page {
	var all []Page
	p.Catalogue = cmp.Or(p.Catalogue, own)
	for _, texts := range p.Texts(told.Ask) {
		lang := texts.Language
		if !slices.Contains(p.Languages, lang) { // texts of an owner's language that are English
			lang = p.Languages[0]
		}
		t := p.wording(lang)
		l := r.Location
		one := Page{PageTexts: texts, Where: where(t, l), Supply: t.supply(l.Supply, l.Voltage),
			Says:    fill(t.PageSays, "who", t.who(told.Ask)),
			Past:    fill(t.PagePast, "who", t.who(told.Ask)),
			Belongs: fill(t.PageBelongs, "id", l.ID),
			Facts:   t.facts(r, lang)}
		one.Verdict, one.Means, one.Do = t.verdict(told)
		if told.Strays != nil {
			one.Stray = fill(t.PageStray, "ids", strings.Join(told.Strays, ", "), "id", l.ID)
		}
		if one.Do != nil { // the values of such a label must not be used
			one.FactsTitle = t.PageFactsVoid
		}
		all = append(all, one)
	}
	return all
}

// EnglishVerdict is the verdict in the program's own English, for the terminal.
func EnglishVerdict(told Told) string {
	word, _, _ := english.verdict(told)
	return word
}

// verdict is what comes first on a page.
func (t *wording) verdict(told Told) (word string, means, do []string) {
	s := told.Standing
	beware := []string{t.PageDoNotUse, fill(t.OverlayDo[0], "who", t.who(told.Ask))}
	switch {
	case told.Differs:
		return t.PageDiffers, []string{t.PageDiffersWhy}, beware
	case told.Unknown:
		return t.PageUnknown, []string{t.PageUnknownWhy}, beware
	case told.Newer != "":
		return fill(t.PageReplaced, "code", told.Newer), []string{t.PageReplacedWhy}, beware
	}
	switch s.Status {
	case standing.Holds:
		return fill(t.PageHolds, "date", s.Until.String()), []string{t.noChange(s)}, nil
	case standing.FallsDue:
		return fill(t.PageFallsDue, "date", s.Until.String()),
			[]string{fill(t.PageReviewBy, "date", s.ReviewBy.String()), t.noChange(s)}, nil
	}
	word = map[standing.Status]string{standing.Lapsed: t.PageLapsed, standing.Withdrawn: t.PageWithdrawn}[s.Status]
	word = cmp.Or(word, t.PageInQuestion)
	if worst := s.Worst(); worst != nil {
		if !worst.Found {
			word = fill(t.PageSince, "standing", word, "date", worst.Since.String())
		}
		means = append(means, t.why(s, worst))
	}
	if s.TooLow {
		word = t.PageCover + " · " + word
		means = append(means, t.PageTooLow)
	}
	if told.Cover {
		beware = append(beware, t.PageCoverIt)
	}
	return word, means, beware
}

// why is why a label does not hold: as an overlay says it, less the standing and
// the date in front of it, which the page has said already. Where an overlay of
// the owner's wording has nothing in front, it is taken whole, unless its date
// is only the day on which the reason was found: a page never names that day.
func (t *wording) why(s *standing.Standing, worst *standing.Reason) string {
	text := t.doubt(s)
	if _, after, ok := strings.Cut(text, ": "); ok {
		text = after
	} else if worst.Found {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// noChange is what a good standing says of changes. It never says that nothing
// was changed: only what was logged is known.
func (t *wording) noChange(s *standing.Standing) string {
	switch {
	case s.Unfed:
		return t.PageNoFeeds
	case s.Settled > 0:
		return fill(t.PageSettled, "count", strconv.Itoa(s.Settled))
	}
	return t.PageNoChange
}

// facts are what the label says, in the order of the label.
func (t *wording) facts(r *record.Record, lang string) []Fact {
	u, b, s := r.Policy.Units, r.BoundaryToPrint, &r.Shock
	signal := t.SignalWarning
	if r.Signal == assess.Danger {
		signal = t.SignalDanger
	}
	all := []Fact{
		{Name: t.PageSignal, Value: signal},
		{Name: fill(t.PageEnergy, "length", t.number(Distance(r.Location.Distance, u))), Value: t.energy(r.Energy, u)},
		t.clothing(r, lang),
	}
	if m := r.Maintenance; m != nil && m.Permits() {
		all = append(all, Fact{Name: t.PageMaintenance, Value: maintenance(t, r)})
	}
	length := func(l, metric float64) string { return t.number(Length(assess.MM(l), assess.MM(metric), u)) }
	all = append(all, Fact{Name: t.PageBoundary, Value: length(float64(b), float64(b))})
	if s.Rule != shock.NotSpecified {
		restricted := t.AvoidContact
		if s.Rule == shock.AtDistance {
			restricted = length(s.Restricted, s.RestrictedPrint)
		}
		all = append(all,
			Fact{Name: t.PageLimited, Value: length(s.Limited, s.LimitedPrint)},
			Fact{Name: t.PageRestricted, Value: restricted},
			Fact{Name: t.PageGloves, Value: fill(t.PageGloveClass, "class", r.Glove.Class)})
	}
	return append(all, Fact{Name: t.PageStudy, Value: r.Prepared.String()},
		Fact{Name: t.PageReview, Value: r.ReviewBy.String()})
}

// clothing is what to wear at the working distance.
func (t *wording) clothing(r *record.Record, lang string) Fact {
	f, list := Fact{Name: t.PagePPE, Note: t.PageWear}, assess.Words(nil)
	switch r.Status {
	case assess.NoneAllowed:
		return Fact{Name: t.PagePPE, Value: t.NoWork}
	case assess.NotRequired:
		why := fill(t.BelowThresholdWhy, "length", t.number(Distance(r.Location.Distance, r.Policy.Units)))
		f.Value = t.BelowThreshold + " " + why
		if list = r.Policy.BelowThresholdWear; len(list[""]) == 0 {
			f.Note, f.List = t.BelowThresholdSource, t.BelowThresholdWear
			return f
		}
	default:
		f.Value = r.Kit + ", " + t.number(assess.Number(r.Policy.Rung(r.Kit).Rating)) + " cal/cm²"
		list = r.Wear()
	}
	own, ok := list[lang]
	if f.List = own; !ok {
		f.List = list[""]
		if lang != "en" {
			f.Note, f.Language = t.WearUntranslated, "en"
		}
	}
	return f
}
