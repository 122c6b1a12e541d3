package site

import (
	"testing"

	"vouchmark/assess"
)

// Lines of the ledger are bound to the text of a settlement as it was written
// before there was against_screening: by the hash of
//
//	[[settlement]]
//	change = "2026-08-11/SWB-1"
//	date = 2026-09-01
//	by = "x"
//	reason = "y"
//	scope = ["MCC-4"]
func TestSettlementHash(t *testing.T) {
	day, err := assess.ParseDate("2026-09-01")
	if err != nil {
		t.Fatal(err)
	}
	s := assess.Settlement{Change: "2026-08-11/SWB-1", Date: day, By: "x", Reason: "y", Scope: assess.Scope{IDs: []string{"MCC-4"}}, Line: 7}
	const before = "68fd96ac26efd47c9d5bb97e139fb35ac0dbee51fede5e25b570f9b977890171"
	if got := SettlementHash(&s); got != before {
		t.Errorf("the hash is %s", got)
	}
	s.AgainstScreening = "z"
	if SettlementHash(&s) == before {
		t.Error("the reason against the screening is not bound")
	}
}
