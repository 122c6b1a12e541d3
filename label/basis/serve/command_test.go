package serve

import "testing"

// What a command printed while the form was open is told as what another planner printed: the ledger knows no
// difference, and no time need pass. A print of another label is not in the way.
func TestPrintedByCommandMeanwhile(t *testing.T) {
	p := newPlant(t, true)
	p.notes = true
	form := p.filled(t, "/reprint/?code=TUB-MC4", "by", "A. Sample", "reason", "burnt", "stock", "4x4")
	command := func(id, by string) {
		t.Helper()
		if err := p.carry(&Order{Code: p.codes[id], What: Again, Reason: "torn", By: by, Stock: "4x4", Copies: 1}); err != nil {
			t.Fatal(err)
		}
	}
	command("TUB-MC4", "C. Command")
	w := p.do("POST", "/reprint/", form)
	if w.Code != 409 || p.prints.Load() != 0 {
		t.Fatal("what a command printed is printed again:", w.Code, p.prints.Load())
	}
	says(t, w.Body.String(), "since this form was opened, C. Command printed it", "label by C. Command: torn")
	again := keep(w.Body.String())
	for _, name := range []string{"by", "reason", "stock"} {
		again.Set(name, form.Get(name))
	}
	command("TUB-PP4", "D. Command")
	p.sends(t, "/reprint/", again)
	if p.prints.Load() != 1 {
		t.Error("prints:", p.prints.Load())
	}
}
