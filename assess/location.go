package assess

import (
	"slices"

	"vouchmark/assess/shock"
)

// Method names how a result was obtained.
type Method string

// The methods, as locations.csv writes them.
const (
	IEEE1584   Method = "ieee1584-2018"
	Lee        Method = "lee"
	DCMaxPower Method = "dc-max-power"
	Stated     Method = "stated" // only the study's own result
)

// Location is a place with a label. What describes the equipment is the same
// in all of its cases.
type Location struct {
	ID        string
	Area      string
	Equipment string
	Class     string // switchgear, switchboard, mcc, …; "" unknown
	Supply    shock.Supply
	Voltage   Volts
	Rating    KA   // short-circuit rating of the equipment
	Distance  MM   // working distance
	Movable   bool // an exposed movable conductor is possible
	Unlabeled bool // label = no: it only feeds others, or has no label of the owner

	Cases []Case // at least one, in the order of their names

	// Unreadable lists the cells of its rows that could not be read. They stop its
	// label; nothing else about it is known for sure.
	Unreadable []Finding
	LostFeeds  bool // one of them says what feeds it, or what a tie connects it to
}

// Case is what a study says about a location in one operating condition. Zero and ""
// mean "not given".
type Case struct {
	Name         string
	Line         int      // of locations.csv
	Maintenance  bool     // with an arc-reducing maintenance switch on
	FedFrom      []string // ids of what feeds it; empty for a source
	TiedTo       []string // ids of what a tie connects it to, open or closed
	Fault        KA       // available (bolted) fault current
	Energy       CalCM2
	Bound        Bound  // whether the study states Energy as a bound
	Boundary     MM     // arc-flash boundary
	Electrodes   string // VCB, VCBB, HCB, VOA, HOA or ""
	Gap          MM     // between conductors
	Height       MM     // enclosure
	Width        MM
	Depth        MM
	Assumed      []string // columns that the row does not give, see AssumeTypical
	Hertz        Hertz    // 0: the site's
	Clear        MS       // arc duration at the arcing current
	ClearReduced MS       // arc duration at the reduced arcing current
	Device       string
	DeviceAt     string
	DeviceRating KA // interrupting rating
	Curve        string
	Method       Method
	Multiplier   float64 // dc-max-power: 1 or 3
	Study        string
	Revision     string
	Edition      string
	Surveyed     Date
	Prepared     Date
	Engineer     string
	AcceptedBy   string
	// TwoSecondReason says why nobody stays in front of this equipment longer than
	// two seconds; "" for the site's reason.
	TwoSecondReason string
	ServiceClearing MS     // of the service's own device, at the available fault current
	Source          string // file, sheet and row of the study
	Note            string
}

// Bound says whether a study states an energy only as a bound.
type Bound string

// The bounds, as JSON writes them. "At most 3" is the number 3, not a bound.
const (
	Above Bound = "above" // the energy is this or more
	Under Bound = "below" // the energy is less
)

// FedFrom returns all locations that feed this one in any case, in the order of the
// rows.
func (l *Location) FedFrom() []string {
	return l.all(func(c *Case) []string { return c.FedFrom })
}

// TiedTo returns all locations that a tie connects to this one in any case.
func (l *Location) TiedTo() []string {
	return l.all(func(c *Case) []string { return c.TiedTo })
}

// FeedsUnknown reports whether a feed or tie of the location could not be read, so
// that any change may reach it.
func (l *Location) FeedsUnknown() bool { return l.LostFeeds }

// Assumed lists the columns that typical values filled in, in any case.
func (l *Location) Assumed() []string {
	return l.all(func(c *Case) []string { return c.Assumed })
}

func (l *Location) all(of func(*Case) []string) []string {
	var all []string
	for i := range l.Cases {
		for _, s := range of(&l.Cases[i]) {
			if !slices.Contains(all, s) {
				all = append(all, s)
			}
		}
	}
	return all
}

// prepared is the date of the study: the oldest over the cases.
func (l *Location) prepared() Date {
	return l.oldest(func(c *Case) Date { return c.Prepared })
}

// surveyed is the date of the field data: the oldest over the cases that state one,
// else not given.
func (l *Location) surveyed() Date {
	return l.oldest(func(c *Case) Date { return c.Surveyed })
}

// Base is the day that a location's studies describe, from which changes count: for
// each case the day of the survey, else the day of the study; of these the oldest.
func (l *Location) Base() Date {
	return l.oldest(func(c *Case) Date {
		if c.Surveyed.IsZero() {
			return c.Prepared
		}
		return c.Surveyed
	})
}

func (l *Location) oldest(of func(*Case) Date) Date {
	var d Date
	for i := range l.Cases {
		if c := of(&l.Cases[i]); !c.IsZero() && (d.IsZero() || c.Before(d)) {
			d = c
		}
	}
	return d
}

// Site is one owner's valid site folder.
type Site struct {
	Policy    Policy
	Locations []Location        // in the order of the file
	Curves    map[string]*Curve // by file name
	Log       Log
	Devices   []Device // of devices.csv, in its order

	// A site may be read only in part, to judge some of its locations. Beyond are the ids
	// of the others, Conditions the names of the cases of all locations with several.
	Beyond, Conditions []string

	Progress func(done, all int) // of long work on all locations; nil for nobody
}

// Index maps ids to the numbers of the locations.
func (s *Site) Index() map[string]int {
	index := make(map[string]int, len(s.Locations))
	for i := range s.Locations {
		index[s.Locations[i].ID] = i
	}
	return index
}

// IDs are the ids of all locations, in the order of the file.
func (s *Site) IDs() []string {
	ids := make([]string, len(s.Locations))
	for i := range s.Locations {
		ids[i] = s.Locations[i].ID
	}
	return ids
}

// Location finds a location by its id.
func (s *Site) Location(id string) (*Location, bool) {
	l := find(s.Locations, func(l *Location) bool { return l.ID == id })
	return l, l != nil
}
