package report

import (
	"reflect"
	"slices"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
)

// Each part of a policy is compared between plants, or is left out because it describes one plant.
func TestSettingsOfAPolicy(t *testing.T) {
	words := assess.Words{"es": {"x"}}
	compared := map[string]func(p *assess.Policy){
		"Edition": func(p *assess.Policy) { p.Edition = "x" }, "Units": func(p *assess.Policy) { p.Units = assess.SI },
		"Cutoff":             func(p *assess.Policy) { p.Cutoff = 12 },
		"Ladder":             func(p *assess.Policy) { p.Ladder = []assess.Rung{{Kit: "A", Rating: 8, Wear: words}} },
		"BelowThresholdWear": func(p *assess.Policy) { p.BelowThresholdWear = words }, "MinimumGloveClass": func(p *assess.Policy) { p.MinimumGloveClass = "0" },
		"TwoSecondReason": func(p *assess.Policy) { p.TwoSecondReason = "x" }, "ReviewMonths": func(p *assess.Policy) { p.ReviewMonths = 12 },
		"Govern":           func(p *assess.Policy) { p.Govern = assess.GovernStudy },
		"GovernAcceptedBy": func(p *assess.Policy) { p.GovernAcceptedBy = "x" }, "GovernReason": func(p *assess.Policy) { p.GovernReason = "x" },
		"GovernDate":        func(p *assess.Policy) { p.GovernDate, _ = assess.ParseDate("2026-05-01") },
		"Approach":          func(p *assess.Policy) { p.Approach = []shock.Row{{Name: "x"}} },
		"MaintenanceOnPage": func(p *assess.Policy) { p.MaintenanceOnPage = true }, "DangerTest": func(p *assess.Policy) { p.DangerTest = words },
		"ShowClearingTime": func(p *assess.Policy) { p.ShowClearingTime = true }, "Languages": func(p *assess.Policy) { p.Languages = []string{"es"} },
		"NoticeDays": func(p *assess.Policy) { p.NoticeDays = 3 }, "StaleDays": func(p *assess.Policy) { p.StaleDays = 3 },
		"SeenMonths": func(p *assess.Policy) { p.SeenMonths = 3 }, "TolerancePercent": func(p *assess.Policy) { p.TolerancePercent = 3 },
		"OwnMain": func(p *assess.Policy) { p.OwnMain = true }, "Typical": func(p *assess.Policy) { p.Typical = true },
		"FrequencyHz": func(p *assess.Policy) { p.FrequencyHz = 50 }, "Starter": func(p *assess.Policy) { p.Starter = true },
		"Ask": func(p *assess.Policy) { p.Ask = "x" },
	}
	left := []string{"Name", "Link", "FormerLinks", "Transformers", "Feeders", "Stocks", "Sources", "Accept", "Defaulted", "By", "DateForm", "Former", "Findings"}
	for f := range reflect.TypeFor[assess.Policy]().Fields() {
		change, ok := compared[f.Name]
		if !ok {
			if !slices.Contains(left, f.Name) {
				t.Errorf("%s: compare it between plants (Settings), or list it here as what describes one plant", f.Name)
			}
			continue
		}
		var p assess.Policy
		before := Settings(&p)
		if change(&p); slices.Equal(before, Settings(&p)) {
			t.Errorf("another %s is not seen", f.Name)
		}
	}
}
