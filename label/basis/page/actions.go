package page

import (
	"net/url"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/standing"
)

// Action leads to a form of the server.
type Action struct{ Text, Href string }

// Actions are what can be done about the label on a server that writes, the most likely first.
func (p *labelPage) Actions() (all []Action) {
	if p.Live == nil || !p.Live.Writes || p.Unknown {
		return nil
	}
	label := "/V/" + string(p.Code())
	add := func(text, form, key, value string) {
		all = append(all, Action{text, "../../../" + form + "/?" + key + "=" + strings.ReplaceAll(url.QueryEscape(value), "%2F", "/")})
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
		if p.Renewable {
			all = append(all, Action{"Print the new label", "../../../print/?only=" + url.QueryEscape(p.Record.Location.ID)})
		}
		if !s.TooLow { // a strip does not make a label safe that warns of too little
			add("Print an interim label", "interim", "at", label)
		}
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
				all[len(all)-1].Href += "&at=" + url.QueryEscape(p.Record.Location.ID)
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
	return all
}

// Words are the acts of remedies in the words of the pages.
func Words(act assess.Act, on string) string {
	switch act {
	case assess.ToCheck:
		return "the page “What falls due”"
	case assess.ToList:
		return "the page “Findings”"
	case assess.ToPrint, assess.ToPrintDue:
		return "the page “Print what is due”"
	case assess.ToPrintOverlay:
		return "“Print overlays” on the page “Print what is due”"
	case assess.ToReprint:
		return "“Print this label again” on the page of " + on
	case assess.ToWithdraw:
		return "“Withdraw this label”"
	case assess.ToRemove:
		return "“Note that it is removed”"
	case assess.ToSee, assess.ToSeeNone:
		return "the page “Round”"
	case assess.ToUncover:
		return "“Note that its overlay is removed”"
	case assess.ToSettle, assess.ToAnswer:
		return "“Settle " + on + "”"
	case assess.ToAccept:
		return "“Accept a finding”"
	case assess.ToNote:
		return "ask whoever keeps the site folder"
	case assess.ToInterim:
		return "“Print an interim label”"
	}
	return string(act)
}

// Clears is what clears a reason: on a server that writes, in the words of its pages.
func (p *labelPage) Clears(r *standing.Reason) string {
	if p.Live != nil && p.Live.Writes && r.Remedy.Words != "" {
		return r.Remedy.Text(Words)
	}
	return r.Clears
}

// Valid reports whether the label holds.
func (p *labelPage) Valid() bool { return p.Standing.Status.Rank() >= standing.FallsDue.Rank() }
