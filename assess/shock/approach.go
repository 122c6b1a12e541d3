package shock

import (
	"fmt"
	"regexp"
	"strings"
)

// Supply is the kind of supply at a location.
type Supply string

// The kinds of supply, as locations.csv spells them.
const (
	AC3 Supply = "ac3" // three-phase; the voltage is phase to phase
	AC1 Supply = "ac1" // single-phase
	DC  Supply = "dc"
)

// Rule is what the restricted approach boundary requires.
type Rule string

// The rules, as `check --json` writes them.
const (
	AtDistance   Rule = "distance"      // keep beyond the distance
	AvoidContact Rule = "avoid contact" // no distance, do not touch
	NotSpecified Rule = "not specified" // the table requires nothing
)

// Row is one row of an approach-boundary table. It covers voltages above Above, up to and
// including Upto. Lengths are in mm; the metric figures are the table's own, in meters, or
// zero if a source has none.
type Row struct {
	Supply  Supply  `json:"supply"`                       // AC3 stands for both kinds of AC in the published rows
	Above   float64 `json:"above_v"`                      // excluded
	Upto    float64 `json:"upto_v"`                       // included
	Movable float64 `json:"limited_movable_mm,omitempty"` // limited boundary, exposed movable conductor; 0 unknown
	Fixed   float64 `json:"limited_mm"`                   // limited boundary, exposed fixed circuit part
	Rule    Rule    `json:"restricted_status"`
	Limit   float64 `json:"restricted_mm,omitempty"` // restricted boundary; 0 unless Rule is AtDistance

	MovableM float64 `json:"-"` // the published table's metric column, m, as are the next two
	FixedM   float64 `json:"-"`
	LimitM   float64 `json:"-"`

	Name   string `json:"name"`             // the row as the table names it: "151 V to 750 V"
	Mark   string `json:"-"`                // published rows: what of it was not checked against the standard
	Source string `json:"source,omitempty"` // an owner's row: edition and table
}

const (
	foot = 304.8 // mm
	inch = 25.4  // mm
)

// published holds the rows that are the same in the editions of NFPA 70E from 2015 to 2024:
// Table 130.4(E)(a) for AC and (b) for DC, numbered 130.4(D) in 2015 and 2018. The table has
// a gap of one volt between rows; so does this one. Above 15 kV AC and 1 kV DC the editions
// disagree about the restricted column, and there is no row here.
//
// The bounds of the row 50 V to 150 V AC and the row 50 V to 300 V DC were
// written down from memory; the others were checked against pages that quote
// the standard. Older editions begin the DC rows at 100 V: to begin at 50 V is
// the safe side.
var published = []Row{
	{Supply: AC3, Above: 0, Upto: below50, Rule: NotSpecified, Name: "below 50 V"},
	{Supply: AC3, Above: below50, Upto: 150, Movable: 10 * foot, Fixed: 3*foot + 6*inch, Rule: AvoidContact,
		MovableM: 3.0, FixedM: 1.0, Name: "50 V to 150 V", Mark: fromMemory},
	{Supply: AC3, Above: 151 - sliver, Upto: 750, Movable: 10 * foot, Fixed: 3*foot + 6*inch, Rule: AtDistance,
		Limit: 1 * foot, MovableM: 3.0, FixedM: 1.0, LimitM: 0.3, Name: "151 V to 750 V"},
	// Newer editions may split this row at 5 kV, with 2 ft 1 in below: 2 ft 2 in is the safe side.
	{Supply: AC3, Above: 751 - sliver, Upto: 15000, Movable: 10 * foot, Fixed: 5 * foot, Rule: AtDistance,
		Limit: 2*foot + 2*inch, MovableM: 3.0, FixedM: 1.5, LimitM: 0.7, Name: "751 V to 15 kV"},

	{Supply: DC, Above: 0, Upto: below50, Rule: NotSpecified, Name: "below 50 V"},
	{Supply: DC, Above: below50, Upto: 300, Movable: 10 * foot, Fixed: 3*foot + 6*inch, Rule: AvoidContact,
		MovableM: 3.0, FixedM: 1.0, Name: "50 V to 300 V", Mark: fromMemory},
	{Supply: DC, Above: 301 - sliver, Upto: 1000, Movable: 10 * foot, Fixed: 3*foot + 6*inch, Rule: AtDistance,
		Limit: 1 * foot, MovableM: 3.0, FixedM: 1.0, LimitM: 0.3, Name: "301 V to 1 kV"},
}

const fromMemory = "the voltages of this row are from memory, check them in your copy of the standard"

// sliver turns "from 151 V" into "above 150.999999 V"; voltages are stored to 9 significant
// digits, so none can be in between.
const (
	sliver  = 1e-6
	below50 = 50 - sliver
)

// Boundaries are the approach boundaries at one location. Lengths in mm.
type Boundaries struct {
	Limited    float64 `json:"limited_mm,omitempty"`    // 0 if not specified
	Restricted float64 `json:"restricted_mm,omitempty"` // 0 unless Rule is AtDistance
	Rule       Rule    `json:"restricted_status"`

	// LimitedPrint and RestrictedPrint are what a metric label prints: the larger of the
	// table's feet and inches and the table's own meters, which are not conversions of each
	// other (3 ft 6 in is 1.07 m, the table says 1.0).
	LimitedPrint    float64 `json:"limited_metric_mm,omitempty"`
	RestrictedPrint float64 `json:"restricted_metric_mm,omitempty"`

	Row     string  `json:"row"`                    // the row used, as its table names it
	Owner   string  `json:"owner_source,omitempty"` // where the owner's row was used
	Voltage float64 `json:"looked_up_v"`            // the voltage looked up, which differs for single phase
}

