// Package label makes what a label says from a stored calculation: the finished
// texts in the site's languages, the few numbers that the drawing needs, and the
// text of the QR code. It does not know about paper.
package label

// Label is one label, ready to draw. Everything that a person reads is in Words; the
// other fields are drawn or encoded.
type Label struct {
	ID     string // the location's id, as on the equipment
	Area   string // the owner's area, for the order of a print job
	Code   string // the record's code, XXXX-XXXX-XXXX-XXXX
	QR     string // the text of the QR code
	Danger bool   // DANGER instead of WARNING: no energized work

	// Preview is true for a picture of a label that must not be used: it has no
	// code, and a PREVIEW strip in place of the INTERIM one.
	Preview bool

	// Ladder is the owner's ladder, lowest rung first. Chosen is the index of
	// the rung that is to be worn, or -1: below 1.2 cal/cm² and on a DANGER label.
	Ladder []Rung
	Chosen int

	Reach Reach
	Words []Words // one or two languages, the first language first
}

// Rung is one rung of the ladder as drawn.
type Rung struct {
	Kit    string // the owner's name of the kit
	Rating string // the arc rating in cal/cm²: "8 cal"
}

// Reach are the lengths in the drawing of the boundaries, in mm, as printed. A
// length of zero is not drawn: it is not specified for this voltage, or the rule is
// "avoid contact".
type Reach struct {
	Arc             float64 // arc-flash boundary
	WorkingDistance float64
	Limited         float64 // limited approach boundary
	Restricted      float64 // restricted approach boundary
}

// Words are a label's texts in one language. No field has a line break. An empty
// field is not drawn.
type Words struct {
	Language string // BCP 47, "en"

	Signal  string   // "WARNING"
	Interim string   // on a label that is printed though it does not hold: "INTERIM"
	Doubt   string   // on such a label: why it does not hold, that its values may be too low, and whom to ask
	Hazard  string   // what the hazard is; the message panel's heading
	Message []string // consequence, then what to do; a sentence each

	Supply string // "480 V AC 3-phase"
	Where  string // "Motor control center · Packaging hall · fed from SWB-1"

	WorkingDistance string // "working distance 18 in"
	Arc             string // "ARC-FLASH BOUNDARY"
	ArcLength       string // "46 in"
	Limited         string // "LIMITED APPROACH"; empty where not specified
	LimitedLength   string // "42 in"
	Restricted      string // "RESTRICTED APPROACH"; empty where not specified
	RestrictedRule  string // "12 in" or "avoid contact"
	ToScale         string // "to scale"
	KeepOut         string // what the outermost line asks: "Inside 46 in during energized work: everyone wears this PPE."

	Energy     string   // "6.6 cal/cm²", or a bound: "below 1.2 cal/cm²"
	EnergyNote string   // "incident energy at 18 in"
	WearTitle  string   // below 1.2 cal/cm² only: "BELOW 1.2: arc-rated clothing not required"
	WearWhy    string   // below 1.2 cal/cm² only: from which distance, and what for hands
	ArcRating  string   // names the numbers of the ladder: "arc rating"
	WearLead   string   // leads the list of a kit in: "wear at least:"
	Wear       []string // the chosen rung's list; below 1.2 cal/cm² the owner's text, or that of NFPA 70E
	WearNote   string   // where the list is not in this language, or not the owner's: "lista sin traducir:"
	NoWork     string   // DANGER only: "NO ENERGIZED WORK"
	NoWorkWhy  string   // DANGER only: the energy and the site's limit
	NoWorkDo   []string // DANGER only: what to do; a sentence each
	// Maintenance is what holds with the maintenance switch on alone: "ONLY with
	// the maintenance switch ON: 3.1 cal/cm², Kit A, boundary 28 in".
	Maintenance string

	Gloves     string // "Rubber insulating gloves Class 00 with leather protectors"
	GlovesNote string // "for shock, inside restricted approach; max. use 500 V AC"

	Dates   string // "Study 2026-03-14 · REVIEW BY 2031-03-14"
	Fault   string // "available fault current 18.4 kA"
	Study   string // "LC-26-03 rev 1"
	Rated   string // more fault current than the equipment's rating: "fault current: RATED 18 kA, AVAILABLE 22 kA"
	Applied string // "installed": names the box in which the date of mounting is written
	// AppliedOn is the date given for the box; empty leaves it blank.
	AppliedOn string
	Scan      string // what the QR code is for: "Scan: calculation and label status"
	ScanAsk   string // the site, and whom to ask: "Brackwater Creamery: Q. Example, ext. 4711"
}
