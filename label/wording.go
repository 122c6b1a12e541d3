package label

import (
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"reflect"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"vouchmark/assess/site"
)

//go:embed wording/*.toml
var wordingFiles embed.FS

// wording holds the texts of one language. {…} in a text is filled in. Numbers
// are written alike in every language, with a decimal point: on a label of two
// languages each stands once.
type wording struct {
	SignalWarning string `toml:"signal_warning"`
	SignalDanger  string `toml:"signal_danger"`

	Hazard         string   `toml:"hazard"`
	MessageWarning []string `toml:"message_warning"`
	MessageDanger  []string `toml:"message_danger"`

	SupplyAC3 string `toml:"supply_ac3"`
	SupplyAC1 string `toml:"supply_ac1"`
	SupplyDC  string `toml:"supply_dc"`
	AC        string `toml:"ac"`
	DC        string `toml:"dc"`
	FedFrom   string `toml:"fed_from"`

	WorkingDistance string `toml:"working_distance"`
	Arc             string `toml:"arc"`
	Limited         string `toml:"limited"`
	LimitedMovable  string `toml:"limited_movable"`
	Restricted      string `toml:"restricted"`
	AvoidContact    string `toml:"avoid_contact"`
	KeepOut         string `toml:"keep_out"`
	ToScale         string `toml:"to_scale"`

	EnergyNote        string `toml:"energy_note"`
	EnergyAbove       string `toml:"energy_above"`
	EnergyBelow       string `toml:"energy_below"`
	WearUntranslated  string `toml:"wear_untranslated"`
	BelowThreshold    string `toml:"below_threshold"`
	BelowThresholdWhy string `toml:"below_threshold_why"`
	NoKit             string `toml:"no_kit"`
	NoKitLimit        string `toml:"no_kit_limit"`
	NoKitDo           string `toml:"no_kit_do"`

	Maintenance       string `toml:"maintenance"`
	MaintenanceDanger string `toml:"maintenance_danger"`
	MaintenanceSwitch string `toml:"maintenance_switch"`
	MaintenanceAt     string `toml:"maintenance_at"`
	MaintenanceKit    string `toml:"maintenance_kit"`
	MaintenanceNoKit  string `toml:"maintenance_no_kit"`

	Gloves           string `toml:"gloves"`
	GlovesAtDistance string `toml:"gloves_at_distance"`
	GlovesOnContact  string `toml:"gloves_on_contact"`
	NoShockLimit     string `toml:"no_shock_limit"`

	Dates         string `toml:"dates"`
	DatesReviewed string `toml:"dates_reviewed"`
	StudyRevision string `toml:"study_revision"`
	Fault         string `toml:"fault"`
	Rated         string `toml:"rated"`
	Applied       string `toml:"applied"`
	Scan          string `toml:"scan"`

	MarkingTitle string `toml:"marking_title"`
	MarkingDate  string `toml:"marking_date"`
	MarkingClear string `toml:"marking_clearing"`
	MarkingDo    string `toml:"marking_do"`

	OverlayTitle      string   `toml:"overlay_title"`
	OverlayLapsed     string   `toml:"overlay_lapsed"`
	OverlayInQuestion string   `toml:"overlay_in_question"`
	OverlayReview     string   `toml:"overlay_review"`
	OverlayDrift      string   `toml:"overlay_drift"`
	OverlayDevice     string   `toml:"overlay_device"`
	OverlayWithdrawn  string   `toml:"overlay_withdrawn"`
	OverlayRenewed    string   `toml:"overlay_renewed"`
	OverlayRight      string   `toml:"overlay_right"`
	OverlayUntil      string   `toml:"overlay_until"`
	OverlayDo         []string `toml:"overlay_do"`
	OverlayWho        string   `toml:"overlay_who"`
	OverlayCovers     string   `toml:"overlay_covers"`

	Interim string `toml:"interim"`
	Preview string `toml:"preview"`

	GuideTitle       string   `toml:"guide_title"`
	GuideLead        string   `toml:"guide_lead"`
	GuideSignal      []string `toml:"guide_signal"`
	GuideMessage     []string `toml:"guide_message"`
	GuidePlace       []string `toml:"guide_place"`
	GuideReach       []string `toml:"guide_reach"`
	GuideKit         []string `toml:"guide_kit"`
	GuideBound       string   `toml:"guide_bound"`
	GuideMaintenance string   `toml:"guide_maintenance"`
	GuideRated       string   `toml:"guide_rated"`
	GuideGloves      []string `toml:"guide_gloves"`
	GuideFoot        []string `toml:"guide_foot"`
	GuideCode        []string `toml:"guide_code"`
	GuideBeforeTitle string   `toml:"guide_before_title"`
	GuideBefore      []string `toml:"guide_before"`
	GuideDoubtTitle  string   `toml:"guide_doubt_title"`
	GuideDoubt       []string `toml:"guide_doubt"`
	GuideLadderTitle string   `toml:"guide_ladder_title"`
	GuideCutoff      string   `toml:"guide_cutoff"`
	GuideAsk         string   `toml:"guide_ask"`
	GuideCautions    string   `toml:"guide_cautions"`

	// The pages of the labels, for whoever scans one.
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
	PageDiffersWhy  string `toml:"page_differs_why"`
	PageUnknownWhy  string `toml:"page_unknown_why"`
	PageReplacedWhy string `toml:"page_replaced_why"`
	PageDoNotUse    string `toml:"page_do_not_use"`
	PageContact     string `toml:"page_contact"`
	PagePast        string `toml:"page_past"`
	PageSays        string `toml:"page_says"`
	PageFacts       string `toml:"page_facts"`
	PageFactsVoid   string `toml:"page_facts_void"`
	PageSignal      string `toml:"page_signal"`
	PageEnergy      string `toml:"page_energy"`
	PagePPE         string `toml:"page_ppe"`
	PageWear        string `toml:"page_wear"`
	PageNoWork      string `toml:"page_no_work"`
	PageNotRequired string `toml:"page_not_required"`
	PagePlainWear   string `toml:"page_plain_wear"`
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
	PageMissing     string `toml:"page_missing"`
	PageMissingWhy  string `toml:"page_missing_why"`
}

