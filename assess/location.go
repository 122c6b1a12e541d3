package assess

import "vouchmark/assess/shock"

// Method names how a result was obtained.
type Method string

// The methods, as locations.csv spells them.
const (
	IEEE1584   Method = "ieee1584-2018"
	Lee        Method = "lee"
	DCMaxPower Method = "dc-max-power"
	Stated     Method = "stated" // the study's word alone
)

// Location is a place that carries a label. What describes the equipment is
// the same in all of its cases.
type Location struct {
	ID        string
	Area      string
	Equipment string
	Class     string   // switchgear, switchboard, mcc, …; "" unknown
	FedFrom   []string // ids; empty for a source
	Supply    shock.Supply
	Voltage   Volts
	Rating    KA // short-circuit rating of the equipment

	Distance   MM     // working distance
	Electrodes string // VCB, VCBB, HCB, VOA, HOA or ""
	Gap        MM     // between conductors
	Height     MM     // enclosure
	Width      MM
	Depth      MM
	Movable    bool // an exposed movable conductor is possible

	Assumed []string // columns of the above that the row does not give, see AssumeTypical

	Cases []Case // at least one, in the order of the file
}

// Case is what a study says of a location in one operating condition. Zero
// and "" are "not given".
type Case struct {
	Name         string
	Line         int // of locations.csv
	Fault        KA  // available (bolted) fault current
	Energy       CalCM2
	Boundary     MM // arc-flash boundary
	Clear        MS // arc duration at the arcing current
	ClearReduced MS // arc duration at the reduced arcing current
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
	Note         string
}

// prepared is the date of the study: the oldest over the cases.
func (l *Location) prepared() Date {
	return l.oldest(func(c *Case) Date { return c.Prepared })
}

// surveyed is the date of the field data: the oldest over the cases that
// state one, else not given.
func (l *Location) surveyed() Date {
	return l.oldest(func(c *Case) Date { return c.Surveyed })
}

// Base is the day of which a location's studies speak, and against which
// changes count: of each case when the equipment was surveyed, else when the
// study was prepared; of these the oldest.
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
}

// Index numbers the locations by their ids.
func (s *Site) Index() map[string]int {
	index := make(map[string]int, len(s.Locations))
	for i := range s.Locations {
		index[s.Locations[i].ID] = i
	}
	return index
}

// Location finds a location by its id.
func (s *Site) Location(id string) (*Location, bool) {
	l := find(s.Locations, func(l *Location) bool { return l.ID == id })
	return l, l != nil
}
