package record_test

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// A shared policy is the one that the record would have alone.
func TestSharedPolicies(t *testing.T) {
	today, err := assess.ParseDate("2026-06-30")
	if err != nil {
		t.Fatal(err)
	}
	for _, folder := range []string{"creamery", "mill", "smelter"} {
		s, err := site.Read(os.DirFS(filepath.Join("../../samples", folder)), site.Options{Languages: []string{"en", "es", "fr"}})
		if err != nil {
			t.Fatal(err)
		}
		var shared record.Shared
		policies := map[*assess.Policy]bool{}
		// Under other policies too, so that every condition for a part of it is met.
		for _, change := range []func(*assess.Policy){
			func(*assess.Policy) {},
			func(p *assess.Policy) { p.Cutoff = 10 },
			func(p *assess.Policy) { p.TwoSecondReason = "a way out" },
			func(p *assess.Policy) { p.Govern = assess.GovernStudy },
			func(p *assess.Policy) { p.ShowClearingTime = true },
		} {
			change(&s.Policy)
			shared = record.Shared{}
			all := s.Assess(today)
			for i := range all {
				if !all[i].Prints() {
					continue
				}
				got, want := shared.New(&all[i]), record.New(&all[i])
				if policies[got.Policy] = true; !reflect.DeepEqual(got.Policy, want.Policy) {
					t.Errorf("%s: %s: %+v, want %+v", folder, all[i].Location.ID, got.Policy, want.Policy)
				}
			}
		}
		if len(policies) < 5 || len(policies) > 60 {
			t.Errorf("%s: %d policies", folder, len(policies))
		}
	}
}
