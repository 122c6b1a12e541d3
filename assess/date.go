package assess

import (
	"cmp"
	"fmt"
	"time"
)

// Date is a calendar date without clock or zone. The zero Date is "not given".
type Date struct {
	year       int16
	month, day uint8
}

// ParseDate reads an ISO 8601 calendar date such as 2026-03-14, and no other form.
// Years run from 1900 to 2999.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil || t.Year() < 1900 || t.Year() > 2999 {
		return Date{}, fmt.Errorf("%q is not a date such as 2026-03-14", s)
	}
	return DateOf(t), nil
}

// DateOf is the calendar date of t in t's own zone.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{int16(y), uint8(m), uint8(d)}
}

// Time is the date at 00:00 UTC.
func (d Date) Time() time.Time {
	return time.Date(int(d.year), time.Month(d.month), int(d.day), 0, 0, 0, 0, time.UTC)
}

// IsZero reports whether the date is not given.
func (d Date) IsZero() bool { return d == Date{} }

// Compare is negative where d is earlier than o, 0 on the same day.
func (d Date) Compare(o Date) int {
	return cmp.Compare(d.number(), o.number())
}

// number serves only to order days.
func (d Date) number() int { return int(d.year)<<16 | int(d.month)<<8 | int(d.day) }

// Before reports whether d is earlier than o.
func (d Date) Before(o Date) bool { return d.Compare(o) < 0 }

// AddDays is the date n days later, or earlier if n is negative. A date that is not
// given stays so.
func (d Date) AddDays(n int) Date {
	if d.IsZero() {
		return d
	}
	return DateOf(d.Time().AddDate(0, 0, n))
}

// AddMonths is the same day n months later, or the last day of that month if it has
// no such day: 2028-02-29 and 60 months is 2033-02-28. A date that is not given
// stays so.
func (d Date) AddMonths(n int) Date {
	if d.IsZero() {
		return d
	}
	first := time.Date(int(d.year), time.Month(int(d.month)+n), 1, 0, 0, 0, 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	return DateOf(first.AddDate(0, 0, min(int(d.day), last)-1))
}

// String is the date in ISO form, or "" if it is not given.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	b, _ := d.MarshalText()
	return string(b)
}

// MarshalText is the ISO form.
func (d Date) MarshalText() ([]byte, error) {
	if d.IsZero() {
		return nil, nil
	}
	return d.Time().AppendFormat(make([]byte, 0, len(time.DateOnly)), time.DateOnly), nil
}

// UnmarshalText reads the ISO form, or "" for "not given".
func (d *Date) UnmarshalText(b []byte) (err error) {
	if *d = (Date{}); len(b) > 0 {
		*d, err = ParseDate(string(b))
	}
	return err
}
