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
	texts := a.settlements()
	for i := range a.ledger.Lines {
		l := &a.ledger.Lines[i]
		switch l.Kind {
		case record.Signed:
			s := seal.OfLine(l, a.replay.Of(i+1), a.o.Keys)
			a.Signatures = append(a.Signatures, s)
			if s.Verdict == seal.Verified && !s.Signed.IsZero() && s.Signed != s.Date {
				a.note("the signature of %s is of %s, but its line in the ledger says %s", s.By, s.Signed, s.Date)
			}
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
			if a.o.View != nil && !texts[[2]string{l.Change, l.Text}] {
				a.note("the settlement of %s noted on %s is now missing from changes.toml or has a different text there",
					l.Change, l.Date)
			}
		}
	}
}

// settlements are those of changes.toml, by change and text, to compare with what
// the ledger noted. The owner may edit that file, so a difference is a note, not a
// problem.
func (a *audit) settlements() map[[2]string]bool {
	texts := map[[2]string]bool{}
	if a.o.View != nil {
		for i := range a.o.View.Site.Log.Settlements {
			s := &a.o.View.Site.Log.Settlements[i]
			texts[[2]string{s.Change, logbook.TextHash(s)}] = true
		}
	}
	return texts
}

func orUnknown(name string) string { return cmp.Or(name, "an unknown person") }
