package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label/plant"
)

// Kind is a reason why labels are not printed, or a caution, with the locations that
// have it.
type Kind struct {
	Code      assess.Code `json:"code,omitempty"` // of the finding; "" where it is not one
	Reason    string      `json:"reason"`
	Locations int         `json:"locations"`

	ids        []string
	where      string // of the first one in its file
	acceptable bool
}

// kinds collects them, by their words.
type kinds struct {
	of    map[string]*Kind
	order []*Kind
}

// add adds a location to a kind, once.
func (k *kinds) add(id string, code assess.Code, words, where string, acceptable bool) {
	if k.of == nil {
		k.of = map[string]*Kind{}
	}
	key := string(code) + " " + words
	kind := k.of[key]
	if kind == nil {
		kind = &Kind{Code: code, Reason: words, where: where}
		k.of[key] = kind
		k.order = append(k.order, kind)
	}
	kind.acceptable = kind.acceptable || acceptable
	if n := len(kind.ids); n == 0 || kind.ids[n-1] != id {
		kind.ids = append(kind.ids, id)
		kind.Locations++
	}
}

// sorted has the most common first; of equals, the first of the site.
func (k *kinds) sorted() []*Kind {
	slices.SortStableFunc(k.order, func(a, b *Kind) int { return cmp.Compare(b.Locations, a.Locations) })
	return k.order
}

// found adds the findings of a level.
func (k *kinds) found(p *plant.Place, level assess.Level) {
	for _, f := range p.Assessment.Findings {
		if f.Level == level {
			k.add(p.ID(), f.Code, meaning(f.Code), where(f), f.Acceptable())
		}
	}
}

// where is the place of a finding of a location in its file.
func where(f assess.Finding) string {
	if f.File == "" {
		return fmt.Sprintf("row %d", f.Line)
	}
	return placed(f.File, f.Line)
}

func meaning(c assess.Code) string {
	if i := c.Info(); i != nil {
		return i.Meaning
	}
	return string(c)
}

// whyNot collects why labels of a plant are not printed: the errors of their rows, else
// why the standing refuses them.
func whyNot(v *plant.Plant) []*Kind {
	var k kinds
	starter := v.Site.Policy.Stopped() != ""
	for i := range v.Places {
		p := &v.Places[i]
		if p.Assessment.Location.Unlabeled || p.Refusal(false) == nil {
			continue
		}
		if starter {
			k.add(p.ID(), assess.StarterPolicy, meaning(assess.StarterPolicy), "", false)
		}
		switch r := p.Judged().Worst(); {
		case p.Assessment.Stopped() != "":
			k.found(p, assess.Error)
		case r != nil && r.Status.Rank() < standing.FallsDue.Rank():
			k.add(p.ID(), "", string(r.Status)+After(": ", otherThan(causeWords(r), string(r.Status))), "", false)
		}
	}
	return k.sorted()
}

// otherThan is a text, or nothing if it is the other one.
func otherThan(text, other string) string {
	if text == other || text == standing.WithdrawCause.Words() {
		return ""
	}
	return text
}

// cautions collects the cautions of a plant.
func cautions(v *plant.Plant) []*Kind {
	var k kinds
	for i := range v.Places {
		k.found(&v.Places[i], assess.Caution)
	}
	return k.sorted()
}

// doubts collects why labels on the equipment do not hold.
func doubts(v *plant.Plant) []*Kind {
	var k kinds
	add := func(id string, s *standing.Standing) {
		if s.Status.Rank() >= standing.FallsDue.Rank() || s.Status == standing.Withdrawn {
			return
		}
		k.add(id, "", causeWords(s.Worst()), "", false)
	}
	for i := range v.Places {
		if p := &v.Places[i]; p.Printed != nil {
			add(p.ID(), &p.Printed.Standing)
		}
	}
	for i := range v.Unlisted {
		add(v.Unlisted[i].ID, &v.Unlisted[i].Standing)
	}
	return k.sorted()
}

