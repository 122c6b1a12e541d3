package label

import (
	"fmt"
	"net"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// longestFacts keeps the longest QR text within version 5 at error correction
// M: 35 for the link, "/V/", 19 for the code, "/", and 64.
const longestFacts = 64

// Facts is what the link says without reception: id, study date, review date,
// voltage, energy, distance, boundary, kit; in US units, with only 0-9 A-Z . -.
//
//	MCC-4-2026-03-14-TO-2031-03-14-480V-6.6CAL-18IN-46IN-KIT-B
//
// A bound reads ABOVE-40CAL or BELOW-1.2CAL.
// If it is longer than 64 characters, distance, then boundary, then the study date
// are left out, then the id is cut to 20 characters and the kit to 12.
func Facts(r *record.Record) string {
	f := facts{
		id:       plain(r.Location.ID),
		prepared: r.Prepared.String(),
		reviewBy: "TO-" + r.ReviewBy.String(),
		voltage:  strings.ToUpper(strings.ReplaceAll(Voltage(r.Location.Voltage), " ", "")),
		energy:   energyFact(r),
		distance: fmt.Sprintf("%dIN", assess.PrintedInches(r.Location.Distance)),
		boundary: fmt.Sprintf("%dIN", assess.PrintedInches(r.BoundaryToPrint)),
	}
	switch r.Status {
	case assess.NoneAllowed:
		f.kit = "DANGER"
	case assess.NotRequired:
		f.kit = "NOKIT"
	default:
		f.kit = plain(r.Kit)
	}
	for _, shorten := range []func(){
		func() { f.distance = "" },
		func() { f.boundary = "" },
		func() { f.prepared = "" },
		func() { f.id = cut(f.id, 20) },
		func() { f.kit = cut(f.kit, 12) },
	} {
		if len(f.String()) <= longestFacts {
			break
		}
		shorten()
	}
	// An unusual voltage may still be too long: then the id is cut, never a number.
	if over := len(f.String()) - longestFacts; over > 0 {
		f.id = cut(f.id, max(1, len(f.id)-over))
	}
	return f.String()
}

func energyFact(r *record.Record) string {
	cal, _ := assess.PrintedBound(r.Energy.Value, r.Energy.Bound)
	text := assess.Number(cal) + "CAL"
	if r.Energy.Bound != "" {
		text = strings.ToUpper(string(r.Energy.Bound)) + "-" + text
	}
	return text
}

type facts struct{ id, prepared, reviewBy, voltage, energy, distance, boundary, kit string }

func (f *facts) String() string {
	parts := []string{f.id, f.prepared, f.reviewBy, f.voltage, f.energy, f.distance, f.boundary, f.kit}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), "-")
}

func cut(s string, n int) string { return strings.TrimRight(s[:min(len(s), n)], "-.") }

// plain writes a name with only 0-9 A-Z . -: accents are removed, every run of other
// characters becomes one hyphen. A name with nothing left is X.
func plain(name string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFD.String(strings.ToUpper(name)) {
		switch {
		case unicode.Is(unicode.Mn, r): // an accent
		case r >= '0' && r <= '9', r >= 'A' && r <= 'Z', r == '.', r == '-':
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			gap = false
			b.WriteRune(r)
		default:
			gap = true
		}
	}
	if b.Len() == 0 {
		return "X"
	}
	return b.String()
}

// QR is the text of a label's QR code: the link to its page, or its code and facts
// if the site has no link.
func QR(link string, code record.Code, r *record.Record) string {
	if link == "" {
		return string(code) + " " + Facts(r)
	}
	return link + "/V/" + string(code) + "/" + Facts(r)
}

// Scanned is what a QR code, or a text that a person read from it, points to.
type Scanned struct {
	Code  record.Code
	Facts string // "" where only a code was given
	Link  string // what is before /V/; "" where only a code was given
	Path  bool   // it was given as a path: /V/CODE
}

// Of reports whether it may be a label of a site with these links. A code alone may be; so may the
// address of a server on this machine, and a path, if that leads to no other folder. A site without a link
// cannot tell.
func (s Scanned) Of(links []string) bool {
	host, path := splitLink(s.Link)
	local := host == "" || host == "LOCALHOST" || net.ParseIP(host).IsLoopback()
	if len(links) == 0 || local && path == "" {
		return true
	}
	return slices.ContainsFunc(links, func(link string) bool {
		h, p := splitLink(link)
		return p == path && (local || h == host)
	})
}

// splitLink is the host of a link, without a usual port, and its path. Capitals do not matter, nor
// whether it is encrypted. Of a host with an address of this machine alone the port does not count.
func splitLink(link string) (host, path string) {
	link = strings.ToUpper(strings.TrimSpace(link))
	link = strings.TrimPrefix(strings.TrimPrefix(link, "HTTPS://"), "HTTP://")
	host, path, _ = strings.Cut(strings.TrimSuffix(link, "/"), "/")
	if path != "" {
		path = "/" + path
	}
	if name, port, err := net.SplitHostPort(host); err == nil &&
		(port == "80" || port == "443" || name == "LOCALHOST" || net.ParseIP(name).IsLoopback()) {
		host = name
	}
	return strings.Trim(host, "[]"), path
}

// ParseQR reads a link, "CODE FACTS", or a code alone.
func ParseQR(s string) (Scanned, error) {
	s = strings.TrimSpace(s)
	rest, before, path := s, "", false
	if i := max(strings.LastIndex(s, "/V/"), strings.LastIndex(s, "/v/")); i >= 0 {
		before, rest, path = s[:i], s[i+len("/V/"):], true
	}
	rest = strings.TrimSuffix(strings.TrimSuffix(rest, "index.html"), "/")
	code, facts, _ := strings.Cut(strings.Replace(rest, " ", "/", 1), "/")
	c, err := record.ParseCode(code)
	if err != nil {
		return Scanned{}, err
	}
	return Scanned{Code: c, Facts: strings.ToUpper(strings.TrimSpace(facts)), Link: before, Path: path}, nil
}
