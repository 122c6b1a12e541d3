package intake

// How consultants may head the columns of a study: general words of the trade, as
// many different people would write them, collected for this test alone and not
// taken from the program's own vocabulary. The usual ones are those that nobody in
// the trade takes for anything else: a layout that has no others must be read. The
// odd ones may be asked about, and must not be read as another quantity.

type wording struct{ usual, odd []string }

var wordings = map[string]wording{
	"id": {[]string{"Bus ID", "ID", "Equipment ID", "Equip. ID", "Equipment Tag", "Tag", "Tag No.", "Location ID", "Asset ID",
		"Panel ID", "Bus Id.", "BUS ID", "ID No."},
		[]string{"Bus", "Bus Name", "Name", "Location", "Equipment", "Panel", "Designation", "Mark", "Item", "Label ID", "Node",
			"Bus Identification", "Unit", "No.", "#", "Equipment Name", "Bus #", "Label No.", "Faulted Bus"}},
	"equipment": {[]string{"Description", "Equipment Description", "Bus Description", "Desc.", "Equip. Desc."},
		[]string{"Equipment", "Equipment Name", "Name", "Service", "Bus Name", "Title", "Panel Description", "Location Description"}},
	"area": {[]string{"Area", "Building", "Room", "Plant Area", "Bldg."},
		[]string{"Location", "Zone", "Section", "Dept.", "Floor", "Line", "Building / Room", "Unit"}},
	"class":  {[]string{"Equipment Class", "Equipment Type", "Type of Equipment", "Equip. Type"}, []string{"Type", "Bus Type", "Class"}},
	"supply": {[]string{"Phases", "No. of Phases", "AC/DC", "Supply"}, []string{"Ph.", "System", "System Type", "Phase", "# of Phases"}},
	"voltage": {[]string{"Voltage", "Nominal Voltage", "Bus Voltage", "System Voltage", "Nom. Voltage", "Nominal System Voltage",
		"Line-to-Line Voltage", "Voltage L-L", "Voltage (L-L)", "L-L Voltage"},
		[]string{"V L-L", "Nominal", "Bus", "Level", "Voltage Level", "Service Voltage", "Voltage Class", "Vll", "Operating Voltage"}},
	"fault": {[]string{"Bolted Fault Current", "Available Fault Current", "Bolted Fault", "Short-Circuit Current", "Max. Fault Current",
		"3-Phase Fault Current", "Ibf", "Isc", "Bus Bolted Fault", "Available Short Circuit Current", "Bolted Fault Current (3-Phase)",
		"Avail. Fault Current", "Maximum Available Fault Current", "Three-Phase Bolted Fault", "Bolted Short-Circuit Current"},
		[]string{"Fault", "Fault Level", "Fault Duty", "SC Current", "Prospective Fault Current", "Total Fault Current", "AFC", "I bolted",
			"Bolted", "Short Circuit", "Sym. Fault", "Fault Current at Bus", "Bus Fault"}},
	"rating": {[]string{"Short-Circuit Rating", "SCCR", "Withstand Rating", "Bus Bracing", "Equipment SCCR", "Short Circuit Withstand Rating"},
		[]string{"Bracing", "Equipment Rating", "Duty Rating", "Panel AIC", "Withstand"}},
	"energy": {[]string{"Incident Energy", "Arc Flash Incident Energy", "IE", "Incident Energy at Working Distance", "Inc. Energy",
		"Arc-Flash Energy", "Max. Incident Energy", "Calculated Incident Energy", "IE @ WD", "Incident Energy Level"},
		[]string{"Energy", "Heat Energy", "Thermal Energy", "Energy at WD", "Ei", "Arc Energy", "Energy Level", "I.E."}},
	"boundary": {[]string{"Arc Flash Boundary", "AFB", "Flash Protection Boundary", "Arc-Flash Protection Boundary", "Flash Boundary",
		"Arc Flash Hazard Boundary", "Arc Flash Bdry", "Arc Flash Boundary Distance"},
		[]string{"Boundary", "Flash Hazard Boundary", "Hazard Boundary", "Protection Boundary", "Boundary Distance", "FPB", "D_afb"}},
	"distance": {[]string{"Working Distance", "Work Distance", "WD", "Working Dist.", "Wkg. Distance"},
		[]string{"Distance", "Distance to Worker", "Dist.", "Face and Chest Distance", "Work. Dist. to Arc"}},
	"clear": {[]string{"Clearing Time", "Fault Clearing Time", "Arc Duration", "Arcing Time", "Total Clearing Time", "FCT",
		"Arc Clearing Time", "Arc Fault Clearing Time", "Device Clearing Time", "Arcing Duration"},
		[]string{"Trip Time", "Time", "Duration", "Arc Time", "t", "Tripping Time", "Clear Time", "Fault Duration", "T_arc", "Clearing"}},
	"clear_reduced": {[]string{"Clearing Time at Reduced Arcing Current", "Arc Duration at Reduced Current"},
		[]string{"Reduced Clearing Time", "Clearing Time (Reduced Current)", "Arc Duration, Reduced", "FCT at Reduced Current", "Time (min. arcing)"}},
	"gap":    {[]string{"Gap", "Conductor Gap", "Bus Gap", "Gap Between Conductors", "Electrode Gap"}, []string{"G", "Spacing", "Arc Gap Length", "Gap Width"}},
	"height": {[]string{"Enclosure Height", "Box Height", "Encl. Height"}, []string{"H", "Height", "Cubicle H"}},
	"width":  {[]string{"Enclosure Width", "Box Width", "Encl. Width"}, []string{"W", "Width", "Cubicle W"}},
	"depth":  {[]string{"Enclosure Depth", "Box Depth", "Encl. Depth"}, []string{"D", "Depth", "Cubicle D"}},
	"electrodes": {[]string{"Electrode Configuration", "Electrode Config.", "Electrodes"},
		[]string{"Configuration", "Config", "Electrode Arrangement", "EC", "Conductor Configuration"}},
	"device": {[]string{"Protective Device", "Upstream Device", "OCPD", "Protective Device Name", "Prot. Device"},
		[]string{"Breaker", "Fuse", "Device", "Trip Device", "Main", "Upstream Protection", "Device Name", "Clearing Device"}},
	"device_rating": {[]string{"Device Interrupting Rating", "Breaker Interrupting Rating", "Protective Device Interrupting Rating"},
		[]string{"Device AIC", "Interrupting Capacity", "AIC", "Interrupting Rating", "Breaker Duty Rating"}},
	"fed_from": {[]string{"Fed From", "Fed By", "Upstream Bus", "Supplied From", "Upstream Equipment"},
		[]string{"Source", "From", "Source Bus", "Upstream", "Feeder", "From Bus", "Power Source"}},
	"prepared": {[]string{"Study Date", "Report Date", "Date of Study", "Date Prepared"}, []string{"Date", "Issued", "Calculation Date", "Analysis Date"}},
	"surveyed": {[]string{"Survey Date", "Field Survey Date", "Date of Survey"}, []string{"Walkdown", "Field Data", "Site Visit"}},
	"study":    {[]string{"Study No.", "Report No.", "Study Name"}, []string{"Study", "Report", "Project"}},
	"case":     {[]string{"Scenario", "Study Case", "Operating Scenario"}, []string{"Case", "Mode", "Configuration", "Condition"}},
	"note":     {[]string{"Notes", "Remarks", "Comments"}, []string{"Comment / Note", "Observations"}},
	limited: {[]string{"Limited Approach Boundary", "Limited Approach", "LAB"},
		[]string{"Limited Approach (Movable Conductors)", "Limited", "Limited Approach Boundary, Exposed Movable Conductor"}},
	restricted: {[]string{"Restricted Approach Boundary", "Restricted Approach", "RAB"}, []string{"Restricted"}},
}