// Catalogue is the languages that labels can speak.
type Catalogue struct{ byLanguage map[string]*wording }

// builtin are the languages of the program itself.
func builtin() *Catalogue {
	c := &Catalogue{map[string]*wording{}}
	for _, lang := range []string{"en", "es", "fr"} {
		w := new(wording)
		meta, err := toml.DecodeFS(wordingFiles, "wording/"+lang+".toml", w)
		if err == nil && len(meta.Undecoded()) > 0 {
			err = fmt.Errorf("unknown key %s", meta.Undecoded()[0])
		}
		if err == nil {
			err = w.complete()
		}
		if err != nil { // a fault of the program itself
			panic(fmt.Sprintf("wording in %s: %v", lang, err))
		}
		c.byLanguage[lang] = w
	}
	return c
}

// own are the program's own languages; english words what is not a label: the
// basis.
var (
	own     = builtin()
	english = own.byLanguage["en"]
)

// Languages are the codes of the languages, in order.
func (c *Catalogue) Languages() []string { return slices.Sorted(maps.Keys(c.byLanguage)) }

// ReadCatalogue is the program's languages, with the owner's in place of them
// where the site folder has a wording/LANG.toml: any of its keys replaces the
// program's; a language of the owner's own needs all of them. Its error is a
// [site.Problems].
func ReadCatalogue(folder fs.FS, o site.Options) (*Catalogue, error) {
	c := builtin()
	files, err := fs.Glob(folder, "wording/*.toml")
	if err != nil {
		return nil, err
	}
	var all []error
	for _, file := range files {
		lang := strings.TrimSuffix(path.Base(file), ".toml")
		w := new(wording)
		known := c.byLanguage[lang]
		if known != nil {
			*w = *known
		}
		all = append(all, w.read(folder, file, known == nil, o))
		c.byLanguage[lang] = w
	}
	return c, site.Join(all...)
}

// later are the texts that came after owners had files of a language of their
// own: such a file goes on being read without them, and they are English.
var later = []string{"energy_above", "energy_below", "wear_untranslated", "maintenance", "maintenance_danger",
	"maintenance_switch", "maintenance_at", "maintenance_kit", "maintenance_no_kit", "rated", "marking_clearing",
	"overlay_device", "preview", "guide_bound", "guide_maintenance", "guide_rated"}

// cameLater reports whether a text is one of those, or one of the pages, which
// came later too.
func cameLater(key string) bool {
	return slices.Contains(later, key) || strings.HasPrefix(key, "page_")
}

// read fills in the texts that a file has; where the language is new, all of
// them must be there but those that came later.
func (w *wording) read(folder fs.FS, file string, all bool, o site.Options) error {
	v := reflect.ValueOf(w).Elem()
	fields, index := map[string]reflect.Value{}, map[string][]int{}
	want := map[string]bool{} // whether a key is a list
	for i := range v.NumField() {
		key := v.Type().Field(i).Tag.Get("toml")
		fields[key], want[key] = v.Field(i), v.Field(i).Kind() == reflect.Slice
		index[key] = []int{i}
	}
	if all {
		for key := range fields {
			if cameLater(key) {
				fields[key].Set(reflect.ValueOf(english).Elem().FieldByIndex(index[key]))
			}
		}
	}
	must := func(key string) bool { return all && !cameLater(key) }
	texts, err := site.ReadTexts(folder, file, want, must, o)
	for key, list := range texts {
		if want[key] {
			fields[key].Set(reflect.ValueOf(list))
		} else {
			fields[key].SetString(list[0])
		}
	}
	return err
}

// complete reports a text that is missing.
func (w *wording) complete() error {
	v := reflect.ValueOf(w).Elem()
	for i := range v.NumField() {
		if v.Field(i).IsZero() {
			return fmt.Errorf("no text for %s", v.Type().Field(i).Tag.Get("toml"))
		}
	}
	return nil
}

// fill puts values into a text: name, value, name, value. A value stays as it
// is, whatever stands in it.
func fill(text string, pairs ...string) string {
	all := slices.Clone(pairs)
	for i := 0; i < len(all); i += 2 {
		all[i] = "{" + all[i] + "}"
	}
	return strings.NewReplacer(all...).Replace(text)
}
