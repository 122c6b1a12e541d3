package assess

import "vouchmark/assess/shock"

// Units says in which units a site's labels speak.
type Units string

// The choices of units, as site.toml spells them.
const (
	US   Units = "us"   // inches and feet, cal/cm²
	SI   Units = "si"   // millimetres and metres, J/cm²
	Both Units = "both" // US first, metric beside it
)

// Govern says which result decides a label where a study states one and the
// program recomputes one.
type Govern string

// The choices, as site.toml spells them.
const (
	Larger         Govern = "larger"
	GovernStudy    Govern = "study"
	GovernComputed Govern = "computed"
)

// Words is a list of short lines in each language of a site. The list under
// "" serves every language that has none of its own.
type Words map[string][]string

// In is the list for a language.
func (w Words) In(language string) []string {
	if l, ok := w[language]; ok {
		return l
	}
	return w[""]
}

// Rung is one kit of the owner's ladder.
type Rung struct {
	Kit    string // the owner's name
	Rating CalCM2 // arc rating of the kit's weakest item
	Wear   Words  // what to wear
	Line   int    // line of site.toml
}

// Policy is what the owner decided, as site.toml states it. A Policy that
// assess/site returns is valid: the ladder is in order and reaches the cutoff.
type Policy struct {
	Name      string
	Link      string // scheme, host and path in capitals; empty for none
	Units     Units
	Languages []string // one or two, BCP 47
	Edition   string   // "NFPA 70E-2024"

	Cutoff       CalCM2 // above it: DANGER, and no kit is allowed
	ReviewMonths int    // 1 to 60
	NoticeDays   int

	Govern           Govern
	GovernAcceptedBy string
	GovernReason     string
	GovernDate       Date
	TolerancePercent float64 // 0 to 10

	Ladder             []Rung // lowest rating first
	BelowThresholdWear Words  // what the owner asks for below 1.2 cal/cm²; may be empty
	MinimumGloveClass  string // "" for none
	Typical            bool   // missing geometry may be taken from typical values
	TwoSecondReason    string // why no arc counts for more than two seconds; "" for no such limit
	OwnMain            bool   // rows may name a device in their own enclosure, with a reason

	Approach     []shock.Row   // for voltages that the tables do not settle
	Transformers []Transformer // nameplates
	Feeders      []Feeder      // conductors whose impedance is known
	Stocks       []Stock       // the owner's own; the first is the default
	FrequencyHz  float64       // 50 or 60: turns cycles into milliseconds
	By           string        // who prints, unless the command says so
	Ask          string        // whom a worker asks about a label that does not hold
	Former       []string      // ids that changes.toml names and locations.csv no longer holds
	Findings     []Finding     // about the policy itself; the locations have theirs
}

// Transformer is a transformer's nameplate.
type Transformer struct {
	At               string // the location
	KVA              float64
	ImpedancePercent float64
	Secondary        Volts
}
