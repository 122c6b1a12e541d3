package layout

// AuditAccepted is a finding that a named person takes responsibility for.
type AuditAccepted struct {
	ID, Finding string
	By, Date    string
	Until       string // the last day on which it counts
	Reason      string
	Where       string // the record and file that hold it
}

// accepted is the table of the accepted findings.
func (a *Audit) accepted(s *sheetOf) *table {
	t := newTable(s, "Findings that a named person accepted", column{name: "Location"}, column{name: "Finding"},
		column{name: "Accepted by"}, column{name: "On", whole: true}, column{name: "Until", whole: true},
		column{name: "Reason, and where it is recorded"})
	for _, f := range a.Accepted {
		t.add(strong(f.ID), plain(f.Finding), plain(f.By), plain(f.Date), plain(f.Until),
			plain(f.Reason+" ("+f.Where+")"))
	}
	return t
}
