package sheet

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"time"
)

// format is a number format, as a cell style refers to it: a section for each kind of
// number.
type format []section

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
	if code != "" {
		return sectionsOf(code)
	}
	s := section{look: look{id: id}} // built-in: 18.8.30
	switch {
	case 14 <= id && id <= 17:
		s.day = true
	case id == 22:
		s.day, s.clock = true, true
	case 18 <= id && id <= 21, 45 <= id && id <= 47:
		s.clock = true
	case id <= 0, 23 <= id && id <= 36, 49 <= id: // General, texts, and those of some languages alone
		s.general = true
	}
	return format{s}
}

// Day 0 of spreadsheets. Those that count from 1900 take 1900 for a leap year, so their
// dates before 1900-03-01 are not the same in every program.
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
