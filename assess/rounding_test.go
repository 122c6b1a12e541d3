package assess

import "testing"

// The rules are those of the project: a hazard is never rounded down. That
// 4 ft are 1219.2 mm and 48 in is exact by definition (NIST SP 811, B.8).
func TestRounding(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"8.04 goes up", float64(PrintedCal(8.04)), 8.1},
		{"8.0 stays", float64(PrintedCal(8.0)), 8.0},
		{"binary noise is not a hazard", float64(PrintedCal(8.000000001)), 8.0},
		{"just above noise is", float64(PrintedCal(8.0000001)), 8.1},
		{"1.15 is at the threshold", float64(PrintedCal(1.15)), 1.2},
		{"6.518 cal in J", PrintedJoule(6.518), 27.3},
		{"1.2 cal in J", PrintedJoule(1.2), 5.1},
		{"4 ft", float64(PrintedInches(4 * MMPerFoot)), 48},
		{"45.9 in", float64(PrintedInches(45.9 * MMPerInch)), 46},
		{"457.2 mm is 18 in", float64(PrintedInches(457.2)), 18},
		{"455 mm is more than 17 in", float64(PrintedInches(455)), 18},
		{"1170.1 mm", float64(PrintedMM(1170.1)), 1180},
		{"1170 mm", float64(PrintedMM(1170)), 1170},
		{"16.6666667 ms", float64(PrintedMS(16.6666667)), 16.7},
		{"50 ms", float64(PrintedMS(50)), 50},
		{"18.35 kA", float64(PrintedKA(18.35)), 18.4},
		{"18.4 kA", float64(PrintedKA(18.4)), 18.4},
	} {
		if c.got != c.want {
			t.Errorf("%s: got %v, want %v", c.name, c.got, c.want)
		}
	}
}

// What a study states only as a bound stays true: above is rounded down, below
// up; noise does not count.
func TestBoundsStayTrue(t *testing.T) {
	for i := 1; i < 200000; i++ {
		x := Round9(float64(i) * 0.00317)
		cal, joule := PrintedBound(CalCM2(x), Above)
		if c := float64(cal); c > x*(1+1.1e-9) || c < x-0.1 || joule > x*JoulePerCal*(1+1.1e-9) || joule < x*JoulePerCal-1 {
			t.Fatalf("above %v: %v cal, %v J", x, cal, joule)
		}
		for _, b := range []Bound{Under, ""} {
			if cal, joule = PrintedBound(CalCM2(x), b); cal != PrintedCal(CalCM2(x)) || joule != PrintedJoule(CalCM2(x)) {
				t.Fatalf("below %v: %v cal, %v J", x, cal, joule)
			}
		}
	}
	if cal, joule := PrintedBound(40.1, Above); cal != 40.1 || joule != 167.7 {
		t.Errorf("above 40.1: %v cal, %v J", cal, joule)
	}
}

// No printed number is below the stored one by more than the noise.
func TestNeverDown(t *testing.T) {
	for i := 1; i < 200000; i++ {
		x := Round9(float64(i) * 0.00317)
		if p := float64(PrintedCal(CalCM2(x))); p < x*(1-1.1e-9) || p > x+0.1 {
			t.Fatalf("PrintedCal(%v) = %v", x, p)
		}
		if p := float64(PrintedInches(MM(x))) * MMPerInch; p < x*(1-1.1e-9) || p > x+MMPerInch {
			t.Fatalf("PrintedInches(%v mm) = %v mm", x, p)
		}
		if p := float64(PrintedMM(MM(x))); p < x*(1-1.1e-9) || p > x+10 {
			t.Fatalf("PrintedMM(%v) = %v", x, p)
		}
	}
}
