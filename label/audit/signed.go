package audit

import (
	"cmp"

	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// signed checks every signature.
func (a *audit) signed() {
	a.signers = map[string][]string{}
	for i := range a.ledger.Lines {
		l := &a.ledger.Lines[i]
		if l.Kind != record.Signed {
			continue
		}
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
	}
}

func orUnknown(name string) string { return cmp.Or(name, "an unknown person") }