// GapError says that no table row in this program covers a voltage.
type GapError struct {
	Supply  Supply
	Voltage float64
	Movable bool // only the column for a movable conductor is missing
}

func (e *GapError) Error() string {
	if e.Movable {
		return fmt.Sprintf("the owner's [[approach]] row for %g V has no limited boundary for a movable conductor; "+
			"add limited_movable_in to it", e.Voltage)
	}
	kind := "AC"
	if e.Supply == DC {
		kind = "DC"
	}
	if e.Voltage >= 100e3 { // no plant distributes that within buildings: common practice
		return fmt.Sprintf("no approach row for %g V %s: were volts entered where kilovolts are meant? Correct the voltage or its unit; "+
			"if it is right, add an [[approach]] row from your edition, with its source, to site.toml", e.Voltage, kind)
	}
	return fmt.Sprintf("no approach row for %g V %s: the editions of NFPA 70E disagree here or their table has a gap, "+
		"so your edition decides; add an [[approach]] row from it, with its source, to site.toml", e.Voltage, kind)
}

// Approach looks up the boundaries at the voltage v, in volts and above zero. A published row
// comes first; if none covers v, one of the owner's rows. movable selects the column for an
// exposed movable conductor. It never interpolates: without a row the error is a *GapError.
//
// Single phase above 250 V uses the row of 1.732 times the voltage, which is taken as phase to
// ground (footnote of NFPA 70E Table 130.4(E)(a), from memory); for a voltage between two
// phases that is the safe side.
func Approach(s Supply, v float64, movable bool, owner []Row) (Boundaries, error) {
	look, table := v, s
	if s == AC1 {
		table = AC3
		if v > 250 {
			look = v * 1.732
		}
	}
	row := find(published, table, look)
	if row == nil {
		row = find(owner, s, look)
	}
	if row == nil {
		return Boundaries{}, &GapError{Supply: s, Voltage: look}
	}
	b := Boundaries{Limited: row.Fixed, Restricted: row.Limit, Rule: row.Rule,
		Row: row.Name, Owner: row.Source, Voltage: look}
	metric := row.FixedM
	if movable {
		b.Limited, metric = row.Movable, row.MovableM
		if b.Limited == 0 && row.Rule != NotSpecified {
			return Boundaries{}, &GapError{Supply: s, Voltage: look, Movable: true}
		}
	}
	b.LimitedPrint = max(b.Limited, metric*1000)
	b.RestrictedPrint = max(b.Restricted, row.LimitM*1000)
	return b, nil
}

// meet is the overlap, in V, up to which two rows only touch.
const meet = 0.01

// Settled reports whether one of the owner's rows covers voltages of a published row, and
// names that row. The volt at which two rows meet does not count.
func Settled(owner Row) (name string, covered bool) {
	for _, r := range published {
		if covers(r.Supply, owner.Supply) && min(r.Upto, owner.Upto)-max(r.Above, owner.Above) > meet {
			return r.Name, true
		}
	}
	return "", false
}

// Nearer names the boundary, limited or restricted, that is nearer in the owner's row for a
// voltage than in the last row below it, published or the owner's, and names that row; "" for
// none.
func Nearer(s Supply, v float64, owner []Row) (what, than string) {
	row := find(owner, s, v)
	if row == nil {
		return "", ""
	}
	var last *Row
	for _, rows := range [][]Row{published, owner} {
		for i := range rows {
			r := &rows[i]
			if covers(r.Supply, s) && r.Upto <= row.Above+meet && (last == nil || r.Upto > last.Upto) {
				last = r
			}
		}
	}
	switch {
	case last == nil:
		return "", ""
	case row.Fixed < last.Fixed, row.Movable > 0 && row.Movable < last.Movable:
		return "limited", last.Name
	case row.Limit < last.Limit:
		return "restricted", last.Name
	}
	return "", ""
}

// latest is the newest edition whose tables this program has.
const latest = "NFPA 70E-2024"

// editionsHeld lists those whose rows up to 15 kV AC and 1 kV DC are the published ones above.
var editionsHeld = regexp.MustCompile(`^NFPA 70E[- ]?(2015|2018|2021|2024)$`)

// Holds reports whether this program has the tables of an edition.
func Holds(edition string) bool { return editionsHeld.MatchString(strings.TrimSpace(edition)) }

// Source names the table behind boundaries: standard, edition, table and row, or the owner's
// source. row is the row's name; it says what was not checked against the standard.
func Source(edition string, s Supply, row, owner string) string {
	if owner != "" {
		return "owner's row " + row + ", from " + owner
	}
	table := "130.4(E)"
	if strings.Contains(edition, "2015") || strings.Contains(edition, "2018") {
		table = "130.4(D)" // how those two editions number it
	}
	part := "(a)"
	if s == DC {
		part = "(b)"
	}
	held := edition
	if !Holds(edition) {
		held = latest
	}
	text := fmt.Sprintf("%s Table %s%s, row %s", held, table, part, row)
	if held != edition {
		text += " (this program does not have the tables of " + edition + ")"
	}
	for _, r := range published {
		if r.Name == row && covers(r.Supply, s) && r.Mark != "" {
			text += " (" + r.Mark + ")"
		}
	}
	return text
}

func find(rows []Row, s Supply, v float64) *Row {
	for i := range rows {
		if r := &rows[i]; covers(r.Supply, s) && v > r.Above && v <= r.Upto {
			return r
		}
	}
	return nil
}

// covers lets an owner's ac3 row also cover single phase: the table has one column of voltages
// for AC.
func covers(row, s Supply) bool { return row == s || row == AC3 && s == AC1 }