// decoy is a column of numbers that a study may have, and of which locations.csv
// holds nothing: from and to what its numbers are, and in which unit.
type decoy struct {
	headings []string
	from, to float64
	units    []string // "" for none; the unit is in the heading, in the row of units, in the cells or nowhere
}

var decoys = []decoy{
	{[]string{"Arcing Current", "Arcing Fault Current", "Iarc", "Arcing Fault", "Total Arcing Current", "Arcing Short-Circuit Current"}, 1, 40, []string{"kA"}},
	{[]string{"Arcing Current at 85 %", "85% Arcing Current", "Reduced Arcing Current", "Arcing Fault at 85%", "Min. Arcing Current",
		"Arcing Current (Reduced)", "Iarc min"}, 1, 34, []string{"kA"}},
	{[]string{"Arcing Current Through Device", "Fault Current Through Device", "Device Fault Current", "Bolted Fault Through Device",
		"Protective Device Bolted Fault Current", "Prot Dev Bolted Fault", "Prot Dev Arcing Fault", "Branch Fault Current"}, 1, 40, []string{"kA"}},
	{[]string{"Minimum Fault Current", "Min. Bolted Fault", "Min. Available Fault Current", "Ik min", "Minimum Short-Circuit Current"}, 1, 40, []string{"kA"}},
	{[]string{"Ground Fault Current", "L-G Fault", "Line-to-Ground Fault Current", "SLG Fault", "1-Phase Fault Current",
		"Single Phase Fault Current", "Bolted Ground Fault", "Line-to-Line Fault Current"}, 0.2, 40, []string{"kA"}},
	{[]string{"Asymmetrical Fault Current", "Peak Fault Current", "Momentary Fault Current", "Ip", "First Cycle Fault Current",
		"Asym. Short-Circuit Current", "Motor Contribution"}, 2, 90, []string{"kA"}},
	{[]string{"X/R", "X/R Ratio", "Fault X/R"}, 0.4, 30, []string{""}},
	{[]string{"Opening Time", "Breaker Opening Time", "Breaker Time", "Breaker Opening", "Circuit Breaker Opening Time",
		"CB Opening Time", "Breaker Operating Time", "Mechanical Opening Time"}, 20, 90, []string{"ms", "s", "cycles"}},
	{[]string{"Relay Time", "Delay", "Trip Delay", "Relay Operating Time", "Time Delay", "Short Time Delay", "Intentional Delay", "Pickup Time"},
		20, 900, []string{"ms", "s", "cycles"}},
	{[]string{"Clearing Time at 85%", "Arc Duration at 85 % Current", "Clearing Time at Bolted Fault", "Minimum Clearing Time",
		"Ground Fault Clearing Time", "Clearing Time, Maintenance Mode", "Backup Clearing Time", "Clearing Time of Main"}, 10, 900, []string{"ms", "s", "cycles"}},
	{[]string{"Prohibited Approach Boundary", "Prohibited Approach", "Prohibited Boundary", "Shock Boundary", "Shock Approach Boundary",
		"Hearing Protection Boundary", "Approach Boundary", "Arc Blast Boundary", "Lung Protection Boundary"}, 25, 3000, []string{"in", "mm", "ft"}},
	{[]string{"Arc Flash Boundary at 85%", "Arc Flash Boundary, Maintenance Mode", "Boundary at Reduced Current", "Second-Degree Burn Boundary at 2 s",
		"Arc Flash Boundary (Old)", "Previous Arc Flash Boundary", "Boundary (Line Side)"}, 300, 9000, []string{"in", "mm", "ft"}},
	{[]string{"Incident Energy at 36 in", "Incident Energy at 24 in.", "Energy at 36 inches", "IE @ 910 mm", "Incident Energy at AFB",
		"Incident Energy at 1 ft", "Incident Energy at Boundary"}, 0.1, 90, []string{"cal/cm²", "J/cm²"}},
	{[]string{"Reduced Current Incident Energy", "Incident Energy at 85%", "Incident Energy (Reduced)", "Incident Energy, Maintenance Mode",
		"Incident Energy with Maintenance Switch", "Incident Energy Line Side", "Old Incident Energy", "Previous IE",
		"Min. Incident Energy", "Incident Energy Before Mitigation", "PPE Rating", "Arc Rating", "ATPV", "Required Arc Rating"}, 0.1, 90, []string{"cal/cm²", "J/cm²"}},
	{[]string{"Rated Voltage", "Equipment Rated Voltage", "Insulation Rating", "Voltage Rating", "Max. Rated Voltage", "Primary Voltage",
		"Secondary Voltage", "Control Voltage", "Glove Voltage Rating", "Device Rated Voltage", "Maximum Voltage"}, 120, 15000, []string{"V", "kV"}},
	{[]string{"L-N Voltage", "Voltage L-N", "Phase-to-Neutral Voltage", "Voltage to Ground", "Line-to-Neutral Voltage", "V (L-N)", "kV L-N",
		"Phase Voltage", "Shock Voltage", "Prefault Voltage", "Arcing Voltage"}, 69, 8000, []string{"V", "kV"}},
	{[]string{"Rating", "Frame", "Ampere Rating", "Bus Ampacity", "Bus Rating", "Frame Size", "Trip Rating", "Breaker Rating", "Ampacity",
		"Device Rating", "Main Rating", "Full Load Current", "FLA", "Load", "Demand Current", "Continuous Rating", "Sensor", "Pickup",
		"Fuse Rating", "Equipment Rating", "Rated Current", "LTPU", "Inst. Setting"}, 15, 4000, []string{"A", ""}},
	{[]string{"Transformer", "Transformer Size", "Transformer Rating", "kVA", "XFMR Size", "Load kVA", "Capacity"}, 45, 3000, []string{"kVA", ""}},
	{[]string{"Motor Load", "Largest Motor", "Motor Size", "HP"}, 1, 500, []string{"hp", ""}},
	{[]string{"Cable Length", "Length", "Feeder Length", "Distance to Source", "Cable Distance", "Conductor Length", "Run"}, 5, 900, []string{"ft", "m", ""}},
	{[]string{"% Loading", "Loading", "Duty", "% Duty", "Percent of Rating", "Loading %", "Bus Loading", "Fault Duty %", "% Rating"}, 2, 140, []string{"%", ""}},
	{[]string{"Poles", "Pole Count", "No. of Poles", "Circuits", "Ways", "Qty.", "Wires", "Page", "Sheet No.", "Label Number", "Seq.", "Item No.", "Row", "Drawing"}, 1, 60, []string{""}},
	{[]string{"Temperature", "Ambient", "Temp.", "Temp. Rise"}, 10, 60, []string{"°C", "°F", ""}},
	{[]string{"PPE Category", "PPE Level", "PPE", "Hazard Category", "HRC", "Risk Category", "Required PPE", "PPE Cat."}, 0, 4, []string{""}},
	{[]string{"Elevation", "Mounting Height", "Working Height", "Label Height", "Working Clearance", "Aisle Width", "Cable Diameter", "Clear Depth"}, 300, 2400, []string{"in", "mm", "ft"}},
	{[]string{"Restricted Approach at 1 ft Over", "Minimum Approach Distance", "MAD", "Approach Distance", "Distance to Fence", "Safe Distance",
		"Hot Stick Distance"}, 300, 4000, []string{"in", "mm", "ft"}},
	{[]string{"Fault MVA", "Short Circuit MVA", "Utility MVA", "Power Factor", "Correction Factor", "Enclosure Correction Factor", "CF",
		"Arcing Variation Factor", "Distance Exponent", "Multiplying Factor"}, 0.1, 900, []string{""}},
	{[]string{"Frequency of Maintenance", "Maintenance Interval", "Age", "Years in Service", "Months"}, 1, 60, []string{""}},
}

