package assess

import (
	"cmp"
	"strings"
)

// Natural compares names the way a person sorts them: MCC-2 before MCC-10. Names that
// differ only in leading zeros or letter case also have a fixed order.
func Natural(a, b string) int {
	if a == b {
		return 0
	}
	x, y := strings.ToLower(a), strings.ToLower(b)
	for x != "" && y != "" {
		p, q := digits(x), digits(y)
		if p == "" || q == "" {
			if c := cmp.Compare(x[0], y[0]); c != 0 {
				return c
			}
			x, y = x[1:], y[1:]
			continue
		}
		n, m := strings.TrimLeft(p, "0"), strings.TrimLeft(q, "0")
		if c := cmp.Or(cmp.Compare(len(n), len(m)), strings.Compare(n, m)); c != 0 {
			return c
		}
		x, y = x[len(p):], y[len(q):]
	}
	return cmp.Or(cmp.Compare(len(x), len(y)), strings.Compare(a, b))
}

// digits are the digits that s begins with.
func digits(s string) string {
	n := 0
	for n < len(s) && '0' <= s[n] && s[n] <= '9' {
		n++
	}
	return s[:n]
}
