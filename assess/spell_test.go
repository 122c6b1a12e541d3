package assess

import "testing"

func TestSpell(t *testing.T) {
	for _, c := range []struct {
		got, want string
	}{
		{US.Energy(5.5, 4), "5.5 cal/cm²"},
		{SI.Energy(5.5, 4), "23.01 J/cm² (5.5 cal/cm²)"},
		{SI.Energy(2.3001912, 9), "9.624 J/cm² (2.3001912 cal/cm²)"},
		{Both.Energy(5.5, 4), "5.5 cal/cm² (23.01 J/cm²)"},
		{US.Length(457, 4), "17.99 in"},
		{SI.Length(457, 4), "457 mm"},
		{SI.Length(12345.6, 4), "12346 mm"},
		{Both.Length(457.2, 4), "18 in (457.2 mm)"},
		{Digits(0.0, 4), "0"},
		{Digits(0.00123456, 3), "0.00123"},
		{Digits(9.99996, 4), "10"},
		{Digits(-2.5, 2), "-2.5"},
		{Digits(22000000.0, 4), "22000000"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
