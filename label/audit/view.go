package audit

import (
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// View is what an audit says of a site as it was judged: the standing of its labels, what its rows name as their
// source. It leads to nothing of the plant itself, whose rows, records and feeds take many times the memory and
// need not be kept while all records are judged again.
type View struct {
	round  report.RoundSummary
	labels map[string]judged // by location
	rows   []rowSource       // that name a source, in the order of the table
	newest map[record.ID]*about
}

// judged is the standing of the label of a location.
type judged struct {
	standing.Status
	tooLow, amiss bool
	lookBy        assess.Date
}

// rowSource is a location with the files that its rows name as their source.
type rowSource struct {
	id    string
	files []string
}

// See takes from a site what an audit says of it. With Names, that is also what it says of
// the records of labels, which are not read then.
func (o *Options) See(v *plant.Plant) {
	round := v.Round()
	s := &View{round: report.SumUpRound(v, round), labels: map[string]judged{}, newest: map[record.ID]*about{}}
	note := func(id string, as standing.Standing) {
		s.labels[strings.Clone(id)] = judged{Status: as.Status, tooLow: as.TooLow} // the text of the whole row is behind an id
	}
	for i := range v.Places {
		if p := &v.Places[i]; p.Printed != nil {
			note(p.ID(), p.Printed.Standing)
		}
	}
	for i := range v.Unlisted {
		note(v.Unlisted[i].ID, v.Unlisted[i].Standing)
	}
	for i := range round.Doors {
		d := &round.Doors[i]
		if as, printed := s.labels[d.ID]; printed || d.Amiss {
			as.amiss, as.lookBy = d.Amiss, d.Look
			s.labels[d.ID] = as // under the copy of its id, where there is one
		}
	}
	for i := range v.Site.Locations {
		l := &v.Site.Locations[i]
		if files := sourcesOf(l); files != nil {
			s.rows = append(s.rows, rowSource{l.ID, files})
		}
	}
	if o.Names {
		for _, l := range v.History.Labels {
			if l.Record != nil {
				s.newest[l.ID] = aboutOf(l.Record)
			}
		}
	}
	o.View = s
}
