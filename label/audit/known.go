package audit

import (
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// Known is what a site as it was judged says of its labels, signatures and acceptances. No
// file is read, so that it takes no audit; and it says nothing of whether they are intact.
func Known(v *plant.Plant) *Report {
	a := &audit{Report: &Report{Site: v.Site.Policy.Name, Today: v.Today, Names: true, Standing: map[standing.Status]int{},
		Labels: []Label{}, Signatures: []seal.Signature{}},
		o: Options{Names: true, Keys: v.Keys, Accept: v.Site.Policy.Accept}, ledger: v.History.Ledger, replay: &v.History.Replay}
	a.o.See(v)
	a.seen()
	a.signed()
	a.printed()
	a.Problems, a.Notes = nil, nil // an audit looks for them
	return a.Report
}

// printed lists the labels that were printed last, with what people accepted and what the
// program found when they were printed.
func (a *audit) printed() {
	a.labels()
	a.accepted()
	a.decided()
	a.findings()
}

// hands are those who printed the last copy of a label and who noted that it was mounted.
func (a *audit) hands(l *record.Label) (printed, mounted string) {
	for _, e := range a.replay.Record(l.ID).Entries {
		switch {
		case e.Thing != "" || e.Failed:
		case e.Kind.Prints() && e.Date == l.Printed:
			printed = e.Who()
		case e.Kind == record.Mounted && e.Applied == l.Mounted:
			mounted = e.Who()
		}
	}
	return printed, mounted
}

// Says is the standing of a label in words, what must be covered first; "" where it was not judged.
func (l *Label) Says() string {
	if l.TooLow {
		return standing.Cover + ", " + string(l.Standing)
	}
	return string(l.Standing)
}