// textDecoys are columns of text that say nothing that locations.csv holds, or
// that say it of something else.
var textDecoys = []struct{ headings, cells []string }{
	{[]string{"PPE", "PPE Level", "Required PPE", "PPE Description"}, []string{"Cat 2", "Level 4", "8 cal suit", "DANGER", "40 cal/cm²"}},
	{[]string{"Glove Class", "Insulating Gloves", "Gloves"}, []string{"00", "0", "Class 2", "1000 V"}},
	{[]string{"Signal Word", "Header", "Warning / Danger"}, []string{"WARNING", "DANGER"}},
	{[]string{"Grounding", "System Grounding", "Grounded"}, []string{"Yes", "No", "HRG", "Solid"}},
	{[]string{"Device Type", "Trip Unit", "Breaker Type", "Fuse Type", "Relay"}, []string{"LSI", "LSIG 800AF", "Class J 200 A", "50/51", "thermal-magnetic"}},
	{[]string{"Type", "Category", "Status"}, []string{"existing", "new", "as found", "spare"}},
	{[]string{"Source of Data", "Method", "Calculation Method"}, []string{"field survey", "1584", "2018 edition", "nameplate"}},
	{[]string{"Settings", "Trip Settings", "Pickup"}, []string{"LT 0.8, ST 4, INST 10", "100 %", "1200 A", "5x"}},
	{[]string{"Reviewed By", "Checked", "Approved By", "Accepted By"}, []string{"E. Sample", "R. Example", "yes"}},
	{[]string{"Curve", "Label", "Mode", "Class", "Multiplier"}, []string{"TCC-12", "print", "A", "see report"}},
	{[]string{"Voltage / Phases", "System", "Service"}, []string{"480Y/277 V, 3 ph", "208Y/120", "3P 4W"}},
}

