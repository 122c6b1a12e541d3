package assess

import "testing"

func TestPercent(t *testing.T) {
	for _, c := range []struct {
		p    float64
		want string
	}{
		{0, "<0.1 %"}, {1e-9, "<0.1 %"}, {0.0999, "<0.1 %"},
		{0.1, "0.1 %"}, {0.30000000000000004, "0.3 %"}, {0.29999999999999999, "0.3 %"}, {0.19, "0.1 %"},
		{1, "1 %"}, {5.678, "5.6 %"}, {99.99, "99.9 %"}, {100, "100 %"}, {130.9, "130 %"}, {1234.5, "1234 %"},
	} {
		if got := Percent(c.p); got != c.want {
			t.Errorf("Percent(%v) is %q, expected %q", c.p, got, c.want)
		}
	}
}
