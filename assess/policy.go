package assess

import (
	"maps"
	"slices"

	"vouchmark/assess/shock"
)

// Units says in which units a site's labels are printed.
type Units string

// The choices of units, as site.toml spells them.
const (
	US   Units = "us"   // inches and feet, cal/cm²
	SI   Units = "si"   // millimeters and meters, J/cm²
	Both Units = "both" // US first, then metric
)

// AllUnits and AllGovern list the choices in order.
var (
	AllUnits  = []Units{US, SI, Both}
	AllGovern = []Govern{Larger, GovernStudy, GovernComputed}
)

// Govern says which result decides a label if a study states one and the program
// recomputes one.
type Govern string

// The choices, as site.toml spells them.
const (
	Larger         Govern = "larger"
	GovernStudy    Govern = "study"
	GovernComputed Govern = "computed"
)

// Words is a list of short lines in each language of a site. The list under "" serves
// every language that has none of its own.
type Words map[string][]string

// In is the list for a language: its own, else the plain one, else another
// language's, since a list that few can read is more than none.
func (w Words) In(language string) []string {
	if l, ok := w[language]; ok {
		return l
	}
	if l, ok := w[""]; ok || len(w) == 0 {
		return l
	}
	return w[slices.Min(slices.Collect(maps.Keys(w)))]
}

// Speaks reports whether a list is in a language. The plain list is taken to be
// English.
func (w Words) Speaks(language string) bool {
	_, own := w[language]
	_, plain := w[""]
	return own || plain && language == "en"
}

// Rung is one kit of the owner's ladder.
type Rung struct {
	Kit    string `json:"kit"`            // the owner's name
	Rating CalCM2 `json:"rating_cal_cm2"` // arc rating of the kit's weakest item
	Wear   Words  `json:"wear,omitempty"` // what to wear
	Line   int    `json:"-"`              // line of site.toml
}

// Policy is what the owner decided, as site.toml states it. A Policy from assess/site is
// valid: the ladder is in order and reaches the cutoff. What decides a label or appears
// on it has a name in a record; the rest does not.
type Policy struct {
	Edition            string      `json:"edition"` // "NFPA 70E-2024"
	Units              Units       `json:"units"`
	Cutoff             CalCM2      `json:"cutoff_cal_cm2"`                 // above it: DANGER, no energized work
	Ladder             []Rung      `json:"ladder"`                         // lowest rating first
	BelowThresholdWear Words       `json:"below_threshold_wear,omitempty"` // what the owner requires below 1.2 cal/cm²
	MinimumGloveClass  string      `json:"minimum_glove_class,omitempty"`
	TwoSecondReason    string      `json:"two_second_reason,omitempty"` // why no arc counts for longer than two seconds; "" for no limit
	ReviewMonths       int         `json:"review_months"`               // 1 to 60
	Govern             Govern      `json:"govern"`
	GovernAcceptedBy   string      `json:"govern_accepted_by,omitempty"`
	GovernReason       string      `json:"govern_reason,omitempty"`
	GovernDate         Date        `json:"govern_date,omitzero"`
	Approach           []shock.Row `json:"approach,omitempty"` // for voltages that the tables do not cover
	// MaintenanceOnPage keeps the line of the maintenance switch off the labels.
	MaintenanceOnPage bool `json:"maintenance_on_page,omitempty"`
	// DangerTest is how this site tests for the absence of voltage behind a
	// DANGER label; one text in each language.
	DangerTest Words `json:"danger_test,omitempty"`
	// ShowClearingTime puts the clearing time of the service's own device on the
	// labels whose row has it (NEC 110.16(B), 2017 and 2020).
	ShowClearingTime bool `json:"show_clearing_time,omitempty"`

	Name string `json:"-"`
	Link string `json:"-"` // scheme, host and path in capitals; empty for none
	// FormerLinks are those of labels that were printed before the link was changed.
	FormerLinks []string `json:"-"`
	Languages   []string `json:"-"` // one or two, BCP 47
	NoticeDays  int      `json:"-"`
	StaleDays   int      `json:"-"` // after so many days without a check, published pages are out of date
	SeenMonths  int      `json:"-"` // after so many months somebody must look at a label on its equipment again; 0 for no interval
	// The next two decide whether a label may be printed, not what it shows.
	TolerancePercent float64 `json:"tolerance_percent,omitempty"` // 0 to 10
	OwnMain          bool    `json:"-"`                           // rows may name a device in their own enclosure, with a reason

	Typical      bool          `json:"-"`                      // missing geometry may be taken from typical values
	Transformers []Transformer `json:"-"`                      // nameplates
	Feeders      []Feeder      `json:"-"`                      // conductors with known impedance
	Stocks       []Stock       `json:"-"`                      // the owner's own; the first is the default
	FrequencyHz  Hertz         `json:"frequency_hz,omitempty"` // of the site: converts cycles to milliseconds
	Sources      []string      `json:"-"`                      // locations that are fed from outside the plant
	Accept       []Acceptance  `json:"-"`
	// Defaulted are the columns for which [defaults] has a value.
	Defaulted map[string]bool `json:"-"`
	Starter   bool            `json:"-"` // the starter's invented policy: only previews are printed
	By        string          `json:"-"` // who prints, unless the command says so
	Ask       string          `json:"-"` // whom a worker contacts about a label that does not hold
	DateForm  string          `json:"-"` // how the owner's spreadsheets write dates, see site.ParseDate
	Former    []string        `json:"-"` // ids that changes.toml names and locations.csv no longer holds
	Findings  []Finding       `json:"-"` // about the policy itself; the locations have their own
}

// Links are those with which the site's labels begin, the present one first.
func (p *Policy) Links() []string {
	if p.Link == "" {
		return p.FormerLinks
	}
	return append([]string{p.Link}, p.FormerLinks...)
}

// Stopped says why only previews of the site are printed; "" for no reason.
func (p *Policy) Stopped() string {
	if f := find(p.Findings, func(f *Finding) bool { return f.Code == StarterPolicy }); f != nil {
		return f.Message
	}
	return ""
}

// Transformer is a transformer's nameplate.
type Transformer struct {
	At               string // the location
	KVA              float64
	ImpedancePercent float64
	Secondary        Volts
}
