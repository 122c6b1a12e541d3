package label

import (
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"vouchmark/assess/cores"
	"vouchmark/assess/site"
)

//go:embed wording/*.toml
var wordingFiles embed.FS

// wording holds the texts of one language. {…} in a text is filled in. Its
// numbers get the language's decimal sign. A number that a label of two
// languages shows once is written as in the first.
type wording struct {
	SignalWarning string `toml:"signal_warning"`
	SignalDanger  string `toml:"signal_danger"`
	Decimal       string `toml:"decimal"` // the sign before the decimals: "." or ","

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
	KeepOutKit      string `toml:"keep_out_kit"`
	KeepOutShock    string `toml:"keep_out_shock"`
	KeepOutBoth     string `toml:"keep_out_both"`
	KeepOutDanger   string `toml:"keep_out_danger"`
	ToScale         string `toml:"to_scale"`

	EnergyNote           string   `toml:"energy_note"`
	EnergyAbove          string   `toml:"energy_above"`
	EnergyBelow          string   `toml:"energy_below"`
	ArcRating            string   `toml:"arc_rating"`
	WearLead             string   `toml:"wear_lead"`
	WearUntranslated     string   `toml:"wear_untranslated"`
	BelowThreshold       string   `toml:"below_threshold"`
	BelowThresholdWhy    string   `toml:"below_threshold_why"`
	BelowThresholdWear   []string `toml:"below_threshold_wear"`
	BelowThresholdSource string   `toml:"below_threshold_source"`

	// The block of a DANGER label. Its keys are older than its words.
	NoWork        string `toml:"no_kit"`
	NoWorkLimit   string `toml:"no_kit_limit"`
	NoWorkBound   string `toml:"no_kit_bound"`
	NoWorkDo      string `toml:"no_kit_do"`
	NoWorkTest    string `toml:"no_kit_test"`
	NoWorkTestAsk string `toml:"no_kit_test_ask"`
	NoWorkLive    string `toml:"no_kit_live"`

	Maintenance       string `toml:"maintenance"`
	MaintenanceDanger string `toml:"maintenance_danger"`
	MaintenanceSwitch string `toml:"maintenance_switch"`
	MaintenanceAt     string `toml:"maintenance_at"`
	MaintenanceKit    string `toml:"maintenance_kit"`
	MaintenanceNoKit  string `toml:"maintenance_no_kit"`

	Gloves           string `toml:"gloves"`
	GlovesAtDistance string `toml:"gloves_at_distance"`
	GlovesOnContact  string `toml:"gloves_on_contact"`
	GlovesDanger     string `toml:"gloves_danger"`
	NoShockLimit     string `toml:"no_shock_limit"`

	Dates         string `toml:"dates"`
	DatesReviewed string `toml:"dates_reviewed"`
	StudyRevision string `toml:"study_revision"`
	Fault         string `toml:"fault"`
	FaultMax      string `toml:"fault_max"`
	Clearing      string `toml:"clearing"`
	Rated         string `toml:"rated"`
	Applied       string `toml:"applied"`
	Scan          string `toml:"scan"`
	ScanAsk       string `toml:"scan_ask"`

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

	Interim    string `toml:"interim"`
	InterimLow string `toml:"interim_low"`
	InterimPPE string `toml:"interim_ppe"`
	Preview    string `toml:"preview"`

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

	WalkWords
	SlipWords
	ProofWords
	PageWords
}

// Catalogue is the languages in which labels can be printed.
type Catalogue struct{ byLanguage map[string]*wording }

// builtin are the built-in languages.
func builtin() *Catalogue {
	languages := []string{"en", "es", "fr"}
	all := make([]*wording, len(languages))
	cores.Each(len(languages), nil, func(i int) { // every command waits for it
		lang, w := languages[i], new(wording)
		meta, err := toml.DecodeFS(wordingFiles, "wording/"+lang+".toml", w)
		if err == nil && len(meta.Undecoded()) > 0 {
			err = fmt.Errorf("unknown key %s", meta.Undecoded()[0])
		}
		if err == nil {
			w.decimals()
			err = w.complete()
		}
		if err != nil { // a defect of the program
			panic(fmt.Sprintf("wording in %s: %v", lang, err))
		}
		all[i] = w
	})
	c := &Catalogue{map[string]*wording{}}
	for i, lang := range languages {
		c.byLanguage[lang] = all[i]
	}
	return c
}

// own are the built-in languages; english is for texts that are not on a label:
// the basis.
var (
	own     = builtin()
	english = own.byLanguage["en"]
)

// Languages are the codes of the languages, in order.
func (c *Catalogue) Languages() []string { return slices.Sorted(maps.Keys(c.byLanguage)) }

// ReadCatalogue reads the built-in languages and the owner's wording/LANG.toml files
// in the site folder: each of their keys replaces the built-in text; a new language
// needs all keys. Its error is a [site.Problems].
func ReadCatalogue(folder fs.FS, o site.Options) (*Catalogue, error) {
	c := &Catalogue{maps.Clone(own.byLanguage)} // no text in them is ever changed: a file's comes in its place
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
		w.decimals()
		c.byLanguage[lang] = w
	}
	return c, site.Join(all...)
}

