package site

import (
	"slices"
	"strings"

	"vouchmark/assess"
)

// feeder is a [[feeder]] as it stands in site.toml, until the locations are
// known.
type feeder struct {
	node *node
	assess.Feeder
}

func readFeeder(t *node) assess.Feeder {
	f := assess.Feeder{
		At:       t.text("at", true, ""),
		From:     t.text("from", false, ""),
		Milliohm: t.number("milliohm", true, 0, 0, 1e6, "the impedance in milliohms of one phase from end to end"),
	}
	t.done()
	return f
}

// placeFeeders puts the feeders into the policy, each between a location and
// one of those that feed it.
func (r spreadsheet) placeFeeders(s *assess.Site) {
	for _, f := range r.feeders {
		l, ok := s.Location(f.At)
		switch {
		case len(s.Locations) == 0 || f.At == "":
			continue // reported already
		case !ok:
			f.node.fault("at", quote(f.At), "the id of a location in locations.csv", "")
			continue
		case f.From == "" && len(l.FedFrom) == 1:
			f.From = l.FedFrom[0]
		case f.From == "" && len(l.FedFrom) > 1:
			f.node.fault("from", "no such key", "one of "+strings.Join(l.FedFrom, ", "), f.At+" has several feeds")
			continue
		case f.From == "":
			f.node.fault("at", quote(f.At), "a location with a fed_from in locations.csv", "")
			continue
		case !slices.Contains(l.FedFrom, f.From):
			f.node.fault("from", quote(f.From), "what feeds "+f.At+" by its fed_from in locations.csv", "")
			continue
		}
		if _, twice := s.Policy.Feeder(f.At, f.From); twice {
			f.node.fault("at", quote(f.At), "one [[feeder]] for each pair of locations", "another one leads from "+f.From+" to it")
			continue
		}
		s.Policy.Feeders = append(s.Policy.Feeders, f.Feeder)
	}
}
