package page

import (
	"net/url"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// action leads from a label's page to a form of the server.
type action struct{ Text, Href string }

// Actions are what can be done about the label on a server that writes, the most likely first.
func (p *labelPage) Actions() (all []action) {
	if p.Live == nil || !p.Live.Writes || p.Unknown {
		return nil
	}
	label := "/V/" + string(p.Code())
	add := func(text, form, key, value string) {
		all = append(all, action{text, "../../../" + form + "/?" + key + "=" + strings.ReplaceAll(url.QueryEscape(value), "%2F", "/")})
	}
	s := &p.Standing
	again := func() { add("Print this label again", "reprint", "code", label) }
	switch {
	case !p.Newest:
		again() // it says which label replaced this one
		return all
	case s.Status == standing.Withdrawn:
		add("Note that it is removed", "removed", "at", label)
		again()
		return all
	case s.Status.Rank() < standing.FallsDue.Rank():
		add("Print its overlay", "overlay", "at", label)
		add("Print an interim label", "interim", "at", label)
	default:
		again()
	}
	add("Mark it installed", "mounted", "at", label)
	for i := range s.Reasons {
		switch r := &s.Reasons[i]; r.Remedy.Act {
		case assess.ToSettle, assess.ToAnswer:
			changes := r.Open
			if changes == nil {
				changes = []string{r.Change}
			}
			for _, c := range changes {
				add("Settle "+c, "settle", "change", c)
			}
		case assess.ToUncover:
			add("Note that its overlay is removed", "removed", "at", label)
			all[len(all)-1].Href += "&what=overlay"
		}
	}
	accepted := map[assess.Code]bool{}
	for i := range p.Findings {
		if f := &p.Findings[i]; f.Acceptable() && !accepted[f.Code] {
			accepted[f.Code] = true
			add("Accept "+string(f.Code), "accept", "at", p.Record.Location.ID)
			all[len(all)-1].Href += "&finding=" + url.QueryEscape(string(f.Code))
		}
	}
	add("Review its study", "review", "at", p.Record.Location.ID)
	add("Withdraw this label", "withdraw", "at", label)
	if s.Status.Rank() < standing.FallsDue.Rank() {
		again()
	}
	return all
}
