package label

import (
	"embed"
	"fmt"
	"reflect"
	"strings"

	"github.com/BurntSushi/toml"
)

//go:embed wording/*.toml
var wordingFiles embed.FS

// wording holds the texts of one language. {…} in a text is filled in.
type wording struct {
	SignalWarning string `toml:"signal_warning"`
	SignalDanger  string `toml:"signal_danger"`

	Hazard         string   `toml:"hazard"`
	MessageWarning []string `toml:"message_warning"`
	MessageDanger  []string `toml:"message_danger"`

	SupplyAC3 string `toml:"supply_ac3"`
	SupplyAC1 string `toml:"supply_ac1"`
	SupplyDC  string `toml:"supply_dc"`
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
	EnergyNoteBelow   string `toml:"energy_note_below"`
	BelowThreshold    string `toml:"below_threshold"`
	BelowThresholdWhy string `toml:"below_threshold_why"`
	NoKit             string `toml:"no_kit"`
	NoKitLimit        string `toml:"no_kit_limit"`
	NoKitDo           string `toml:"no_kit_do"`

	Gloves           string `toml:"gloves"`
	GlovesAtDistance string `toml:"gloves_at_distance"`
	GlovesOnContact  string `toml:"gloves_on_contact"`
	NoShockLimit     string `toml:"no_shock_limit"`

	Dates         string `toml:"dates"`
	StudyRevision string `toml:"study_revision"`
	Fault         string `toml:"fault"`
	Applied       string `toml:"applied"`
	Scan          string `toml:"scan"`
}

// wordings are the languages that the program speaks.
var wordings = readWordings("en")

func readWordings(languages ...string) map[string]*wording {
	all := map[string]*wording{}
	for _, lang := range languages {
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
		all[lang] = w
	}
	return all
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

// fill puts values into a text: name, value, name, value.
func fill(text string, pairs ...string) string {
	for i := 0; i < len(pairs); i += 2 {
		text = strings.ReplaceAll(text, "{"+pairs[i]+"}", pairs[i+1])
	}
	return text
}