// unitSpellings are how a unit is written in a heading, and how in a cell.
var unitSpellings = map[string][]string{
	"V": {"V", "Volts", "volts"}, "kV": {"kV", "KV"}, "A": {"A", "Amps", "amps"}, "kA": {"kA", "KA"},
	"cal/cm²": {"cal/cm²", "cal/cm2", "cal/cm^2", "Cal/cm2"}, "J/cm²": {"J/cm²", "J/cm2"},
	"in": {"in", "in.", "inches", "inch"}, "mm": {"mm"}, "cm": {"cm"}, "m": {"m"}, "ft": {"ft", "ft.", "feet"},
	"ft-in": {"ft-in", "ft-in.", "ft'-in\""}, "s": {"s", "sec", "sec.", "seconds"}, "ms": {"ms", "msec"}, "cycles": {"cycles", "cyc"},
}

// oddUnitSpellings are units in words that the program need not know.
var oddUnitSpellings = map[string][]string{
	"V": {"volt", "V rms", "VLL"}, "kV": {"kilovolts", "kV rms", "kV LL"}, "A": {"amperes", "A rms"}, "kA": {"kiloamps", "kA rms", "kA sym.", "rms kA"},
	"cal/cm²": {"calories/sq. cm", "cal per sq cm", "cal"}, "J/cm²": {"joules/cm2", "J per cm²", "J"},
	"in": {"\"", "in (mm)"}, "mm": {"millimeters", "mm / in"}, "cm": {"centimeters"}, "m": {"meters"}, "ft": {"'", "ft/in"},
	"ft-in": {"feet and inches", "ft, in", "ft/in", "feet-inches"}, "s": {"S", "secs"}, "ms": {"milliseconds", "mSec"}, "cycles": {"cycle", "cy", "60 Hz cycles"},
}

