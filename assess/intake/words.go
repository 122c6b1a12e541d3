package intake

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// expansions are the short forms in headings and their meaning (common practice; Ibf, Iarc and AFB are
// symbols of IEEE 1584-2018, clause 3).
var expansions = map[string]string{
	"af": "arc flash", "afb": "arc flash boundary", "arcflash": "arc flash", "ie": "incident energy",
	"wd": "working distance", "lab": "limited approach boundary", "rab": "restricted approach boundary",
	"fct": "fault clearing time", "vll": "voltage l l", "afc": "available fault current", "fpb": "flash protective boundary",
	"ibf": "bolted fault", "isc": "short circuit current", "sccr": "short circuit rating",
	"scc": "short circuit current", "ocpd": "protective device", "ll": "l l", "shortcircuit": "short circuit",
	"volt": "voltage", "volts": "voltage", "voltages": "voltage", "nom": "nominal", "sys": "system",
	"dist": "distance", "distances": "distance", "wkg": "working", "work": "working", "wrk": "working",
	"flt": "fault", "cur": "current", "curr": "current", "currents": "current", "amps": "current", "amp": "current", "avail": "available",
	"prot": "protective", "protection": "protective", "protecting": "protective", "dev": "device", "devices": "device",
	"bdry": "boundary", "bndry": "boundary", "bnd": "boundary", "boundaries": "boundary",
	"equip": "equipment", "eqpt": "equipment", "eq": "equipment", "desc": "description", "descr": "description",
	"elec": "electrode", "electrodes": "electrode", "config": "configuration", "conf": "configuration",
	"configurations": "configuration", "conductors": "conductor", "gaps": "gap",
	"clr": "clearing", "clears": "clearing", "clear": "clearing", "dur": "duration", "times": "time", "inc": "incident", "energies": "energy",
	"no": "number", "nr": "number", "num": "number", "rev": "revision", "dept": "department", "bldg": "building",
	"encl": "enclosure", "max": "maximum", "sym": "symmetrical", "symm": "symmetrical", "ph": "phase",
	"phases": "phase", "qty": "quantity", "xfmr": "transformer", "approved": "accepted", "gloves": "glove",
	"notes": "note", "remarks": "note", "remark": "note", "comments": "note", "comment": "note",
	"fed": "fed", "supplied": "fed", "lim": "limited", "restr": "restricted", "ident": "id", "identifier": "id",
	"tag": "id", "tags": "id", "ids": "id", "appr": "approach", "hrs": "hours", "study's": "study",
}

// fillers are words of a heading that do not affect its meaning.
var fillers = []string{"of", "the", "an", "and", "for", "value", "values", "calculated", "calc", "stated", "approx"}

// normal removes case and accents from a text.
func normal(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFD.String(s))
	return s
}

// signWords are signs that count as words: duty in % is not duty in kA.
var signWords = strings.NewReplacer("%", " percent ", "#", " number ", "‰", " permille ")

// wordsOf returns the words of a heading, spelled in one way, each once and sorted.
func wordsOf(heading string) []string {
	fields := strings.FieldsFunc(normal(signWords.Replace(heading)), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	var words []string
	for _, f := range fields {
		for _, w := range strings.Fields(orSelf(expansions[f], f)) {
			if !slices.Contains(fillers, w) {
				words = append(words, w)
			}
		}
	}
	slices.Sort(words)
	return slices.Compact(words)
}

func orSelf(s, self string) string {
	if s == "" {
		return self
	}
	return s
}

// fold makes two texts comparable: case, accents, blanks and signs do not matter.
func fold(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return -1
	}, normal(s))
}
