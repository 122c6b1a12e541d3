package intake

import (
	"slices"
	"strings"
	"unicode"
)

// Feeds is what the columns of feeds and devices say about other locations.
type Feeds struct {
	Found   []Feed // proposed
	Unnamed []Feed // texts that name no location
}

// Feed is what one text of one row says about another location.
type Feed struct {
	Row    int    `json:"row"`
	ID     string `json:"id"`
	Column string `json:"column"` // fed_from or device_at
	Text   string `json:"text"`
	To     string `json:"to,omitempty"`
}

// ids recognizes the ids of a study and of its site, however a text spells them: by their runs of
// letters and digits, so that A-11 is not A-1 1.
type ids map[string]string // "" if two ids are spelled alike

func (f *file) idsOf() ids {
	all := ids{}
	add := func(id string) {
		key := strings.Join(runs(id), " ")
		if other, there := all[key]; there && other != id {
			all[key] = ""
		} else if key != "" {
			all[key] = id
		}
	}
	for i := range f.study.Rows {
		add(f.study.Rows[i].Cells["id"])
	}
	for _, id := range f.siteIDs {
		add(id)
	}
	return all
}

// spellIDs spells the ids of the study like the site: these are on the mounted labels.
func (f *file) spellIDs() {
	site := ids{}
	for _, id := range f.siteIDs {
		if key := strings.Join(runs(id), " "); site[key] == "" {
			site[key] = id
		}
	}
	for i := range f.study.Rows {
		r := &f.study.Rows[i]
		id := r.Cells["id"]
		if own := site.exactly(id); own != "" && own != id && !slices.Contains(f.siteIDs, id) {
			r.Cells["id"] = own
			f.study.Converted = append(f.study.Converted, Converted{"id", "spelled like the site's: " + own, 1, id, r.Number})
		}
	}
}

// runs returns the runs of letters and digits of a text, in lower case and without accents.
func runs(text string) []string {
	return strings.FieldsFunc(normal(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// exactly is the id that a text equals, ignoring case, blanks and signs between its runs.
func (x ids) exactly(text string) string { return x[strings.Join(runs(text), " ")] }

// tells reports whether an id can be distinguished from other words of a text: A in 400 A is ampere,
// and 12 may be any number, but 007 may not.
func tells(id string) bool {
	if len(id) > 2 && id[0] == '0' {
		return true // 007 is not an ordinary number
	}
	return strings.ContainsFunc(id, unicode.IsLetter) && (len(id) > 2 || strings.ContainsFunc(id, unicode.IsDigit))
}

// leads reports whether a number at the beginning of a text is an id: 101 breaker 3, but not 400 A
// fuse.
func leads(id string, rest []string) bool {
	return len(id) > 2 && len(rest) > 0 && !slices.Contains(amounts, rest[0]) && strings.Trim(rest[0], "0123456789") != ""
}

// amounts are words after a number that is an amount.
var amounts = []string{"a", "at", "af", "as", "amp", "amps", "ampere", "amperes", "v", "kv", "volt", "volts", "kva", "mva", "hp", "kw",
	"ma", "ka", "mm", "in", "ft", "e", "p", "pole", "poles", "ph", "phase", "w", "wire", "hz", "trip", "frame", "mcm", "kcmil"}

// within returns the ids that a text names among its words, the longest first and none within
// another. If the texts of a column begin with ids, one that is a number also counts at the front.
func (x ids) within(text string, begin bool) []string {
	words := runs(text)
	var found []string
	for from := 0; from < len(words); {
		to := min(len(words), from+8)
		for ; to > from; to-- {
			id := x[strings.Join(words[from:to], " ")]
			if id != "" && (tells(id) || from == 0 && begin && leads(id, words[to:])) {
				if !slices.Contains(found, id) {
					found = append(found, id)
				}
				break
			}
		}
		from = max(to, from+1)
	}
	return found
}

// begin reports whether most texts of a column begin with an id that is not only a number.
func (f *file) begin(x ids, column string) bool {
	named, all := 0, 0
	for i := range f.study.Rows {
		text := f.study.Rows[i].Cells[column]
		if text == "" {
			continue
		}
		all++
		words := runs(text)
		for to := min(len(words), 8); to > 0; to-- {
			if id := x[strings.Join(words[:to], " ")]; id != "" && tells(id) {
				named++
				break
			}
		}
	}
	return named > 2 && named*2 > all
}

// only reports whether a text consists of ids, such as SWB-1 and SWB-2.
func only(text string, all []string) bool {
	n := 0
	for _, id := range all {
		n += len(runs(id))
	}
	for _, w := range runs(text) {
		if w != "and" && w != "or" {
			n--
		}
	}
	return n == 0
}

// feeds takes other locations from the columns of feeds and devices: fed_from if an upstream column
// names one, device_at if the device's text does. Without an upstream column the only place of the
// device feeds the location. A text that names no location is listed, and gives no feed.
func (f *file) feeds() {
	known := f.idsOf()
	upstream, at, begin := f.named("fed_from"), f.named("device_at"), f.begin(known, "device")
	for i := range f.study.Rows {
		r := &f.study.Rows[i]
		id := r.Cells["id"]
		note := func(list *[]Feed, column, text, to string) {
			*list = append(*list, Feed{r.Number, id, column, text, to})
		}
		if text := r.Cells["fed_from"]; text != "" {
			var to []string
			for _, part := range strings.FieldsFunc(text, func(c rune) bool { return c == ';' || c == '\n' }) {
				one := known.exactly(part)
				if one == "" {
					if all := without(known.within(part, false), id); len(all) == 1 {
						one = all[0]
					} else if len(all) > 1 && only(part, all) {
						to = append(to, all...)
						continue
					}
				}
				if one == "" || one == id {
					note(&f.study.Feeds.Unnamed, "fed_from", clean(part), "")
					continue
				}
				to = append(to, one)
			}
			r.Cells["fed_from"] = strings.Join(to, "; ")
			if len(to) > 0 {
				note(&f.study.Feeds.Found, "fed_from", text, r.Cells["fed_from"])
			} else {
				delete(r.Cells, "fed_from")
			}
		}
		if text := r.Cells["device_at"]; text != "" {
			one := known.exactly(text)
			if all := known.within(text, false); one == "" && len(all) == 1 {
				one = all[0]
			}
			if one == "" {
				note(&f.study.Feeds.Unnamed, "device_at", text, "")
				delete(r.Cells, "device_at")
			} else {
				r.Cells["device_at"] = one
				note(&f.study.Feeds.Found, "device_at", text, one)
			}
		}
		text := r.Cells["device"]
		if text == "" || at {
			continue
		}
		// Its own id shows nothing: a breaker is often named after what it feeds.
		all := without(known.within(text, begin), id)
		if len(all) != 1 {
			note(&f.study.Feeds.Unnamed, "device_at", text, "")
			continue
		}
		r.Cells["device_at"] = all[0]
		note(&f.study.Feeds.Found, "device_at", text, all[0])
		if !upstream {
			r.Cells["fed_from"] = all[0]
			note(&f.study.Feeds.Found, "fed_from", text, all[0])
		}
	}
}

func without(all []string, id string) []string {
	return slices.DeleteFunc(all, func(s string) bool { return s == id })
}
