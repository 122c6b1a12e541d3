package record

import "vouchmark/assess/infile"

// Limits are the limits of what the program keeps in a site folder.
func Limits() []infile.Limit {
	return []infile.Limit{
		{What: "a file in `studies/`, and a `locations.csv` that a study replaces", Most: infile.Size(MostStudy)},
		{What: "a record (more than a thousand cases)", Most: infile.Size(MostRecord)},
		{What: "`ledger.jsonl`", Most: infile.Size(MostLedger) + ", " + infile.Size(MostLine) + " a line"},
	}
}
