package page

import (
	"html/template"
	"net/url"
	"regexp"
	"strings"
)

// namedAct is an act as Words names it in a text.
var namedAct = regexp.MustCompile(`“[^“”]+”`)

// Linked is a text of a server that writes, in which each act that Words names leads to where it is done. It is
// about a location and its label, of which code may be "". up is the way to the start page.
func Linked(text, up, id, code string) template.HTML {
	var b strings.Builder
	for text != "" {
		at := namedAct.FindStringIndex(text)
		if at == nil {
			break
		}
		b.WriteString(template.HTMLEscapeString(text[:at[0]]))
		words := text[at[0]:at[1]]
		text = text[at[1]:]
		if to := doneAt(strings.Trim(words, "“”"), id, code); to != "" {
			words = `<a href="` + template.HTMLEscapeString(up+to) + `">` + template.HTMLEscapeString(words) + `</a>`
		} else {
			words = template.HTMLEscapeString(words)
		}
		b.WriteString(words)
	}
	return template.HTML(b.String() + template.HTMLEscapeString(text))
}

// doneAt is the address, from the start page, at which an act that Words names is done; "" for another text.
func doneAt(act, id, code string) string {
	form := func(name, key, value string, more ...string) string {
		if value == "" {
			return ""
		}
		return name + "/?" + key + "=" + url.QueryEscape(value) + strings.Join(more, "")
	}
	if change, ok := strings.CutPrefix(act, "Settle "); ok {
		return form("settle", "change", change)
	}
	switch act {
	case "What falls due":
		return "due/"
	case "Findings":
		if id == "" {
			return "findings/"
		}
		return form("findings", "at", id)
	case "Print what is due":
		return "print/"
	case "Print overlays":
		return "print/?what=overlays"
	case "Print this label again":
		return form("reprint", "code", code)
	case "Withdraw this label":
		return form("withdraw", "at", id)
	case "Note that it is removed":
		return form("removed", "at", id)
	case "Note that its overlay is removed":
		return form("removed", "at", id, "&what=overlay")
	case "Round":
		return "round/"
	case "Accept a finding":
		return form("accept", "at", id)
	case "Print an interim label":
		return form("interim", "at", id)
	}
	return ""
}
