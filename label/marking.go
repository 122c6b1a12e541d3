package label

// Marking is the marking of the available fault current on service equipment,
// switchboards, switchgear and panelboards (NEC 110.24, 408.6): the current,
// and the date on which it was calculated. It is no hazard label and has no
// signal word.
type Marking struct {
	ID, Area, Code, QR string
	Words              []MarkingWords // one or two languages, the first language first
}

// MarkingWords is a marking's text in one language.
type MarkingWords struct {
	Language string
	Title    string // "AVAILABLE FAULT CURRENT"
	Current  string // "18.4 kA"
	Supply   string // "480 V AC 3-phase"
	Where    string // "Switchboard · Main electrical room"
	Date     string // "calculated 2026-03-14"
	Source   string // "LC-26-03 rev 1"
	Do       string // "Recalculate after any change of the electrical system."
	Scan     string
}

// Overlay is a strip that is stuck over a label which is not to be relied on,
// since a mark on a screen does not reach the door.
type Overlay struct {
	ID, Area, Code, QR string
	Words              []OverlayWords
}

// OverlayWords is an overlay's text in one language.
type OverlayWords struct {
	Language string
	Title    string   // "DO NOT RELY ON THIS LABEL"
	Why      string   // "lapsed since 2031-03-15"
	Do       []string // "Ask before any work here: …", "Treat the equipment as energized …"
	Covers   string   // "covers the label MCC-4, 7K3M-9QTD-RC4A-0W2E"
}
