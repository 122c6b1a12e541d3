package sheet

import (
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// format is a number format, as a cell style refers to it.
type format struct {
	id      int    // of the built-in ones
	code    string // of the workbook's own; "" for a built-in one
	general bool   // it shows the number as it is
	day     bool   // it shows a date
	clock   bool   // it shows a time of day or a duration

	sections []section // of a format with conditions; else nil
}

// section is what a format shows of the numbers that meet a condition, as in
// [<1000]0" V";0.0," kV".
type section struct {
	compare string // <, <=, >, >=, = or <>; "" for the numbers that are left
	limit   float64
	format  format // without conditions
}

// longestFormat is the longest code of a number format that spreadsheets take.
const longestFormat = 255

// readStyles reads the number formats of the cell styles (18.8.10, 18.8.31).
func (w *workbook) readStyles() error {
	if w.styles == "" {
		return nil
	}
	codes := map[int]string{}
	tooMany := func(n int) error {
		if n < w.limits.styles {
			return nil
		}
		return fmt.Errorf("more than %d cell styles or number formats", w.limits.styles)
	}
	return w.walk(w.styles, func(s *stream) error {
		return s.each(func(xml.StartElement) error {
			return s.each(func(e xml.StartElement) error {
				switch e.Name.Local {
				case "numFmts": // comes before cellXfs
					return s.each(func(e xml.StartElement) error {
						code := attr(e, "formatCode")
						if len([]rune(code)) > longestFormat {
							return fmt.Errorf("a number format of more than %d characters", longestFormat)
						}
						if id, err := strconv.Atoi(attr(e, "numFmtId")); err == nil {
							codes[id] = code
						}
						return tooMany(len(codes))
					})
				case "cellXfs":
					return s.each(func(e xml.StartElement) error {
						id, _ := strconv.Atoi(attr(e, "numFmtId")) // absent: General
						w.formats = append(w.formats, formatOf(id, codes[id]))
						return tooMany(len(w.formats))
					})
				}
				return nil
			})
		})
	})
}

// formatOf is a number format by its number and, where it is the workbook's own,
// its code.
func formatOf(id int, code string) format {
	f := format{id: id, code: code}
	switch {
	case condition.MatchString(literalText.ReplaceAllString(code, "")):
		f.sections = sectionsOf(id, code)
	case code != "":
		f.general = strings.EqualFold(code, "General") || code == "@"
		f.day, f.clock = shows(code)
	// The built-in formats (18.8.30).
	case id == 0, id == 49:
		f.general = true
	case 14 <= id && id <= 17:
		f.day = true
	case id == 22:
		f.day, f.clock = true, true
	case 18 <= id && id <= 21, 45 <= id && id <= 47:
		f.clock = true
	}
	return f
}

// condition is on which numbers a section of a format is used (18.8.31).
var (
	condition   = regexp.MustCompile(`\[(<=|>=|<>|<|>|=)\s*(-?[0-9]*\.?[0-9]+)\]`)
	literalText = regexp.MustCompile(`"[^"]*"?|\\.|_.|\*.`)
	betweenEnds = regexp.MustCompile(`(?:"[^"]*"?|\\.|_.|\*.|[^;])*`)
)

// sectionsOf takes a format with conditions apart. Excelize does not regard them.
func sectionsOf(id int, code string) []section {
	var all []section
	for _, part := range betweenEnds.FindAllString(code, -1) {
		s := section{}
		if m := condition.FindStringSubmatchIndex(part); m != nil {
			s.compare = part[m[2]:m[3]]
			s.limit, _ = strconv.ParseFloat(part[m[4]:m[5]], 64) // as the pattern has it
			part = part[:m[0]] + part[m[1]:]
		}
		s.format = formatOf(id, part)
		all = append(all, s)
	}
	return all
}

// of is the format that shows a number: that of the first section whose condition
// it meets.
func (f format) of(x float64) format {
	if f.sections == nil {
		return f
	}
	for _, s := range f.sections {
		if s.compare == "" || s.compare == "<" && x < s.limit || s.compare == "<=" && x <= s.limit ||
			s.compare == ">" && x > s.limit || s.compare == ">=" && x >= s.limit ||
			s.compare == "=" && x == s.limit || s.compare == "<>" && x != s.limit {
			return s.format
		}
	}
	return format{general: true}
}

// literal is what a number format shows as it is written, and its conditions,
// colors and languages; elapsed is a duration, such as [h].
var (
	elapsed = regexp.MustCompile(`(?i)\[(h+|m+|s+)\]`)
	literal = regexp.MustCompile(`"[^"]*"?|\\.|_.|\*.|\[[^\]]*\]`)
	amPM    = regexp.MustCompile(`(?i)am/pm|a/p`)
	generic = regexp.MustCompile(`(?i)general`)
)

// shows reports whether a number format shows a date, and whether a time of day
// or a duration, by its letters (18.8.31). Its first section with letters of a
// date or time counts: the others are for negative numbers and texts.
func shows(code string) (day, clock bool) {
	clock = elapsed.MatchString(code)
	code = literal.ReplaceAllString(code, "")
	if amPM.MatchString(code) {
		clock = true
		code = amPM.ReplaceAllString(code, "")
	}
	code = strings.ToLower(generic.ReplaceAllString(code, ""))
	if strings.ContainsAny(code, "hs") {
		clock = true
	}
	if strings.ContainsAny(code, "yd") || strings.Contains(code, "m") && !clock {
		day = true
	}
	return day, clock
}

// The days on which spreadsheets count 0. Those that count from 1900 hold 1900 for a leap
// year, so their dates before 1900-03-01 are not the same in every program.
var (
	zero1900  = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	zero1904  = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	first1900 = 61.0
)

// dayOf is the date, as 2026-03-14, of a day that a spreadsheet counts; false
// where there is a time of day, to the millisecond, or where the day is not one
// of the years up to 9999.
func dayOf(serial float64, date1904 bool) (string, bool) {
	whole := math.Round(serial)
	zero, first := zero1900, first1900
	if date1904 {
		zero, first = zero1904, 0
	}
	const millisecond = 1.0 / (24 * 60 * 60 * 1000)
	if math.Abs(serial-whole) > millisecond/2 || whole < first || whole > 2958465 {
		return "", false
	}
	t := zero.AddDate(0, 0, int(whole))
	return t.Format(time.DateOnly), t.Year() <= 9999
}
