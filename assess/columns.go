package assess

import (
	"vouchmark/assess/arc"
	"vouchmark/assess/shock"
)

// Column is one column of locations.csv: its name, how it is read, where its value
// is kept, and its effect on a label. Reading, flags, records, comparison, the
// inputs on a page, hints and README's table all follow from [Columns].
type Column struct {
	Name    string // without a unit: "voltage"
	Kind    Kind
	Units   []Unit   // of a quantity: its units, the usual one first
	Choices []string // of a choice
	Longest int      // of a text, in characters; 0 is 200
	Prose   bool     // the text may have line breaks, which are joined

	PerCase  bool // each case has its own value; else all cases of a location agree
	Weight   Weight
	Needed   bool // every row must have it
	Equation bool // an equation reads it, so it is a flag of the command arc
	Noted    bool // noted by the program; the file has no such column
	Meaning  string
	Report   string // where a study report usually shows it (common practice)

	key string // see Key
	field
}

// Kind is how a column is read.
type Kind int

const (
	Text Kind = iota
	Choice
	List // of ids, separated by semicolons
	Day
	Quantity // a number above 0
)

// Weight is a column's effect on the label.
type Weight int

// The weights. If a row differs in a column with weight, it makes another label.
const (
	Neither Weight = iota // neither decides the label nor appears on it
	Stands                // the label shows it
	Decides               // the label's numbers, its dates or its standing follow from it
)

// Unit is a unit in a heading, and its factor to the program's own.
type Unit struct {
	Suffix string
	Factor float64
}

// Words is the unit as a person writes it in a sentence.
func (u Unit) Words() string {
	switch u.Suffix {
	case "v":
		return "V"
	case "kv":
		return "kV"
	case "a":
		return "A"
	case "ka":
		return "kA"
	case "cal_cm2":
		return "cal/cm²"
	case "j_cm2":
		return "J/cm²"
	case "hz":
		return "Hz"
	case "in":
		return "inches"
	case "ft":
		return "feet"
	case "s":
		return "seconds"
	}
	return u.Suffix
}

// Cycles is the unit that a reader first converts to milliseconds, by the frequency
// of the system; its factor is that of a millisecond.
const Cycles = "cycles"

// The units of quantities. The one with the factor 1 is the program's own.
var (
	volts     = []Unit{{"v", 1}, {"kv", 1000}}
	currents  = []Unit{{"ka", 1}, {"a", 1e-3}}
	energies  = []Unit{{"cal_cm2", 1}, {"j_cm2", 1 / JoulePerCal}}
	durations = []Unit{{"ms", 1}, {"s", 1000}, {Cycles, 1}}
	// Lengths are the units of a length, with inches first.
	Lengths = []Unit{{"in", MMPerInch}, {"mm", 1}, {"ft", MMPerFoot}}
	sizes   = []Unit{{"mm", 1}, {"in", MMPerInch}, {"ft", MMPerFoot}}
	bare    = []Unit{{"", 1}}
	hertz   = []Unit{{"hz", 1}}
)