// factor is how many of the program's own unit one of a unit is: V, kA, cal/cm², mm,
// ms (NIST SP 811 (2008), B.8: 1 in is 25.4 mm, 1 ft is 304.8 mm, 1 thermochemical calorie is 4.184 J).
func factor(unit string, hertz float64) float64 {
	switch unit {
	case "kV", "s", "m":
		return 1000
	case "A":
		return 0.001
	case "J/cm²":
		return 1 / 4.184
	case "in":
		return 25.4
	case "ft":
		return 304.8
	case "cm":
		return 10
	case "cycles":
		return 1000 / hertz
	}
	return 1
}

// unitsFor are the units in which a quantity is written.
var unitsFor = map[string][]string{
	"voltage": {"V", "kV"}, "fault": {"kA", "A"}, "rating": {"kA", "A"}, "device_rating": {"kA", "A"}, "energy": {"cal/cm²", "cal/cm²", "J/cm²"},
	"boundary": {"in", "mm", "ft", "ft-in", "cm", "m"}, "distance": {"in", "mm", "cm", "ft", "m", "ft-in"}, "gap": {"mm", "in"},
	"height": {"mm", "in"}, "width": {"mm", "in"}, "depth": {"mm", "in"}, "clear": {"s", "ms", "cycles"},
	"clear_reduced": {"s", "ms", "cycles"}, limited: {"in", "ft-in", "mm"}, restricted: {"in", "ft-in", "mm"},
}
