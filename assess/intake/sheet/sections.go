package sheet

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// section is the part of a number format that shows the numbers that meet a condition,
// as in [<1000]0" V";0.0," kV" (18.8.31). Excelize ignores conditions, a section of its
// own for zero, and the word General with other texts, so formats are split here.
type section struct {
	compare string // <, <=, >, >=, = or <>; "" for the numbers that are left
	limit   float64

	unsigned bool // it shows the number without its sign
	general  bool // it shows the number as it is
	word     bool // it shows the number as it is, with something else
	nothing  bool // it shows nothing
	day      bool // it shows a date
	clock    bool // it shows a time of day or a duration
	look     look // of which the value is still to come
}

var (
	// What a section shows as it is written, with the place that is left for a sign or filled
	// with it, and what is in brackets: conditions, colors, languages, durations.
	literal   = `"[^"]*"?|\\.|_.|\*.`
	bracketed = `\[[^\]]*\]`

	literals   = regexp.MustCompile(literal)
	oneSection = regexp.MustCompile(`(?:` + literal + `|[^;])*`)
	oneToken   = regexp.MustCompile(literal + `|` + bracketed + `|(?i:general)|.`)
	ignored    = regexp.MustCompile(literal + `|` + bracketed)
	condition  = regexp.MustCompile(`\[(<=|>=|<>|<|>|=)\s*(-?[0-9]*\.?[0-9]+)\]`)
	elapsed    = regexp.MustCompile(`(?i)\[(h+|m+|s+)\]`)
	hundredths = regexp.MustCompile(`^[#0?]+/[0-9]+$`) // Excelize writes nonsense
	amPM       = regexp.MustCompile(`(?i)am/pm|a/p`)
)

// sectionsOf takes the code of a number format apart.
func sectionsOf(code string) format {
	parts := oneSection.FindAllString(code, -1)
	if last := len(parts) - 1; last > 0 && strings.Contains(ignored.ReplaceAllString(parts[last], ""), "@") {
		parts = parts[:last] // for texts
	}
	var f format
	bySign := true
	for _, part := range parts {
		s := section{}
		if m := condition.FindStringSubmatchIndex(part); m != nil && literals.ReplaceAllString(part[m[0]:m[1]], "") != "" {
			s.compare = part[m[2]:m[3]]
			s.limit, _ = strconv.ParseFloat(part[m[4]:m[5]], 64) // as the pattern has it
			part = part[:m[0]] + part[m[1]:]
			bySign = false
		}
		s.read(part)
		f = append(f, s)
	}
	if bySign && len(f) > 1 { // positive; negative; zero
		f[0].compare = ">="
		f[1].unsigned = true
		if len(f) > 2 {
			f[0].compare, f[1].compare = ">", "<"
		}
	}
	return f
}

// read reads what a section shows. The quoted texts of its code are written with
// a backslash before each character, and signs without a meaning too: Excelize takes
// quoted numbers such as "0.5" for places of the number, and leaves out the sign of feet.
func (s *section) read(part string) {
	var code strings.Builder
	for _, token := range oneToken.FindAllString(part, -1) {
		switch c, _ := utf8.DecodeRuneInString(token); {
		case strings.EqualFold(token, "General"):
			s.word = true
			code.WriteString(token)
		case c == '"':
			code.WriteString(escape(strings.Trim(token, `"`)))
		case c >= utf8.RuneSelf, strings.ContainsRune("'~^&={}<>|`", c):
			code.WriteString(escape(token))
		default:
			code.WriteString(token)
		}
	}
	s.look.code = code.String()
	s.general = strings.EqualFold(s.look.code, "General") || s.look.code == "@" || hundredths.MatchString(s.look.code)
	s.nothing = s.look.code == ""
	s.day, s.clock = shows(part)
}

// shows reports whether a section shows a date, and whether a time of day or a
// duration, by its letters.
func shows(part string) (day, clock bool) {
	letters := ""
	for _, token := range oneToken.FindAllString(part, -1) {
		switch {
		case len(token) == 1:
			letters += token
		case elapsed.MatchString(token):
			clock = true
		}
	}
	if amPM.MatchString(letters) {
		clock = true
		letters = amPM.ReplaceAllString(letters, "")
	}
	clock = clock || strings.ContainsAny(letters, "hHsS")
	day = strings.ContainsAny(letters, "yYdD") || strings.ContainsAny(letters, "mM") && !clock
	return day, clock
}

// escape is a text as a number format shows it whatever it means.
func escape(s string) string {
	var b strings.Builder
	for _, c := range s {
		b.WriteRune('\\')
		b.WriteRune(c)
	}
	return b.String()
}

// of is the section that shows a number: the first whose condition it meets.
func (f format) of(x float64) section {
	for _, s := range f {
		if s.compare == "" || s.compare == "<" && x < s.limit || s.compare == "<=" && x <= s.limit ||
			s.compare == ">" && x > s.limit || s.compare == ">=" && x >= s.limit ||
			s.compare == "=" && x == s.limit || s.compare == "<>" && x != s.limit {
			return s
		}
	}
	return section{general: true}
}

// lookOf is what a section shows of a number, which is given as it is stored too.
func (s section) lookOf(x float64, stored string) look {
	as := s.look
	if as.value = stored; s.unsigned {
		x = math.Abs(x)
		as.value = plain(x)
	}
	if s.word {
		as.value = "1"
		as.code = oneToken.ReplaceAllStringFunc(as.code, func(token string) string {
			if strings.EqualFold(token, "General") {
				return escape(general(x))
			}
			return token
		})
	}
	return as
}
