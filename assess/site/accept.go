package site

import "vouchmark/assess"

// AppendAccept adds an [[accept]] to the text of a site.toml. Everything else stays
// unchanged, with its comments and order.
func AppendAccept(old []byte, a *assess.Acceptance) []byte { return acceptEntry(a).after(old) }

func acceptEntry(a *assess.Acceptance) *entry {
	e := newEntry("accept")
	if len(a.At) == 1 {
		e.line("at", a.At[0])
	} else {
		e.line("at", a.At)
	}
	e.line("finding", string(a.Finding))
	e.line("by", a.By)
	e.line("date", a.Date)
	e.line("reason", a.Reason)
	if !a.Until.IsZero() {
		e.line("until", a.Until)
	}
	if a.Numbers != "" {
		e.line("numbers", a.Numbers)
	}
	return e
}

// accept reads one [[accept]]: a named person takes responsibility for a finding.
func accept(t *node, p *assess.Policy) {
	a := assess.Acceptance{At: t.oneOrMore("at"), Finding: assess.Code(t.text("finding", true)), By: t.answer("by", t.text("by", true)),
		Date: t.date("date", true), Reason: t.answer("reason", t.prose("reason", true)), Until: t.date("until", false), Numbers: t.text("numbers", false), Line: t.line("at")}
	info := a.Finding.Info()
	switch {
	case a.Finding == "": // reported already
	case info == nil:
		t.fault("finding", quote(string(a.Finding)), "the code of a finding; the nearest is "+
			nearest(string(a.Finding), findingCodes()), "vouchmark check shows the code of each finding")
	case !info.Acceptable:
		t.fault("finding", quote(string(a.Finding)), "a finding that a named person may accept",
			"this one cannot be accepted: "+info.Meaning)
	}
	t.faultIf(a.Until.Before(a.Date) && !a.Until.IsZero(), "until", a.Until.String(),
		"the date of the acceptance, "+a.Date.String()+", or a later day", "")
	t.faultIf(a.Numbers != "" && len(a.At) > 1, "numbers", quote(a.Numbers), "an acceptance for a single location",
		"vouchmark accept writes one entry for each location")
	p.Accept = append(p.Accept, a)
	t.later = append(t.later, func() {
		for _, id := range a.At {
			t.location("at", id)
		}
	})
}

func findingCodes() []string {
	var names []string
	for _, c := range assess.Codes {
		names = append(names, string(c.Code))
	}
	return names
}

// oneOrMore is a text, or a list of texts.
func (n *node) oneOrMore(key string) []string {
	if _, list := n.values[key].([]any); !list {
		if s := n.text(key, true); s != "" {
			return []string{s}
		}
		return nil
	}
	n.faultIf(len(n.values[key].([]any)) == 0, key, "an empty list", "an id, or a list of ids", "")
	return n.list(key, true)
}
