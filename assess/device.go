package assess

// Device is one protective device of devices.csv and its last maintenance. It is the
// device of a row with the same name and place.
type Device struct {
	Name           string // as a row's device
	At             string // the location where it is installed, as a row's device_at
	Maintained     Date   // not given: never, or unknown
	IntervalMonths int    // the owner's; 0: none
	Failed         bool   // the result of that maintenance
	By, Note       string
	Line           int // of devices.csv
}

// The files in which a site folder keeps the owner's devices, policy and study
// results.
const (
	DevicesFile   = "devices.csv"
	PolicyFile    = "site.toml"
	LocationsFile = "locations.csv"
	IntakeFile    = "intake.toml"
)
