package audit

import (
	"cmp"

	"vouchmark/label/logbook"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// signed checks every signature, and the texts of settlements.
func (a *audit) signed() {
	a.signers = map[string][]string{}
	for i := range a.ledger.Lines {
		l := &a.ledger.Lines[i]
		switch l.Kind {
		case record.Signed:
			s := seal.OfLine(l, a.replay.Of(i+1), a.o.Keys)
			a.Signatures = append(a.Signatures, s)
			switch s.Verdict {
			case seal.Broken:
				a.problem(record.LineName(i+1), "find out who signed it, and do not rely on the signature",
					"the signature of %s does not match %s", orUnknown(s.By), s.What)
			case seal.Untrusted:
				a.note("%s is signed by %s, whose key is not among the trusted keys", s.What, orUnknown(s.By))
			default:
				if len(l.Labels) == 1 {
					a.signers[l.Labels[0].Record] = append(a.signers[l.Labels[0].Record], s.By)
				}
			}
		case record.Settled:
			a.settled(l)
		}
	}
}

// settled compares a settlement as the ledger noted it with changes.toml. The
// owner may edit that file, so a difference is a note, not a problem.
func (a *audit) settled(l *record.Line) {
	if a.o.View == nil {
		return
	}
	for i := range a.o.View.Site.Log.Settlements {
		if s := &a.o.View.Site.Log.Settlements[i]; s.Change == l.Change && logbook.TextHash(s) == l.Text {
			return
		}
	}
	a.note("the settlement of %s noted on %s is now missing from changes.toml or has a different text there",
		l.Change, l.Date)
}

func orUnknown(name string) string { return cmp.Or(name, "an unknown person") }
