package site

import (
	"slices"
	"strings"

	"vouchmark/assess"
)

// feeder reads conductors, which lead from a location to another.
func feeder(t *node) {
	f := assess.Feeder{
		At:       t.text("at", true),
		From:     t.text("from", false),
		Milliohm: t.number("milliohm", true, 0, 0, 1e6, "the impedance of one phase from end to end, in milliohms"),
	}
	if f.At != "" { // else already reported
		t.fed = append(t.fed, f.At)
		t.later = append(t.later, func() { placeFeeder(t, f) })
	}
}

// placeFeeder puts a [[feeder]] into the policy, between a location and one of its feeds.
func placeFeeder(t *node, f assess.Feeder) {
	l, ok := t.location("at", f.At)
	if !ok || l.FeedsUnknown() { // its feeds are in its row
		return
	}
	if f.From == "" && len(l.FedFrom()) == 1 {
		f.From = l.FedFrom()[0]
	}
	_, twice := t.site.Policy.Feeder(f.At, f.From)
	switch {
	case f.From == "" && len(l.FedFrom()) > 1:
		t.fault("from", "no such key", "one of "+strings.Join(l.FedFrom(), ", "), f.At+" has several feeds")
	case f.From == "":
		t.fault("at", quote(f.At), "a location with a fed_from in locations.csv", "")
	case !slices.Contains(l.FedFrom(), f.From):
		t.fault("from", quote(f.From), "a feed of "+f.At+", as in its fed_from in locations.csv", "")
	case twice:
		t.fault("at", quote(f.At), "one [[feeder]] for each pair of locations",
			"there is another one from "+f.From+" to it")
	default:
		t.site.Policy.Feeders = append(t.site.Policy.Feeders, f)
	}
}
