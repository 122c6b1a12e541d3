package assess

// Device is one protective device of devices.csv, and its last maintenance.
// A device is the same as a row's where name and place are the same.
type Device struct {
	Name           string // as a row's device
	At             string // the location in which it stands, as a row's device_at
	Maintained     Date   // not given: never, or not known
	IntervalMonths int    // the owner's; 0: none
	Failed         bool   // the result of that maintenance
	By, Note       string
	Line           int // of devices.csv
}

// Where a site folder keeps the owner's devices, policy and study results, and
// how his study files are laid out.
const (
	DevicesFile   = "devices.csv"
	PolicyFile    = "site.toml"
	LocationsFile = "locations.csv"
	IntakeFile    = "intake.toml"
)