// Columns are the columns of locations.csv. A record writes its rows in this order,
// so a column is never moved; a new one may be inserted anywhere.
var Columns = []Column{
	{Name: "id", Kind: Text, Longest: 40, Weight: Stands, Needed: true,
		Meaning: "short name of the place, as printed on the label",
		Report:  "name of the bus or equipment: first column of the arc-flash results",
		field:   word(func(r Row) *string { return &r.ID })},
	{Name: "case", Kind: Text, PerCase: true,
		Meaning: "operating condition covered by the study; several rows may share an id if their cases differ",
		Report:  "scenario or configuration: a column, or one results table for each",
		field:   word(func(r Row) *string { return &r.Name })},
	{Name: "mode", Kind: Choice, Choices: []string{"normal", "maintenance"}, PerCase: true, Weight: Decides,
		Meaning: "maintenance: with an arc-reducing maintenance switch on; empty means normal",
		Report:  "scenario with the maintenance switch or energy-reducing mode on",
		field:   either(func(r Row) *bool { return &r.Maintenance }, "", "maintenance")},
	{Name: "area", Kind: Text, Prose: true, Weight: Stands,
		Meaning: "part of the plant; labels are printed in the order of areas",
		Report:  "building or room, if the report has them; else your own",
		field:   word(func(r Row) *string { return &r.Area })},
	{Name: "equipment", Kind: Text, Prose: true, Weight: Stands, Needed: true,
		Meaning: "what the equipment is, in a few words",
		Report:  "description of the bus or equipment",
		field:   word(func(r Row) *string { return &r.Equipment })},
	{Name: "class", Kind: Choice, Choices: classes,
		Meaning: "class of equipment, for typical values and plausibility checks",
		Report:  "equipment type",
		field:   word(func(r Row) *string { return &r.Class })},
	{Name: "fed_from", Kind: List, PerCase: true, Weight: Stands,
		Meaning: "locations that feed this one, separated by semicolons",
		Report:  "one-line diagram",
		field:   list(func(r Row) *[]string { return &r.Case.FedFrom })},
	{Name: "tied_to", Kind: List, PerCase: true,
		Meaning: "locations connected to this one by a tie, open or closed, separated by semicolons; one side is enough",
		Report:  "one-line diagram: tie breakers and tie switches",
		field:   list(func(r Row) *[]string { return &r.Case.TiedTo })},
	{Name: "supply", Kind: Choice, Choices: spelled(shock.AC3, shock.AC1, shock.DC),
		Weight: Decides, Needed: true, Equation: true,
		Meaning: "three-phase AC, single-phase AC, or DC",
		Report:  "one-line diagram",
		field:   word(func(r Row) *shock.Supply { return &r.Supply })},
	{Name: "conductor", Kind: Choice, Choices: []string{"fixed", "movable"}, Weight: Decides,
		Meaning: "whether an exposed movable conductor is possible: decide this for every location; empty means fixed, which gives the smaller limited approach boundary",
		Report:  "not in a report: look at the equipment",
		field:   either(func(r Row) *bool { return &r.Movable }, "fixed", "movable")},
	{Name: "voltage", Kind: Quantity, Units: volts, Weight: Decides, Needed: true, Equation: true,
		Meaning: "nominal system voltage, phase to phase on ac3",
		Report:  "nominal voltage of the bus, often in kV",
		field:   number(func(r Row) *Volts { return &r.Voltage })},
	{Name: "frequency", Kind: Quantity, Units: hertz, PerCase: true, Weight: Decides,
		Meaning: "frequency of the supply, if it differs from the site's",
		Report:  "basis of the study",
		field:   number(func(r Row) *Hertz { return &r.Hertz })},
	{Name: "fault", Kind: Quantity, Units: currents, PerCase: true, Weight: Decides, Equation: true,
		Meaning: "available (bolted) fault current",
		Report:  "bolted fault current: arc-flash results, or short-circuit results",
		field:   number(func(r Row) *KA { return &r.Fault })},
	{Name: "rating", Kind: Quantity, Units: currents, Weight: Decides,
		Meaning: "short-circuit rating of the equipment",
		Report:  "equipment evaluation: short-circuit or withstand rating",
		field:   number(func(r Row) *KA { return &r.Rating })},
	{Name: "energy", Kind: Quantity, Units: energies, PerCase: true, Weight: Decides,
		Meaning: "incident energy at the working distance, as the study states it",
		Report:  "arc-flash results",
		field:   number(func(r Row) *CalCM2 { return &r.Energy })},
	{Name: "energy_bound", Kind: Choice, Choices: spelled(Above, Under), PerCase: true, Weight: Decides, Noted: true,
		Meaning: "whether the study states the energy as a bound",
		field:   word(func(r Row) *Bound { return &r.Bound })},
	{Name: "boundary", Kind: Quantity, Units: Lengths, PerCase: true, Weight: Decides,
		Meaning: "arc-flash boundary, as the study states it",
		Report:  "arc-flash results",
		field:   number(func(r Row) *MM { return &r.Boundary })},
	{Name: "distance", Kind: Quantity, Units: Lengths, Weight: Decides, Needed: true, Equation: true,
		Meaning: "working distance",
		Report:  "arc-flash results",
		field:   number(func(r Row) *MM { return &r.Distance })},
	{Name: "electrodes", Kind: Choice, Choices: arc.ElectrodeNames(),
		PerCase: true, Weight: Decides, Equation: true,
		Meaning: "electrode configuration; never assumed",
		Report:  "arc-flash results or input data: VCB, VCBB, HCB, VOA, HOA",
		field:   word(func(r Row) *string { return &r.Electrodes })},
	{Name: "gap", Kind: Quantity, Units: sizes, PerCase: true, Weight: Decides, Equation: true,
		Meaning: "gap between conductors",
		Report:  "arc-flash results or input data",
		field:   number(func(r Row) *MM { return &r.Gap })},
	{Name: "height", Kind: Quantity, Units: sizes, PerCase: true, Weight: Decides, Equation: true,
		Meaning: "height of the enclosure",
		Report:  "input data: enclosure size",
		field:   number(func(r Row) *MM { return &r.Height })},
	{Name: "width", Kind: Quantity, Units: sizes, PerCase: true, Weight: Decides, Equation: true,
		Meaning: "width of the enclosure",
		Report:  "input data: enclosure size",
		field:   number(func(r Row) *MM { return &r.Width })},
	{Name: "depth", Kind: Quantity, Units: sizes, PerCase: true, Weight: Decides, Equation: true,
		Meaning: "depth of the enclosure; without it the enclosure is computed as a deep one",
		Report:  "input data: enclosure size",
		field:   number(func(r Row) *MM { return &r.Depth })},
	{Name: "assumed", Kind: List, PerCase: true, Weight: Decides, Noted: true,
		Meaning: "columns that are empty in the row and were filled from typical values",
		field:   list(func(r Row) *[]string { return &r.Case.Assumed })},
	{Name: "clear", Kind: Quantity, Units: durations, PerCase: true, Weight: Decides, Equation: true,
		Meaning: "arc duration at the arcing current",
		Report:  "arc duration; or trip time plus opening time: enter the sum",
		field:   number(func(r Row) *MS { return &r.Clear })},
	{Name: "clear_reduced", Kind: Quantity, Units: durations, PerCase: true, Weight: Decides, Equation: true,
		Meaning: "arc duration at the reduced arcing current; neither replaces the other",
		Report:  "the same, in the row or column for the reduced (minimum) arcing current",
		field:   number(func(r Row) *MS { return &r.ClearReduced })},
	{Name: "two_second_reason", Kind: Text, PerCase: true, Weight: Stands,
		Meaning: "why nobody stays in front of this equipment longer than two seconds; replaces the site's reason",
		Report:  "assumptions of the study",
		field:   word(func(r Row) *string { return &r.TwoSecondReason })},
	{Name: "service_clearing", Kind: Quantity, Units: durations, PerCase: true, Weight: Stands,
		Meaning: "clearing time of the service's own device at the available fault current (NEC 110.16(B) of 2017 and 2020)",
		Report:  "time-current curve of the service device",
		field:   number(func(r Row) *MS { return &r.ServiceClearing })},
	{Name: "device", Kind: Text, Prose: true, PerCase: true, Weight: Decides,
		Meaning: "protective device that clears the arc",
		Report:  "protective or upstream device in the arc-flash results",
		field:   word(func(r Row) *string { return &r.Device })},
	{Name: "device_at", Kind: Text, Longest: 40, PerCase: true, Weight: Decides,
		Meaning: "location where that device is installed",
		Report:  "one-line diagram: the equipment that contains this device",
		field:   word(func(r Row) *string { return &r.DeviceAt })},
	{Name: "device_rating", Kind: Quantity, Units: currents, PerCase: true, Weight: Decides,
		Meaning: "interrupting rating of that device",
		Report:  "equipment evaluation: interrupting rating",
		field:   number(func(r Row) *KA { return &r.DeviceRating })},
	{Name: "curve", Kind: Text, PerCase: true, // compared by its points
		Meaning: "file in curves/ with the device's clearing curve, for rows without durations",
		Report:  "time-current curves: read off the points yourself",
		field:   word(func(r Row) *string { return &r.Curve })},
	{Name: "method", Kind: Choice, Choices: spelled(IEEE1584, Lee, DCMaxPower, Stated),
		PerCase: true, Weight: Decides, Equation: true,
		Meaning: "how the result is recomputed; empty means ieee1584-2018 for an ac3 row with electrodes, else stated",
		Report:  "basis of the study: the equations it used",
		field:   word(func(r Row) *Method { return &r.Method })},
	{Name: "multiplier", Kind: Quantity, Units: bare, PerCase: true, Weight: Decides, Equation: true,
		Meaning: "for dc-max-power: 1 in open air, 3 in an enclosure",
		Report:  "basis of the study: DC",
		field:   number(func(r Row) *float64 { return &r.Multiplier })},
	{Name: "study", Kind: Text, PerCase: true, Weight: Stands,
		Meaning: "name or number of the study",
		Report:  "title page: report number",
		field:   word(func(r Row) *string { return &r.Study })},
	{Name: "revision", Kind: Text, PerCase: true, Weight: Stands,
		Meaning: "revision of the study",
		Report:  "title page",
		field:   word(func(r Row) *string { return &r.Revision })},
	{Name: "edition", Kind: Text, PerCase: true,
		Meaning: "edition of the standard that the study follows",
		Report:  "basis of the study: edition of IEEE 1584",
		field:   word(func(r Row) *string { return &r.Edition })},
	{Name: "surveyed", Kind: Day, PerCase: true, Weight: Decides,
		Meaning: "day on which the data was collected on site; changes from that day on count against the label",
		Report:  "basis of the study: when the data was collected on site",
		field:   day(func(r Row) *Date { return &r.Surveyed })},
	{Name: "prepared", Kind: Day, PerCase: true, Weight: Decides, Needed: true,
		Meaning: "date of the study",
		Report:  "title page: date of the report",
		field:   day(func(r Row) *Date { return &r.Prepared })},
	{Name: "engineer", Kind: Text, PerCase: true,
		Meaning: "who made the study",
		Report:  "title page: name and seal",
		field:   word(func(r Row) *string { return &r.Engineer })},
	{Name: "accepted_by", Kind: Text, PerCase: true,
		Meaning: "who accepts a recomputed result if the study states none",
		Report:  "not in a report: your engineer decides",
		field:   word(func(r Row) *string { return &r.AcceptedBy })},
	{Name: "label", Kind: Choice, Choices: []string{"yes", "no"},
		Meaning: "no: the place only feeds others, belongs to the utility or has no label; empty means yes",
		Report:  "not in a report: you decide",
		field:   either(func(r Row) *bool { return &r.Unlabeled }, "", "no")},
	{Name: "source", Kind: Text, PerCase: true,
		Meaning: "file, sheet and row of the study from which the row came",
		Report:  "not in a report: intake fills it in",
		field:   word(func(r Row) *string { return &r.Source })},
	{Name: "note", Kind: Text, Longest: 2000, Prose: true, PerCase: true,
		Meaning: "anything else; to use own_main, start it with main isolated: and say how",
		Report:  "remarks",
		field:   word(func(r Row) *string { return &r.Note })},
}

