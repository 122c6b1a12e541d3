package report

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/shock"
)

// Setting is one value of a policy, as text.
type Setting struct {
	Key   string `json:"key"`           // as in site.toml
	Kit   string `json:"kit,omitempty"` // of the ladder, of which it is; "" for the site
	Value string `json:"value"`         // "" where site.toml does not give it
}

// Settings lists what of a policy decides labels, is printed on them, or says when they are due: what an
// owner of several plants may want to be the same. What describes one plant is not in it: name and
// link, nameplates, feeders, sources, stocks, acceptances, headings and form of dates of its table.
func Settings(p *assess.Policy) []Setting {
	var all []Setting
	add := func(key, value string) { all = append(all, Setting{Key: key, Value: value}) }
	words := func(key string, w assess.Words) {
		if len(w) == 0 {
			add(key, "")
		}
		for _, language := range slices.Sorted(maps.Keys(w)) {
			add(key+After("_", language), strings.Join(w[language], "; "))
		}
	}
	add("cutoff_cal_cm2", assess.Number(p.Cutoff))
	var kits []string
	for i := range p.Ladder {
		kits = append(kits, p.Ladder[i].Kit+": "+assess.Number(p.Ladder[i].Rating))
	}
	add("ladder", strings.Join(kits, ", "))
	for i := range p.Ladder {
		r := &p.Ladder[i]
		all = append(all, Setting{"rating_cal_cm2", r.Kit, assess.Number(r.Rating)})
		for _, language := range slices.Sorted(maps.Keys(r.Wear)) {
			all = append(all, Setting{"wear" + After("_", language), r.Kit, strings.Join(r.Wear[language], "; ")})
		}
	}
	words("below_threshold_wear", p.BelowThresholdWear)
	add("minimum_glove_class", p.MinimumGloveClass)
	add("edition", p.Edition)
	add("units", string(p.Units))
	add("languages", strings.Join(p.Languages, ", "))
	months := func(n int) string {
		if n == 0 {
			return ""
		}
		return fmt.Sprint(n)
	}
	add("review_months", months(p.ReviewMonths))
	add("notice_days", fmt.Sprint(p.NoticeDays))
	add("seen_months", months(p.SeenMonths))
	add("stale_days", fmt.Sprint(p.StaleDays))
	add("govern", string(p.Govern))
	add("govern_accepted_by", p.GovernAcceptedBy)
	add("govern_reason", p.GovernReason)
	add("govern_date", p.GovernDate.String())
	add("tolerance_percent", assess.Number(p.TolerancePercent))
	add("typical", yesNo(p.Typical))
	add("own_main", yesNo(p.OwnMain))
	add("frequency_hz", assess.Number(p.FrequencyHz))
	add("two_second_reason", p.TwoSecondReason)
	words("danger_test", p.DangerTest)
	add("maintenance_line", map[bool]string{false: "label", true: "page"}[p.MaintenanceOnPage])
	add("show_clearing_time", yesNo(p.ShowClearingTime))
	add("ask", p.Ask)
	for i := range p.Approach {
		add("approach, "+string(p.Approach[i].Supply)+" "+p.Approach[i].Name, approachWords(&p.Approach[i]))
	}
	add("starter", yesNo(p.Starter))
	return all
}

func yesNo(yes bool) string { return map[bool]string{false: "false", true: "true"}[yes] }

// approachWords are the distances of an owner's row, and where it was found.
func approachWords(r *shock.Row) string {
	mm := func(x float64) string { return assess.Number(x) + " mm" }
	text := "limited " + mm(r.Fixed)
	if r.Movable > 0 {
		text += ", movable " + mm(r.Movable)
	}
	if r.Rule == shock.AtDistance {
		text += ", restricted " + mm(r.Limit)
	} else {
		text += ", restricted: " + string(r.Rule)
	}
	return text + "; " + r.Source
}