// head writes the counts: how many labels print, how many do not, and the three most
// common reasons; a summary has these in full.
func (c *Check) head(b *strings.Builder, width int, every bool) {
	v := c.plant
	t := tallied(v)
	if c.partial() {
		text := fmt.Sprintf("shown: %d of %s", len(v.Places), Plural(len(c.all.Places), "location"))
		if c.filter.Errors {
			text += "; only those with an error"
		}
		text += After("; only ", Few(c.filter.Only)) + After("; only area ", strings.Join(c.filter.Area, ", "))
		b.WriteString(Wrap(text, "", "  ", width))
	}
	if c.filter.Errors && len(v.Places) == 0 {
		b.WriteString(Wrap("no error; labels that do not hold, and cautions, are not shown here: "+v.Text(
			assess.Remedy{Words: "{}", Act: assess.ToCheck}), "", "  ", width))
		return
	}
	b.WriteString(Wrap(wouldPrint(v, t), "", "  ", width))
	if why := whyNot(v); len(why) > 0 && every {
		var parts []string
		for _, k := range why[:min(3, len(why))] {
			reason, _, _ := strings.Cut(k.Reason, ";")
			parts = append(parts, fmt.Sprintf("%s (%d)", reason, k.Locations))
		}
		b.WriteString(Wrap(strings.Join(parts, "; "), "most common reasons: ", "  ", width))
	}
	if len(v.Places)+len(v.Unlisted) > 0 {
		b.WriteString(Wrap("labels: "+t.counted(false), "", "  ", width))
	}
	if low := tooLow(v); low != nil {
		b.WriteString(Wrap("cover these labels now, they are printed too low: "+Few(low), "", "  ", width))
	}
	if every {
		b.WriteString(Wrap(methods(v), "", "  ", width))
	}
}

// tooLow returns the ids of labels that are printed too low.
func tooLow(v *plant.Plant) (ids []string) {
	for i := range v.Places {
		if p := &v.Places[i]; p.Printed != nil && p.Printed.Standing.TooLow {
			ids = append(ids, p.ID())
		}
	}
	for i := range v.Unlisted {
		if v.Unlisted[i].Standing.TooLow {
			ids = append(ids, v.Unlisted[i].ID)
		}
	}
	return ids
}

// brief writes what there is to say about many locations in at most a screen: each kind of
// finding once, the most common in full.
func (c *Check) brief(b *strings.Builder, width int) {
	v := c.plant
	if why := whyNot(v); len(why) > 0 {
		section(b, "Why labels would not print, most common first", why, 3, width)
	}
	if errs, rest := siteFindings(v); len(errs)+len(rest) > 0 {
		if len(errs) > 0 {
			section(b, "The site as a whole", errs, len(errs), width)
		}
		if len(rest) > 0 && !c.filter.Errors {
			b.WriteString("\n" + Wrap(short(rest), "Cautions about the site as a whole: ", "  ", width))
		}
	}
	if !c.filter.Errors {
		if not := doubts(v); len(not) > 0 {
			b.WriteString("\n" + Wrap(short(not), "Labels on the equipment that do not hold: ", "  ", width))
		}
		if all := cautions(v); len(all) > 0 {
			section(b, "Cautions: a person must look, the label prints", all, 2, width)
		}
	}
	c.suggest(b, width)
	b.WriteString("\n" + Wrap("vouchmark check --full lists every location and its findings; --errors, --only and --area "+
		"choose, --csv writes a spreadsheet; vouchmark due lists what to do.", "", "  ", width))
}

// siteFindings are the findings of the site as a whole: errors, and cautions.
func siteFindings(v *plant.Plant) (errs, rest []*Kind) {
	var k [2]kinds
	for _, f := range v.Findings {
		of := &k[0]
		if f.Level != assess.Error {
			of = &k[1]
		}
		of.add(placed(cmp.Or(f.File, "site.toml"), f.Line), f.Code, meaning(f.Code), "", false)
	}
	return k[0].order, k[1].order
}

// section writes the first kinds in full, and names the others with their counts.
func section(b *strings.Builder, title string, all []*Kind, most, width int) {
	b.WriteString("\n" + title + ":\n")
	for _, k := range all[:min(most, len(all))] {
		b.WriteString(Wrap(k.words(), fmt.Sprintf("%5d  ", k.Locations), strings.Repeat(" ", 7), width))
	}
	if len(all) > most {
		b.WriteString(Wrap(short(all[most:]), "       and ", strings.Repeat(" ", 7), width))
	}
}

// words are the reason, its code, and the first locations.
func (k *Kind) words() string {
	text := k.Reason
	if k.Code != "" {
		text += " [" + string(k.Code) + map[bool]string{true: "*"}[k.acceptable] + "]"
	}
	const first = 2
	names := slices.Clone(k.ids[:min(first, len(k.ids))])
	names[0] += After(" (", k.where)
	if k.where != "" {
		names[0] += ")"
	}
	text += ": " + strings.Join(names, ", ")
	if more := len(k.ids) - len(names); more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// short names kinds with their counts; of very many only the first.
func short(all []*Kind) string {
	const most = 5
	var parts []string
	for _, k := range all[:min(most, len(all))] {
		parts = append(parts, fmt.Sprintf("%s %d", cmp.Or(string(k.Code), k.Reason), k.Locations))
	}
	if more := len(all) - most; more > 0 {
		parts = append(parts, Plural(more, "more kind"))
	}
	return strings.Join(parts, ", ")
}