// classes are the classes of equipment.
var classes = []string{"switchgear", "switchboard", "mcc", "panelboard", "disconnect", "transformer",
	"battery", "other"}

func spelled[T ~string](all ...T) []string {
	words := make([]string, len(all))
	for i, w := range all {
		words[i] = string(w)
	}
	return words
}

// find is the first match in a list, or nil.
func find[T any](list []T, meant func(*T) bool) *T {
	for i := range list {
		if meant(&list[i]) {
			return &list[i]
		}
	}
	return nil
}

// ColumnNamed is the column with a name, without a unit, or nil.
func ColumnNamed(name string) *Column {
	return find(Columns, func(c *Column) bool { return c.Name == name })
}

// Spellings are the headings that the column may have, the usual one first.
func (c *Column) Spellings() []string {
	if c.Kind != Quantity {
		return []string{c.Name}
	}
	names := make([]string, len(c.Units))
	for i := range c.Units {
		names[i] = c.spelling(&c.Units[i])
	}
	return names
}

func (c *Column) spelling(u *Unit) string {
	if u.Suffix == "" {
		return c.Name
	}
	return c.Name + "_" + u.Suffix
}

// Key is how a record names the column: with the program's own unit.
func (c *Column) Key() string {
	if c.key != "" {
		return c.key
	}
	return c.inOwnUnit()
}

func init() {
	for i := range Columns {
		Columns[i].key = Columns[i].inOwnUnit()
	}
}

func (c *Column) inOwnUnit() string {
	if u := find(c.Units, func(u *Unit) bool { return u.Factor == 1 }); u != nil {
		return c.spelling(u)
	}
	return c.Name
}
