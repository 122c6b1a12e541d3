package assess

import "vouchmark/assess/shock"

// Outline is what connects a location with others: it can be read for a whole site long
// before the results of one location are needed.
type Outline struct {
	ID                        string
	FedFrom, TiedTo, DeviceAt []string // over all cases, without duplicates
	Voltage                   Volts
	Supply                    shock.Supply
	Cases                     []string // their names, where there are several
	// Unsure is true if one of these could not be read: what it says about others is not
	// known.
	Unsure bool
}

// SameZone reports whether fault current can flow both ways between two joined
// locations: they have one voltage and kind of supply.
func (o *Outline) SameZone(p *Outline) bool {
	return sameVoltage(o.Voltage, p.Voltage) && o.Supply == p.Supply
}
