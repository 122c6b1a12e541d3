package label

import (
	"slices"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Guide is the page that explains how to read a site's labels, in one language.
type Guide struct {
	Site, Title, Lead string
	Sample            *Label    // one of the site's labels, in that language
	Callouts          []Callout // in the order of the label
	Also              []string  // about parts that only some labels have
	Before, Doubt     Section
	Ladder            Section
	Rungs             []Rung // lowest first; ratings with their unit
	Cutoff            string
	Ask, Cautions     string
}

// Callout explains a part of the label.
type Callout struct{ Block, Title, Text string }

// Section is a heading and its lines.
type Section struct {
	Title string
	Lines []string
}

// GuideParts are the parts that only some sites' labels have.
type GuideParts struct{ Maintenance, Bound, Rated bool }

// See notes which of the parts a label has.
func (g *GuideParts) See(r *record.Record, l *Label) {
	line := l.Words[0].Maintenance != ""
	g.Maintenance = g.Maintenance || line
	g.Bound = g.Bound || r.Energy.Bound != "" || line && r.Maintenance.Energy.Bound != ""
	g.Rated = g.Rated || l.Words[0].Rated != ""
}

// ComposeGuide makes the texts of the guide with one of the site's records as the
// example. parts are those that at least one label of the site has.
func ComposeGuide(policy *assess.Policy, r *record.Record, code record.Code, lang string, parts GuideParts,
	p Presentation) *Guide {
	p.Languages = []string{lang}
	t := p.wording(lang)
	cutoff := t.number(assess.Number(policy.Cutoff)) + " cal/cm²"
	g := &Guide{
		Site: policy.Name, Title: t.GuideTitle, Lead: fill(t.GuideLead, "id", r.Location.ID),
		Sample: Compose(r, code, p),
		Before: Section{t.GuideBeforeTitle, t.GuideBefore}, Doubt: Section{t.GuideDoubtTitle, slices.Clone(t.GuideDoubt)},
		Ladder: Section{Title: t.GuideLadderTitle}, Cutoff: fill(t.GuideCutoff, "cutoff", cutoff),
		Ask: fill(t.GuideAsk, "who", t.who(policy.Ask)), Cautions: t.GuideCautions,
	}
	for i, line := range g.Doubt.Lines {
		g.Doubt.Lines[i] = fill(line, "interim", t.Interim)
	}
	for _, c := range []struct {
		block string
		text  []string
	}{
		{"signal", t.GuideSignal}, {"message", t.GuideMessage}, {"place", t.GuidePlace}, {"reach", t.GuideReach},
		{"kit", t.GuideKit}, {"gloves", t.GuideGloves}, {"foot", t.GuideFoot}, {"QR code", t.GuideCode},
	} {
		g.Callouts = append(g.Callouts, Callout{c.block, c.text[0], fill(c.text[len(c.text)-1], "cutoff", cutoff)})
	}
	for _, also := range []struct {
		here bool
		text string
	}{{parts.Bound, t.GuideBound}, {parts.Maintenance, t.GuideMaintenance}, {parts.Rated, t.GuideRated}} {
		if also.here {
			g.Also = append(g.Also, also.text)
		}
	}
	for _, rung := range policy.Ladder {
		g.Rungs = append(g.Rungs, Rung{rung.Kit, t.number(assess.Number(rung.Rating)) + " cal/cm²"})
	}
	return g
}