// later are the texts that were added after owners had files for their own
// languages: such a file is still read without them, and they are in English.
var later = slices.Concat([]string{"energy_above", "energy_below", "wear_untranslated", "maintenance", "maintenance_danger",
	"maintenance_switch", "maintenance_at", "maintenance_kit", "maintenance_no_kit", "rated", "marking_clearing",
	"overlay_device", "preview", "guide_bound", "guide_maintenance", "guide_rated",
	"decimal", "keep_out_kit", "keep_out_shock", "keep_out_both", "keep_out_danger", "wear_lead", "below_threshold_wear",
	"below_threshold_source", "no_kit_bound", "no_kit_test", "no_kit_test_ask", "no_kit_live", "gloves_danger",
	"fault_max", "clearing", "scan_ask", "interim_low", "interim_ppe", "arc_rating"},
	keysOf(reflect.TypeFor[WalkWords]()), keysOf(reflect.TypeFor[SlipWords]()), keysOf(reflect.TypeFor[ProofWords]()),
	keysOf(reflect.TypeFor[PageWords]()))

// keysOf are the keys of all texts of a type.
func keysOf(of reflect.Type) (keys []string) {
	for _, f := range reflect.VisibleFields(of) {
		if !f.Anonymous {
			keys = append(keys, f.Tag.Get("toml"))
		}
	}
	return keys
}

// former are keys of earlier versions, with those that came in their place. An
// owner's text under one goes on serving those that the file does not have.
var former = map[string][]string{"keep_out": {"keep_out_kit", "keep_out_shock", "keep_out_danger"}}

// read fills in the texts of a file; in a new language all texts are required,
// except the later ones.
func (w *wording) read(folder fs.FS, file string, all bool, o site.Options) error {
	fields, ours := w.fields(), english.fields()
	want := map[string]bool{} // whether a key is a list
	for key, field := range fields {
		want[key] = field.Kind() == reflect.Slice
	}
	if all {
		for _, key := range later {
			fields[key].Set(ours[key])
		}
	}
	for key := range former {
		want[key] = false
	}
	must := func(key string) bool { return all && !slices.Contains(later, key) && former[key] == nil }
	texts, err := site.ReadTexts(folder, file, want, must, o)
	for key, heirs := range former {
		for _, heir := range heirs {
			if text, own := texts[key]; own && texts[heir] == nil {
				texts[heir] = text
			}
		}
		delete(texts, key)
	}
	for key, list := range texts {
		if want[key] {
			fields[key].Set(reflect.ValueOf(list))
		} else {
			fields[key].SetString(list[0])
		}
	}
	return err
}

// threshold is the only number in the texts themselves: 1.2 cal/cm².
var threshold = regexp.MustCompile(`\b1[.,]2\b`)

// decimals gives the number in the texts the decimal sign of the language.
func (w *wording) decimals() {
	sign := func(s string) string { return threshold.ReplaceAllString(s, "1"+w.Decimal+"2") }
	for _, f := range w.fields() {
		if f.Kind() == reflect.String {
			f.SetString(sign(f.String()))
			continue
		}
		list := make([]string, f.Len()) // the owner's copy shares the program's
		for k := range list {
			list[k] = sign(f.Index(k).String())
		}
		f.Set(reflect.ValueOf(list))
	}
}

// number is a printed number, written with a point, in the sign of the language.
func (w *wording) number(printed string) string { return strings.ReplaceAll(printed, ".", w.Decimal) }

// complete reports a text that is missing.
func (w *wording) complete() error {
	fields := w.fields()
	for _, key := range slices.Sorted(maps.Keys(fields)) {
		if fields[key].IsZero() {
			return fmt.Errorf("no text for %s", key)
		}
	}
	return nil
}

// fields are the places of the texts, by their keys.
func (w *wording) fields() map[string]reflect.Value {
	v, all := reflect.ValueOf(w).Elem(), map[string]reflect.Value{}
	for _, f := range reflect.VisibleFields(v.Type()) {
		if !f.Anonymous {
			all[f.Tag.Get("toml")] = v.FieldByIndex(f.Index)
		}
	}
	return all
}

// fill puts values into a text: name, value, name, value. A value is not changed,
// whatever it contains.
func fill(text string, pairs ...string) string {
	var b strings.Builder
next:
	for text != "" {
		brace := strings.IndexByte(text, '{')
		if brace < 0 {
			break
		}
		b.WriteString(text[:brace])
		text = text[brace:]
		for i := 0; i < len(pairs); i += 2 {
			if rest, ok := strings.CutPrefix(text[1:], pairs[i]+"}"); ok {
				b.WriteString(pairs[i+1])
				text = rest
				continue next
			}
		}
		b.WriteByte('{')
		text = text[1:]
	}
	b.WriteString(text)
	return b.String()
}
